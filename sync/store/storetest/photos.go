package storetest

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store"
)

// RunPhotos runs the checks of a photo store; open makes an empty one.
func RunPhotos(t *testing.T, open func(t *testing.T) store.Photos) {
	for _, c := range []struct {
		name string
		run  func(t T, p store.Photos)
	}{{"in-parts", photoInParts}, {"cut-on-the-way", photoCutOnTheWay}, {"damaged", photoDamaged}, {"wrong-offsets", photoWrongOffsets}} {
		t.Run(c.name, func(t *testing.T) { c.run(t, open(t)) })
	}
}

func somePhoto(size int) ([]byte, register.Hash) {
	photo := make([]byte, size)
	r := rand.NewChaCha8([32]byte{byte(size)})
	_, _ = r.Read(photo)
	return photo, sha256.Sum256(photo)
}

// from is a photo that the device of most checks sends.
func from(sha register.Hash) store.Sending { return store.Sending{Device: "d-1", SHA: sha} }

func putPart(t T, p store.Photos, sha register.Hash, photo []byte, at, to int) {
	t.Helper()
	off, err := p.WriteAt(t.Context(), from(sha), int64(at), int64(len(photo)), bytes.NewReader(photo[at:to]))
	if err != nil || off != int64(to) {
		t.Fatalf("WriteAt of %d to %d = %d, %v", at, to, off, err)
	}
}

func checkPhoto(t T, p store.Photos, sha register.Hash, photo []byte) {
	t.Helper()
	r, err := p.Open(t.Context(), sha)
	if err != nil {
		t.Fatalf("Open: %v", err)
	}
	got, err := io.ReadAll(r)
	if err != nil || !bytes.Equal(got, photo) {
		t.Errorf("the photo reads %d bytes (%v), not the %d that were sent", len(got), err, len(photo))
	}
	if _, err := r.Seek(1, io.SeekStart); err != nil {
		t.Errorf("Seek: %v", err)
	}
	if err := r.Close(); err != nil {
		t.Errorf("Close: %v", err)
	}
	if off, err := p.Offset(t.Context(), from(sha)); err != nil || off != int64(len(photo)) {
		t.Errorf("Offset of a whole photo = %d, %v, want %d", off, err, len(photo))
	}
}

func photoInParts(t T, p store.Photos) {
	photo, sha := somePhoto(700_001)
	if off, err := p.Offset(t.Context(), from(sha)); err != nil || off != 0 {
		t.Errorf("Offset before anything = %d, %v", off, err)
	}
	cuts := []int{0, 1, 65_536, 300_000, 700_000, 700_001}
	for i, to := range cuts[1:] {
		if _, err := p.Open(t.Context(), sha); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("Open with %d bytes = %v, want ErrNotExist", cuts[i], err)
		}
		putPart(t, p, sha, photo, cuts[i], to)
		if off, err := p.Offset(t.Context(), from(sha)); err != nil || off != int64(to) {
			t.Errorf("Offset after %d bytes = %d, %v", to, off, err)
		}
	}
	checkPhoto(t, p, sha, photo)
	putPart(t, p, sha, photo, len(photo), len(photo)) // sent again after the receipt was lost
	if off, err := p.WriteAt(t.Context(), from(sha), 0, int64(len(photo)), bytes.NewReader(photo)); err != nil || off != int64(len(photo)) {
		t.Errorf("a whole photo sent again = %d, %v", off, err)
	}
	checkPhoto(t, p, sha, photo)
}

func photoCutOnTheWay(t T, p store.Photos) {
	photo, sha := somePhoto(300_000)
	cut := errors.New("the connection was cut")
	off, err := p.WriteAt(t.Context(), from(sha), 0, int64(len(photo)), io.MultiReader(bytes.NewReader(photo[:200_000]), failingReader{cut}))
	if !errors.Is(err, cut) || off != 200_000 {
		t.Errorf("WriteAt cut at 200000 = %d, %v, want what came and the reader's error", off, err)
	}
	putPart(t, p, sha, photo, int(off), len(photo))
	checkPhoto(t, p, sha, photo)
}

type failingReader struct{ err error }

func (f failingReader) Read([]byte) (int, error) { return 0, f.err }

func photoDamaged(t T, p store.Photos) {
	photo, sha := somePhoto(100_000)
	other, otherSHA := somePhoto(50_000)
	putPart(t, p, otherSHA, other, 0, 20_000)
	bad := bytes.Clone(photo)
	bad[77_777] ^= 4
	putPart(t, p, sha, bad, 0, 80_000)
	if off, err := p.WriteAt(t.Context(), from(sha), 80_000, 100_000, bytes.NewReader(bad[80_000:])); !errors.Is(err, store.ErrPhotoDamaged) || off != 0 {
		t.Errorf("the last part of a damaged photo = %d, %v, want 0 and ErrPhotoDamaged", off, err)
	}
	if off, err := p.Offset(t.Context(), from(sha)); err != nil || off != 0 {
		t.Errorf("Offset of a damaged photo = %d, %v, want 0", off, err)
	}
	if off, err := p.Offset(t.Context(), from(otherSHA)); err != nil || off != 20_000 {
		t.Errorf("Offset of another photo = %d, %v, want 20000", off, err)
	}
	putPart(t, p, sha, photo, 0, len(photo))
	checkPhoto(t, p, sha, photo)
}

func photoWrongOffsets(t T, p store.Photos) {
	photo, sha := somePhoto(10_000)
	putPart(t, p, sha, photo, 0, 4_000)
	for _, try := range []struct{ off, size int64 }{{0, 10_000}, {3_999, 10_000}, {4_001, 10_000}, {-1, 10_000}, {4_000, 0}, {4_000, -5}, {4_000, 3_000}} {
		off, err := p.WriteAt(t.Context(), from(sha), try.off, try.size, bytes.NewReader(photo))
		if err == nil || off != 4_000 {
			t.Errorf("WriteAt at %d of %d = %d, %v, want 4000 and an error", try.off, try.size, off, err)
		}
	}
	putPart(t, p, sha, photo, 4_000, len(photo))
	checkPhoto(t, p, sha, photo)
}
