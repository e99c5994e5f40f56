package storetest

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"slices"
	"testing"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// RunPhotos runs the checks of a photo store; open makes an empty one.
func RunPhotos(t *testing.T, open func(t *testing.T) store.Photos) {
	for _, c := range []struct {
		name string
		run  func(t T, p store.Photos)
	}{{"in-parts", photoInParts}, {"cut-on-the-way", photoCutOnTheWay}, {"damaged", photoDamaged}, {"wrong-offsets", photoWrongOffsets}, {"of-two", photoOfTwo}, {"looked-at", photoLooked}, {"smallest", photoSmallest}} {
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

// photoSmallest: one byte is a photo.
func photoSmallest(t T, p store.Photos) {
	photo, sha := somePhoto(1)
	putPart(t, p, sha, photo, 0, 1)
	checkPhoto(t, p, sha, photo)
}

// photoOfTwo: what one device sends does not touch what another does; each is known to have sent
// it, and the photo is kept once.
func photoOfTwo(t T, p store.Photos) {
	photo, sha := somePhoto(90_000)
	other := store.Sending{Device: "d-2", SHA: sha}
	putPart(t, p, sha, photo, 0, 50_000)
	if off, err := p.Offset(t.Context(), other); err != nil || off != 0 {
		t.Errorf("another device's Offset = %d, %v, want none of the first's bytes", off, err)
	}
	if _, err := p.WriteAt(t.Context(), other, 0, 90_000, bytes.NewReader(make([]byte, 90_000))); !errors.Is(err, store.ErrPhotoDamaged) {
		t.Errorf("bytes that are none of the photo's: %v, want ErrPhotoDamaged", err)
	}
	putPart(t, p, sha, photo, 50_000, len(photo))
	checkPhoto(t, p, sha, photo)
	if off, err := p.Offset(t.Context(), other); err != nil || off != 0 {
		t.Errorf("another device's Offset of a photo that is here = %d, %v, want none", off, err)
	}
	sent := func(size int64, want ...string) {
		t.Helper()
		if devices, n, err := p.Sent(t.Context(), sha); err != nil || n != size || !slices.Equal(devices, want) {
			t.Errorf("Sent = %v, %d, %v, want %v and %d", devices, n, err, want, size)
		}
	}
	sent(90_000, "d-1")
	if _, err := p.WriteAt(t.Context(), other, 0, 90_000, bytes.NewReader(photo)); err != nil {
		t.Errorf("the other device: %v", err)
	}
	sent(90_000, "d-1", "d-2")
	begun, begunSHA := somePhoto(5_000)
	putPart(t, p, begunSHA, begun, 0, 1_000)
	for device, want := range map[string]int64{"d-1": 91_000, "d-2": 90_000, "d-3": 0} {
		if n, err := p.Room(t.Context(), device); err != nil || n != want {
			t.Errorf("Room of %s = %d, %v, want %d", device, n, err, want)
		}
	}
}

// photoLooked: what a look refuses is not kept, nor its parts.
func photoLooked(t T, p store.Photos) {
	photo, sha := somePhoto(9_000)
	why := &model.Problem{Path: "photo", Reason: "is none"}
	putPart(t, p, sha, photo, 0, 4_000)
	_, err := p.WriteAt(t.Context(), from(sha), 4_000, 9_000, bytes.NewReader(photo[4_000:]), func(whole io.ReaderAt, size int64) *model.Problem {
		got := make([]byte, size)
		if _, err := whole.ReadAt(got, 0); err != nil || !bytes.Equal(got, photo) {
			t.Errorf("the look is given %d other bytes (%v)", len(got), err)
		}
		return why
	})
	if err != why {
		t.Errorf("got %v, want the look's Problem", err)
	}
	if _, err := p.Open(t.Context(), sha); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("Open = %v, want ErrNotExist", err)
	}
	putPart(t, p, sha, photo, 0, len(photo))
	checkPhoto(t, p, sha, photo)
}
