package boltstore

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// leftUnnamed is a photo that came whole from a device, and whose process was killed before it was named.
func leftUnnamed(t *testing.T, p *Photos, s store.Sending, photo []byte) {
	t.Helper()
	if err := os.MkdirAll(p.parts(s.Device), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p.part(s), photo, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := p.noteReceived(received{s.SHA, s.Device, int64(len(photo))}); err != nil {
		t.Fatal(err)
	}
}

// A whole part of a listed photo is kept: it counts as here, is swept never, and gets its name. A part
// that is not whole is none, and its photo is missing.
func TestWholePartsAreKept(t *testing.T) {
	dir := t.TempDir()
	p := mustOpenPhotos(t, dir)
	named := takePhoto(t, p, []byte("named"))
	whole, torn := []byte("whole and listed"), []byte("listed and torn")
	wholeBy, tornBy := by(register.HashOf(whole)), by(register.HashOf(torn))
	otherBy := store.Sending{Device: "d-2", SHA: register.HashOf([]byte("whole, of no list"))}
	leftUnnamed(t, p, wholeBy, whole)
	leftUnnamed(t, p, tornBy, torn)
	if err := os.Truncate(p.part(tornBy), 5); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(p.parts("d-2"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p.part(otherBy), []byte("whole, of no list"), 0o600); err != nil {
		t.Fatal(err)
	}
	looked := func(p *Photos) {
		t.Helper()
		report, err := p.Verify(t.Context(), nil)
		if err != nil || report.Whole != 2 || !slices.Equal(report.Missing, []register.Hash{tornBy.SHA}) {
			t.Errorf("Verify = %+v, %v, want two whole and the torn one missing", report, err)
		}
	}
	looked(PhotosReadOnly(dir))
	if waiting, _, err := PhotosReadOnly(dir).Unnamed(t.Context()); err != nil || len(waiting) != 1 || waiting[wholeBy.SHA] != p.part(wholeBy) {
		t.Errorf("unnamed are %v (%v), want the whole one", waiting, err)
	}
	old := time.Now().Add(-100 * 24 * time.Hour)
	for _, s := range []store.Sending{wholeBy, tornBy, otherBy} {
		if err := os.Chtimes(p.part(s), old, old); err != nil {
			t.Fatal(err)
		}
	}
	p = mustOpenPhotos(t, dir)
	if n, err := p.Sweep(t.Context(), 14*24*time.Hour); n != 2 || err != nil {
		t.Errorf("swept %d, %v, want the torn one and that of no list", n, err)
	}
	looked(p)
	for _, sha := range []register.Hash{named, wholeBy.SHA} {
		f, err := p.Open(t.Context(), sha)
		if err != nil {
			t.Fatalf("after the sweep: %v", err)
		}
		_ = f.Close()
	}
	if off, err := p.Offset(t.Context(), wholeBy); err != nil || off != int64(len(whole)) {
		t.Errorf("Offset = %d, %v, want all", off, err)
	}
	if n, err := p.Room(t.Context(), "d-1"); err != nil || n != int64(len("named")+len(whole)+len(torn)) {
		t.Errorf("Room = %d, %v: the part is counted beside its photo", n, err)
	}
}

// A part that an earlier version kept by its hash alone is kept as well.
func TestWholePartOfAnEarlierVersionIsKept(t *testing.T) {
	p := mustOpenPhotos(t, t.TempDir())
	photo := []byte("of an earlier version")
	leftUnnamed(t, p, store.Sending{SHA: register.HashOf(photo)}, photo)
	if err := os.WriteFile(filepath.Join(p.dir, "parts", "stray"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := p.KeepWhole(t.Context()); err != nil || !p.Has(register.HashOf(photo)) {
		t.Errorf("KeepWhole = %v, and it has its name: %v", err, p.Has(register.HashOf(photo)))
	}
}

// orderDisk tells of each photo's steps in their order.
type orderDisk struct {
	osDisk
	mu     sync.Mutex
	dirty  map[string]bool
	listed func(parts []string)
}

type orderFile struct {
	diskFile
	d    *orderDisk
	name string
}

func (d *orderDisk) open(name string, flag int) (diskFile, error) {
	f, err := d.osDisk.open(name, flag)
	if err != nil {
		return nil, err
	}
	return orderFile{f, d, name}, nil
}

func (f orderFile) Write(b []byte) (int, error) {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	if filepath.Base(f.name) == receivedFile {
		var unflushed []string
		for name := range f.d.dirty {
			unflushed = append(unflushed, name)
		}
		f.d.listed(unflushed)
	} else {
		f.d.dirty[f.name] = true
	}
	return f.diskFile.Write(b)
}

func (f orderFile) Sync() error {
	err := f.diskFile.Sync()
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	delete(f.d.dirty, f.name)
	return err
}

// The list never names what a power cut may take: the bytes are flushed before the line is written.
func TestListedOnceFlushed(t *testing.T) {
	lines := 0
	d := &orderDisk{dirty: map[string]bool{}}
	d.listed = func(unflushed []string) {
		lines++
		if len(unflushed) > 0 {
			t.Errorf("a line is written while %v are not flushed", unflushed)
		}
	}
	p, err := openPhotos(t.TempDir(), d)
	if err != nil {
		t.Fatal(err)
	}
	takePhoto(t, p, bytes.Repeat([]byte("gully "), 1000))
	if lines != 1 {
		t.Errorf("%d lines were written, want one", lines)
	}
}

// stuckDisk cannot rename.
type stuckDisk struct{ osDisk }

func (stuckDisk) rename(string, string) error { return fs.ErrPermission }

// A photo that cannot get its name is listed, and keeps its bytes for the next start.
func TestUnnamedPhotoKeepsItsBytes(t *testing.T) {
	dir, photo := t.TempDir(), []byte("a photo")
	p, err := openPhotos(dir, stuckDisk{})
	if err != nil {
		t.Fatal(err)
	}
	sha := register.HashOf(photo)
	if _, err := p.WriteAt(t.Context(), by(sha), 0, int64(len(photo)), bytes.NewReader(photo)); err == nil {
		t.Fatal("the photo is acknowledged")
	}
	again := mustOpenPhotos(t, dir)
	if err := again.KeepWhole(t.Context()); err != nil || !again.Has(sha) {
		t.Errorf("KeepWhole = %v, and the photo is here: %v", err, again.Has(sha))
	}
}

// photosPart takes photos into the folder args[0] from several devices until it is killed, and prints
// the hash of each that is acknowledged.
func photosPart(args []string) error {
	p, err := OpenPhotos(args[0])
	if err != nil {
		return err
	}
	if err := p.KeepWhole(context.Background()); err != nil {
		return err
	}
	var wg sync.WaitGroup
	for w := range 4 {
		random := rand.New(rand.NewPCG(storetest.Seed(), uint64(w)))
		wg.Go(func() {
			for i := 0; ; i++ {
				photo := bytes.Repeat(fmt.Appendf(nil, "%s %d %d ", args[1], w, i), 200+random.IntN(2000))
				s := store.Sending{Device: fmt.Sprint("d-", w), SHA: register.HashOf(photo)}
				for off := 0; off < len(photo); {
					end := min(off+1+random.IntN(len(photo)), len(photo))
					if _, err := p.WriteAt(context.Background(), s, int64(off), int64(len(photo)), bytes.NewReader(photo[off:end])); err != nil {
						fmt.Fprintln(os.Stderr, err)
						os.Exit(1)
					}
					off = end
				}
				os.Stdout.WriteString(s.SHA.String() + "\n")
			}
		})
	}
	wg.Wait()
	return nil
}

// TestKilledWhileTakingPhotos kills a process that takes photos at random moments, time and again in one
// folder: what the list names is here after each start, and nothing acknowledged is lost.
func TestKilledWhileTakingPhotos(t *testing.T) {
	t.Parallel()
	random := storetest.Random(t)
	dir := t.TempDir()
	acknowledged, unnamed := 0, 0
	for i := range *kills / 4 {
		cmd := startPart(t, "photos", dir, fmt.Sprint("k", i))
		out := lines(t, cmd)
		came := []string{<-out}
		time.Sleep(time.Duration(random.IntN(20_000)) * time.Microsecond)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for line := range out {
			came = append(came, line)
		}
		_ = cmd.Wait()
		waiting, missing, err := PhotosReadOnly(dir).Unnamed(t.Context())
		if err != nil || len(missing) > 0 {
			t.Fatalf("kill %d: missing are %v (%v)", i, missing, err)
		}
		unnamed += len(waiting)
		p := mustOpenPhotos(t, dir)
		if err := p.KeepWhole(t.Context()); err != nil {
			t.Fatal(err)
		}
		for l, err := range p.lines() {
			if err != nil || !p.Has(l.sha) {
				t.Fatalf("kill %d: %s is listed and not here (%v)", i, l.sha, err)
			}
		}
		for _, line := range came {
			var sha register.Hash
			if err := sha.UnmarshalText([]byte(strings.TrimSpace(line))); err != nil {
				t.Fatalf("the process says %q: %v", line, err)
			}
			if !p.Has(sha) {
				t.Fatalf("kill %d: %s was acknowledged and is not here", i, sha)
			}
			acknowledged++
		}
	}
	if report, err := mustOpenPhotos(t, dir).Verify(t.Context(), nil); err != nil || !report.Sound() || report.Whole < acknowledged {
		t.Errorf("Verify = %+v, %v, of %d acknowledged", report, err, acknowledged)
	}
	t.Logf("%d photos acknowledged, %d named after a kill", acknowledged, unnamed)
}
