package register

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// Hash is the SHA-256 of an entry's bytes as they were received.
type Hash [sha256.Size]byte

// HashOf is the hash of an entry or a photo.
func HashOf(raw []byte) Hash { return sha256.Sum256(raw) }

// Chain is the hash of a register up to and including an entry: the SHA-256 of the chain
// before it followed by the entry's hash. The chain before the first entry is all zero.
func Chain(before, entry Hash) Hash {
	var both [2 * sha256.Size]byte
	copy(both[:sha256.Size], before[:])
	copy(both[sha256.Size:], entry[:])
	return sha256.Sum256(both[:])
}

// String is the hash in lower-case hex.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText writes the hash in lower-case hex.
func (h Hash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

// UnmarshalText reads 64 digits of lower-case hex.
func (h *Hash) UnmarshalText(text []byte) error {
	if !isHex(string(text), 2*sha256.Size) {
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
