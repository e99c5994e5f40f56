package device_test

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/sync/badline"
	"headcut/sync/register"
	"headcut/sync/store/boltstore"
)

func picture(seed byte, size int) ([]byte, register.Hash) {
	raw := make([]byte, size)
	_, _ = rand.NewChaCha8([32]byte{seed}).Read(raw)
	return raw, register.HashOf(raw)
}

// TestRule11PhotoAfterItsEntry: the entry that names a photo arrives first, the photo
// after it through a line that is cut again and again, and a device that was closed in
// between goes on.
func TestRule11PhotoAfterItsEntry(t *testing.T) {
	of := startOffice(t, officeOptions{})
	cuts := 0
	l := badline.New(t, strings.TrimPrefix(of.url, "http://"), func(_ int, up bool, before int64) badline.Fate {
		if up && before > 600_000 && cuts < 4 {
			cuts++
			return badline.Fate{Reset: true}
		}
		return badline.Fate{}
	})
	dir := t.TempDir()
	d := opened(t, dir)
	must(t, d.Enrol(t.Context(), of.url, "open", "an officer"))
	d.MoveTo(l.URL())
	head := mark(t, d, "head")
	raw, want := picture(1, 2_500_000)
	sha, err := d.Photo(creek, head, bytes.NewReader(raw))
	must(t, err)
	small, smallSHA := picture(2, 10_000)
	if _, err := d.Photo(creek, head, bytes.NewReader(small)); err != nil || sha != want {
		t.Fatalf("keeping photos: %v, the first as %s, want %s", err, sha, want)
	}
	tries := 0
	for ; ; tries++ {
		err := d.Sync(t.Context())
		if n, countErr := d.PhotosWaiting(); countErr != nil || (n == 0) != (err == nil) {
			t.Fatalf("try %d: %d photos wait (%v) after Sync gave %v", tries, n, countErr, err)
		}
		if err == nil {
			break
		}
		if tries == 0 { // the entries are there, the photo is missed
			f := storeFolded(t, of.store, creek)[head]
			if !strings.Contains(f, want.String()) || !strings.Contains(f, smallSHA.String()) {
				t.Errorf("before the photos: the feature is %s, want it to name both", f)
			}
			if _, err := of.photos.Open(t.Context(), want); !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("the photo that was cut: got %v, want that it does not exist yet", err)
			}
		}
		if tries > 20 {
			t.Fatalf("try %d: %v", tries, err)
		}
		must(t, d.Close())
		d = opened(t, dir)
		d.MoveTo(l.URL())
	}
	if tries == 0 {
		t.Error("the line was never cut")
	}
	for sha, want := range map[register.Hash][]byte{want: raw, smallSHA: small} {
		f, err := of.photos.Open(t.Context(), sha)
		must(t, err)
		got, err := io.ReadAll(f)
		must(t, errors.Join(err, f.Close()))
		if !bytes.Equal(got, want) {
			t.Errorf("photo %s arrived with %d bytes, want the %d taken", sha, len(got), len(want))
		}
	}
}

// TestOddPhotos are refused before anything is kept.
func TestOddPhotos(t *testing.T) {
	of := startOffice(t, officeOptions{})
	d := enrolled(t, of.url)
	head := mark(t, d, "head")
	for name, from := range map[string]io.Reader{"empty": strings.NewReader(""), "endless": endless{}, "unreadable": unreadable{}} {
		t.Run(name, func(t *testing.T) {
			if _, err := d.Photo(creek, head, from); err == nil {
				t.Error("got no error")
			}
			f, err := d.Feature(creek, head)
			if n, countErr := d.PhotosWaiting(); err != nil || countErr != nil || n != 0 || len(f.Fields["photos"]) != 0 {
				t.Errorf("afterwards %d photos wait and the feature is %+v (%v, %v)", n, f, err, countErr)
			}
		})
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

type unreadable struct{}

func (unreadable) Read([]byte) (int, error) { return 0, errors.New("the card is broken") }

// TestPhotosAfterARestore: photos that were sent since an older backup go again, without being
// asked for, as does one that the backup's register names and its photos lack.
func TestPhotosAfterARestore(t *testing.T) {
	dir, copied := t.TempDir(), filepath.Join(t.TempDir(), "photos")
	of, err := openOffice(dir, officeOptions{})
	must(t, err)
	address := of.http.Addr
	d := enrolled(t, of.url)
	var shas []register.Hash
	shoot := func(photos int) {
		for range photos {
			raw, _ := picture(byte(len(shas)), 20_000)
			sha, err := d.Photo(creek, mark(t, d, "head"), bytes.NewReader(raw))
			must(t, err)
			shas = append(shas, sha)
		}
		must(t, d.Sync(t.Context()))
	}
	shoot(2)
	backup := filepath.Join(t.TempDir(), "backup.db")
	must(t, of.store.Backup(t.Context(), backup))
	must(t, os.CopyFS(copied, os.DirFS(filepath.Join(dir, "photos"))))
	must(t, os.Remove(filepath.Join(copied, "photo", shas[0].String())))
	shoot(3)
	must(t, of.close())
	must(t, os.RemoveAll(filepath.Join(dir, "photos")))
	must(t, os.Rename(copied, filepath.Join(dir, "photos")))
	must(t, os.Remove(filepath.Join(dir, "register.db")))
	must(t, boltstore.Restore(t.Context(), backup, filepath.Join(dir, "register.db")))
	of, err = openOffice(dir, officeOptions{listen: address})
	must(t, err)
	defer of.close()
	must(t, d.Sync(t.Context()))
	for i, sha := range shas {
		f, err := of.photos.Open(t.Context(), sha)
		if err != nil {
			t.Errorf("photo %d did not come again: %v", i, err)
			continue
		}
		must(t, f.Close())
	}
	if n, err := d.PhotosWaiting(); n != 0 || err != nil {
		t.Errorf("%d photos wait (%v), want none", n, err)
	}
}
