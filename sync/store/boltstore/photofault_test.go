package boltstore

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store"
)

// faultyDisk fails the n-th step that changes the disk, and every one like it after.
type faultyDisk struct {
	osDisk
	mu   sync.Mutex // some steps are taken beside each other
	left int
	hit  string // the step that failed
}

func (d *faultyDisk) step(name string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.hit == name {
		return errFault
	}
	if d.hit == "" {
		if d.left--; d.left < 0 {
			d.hit = name
			return errFault
		}
	}
	return nil
}

func (d *faultyDisk) open(name string, flag int) (diskFile, error) {
	if flag&os.O_CREATE != 0 {
		if err := d.step("create"); err != nil {
			return nil, err
		}
	}
	f, err := d.osDisk.open(name, flag)
	if err != nil {
		return nil, err
	}
	return &faultyFile{f, d}, nil
}

func (d *faultyDisk) rename(from, to string) error {
	if err := d.step("rename"); err != nil {
		return err
	}
	return d.osDisk.rename(from, to)
}

func (d *faultyDisk) syncDir(name string) error {
	if err := d.step("flush folder"); err != nil {
		return err
	}
	return d.osDisk.syncDir(name)
}

type faultyFile struct {
	diskFile
	d *faultyDisk
}

func (f *faultyFile) Write(p []byte) (int, error) {
	if err := f.d.step("write"); err != nil {
		n, _ := f.diskFile.Write(p[:len(p)/2])
		return n, err
	}
	return f.diskFile.Write(p)
}

func (f *faultyFile) Sync() error {
	if err := f.d.step("flush"); err != nil {
		return err
	}
	return f.diskFile.Sync()
}

// TestRule15PhotoFaults fails each step of storing a photo in turn: it is never called
// whole unless it is, and after opening again it continues from what is here to the same photo.
func TestRule15PhotoFaults(t *testing.T) {
	photo := bytes.Repeat([]byte("gully "), 50_000)
	sha := register.Hash(sha256.Sum256(photo))
	hit := make(map[string]int)
	for step := 0; ; step++ {
		dir := t.TempDir()
		d := &faultyDisk{left: 1000}
		p, err := openPhotos(dir, d)
		if err != nil {
			t.Fatal(err)
		}
		d.left = step
		acknowledged := int64(0)
		for acknowledged < int64(len(photo)) && err == nil {
			to := min(int(acknowledged)+100_000, len(photo))
			var off int64
			if off, err = p.WriteAt(t.Context(), by(sha), acknowledged, int64(len(photo)), bytes.NewReader(photo[acknowledged:to])); err == nil {
				acknowledged = off
			}
		}
		if d.hit == "" {
			if step < 8 {
				t.Fatalf("only %d steps could fail", step)
			}
			break
		}
		hit[d.hit]++
		if err == nil {
			t.Fatalf("step %d (%s) failed and nobody was told", step, d.hit)
		}
		if d.hit != "create" && !errors.Is(err, store.ErrStopped) {
			t.Errorf("step %d (%s) failed with %v, want ErrStopped", step, d.hit, err)
		}
		if d.hit == "flush" || d.hit == "write" {
			if off, err := p.WriteAt(t.Context(), by(sha), 0, int64(len(photo)), bytes.NewReader(photo)); !errors.Is(err, store.ErrStopped) {
				t.Errorf("after a failed %s WriteAt = %d, %v, want ErrStopped", d.hit, off, err)
			}
		}
		again, err := OpenPhotos(dir)
		if err != nil {
			t.Fatal(err)
		}
		off, err := again.Offset(t.Context(), by(sha))
		if err != nil {
			t.Fatal(err)
		}
		if off < int64(len(photo)) {
			if _, err := again.Open(t.Context(), sha); !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("step %d (%s): Open of %d bytes = %v, want ErrNotExist", step, d.hit, off, err)
			}
		}
		// Also when all of it is here: nobody may have been told.
		if off, err = again.WriteAt(t.Context(), by(sha), off, int64(len(photo)), bytes.NewReader(photo[off:])); err != nil || off != int64(len(photo)) {
			t.Errorf("step %d (%s): going on gives %d, %v", step, d.hit, off, err)
		}
		if report, err := again.Verify(t.Context(), nil); report.Whole != 1 || !report.Sound() || err != nil {
			t.Errorf("step %d (%s): Verify = %+v, %v", step, d.hit, report, err)
		}
	}
	for _, step := range []string{"create", "write", "flush", "rename", "flush folder"} {
		if hit[step] == 0 {
			t.Errorf("no %s was made to fail", step)
		}
	}
}

