//go:build !js

package register

import "crypto/sha256"

// A browser's program hashes nothing, and crypto/sha256 would bring it all of Go's FIPS 140
// module: 40 kB of its 1.4 MB.

// HashOf is the hash of an entry or a photo.
func HashOf(raw []byte) Hash { return sha256.Sum256(raw) }

// Chain is the hash of a register up to and including an entry: the SHA-256 of the chain
// before it followed by the entry's hash. The chain before the first entry is all zero.
func Chain(before, entry Hash) Hash {
	var both [2 * hashSize]byte
	copy(both[:hashSize], before[:])
	copy(both[hashSize:], entry[:])
	return sha256.Sum256(both[:])
}

// CopyDevice is the id under which entries of a device are copied; nonce is 8 of a-z and 0-9, new
// each time. Of a device whose id is too long for that it names nobody.
func CopyDevice(nonce, device string) string {
	id := copyPrefix + nonce + "-" + device
	if len(nonce) != nonceBytes || len(id) > IDBytes {
		return copyPrefix + HashOf([]byte(id)).String()[:IDBytes-len(copyPrefix)]
	}
	return id
}
