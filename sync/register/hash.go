package register

import (
	"encoding/hex"
	"fmt"
)

const hashSize = 32 // bytes

// Hash is the SHA-256 of an entry's bytes as they were received.
type Hash [hashSize]byte

// String is the hash in lower-case hex.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText writes the hash in lower-case hex.
func (h Hash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

// UnmarshalText reads 64 digits of lower-case hex.
func (h *Hash) UnmarshalText(text []byte) error {
	if !isHex(string(text), 2*hashSize) {
		return fmt.Errorf("%q is not a SHA-256 in lower-case hex", text)
	}
	_, err := hex.Decode(h[:], text)
	return err
}

func isHex(s string, digits int) bool {
	if len(s) != digits {
		return false
	}
	for _, c := range []byte(s) {
		if !isHexDigit(c) {
			return false
		}
	}
	return true
}

func isHexDigit(c byte) bool { return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' }