// unflushedDisk does what a disk does, and knows which folders have names that are not flushed.
type unflushedDisk struct {
	osDisk
	unflushed map[string]bool
	killed    bool // nothing is flushed any more
}

func (d *unflushedDisk) rename(from, to string) error {
	d.unflushed[filepath.Dir(to)] = true
	return d.osDisk.rename(from, to)
}

func (d *unflushedDisk) syncDir(name string) error {
	if d.killed && d.unflushed[name] {
		return errFault
	}
	delete(d.unflushed, name)
	return d.osDisk.syncDir(name)
}

// TestNamedByAKilledProcess: a process that is killed between giving a photo its name and flushing
// that has acknowledged nothing; the next one, which finds the photo whole, says so only when the
// name is flushed.
func TestNamedByAKilledProcess(t *testing.T) {
	dir, photo := t.TempDir(), []byte("a photo")
	sha := register.HashOf(photo)
	d := &unflushedDisk{unflushed: map[string]bool{}}
	p, err := openPhotos(dir, d)
	if err != nil {
		t.Fatal(err)
	}
	d.killed = true
	if _, err := p.WriteAt(t.Context(), by(sha), 0, int64(len(photo)), bytes.NewReader(photo)); err == nil || !p.Has(sha) {
		t.Fatalf("the photo is acknowledged (%v), or has no name: this test says nothing", err)
	}
	d.killed = false
	again, err := openPhotos(dir, d)
	if err != nil {
		t.Fatal(err)
	}
	off, err := again.Offset(t.Context(), by(sha))
	if err != nil || off != int64(len(photo)) || len(d.unflushed) > 0 {
		t.Errorf("%d bytes are acknowledged, %v, and the names in %v not flushed", off, err, d.unflushed)
	}
}

