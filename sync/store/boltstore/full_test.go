package boltstore

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"go.etcd.io/bbolt"

	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// fillUp appends until the store refuses and returns how many it took.
func fillUp(s *Store, m *storetest.Maker) (taken int, err error) {
	note := fmt.Sprintf("%q", strings.Repeat("n", 12_000))
	for range 100_000 {
		var raw []json.RawMessage
		for range 12 {
			raw = append(raw, m.Entry(fmt.Sprint("f", m.Seq%40), nil, "notes", note))
		}
		receipts, err := s.Append(context.Background(), m.Property, raw)
		if err != nil {
			m.Seq -= uint64(len(raw)) // the device keeps them and sends the like again
			return taken, err
		}
		taken += len(receipts)
	}
	return taken, errors.New("it never filled up")
}

// TestRule14DiskFull fills a disk of 8 MiB, and a store that may not grow further: what
// was taken stays, reads go on, and once there is room so does writing, without a restart.
func TestRule14DiskFull(t *testing.T) {
	t.Parallel()
	t.Run("disk", func(t *testing.T) {
		dir := t.TempDir()
		if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=8m"); err != nil {
			t.Fatalf("mounting a small disk: %v; run this test as root, as make test does", err)
		}
		defer syscall.Unmount(dir, syscall.MNT_DETACH)
		ballast := filepath.Join(dir, "ballast")
		if err := os.WriteFile(ballast, make([]byte, 3<<20), 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(filepath.Join(dir, "register.db"), Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		m := &storetest.Maker{Property: "p", Device: "a"}
		taken := checkFull(t, s, m)
		if err := os.Remove(ballast); err != nil {
			t.Fatal(err)
		}
		more, err := fillUp(s, m)
		if more == 0 || !errors.Is(err, store.ErrFull) {
			t.Errorf("with room again %d entries were taken, then %v; want some, then ErrFull", more, err)
		}
		if all, _ := storetest.ReadAll(t, s, "p"); len(all) != taken+more {
			t.Errorf("%d entries are here, want %d", len(all), taken+more)
		}
		mustVerify(t, s)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		again := reopen(t, s.path)
		if all, _ := storetest.ReadAll(t, again, "p"); len(all) != taken+more {
			t.Errorf("%d entries are here after opening again, want %d", len(all), taken+more)
		}
		_ = again.Close()
	})
	t.Run("limit", func(t *testing.T) {
		s, err := Open(filepath.Join(t.TempDir(), "register.db"), Options{MaxBytes: 20 << 20, NoFlush: true})
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		checkFull(t, s, &storetest.Maker{Property: "p", Device: "a"})
		mustVerify(t, s)
		if size, most := s.Size(); most != 20<<20 || size > most {
			t.Errorf("Size() = %d of %d, want at most 20 MiB", size, most)
		}
	})
	t.Run("photos", func(t *testing.T) {
		dir := t.TempDir()
		if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=1m"); err != nil {
			t.Fatalf("mounting a small disk: %v; run this test as root, as make test does", err)
		}
		defer syscall.Unmount(dir, syscall.MNT_DETACH)
		checkPhotosFull(t, dir)
	})
}

func checkFull(t *testing.T, s *Store, m *storetest.Maker) (taken int) {
	t.Helper()
	taken, err := fillUp(s, m)
	if !errors.Is(err, store.ErrFull) || taken == 0 {
		t.Fatalf("after %d entries the store says %v, want ErrFull", taken, err)
	}
	for range 3 {
		if _, err := fillUp(s, m); !errors.Is(err, store.ErrFull) {
			t.Fatalf("a full store says %v, want ErrFull again", err)
		}
	}
	if all, _ := storetest.ReadAll(t, s, "p"); len(all) < taken {
		t.Fatalf("%d entries are read from the full store, want %d", len(all), taken)
	} else {
		taken = len(all) // smaller batches may have fitted since
	}
	for _, err := range s.Features(t.Context(), "p") {
		if err != nil {
			t.Fatalf("Features of a full store: %v", err)
		}
	}
	return taken
}

