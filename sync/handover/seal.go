package handover

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
)

// What begins what is sealed, so that no seal means anything elsewhere.
const (
	sealed      = "headcut hand-over 2\n"
	sealedBegun = "headcut hand-over 2, begun\n"
)

// Key is what a device seals with: the SHA-256 of its token. A server keeps no more of a token,
// so whoever reads its register could make seals, as it could write to the register.
type Key [sha256.Size]byte

// KeyOf is the key of a device with this token.
func KeyOf(token string) Key { return sha256.Sum256([]byte(token)) }

// KeyIn reads a key as a server keeps it, in hex; false when that is none.
func KeyIn(text string) (k Key, ok bool) {
	raw, err := hex.DecodeString(text)
	return k, err == nil && copy(k[:], raw) == len(k) && len(raw) == len(k)
}

// Seal is the seal of an entry of a property.
func (k Key) Seal(property string, entry []byte) string { return k.mac(sealed, property, entry) }

// Sealed tells whether an item is an entry that was sealed with this key, and is as it was then.
func (k Key) Sealed(item Item) bool {
	return item.Entry != nil && equal(item.Seal, k.Seal(item.Property, item.Entry))
}

// SealBegun is the seal of a property that was begun on the phone.
func (k Key) SealBegun(b Begun) string { return k.mac(sealedBegun, b.ID, []byte(b.Name)) }

// Began tells whether a property that was begun is sealed with this key.
func (k Key) Began(b Begun) bool { return equal(b.Seal, k.SealBegun(b)) }

func equal(a, b string) bool { return hmac.Equal([]byte(a), []byte(b)) }

func (k Key) mac(domain, id string, text []byte) string {
	mac := hmac.New(sha256.New, k[:])
	for _, part := range [][]byte{[]byte(domain), []byte(id), {'\n'}, text} {
		_, _ = mac.Write(part) // a hash takes everything
	}
	return hex.EncodeToString(mac.Sum(nil))
}