func checkPhotosFull(t *testing.T, dir string) {
	t.Helper()
	ballast := filepath.Join(dir, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 700<<10), 0o600); err != nil {
		t.Fatal(err)
	}
	p, err := OpenPhotos(dir)
	if err != nil {
		t.Fatal(err)
	}
	photo := bytes.Repeat([]byte("gully "), 100_000)
	sha := register.Hash(sha256.Sum256(photo))
	off, err := p.WriteAt(t.Context(), by(sha), 0, int64(len(photo)), bytes.NewReader(photo[:100_000]))
	if err != nil || off != 100_000 {
		t.Fatalf("WriteAt = %d, %v", off, err)
	}
	if off, err = p.WriteAt(t.Context(), by(sha), off, int64(len(photo)), bytes.NewReader(photo[off:])); !errors.Is(err, store.ErrFull) || off != 100_000 {
		t.Fatalf("WriteAt to a full disk = %d, %v, want what was here and ErrFull", off, err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if off, err = p.WriteAt(t.Context(), by(sha), off, int64(len(photo)), bytes.NewReader(photo[off:])); err != nil || off != int64(len(photo)) {
		t.Errorf("WriteAt with room again = %d, %v", off, err)
	}
}

// by is a photo that the device of these tests sends.
func by(sha register.Hash) store.Sending { return store.Sending{Device: "d-1", SHA: sha} }

// takePhoto stores a photo whole.
func takePhoto(t *testing.T, p *Photos, photo []byte) register.Hash {
	t.Helper()
	sha := register.HashOf(photo)
	if _, err := p.WriteAt(t.Context(), by(sha), 0, int64(len(photo)), bytes.NewReader(photo)); err != nil {
		t.Fatal(err)
	}
	return sha
}

func TestVerifyFindsWhatBecameOfPhotos(t *testing.T) {
	dir := t.TempDir()
	p, err := OpenPhotos(dir)
	if err != nil {
		t.Fatal(err)
	}
	whole, flipped, gone := takePhoto(t, p, []byte("a photo")), takePhoto(t, p, []byte("another")), takePhoto(t, p, []byte("a third"))
	begun := []byte("begun and not ended")
	if _, err := p.WriteAt(t.Context(), by(register.HashOf(begun)), 0, int64(len(begun)), bytes.NewReader(begun[:5])); err != nil {
		t.Fatal(err)
	}
	if report, err := p.Verify(t.Context(), nil); err != nil || report.Whole != 3 || !report.Sound() {
		t.Fatalf("Verify = %+v, %v, want three whole", report, err)
	}
	if err := errors.Join(os.WriteFile(p.photo(flipped), []byte("anothep"), 0o600), os.Remove(p.photo(gone))); err != nil {
		t.Fatal(err)
	}
	for _, p := range []*Photos{p, mustOpenPhotos(t, dir), PhotosReadOnly(dir)} { // what was received is remembered
		report, err := p.Verify(t.Context(), nil)
		if err != nil || report.Whole != 1 || !slices.Equal(report.Damaged, []register.Hash{flipped}) || !slices.Equal(report.Missing, []register.Hash{gone}) {
			t.Fatalf("Verify = %+v, %v, want %s whole, %s damaged, %s missing", report, err, whole, flipped, gone)
		}
	}
	if err := p.Repair(t.Context(), gone, nil, strings.NewReader("a thirb")); !errors.Is(err, ErrBadCopy) {
		t.Errorf("mending from a bad copy: %v, want ErrBadCopy", err)
	}
	if err := errors.Join(p.Repair(t.Context(), gone, nil, strings.NewReader("a third")), p.Repair(t.Context(), flipped, nil, strings.NewReader("another"))); err != nil {
		t.Fatal(err)
	}
	if report, err := p.Verify(t.Context(), nil); err != nil || report.Whole != 3 || !report.Sound() {
		t.Errorf("mended: Verify = %+v, %v, want three whole", report, err)
	}
}

// namingDisk gives a photo its name just as somebody looks for its part.
type namingDisk struct {
	osDisk
	part, photo string
}

func (d namingDisk) stat(name string) (fs.FileInfo, error) {
	if name == d.part {
		if err := os.Rename(d.part, d.photo); err != nil {
			return nil, err
		}
	}
	return d.osDisk.stat(name)
}

// TestPhotoThatArrivesIsNotMissing: a photo that gets its name while it is looked for is here.
func TestPhotoThatArrivesIsNotMissing(t *testing.T) {
	p := mustOpenPhotos(t, t.TempDir())
	bytes := []byte("arriving")
	sha := register.HashOf(bytes)
	if err := errors.Join(p.begin(by(sha)), os.WriteFile(p.part(by(sha)), bytes, 0o600), p.noteReceived(received{sha, by(sha).Device, int64(len(bytes))})); err != nil {
		t.Fatal(err)
	}
	looking := PhotosReadOnly(p.dir)
	looking.disk = namingDisk{part: p.part(by(sha)), photo: p.photo(sha)}
	if missing, err := looking.Missing(t.Context()); err != nil || len(missing) > 0 {
		t.Errorf("missing are %v (%v), want none", missing, err)
	}
	if !p.Has(sha) {
		t.Fatal("the photo did not get its name meanwhile: this test says nothing")
	}
}

func mustOpenPhotos(t *testing.T, dir string) *Photos {
	t.Helper()
	p, err := OpenPhotos(dir)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A folder of an earlier version has no list: what is there is taken as received. A crash in
// the middle of a line leaves the lines before it, and the next one whole.
func TestListOfReceivedPhotos(t *testing.T) {
	dir := t.TempDir()
	p := mustOpenPhotos(t, dir)
	first, second := takePhoto(t, p, []byte("one")), takePhoto(t, p, []byte("two"))
	listed := func(p *Photos) (all []register.Hash) {
		t.Helper()
		for l, err := range p.lines() {
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, l.sha)
		}
		return all
	}
	if got := listed(p); !slices.Equal(got, []register.Hash{first, second}) {
		t.Fatalf("listed %v, want both in order", got)
	}
	if info, err := os.Stat(p.receivedPath()); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the list has mode %v, %v, want 0600", info.Mode(), err)
	}
	if err := os.Truncate(p.receivedPath(), int64(len(received{first, by(first).Device, 3}.String())+1+7)); err != nil {
		t.Fatal(err)
	}
	p = mustOpenPhotos(t, dir)
	third := takePhoto(t, p, []byte("three"))
	if got := listed(p); !slices.Equal(got, []register.Hash{first, third}) {
		t.Errorf("after a torn line: listed %v, want the first and the third", got)
	}
	if err := os.Remove(p.receivedPath()); err != nil {
		t.Fatal(err)
	}
	if got := listed(mustOpenPhotos(t, dir)); len(got) != 3 {
		t.Errorf("made again from the folder: %v, want all three", got)
	}
	if err := os.WriteFile(p.receivedPath(), append(bytes.Repeat([]byte("x"), 64), '\n'), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Verify(t.Context(), nil); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("a line that is no photo: %v, want damage", err)
	}
}