// limitedPart fills the store at args[0] under a limit on the length of files, which
// fails in another way than a full disk. It prints what was acknowledged.
func limitedPart(args []string) error {
	s, err := Open(args[0], Options{})
	if err != nil {
		return err
	}
	limit := syscall.Rlimit{Cur: 18 << 20, Max: 18 << 20}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	m := &storetest.Maker{Property: "p", Device: "a"}
	taken, err := fillUp(s, m)
	if !errors.Is(err, store.ErrStopped) {
		return fmt.Errorf("a commit over the limit says %w, want ErrStopped", err)
	}
	if _, err := fillUp(s, m); !errors.Is(err, store.ErrStopped) {
		return fmt.Errorf("the stopped store says %w, want ErrStopped", err)
	}
	read := 0
	for at := (store.Position{}); ; {
		page, next, err := s.EntriesAfter(context.Background(), "p", at, 1000)
		if err != nil {
			return fmt.Errorf("reading the stopped store: %w", err)
		}
		if len(page) == 0 {
			break
		}
		read, at = read+len(page), next
	}
	if read != taken {
		return fmt.Errorf("the stopped store reads %d entries of %d", read, taken)
	}
	fmt.Println(taken)
	return nil
}

var errFault = errors.New("planted fault")

// TestRule15FailedCommitsStopTheStore makes commits fail at each step: nothing more is
// taken, reads go on, and what the reopened store holds is what was acknowledged, or the
// failed frame besides.
func TestRule15FailedCommitsStopTheStore(t *testing.T) {
	faults := map[string]func(commit func(func(*bbolt.Tx) error) error, f func(*bbolt.Tx) error) error{
		"before": func(_ func(func(*bbolt.Tx) error) error, _ func(*bbolt.Tx) error) error { return errFault },
		"written-not-committed": func(commit func(func(*bbolt.Tx) error) error, f func(*bbolt.Tx) error) error {
			return commit(func(tx *bbolt.Tx) error { return errors.Join(f(tx), errFault) })
		},
		"committed-answer-lost": func(commit func(func(*bbolt.Tx) error) error, f func(*bbolt.Tx) error) error {
			return errors.Join(commit(f), errFault)
		},
		"flush-fails-for-space": func(commit func(func(*bbolt.Tx) error) error, f func(*bbolt.Tx) error) error {
			_ = commit(func(tx *bbolt.Tx) error { return errors.Join(f(tx), errFault) })
			return syscall.ENOSPC // bare, as fdatasync gives it: not merely full
		},
		"panic": func(commit func(func(*bbolt.Tx) error) error, f func(*bbolt.Tx) error) error {
			return commit(func(tx *bbolt.Tx) error { panic("page 7 already freed") })
		},
	}
	for name, fault := range faults {
		t.Run(name, func(t *testing.T) {
			s := openNew(t)
			m := &storetest.Maker{Property: "p", Device: "a"}
			appendNew(t, s, m.Entry("f", nil, "name", `"x"`), m.Entry("f", nil, "name", `"y"`))
			commit := s.update
			s.update = func(f func(*bbolt.Tx) error) error { return fault(commit, f) }
			frame := []json.RawMessage{m.Entry("f", nil, "name", `"z"`)}
			for range 2 {
				if _, err := s.Append(t.Context(), "p", frame); !errors.Is(err, store.ErrStopped) && !errors.Is(err, store.ErrDamaged) {
					t.Fatalf("Append = %v, want the store stopped", err)
				}
				s.update = commit // once stopped it stays so
			}
			if s.Stopped() == nil {
				t.Error("Stopped() = nil")
			}
			storetest.ReadAll(t, s, "p")
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			again := reopen(t, s.path)
			mustVerify(t, again)
			if all, _ := storetest.ReadAll(t, again, "p"); len(all) != 2 && (name != "committed-answer-lost" || len(all) != 3) {
				t.Errorf("%d entries are here after opening again, want the 2 acknowledged", len(all))
			}
			if r, err := again.Append(t.Context(), "p", frame); err != nil || r[0].N != 3 {
				t.Errorf("the frame sent again = %+v, %v, want number 3", r, err)
			}
			mustVerify(t, again)
		})
	}
}

func TestRule15FileSizeLimit(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "register.db")
	cmd := startPart(t, "limited", path)
	out := lines(t, cmd)
	said := <-out
	if err := cmd.Wait(); err != nil {
		t.Fatalf("the process under the limit: %v", err)
	}
	s := reopen(t, path)
	mustVerify(t, s)
	if all, _ := storetest.ReadAll(t, s, "p"); fmt.Sprint(len(all)) != said {
		t.Errorf("%d entries are here, %s were acknowledged", len(all), said)
	}
}
