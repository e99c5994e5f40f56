package wasmfile

import (
	"errors"
	"fmt"
)

// mostMemoryBytes bounds the memory that is laid out here, some ten times that of a large program.
const mostMemoryBytes = 64 << 20

// leastGapBytes is how many zeros make it worth beginning another segment. Every segment costs a phone time
// at each start, and in the compressed program more than the zeros it spares.
const leastGapBytes = 1024

// The bytes of a segment's beginning: of memory 0, its place is a constant, end of the expression.
const (
	ofMemory0   = 0x00
	constantI32 = 0x41
	end         = 0x0b
)

// Memory lays out what the segments of a data section write into a memory that begins as zeros.
// It ends where the last segment does.
func Memory(body []byte) ([]byte, error) {
	r := reader{body}
	count, err := r.unsigned()
	if err != nil {
		return nil, err
	}
	var memory []byte
	for i := range count {
		at, content, err := r.segment()
		if err != nil {
			return nil, fmt.Errorf("data segment %d of %d: %w", i+1, count, err)
		}
		if last := at + len(content); last > len(memory) {
			memory = append(memory, make([]byte, last-len(memory))...)
		}
		copy(memory[at:], content)
	}
	if len(r.rest) > 0 {
		return nil, fmt.Errorf("%d bytes follow the last data segment", len(r.rest))
	}
	return memory, nil
}

func (r *reader) segment() (at int, content []byte, err error) {
	kind, err := r.byte()
	if err != nil {
		return 0, nil, err
	}
	opcode, err := r.byte()
	if err != nil {
		return 0, nil, err
	}
	if kind != ofMemory0 || opcode != constantI32 {
		return 0, nil, errors.New("it is not written into memory 0, at a constant place, when the program starts")
	}
	place, err := r.signed()
	if err != nil {
		return 0, nil, err
	}
	if b, err := r.byte(); err != nil || b != end {
		return 0, nil, errors.New("its place is more than one constant")
	}
	if content, err = r.vector(); err != nil {
		return 0, nil, err
	}
	if place < 0 || int(place)+len(content) > mostMemoryBytes {
		return 0, nil, fmt.Errorf("its %d bytes at %d are outside of the first %d bytes of memory", len(content), uint32(place), mostMemoryBytes)
	}
	return int(place), content, nil
}

// DataSection is the shortest data section that lays out this memory, but for gaps that are too small.
func DataSection(memory []byte) []byte {
	count, segments := uint64(0), []byte(nil)
	for at := afterZeros(memory, 0); at < len(memory); {
		last := at
		next := at
		for next < len(memory) && next-last < leastGapBytes {
			for last = next; last < len(memory) && memory[last] != 0; last++ {
			}
			next = afterZeros(memory, last)
		}
		segments = append(segments, ofMemory0, constantI32)
		segments = appendSigned(segments, int32(at))
		segments = append(segments, end)
		segments = appendUnsigned(segments, uint64(last-at))
		segments = append(segments, memory[at:last]...)
		count++
		at = next
	}
	return append(appendUnsigned(nil, count), segments...)
}

// afterZeros is where the zeros end that begin at a place.
func afterZeros(memory []byte, at int) int {
	for at < len(memory) && memory[at] == 0 {
		at++
	}
	return at
}
