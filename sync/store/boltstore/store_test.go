package boltstore

import (
	"context"
	"path/filepath"
	"testing"

	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

func openNew(t testing.TB) *Store {
	t.Helper()
	return reopen(t, filepath.Join(t.TempDir(), "register.db"))
}

func reopen(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatalf("Open(%s): %v", path, err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

// mustVerify verifies the store before it closes, too.
func mustVerify(t testing.TB, s *Store) Report {
	t.Helper()
	report, err := s.Verify(context.Background(), nil)
	if err != nil {
		t.Fatalf("Verify: %v", err)
	}
	return report
}

// TestConformance verifies, besides, whatever a check leaves behind.
func TestConformance(t *testing.T) {
	t.Parallel()
	storetest.Run(t, func(t *testing.T) store.Register {
		s := openNew(t)
		t.Cleanup(func() {
			if !s.closed.Load() {
				mustVerify(t, s)
			}
		})
		return s
	})
}

func TestPhotosConformance(t *testing.T) {
	storetest.RunPhotos(t, func(t *testing.T) store.Photos {
		p, err := OpenPhotos(t.TempDir())
		if err != nil {
			t.Fatal(err)
		}
		return p
	})
}
