package server

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"strings"
)

// Secrets are shown once, to the person they are for, and kept only as hashes.

// spoken is an alphabet without letters that are mistaken for digits, for codes that are
// typed from paper.
var spoken = base32.NewEncoding("0123456789abcdefghjkmnpqrstvwxyz").WithPadding(base32.NoPadding)

// newCode makes a one-time code of 50 random bits in two groups: "k7m2x-9qd4t".
func newCode() string {
	text := spoken.EncodeToString(random(7))[:10]
	return text[:5] + "-" + text[5:]
}

// newToken makes a secret of 160 random bits for a device or a link.
func newToken() string { return spoken.EncodeToString(random(20)) }

func random(n int) []byte {
	b := make([]byte, n)
	rand.Read(b) // never fails: see crypto/rand
	return b
}

// digest is how a secret is kept. Secrets are random and long, so a plain hash cannot be
// run backwards.
func digest(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// heard undoes what people do to a code on the way from paper to phone: case, spaces,
// missing dashes, and letters read for digits.
func heard(code string) string {
	fold := strings.NewReplacer(" ", "", "-", "", "o", "0", "i", "1", "l", "1")
	return fold.Replace(strings.ToLower(strings.TrimSpace(code)))
}
