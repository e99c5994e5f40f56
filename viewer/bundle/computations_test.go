package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

// TestComputationsAreWhole builds them twice: equal sources give equal bytes, each file is
// there packed both ways, the list names files that are there, and nothing tells where
// they were built.
func TestComputationsAreWhole(t *testing.T) {
	root, err := filepath.Abs(viewerFolder)
	if err != nil {
		t.Fatal(err)
	}
	built, err := buildComputations(root)
	if err != nil {
		t.Fatal(err)
	}
	if err := built.compress(read(filepath.Join(root, "wasm", "built"))); err != nil {
		t.Fatal(err)
	}
	var named map[string]string
	if err := json.Unmarshal(built["compute.json"], &named); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"program", "module", "worker"} {
		if len(built[named[key]]) == 0 {
			t.Errorf("compute.json names %q as its %s, which is not there", named[key], key)
		}
	}
	if program := built[named["program"]]; !bytes.HasPrefix(program, []byte("\x00asm")) || !bytes.Contains(built[named["worker"]], []byte(named["program"])) {
		t.Errorf("the program is %d bytes and begins %q; its worker must name it", len(program), program[:min(4, len(program))])
	}
	for name, content := range built {
		if strings.HasSuffix(name, ".br") || strings.HasSuffix(name, ".gz") || name == "compute.json" {
			continue
		}
		zipped, err := gzip.NewReader(bytes.NewReader(built[name+".gz"]))
		if err != nil {
			t.Fatalf("%s.gz: %v", name, err)
		}
		for ending, r := range map[string]io.Reader{".br": brotli.NewReader(bytes.NewReader(built[name+".br"])), ".gz": zipped} {
			if whole, err := io.ReadAll(r); err != nil || !bytes.Equal(whole, content) {
				t.Errorf("%s%s unpacks to %d bytes, %v; want the %d of %s", name, ending, len(whole), err, len(content), name)
			}
		}
		if bytes.Contains(content, []byte(root)) {
			t.Errorf("%s names the folder it was built in", name)
		}
	}
	again, err := buildComputations(root)
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range again {
		if !bytes.Equal(built[name], content) {
			t.Errorf("%s differs when built again", name)
		}
	}
}
