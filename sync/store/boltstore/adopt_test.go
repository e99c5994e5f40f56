package boltstore

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store"
)

// TestAdopt: the list of an earlier version says of no photo who sent it. Adopted, each is of who
// named it, and one that nobody named of anybody; the index that was read before is read again.
func TestAdopt(t *testing.T) {
	dir := t.TempDir()
	named, unnamed := register.HashOf([]byte("named")), register.HashOf([]byte("unnamed"))
	if err := os.WriteFile(filepath.Join(dir, receivedFile), []byte(named.String()+"\n"+unnamed.String()+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p, err := OpenPhotos(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p.photo(named), []byte("named"), 0o600); err != nil {
		t.Fatal(err)
	}
	asked := 0
	by := func(context.Context) (map[register.Hash][]string, error) {
		asked++
		return map[register.Hash][]string{named: {"d-1", "d-2"}}, nil
	}
	sent := func(sha register.Hash, size int64, want ...string) {
		t.Helper()
		if devices, n, err := p.Sent(t.Context(), sha); err != nil || n != size || !slices.Equal(devices, want) {
			t.Errorf("Sent = %v, %d, %v, want %v and %d", devices, n, err, want, size)
		}
	}
	sent(named, 0)
	for range 2 { // the second time there is nothing to adopt
		if err := p.Adopt(t.Context(), by); err != nil {
			t.Fatal(err)
		}
		sent(named, 5, "d-1", "d-2")
		sent(unnamed, 0, store.Anybody)
	}
	if asked != 1 {
		t.Errorf("who named photos was asked %d times, want once", asked)
	}
}

// TestGlobbed: a folder's name in a pattern means itself alone.
func TestGlobbed(t *testing.T) {
	for _, c := range []struct{ dir, other string }{{"a*b", "axxb"}, {"a?b", "axb"}, {"a[x]b", "axb"}, {`a\b`, "ab"}, {"plain", "Plain"}} {
		for name, want := range map[string]bool{c.dir: true, c.other: false} {
			if is, err := filepath.Match(globbed(c.dir), name); is != want || err != nil {
				t.Errorf("the pattern of %q matches %q: %v, %v, want %v", c.dir, name, is, err, want)
			}
		}
	}
}
