package wasmfile

import (
	"encoding/binary"
	"errors"
	"fmt"
)

var errEnds = errors.New("it ends too early")

// reader reads the numbers and byte vectors of the format from what is left.
type reader struct{ rest []byte }

func (r *reader) byte() (byte, error) {
	if len(r.rest) == 0 {
		return 0, errEnds
	}
	b := r.rest[0]
	r.rest = r.rest[1:]
	return b, nil
}

// unsigned reads an unsigned LEB128 number of at most 32 bits, which Go's linker pads with leading zeros.
func (r *reader) unsigned() (uint32, error) {
	n, size := binary.Uvarint(r.rest[:min(len(r.rest), 5)])
	if size <= 0 && len(r.rest) < 5 {
		return 0, errEnds
	}
	if size <= 0 || n > 1<<32-1 {
		return 0, errors.New("a number has more than 32 bits")
	}
	r.rest = r.rest[size:]
	return uint32(n), nil
}

// signed reads a signed LEB128 number of at most 32 bits.
func (r *reader) signed() (int32, error) {
	n := int64(0)
	for shift := 0; shift < 35; shift += 7 {
		b, err := r.byte()
		if err != nil {
			return 0, err
		}
		n |= int64(b&0x7f) << shift
		if b&0x80 == 0 {
			if b&0x40 != 0 {
				n |= -1 << (shift + 7)
			}
			if int64(int32(n)) != n {
				break
			}
			return int32(n), nil
		}
	}
	return 0, errors.New("a number has more than 32 bits")
}

// vector reads bytes with their count before them.
func (r *reader) vector() ([]byte, error) {
	n, err := r.unsigned()
	if err != nil {
		return nil, err
	}
	if uint64(n) > uint64(len(r.rest)) {
		return nil, fmt.Errorf("it is to have %d bytes, and %d are left", n, len(r.rest))
	}
	v := r.rest[:n:n]
	r.rest = r.rest[n:]
	return v, nil
}

func appendUnsigned(to []byte, n uint64) []byte { return binary.AppendUvarint(to, n) }

func appendSigned(to []byte, n int32) []byte {
	for {
		b := byte(n & 0x7f)
		n >>= 7
		if n == 0 && b&0x40 == 0 || n == -1 && b&0x40 != 0 {
			return append(to, b)
		}
		to = append(to, b|0x80)
	}
}
