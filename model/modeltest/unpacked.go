package modeltest

import (
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// Unpacked returns what a gzip file below testdata holds.
func Unpacked(t testing.TB, name string) []byte {
	t.Helper()
	packed, err := os.Open(filepath.Join(Root(t), filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	defer packed.Close()
	from, err := gzip.NewReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	all, err := io.ReadAll(from)
	if err != nil {
		t.Fatal(err)
	}
	return all
}
