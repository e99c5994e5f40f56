package demo

import (
	"crypto/sha256"
	"testing"
)

// A photo is kept under the hash of its bytes: two days never give the same one, or the
// page would show fewer than were taken.
func TestEveryPhotoIsItsOwn(t *testing.T) {
	of := map[[32]byte]string{}
	for _, c := range Scene() {
		if c.Photo == nil {
			continue
		}
		sum := sha256.Sum256(c.Photo)
		if other, ok := of[sum]; ok {
			t.Errorf("%s has the photo of %s", c.Feature, other)
		}
		of[sum] = c.Feature
	}
	if len(of) < 7 {
		t.Errorf("%d photos, want 7", len(of))
	}
}
