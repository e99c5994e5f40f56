package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const viewerFolder = ".."

func needLibraries(t *testing.T) {
	t.Helper()
	if _, err := os.Stat(filepath.Join(viewerFolder, "node_modules", "ol")); err != nil {
		t.Fatal("viewer/node_modules is not there: run npm ci --ignore-scripts in viewer first")
	}
}

func TestDistIsWhatTheSourcesGive(t *testing.T) {
	needLibraries(t)
	if err := run(viewerFolder, "", true); err != nil {
		t.Error(err)
	}
}

// TestReadableScriptsShowTheirSources: built for debugging, a script has its names and its sources.
func TestReadableScriptsShowTheirSources(t *testing.T) {
	needLibraries(t)
	root, err := filepath.Abs(viewerFolder)
	if err != nil {
		t.Fatal(err)
	}
	for _, asked := range []bool{false, true} {
		*readable = asked
		script, err := transpile(root, "src/base/number.ts")
		*readable = false
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range []string{"function withPlusMinus(", "sourceMappingURL=data:"} {
			if has := strings.Contains(string(script), part); has != asked {
				t.Errorf("readable %v: the script has %q: %v", asked, part, has)
			}
		}
	}
}

// TestCopiesAreTakenOnlyWhole: a compressed copy is kept where it gives the file's content, and made
// again where it is missing, broken or another file's.
func TestCopiesAreTakenOnlyWhole(t *testing.T) {
	const name = "page-ABCDEFGH.js"
	made := files{name: []byte("let a = 1;")}
	other := files{name: []byte("let a = 2;")}
	for _, f := range []files{made, other} {
		if err := f.compress(nil); err != nil {
			t.Fatal(err)
		}
	}
	for what, kept := range map[string]files{
		"nothing":               {},
		"no gzip":               {name + ".br": made[name+".br"]},
		"another file's brotli": {name + ".br": other[name+".br"], name + ".gz": made[name+".gz"]},
		"another file's gzip":   {name + ".br": made[name+".br"], name + ".gz": other[name+".gz"]},
		"brotli that was cut":   {name + ".br": made[name+".br"][:5], name + ".gz": made[name+".gz"]},
	} {
		again := files{name: made[name]}
		if err := again.compress(kept); err != nil || !bytes.Equal(again[name+".br"], made[name+".br"]) || !bytes.Equal(again[name+".gz"], made[name+".gz"]) {
			t.Errorf("beside %s the copies are not made again: %v", what, err)
		}
	}
	var stored bytes.Buffer // the same content, packed otherwise
	z, err := gzip.NewWriterLevel(&stored, gzip.NoCompression)
	if err == nil {
		_, err = z.Write(made[name])
	}
	if err = errors.Join(err, z.Close()); err != nil {
		t.Fatal(err)
	}
	again := files{name: made[name]}
	if err := again.compress(files{name + ".br": made[name+".br"], name + ".gz": stored.Bytes()}); err != nil || !bytes.Equal(again[name+".gz"], stored.Bytes()) {
		t.Errorf("copies that give the content are made again: %v", err)
	}
}

// The same sources in another folder must give the same bytes, or nobody could check what
// was committed.
func TestBuildDoesNotDependOnTheFolder(t *testing.T) {
	needLibraries(t)
	here, err := filepath.Abs(viewerFolder)
	if err != nil {
		t.Fatal(err)
	}
	there := t.TempDir()
	for _, name := range []string{"src", "wasm", "node_modules"} {
		if err := os.CopyFS(filepath.Join(there, name), os.DirFS(filepath.Join(here, name))); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"package.json", "tsconfig.json"} {
		content, err := os.ReadFile(filepath.Join(here, name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(there, name), content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	a, err := build(here)
	if err != nil {
		t.Fatal(err)
	}
	b, err := build(there)
	if err != nil {
		t.Fatal(err)
	}
	if len(a) != len(b) {
		t.Fatalf("built %d files here and %d there", len(a), len(b))
	}
	for name, content := range a {
		if !bytes.Equal(content, b[name]) {
			t.Errorf("%s differs between two folders: %d and %d bytes", name, len(content), len(b[name]))
		}
		if bytes.Contains(content, []byte(here)) {
			t.Errorf("%s names the folder it was built in", name)
		}
	}
}

func TestCompareTellsEachDifference(t *testing.T) {
	dir := t.TempDir()
	want := files{"same.js": []byte("a"), "changed.js": []byte("b"), "missing.js": []byte("c")}
	for name, content := range map[string]string{"same.js": "a", "changed.js": "x", "stray.js": "s"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	err := want.compare(dir)
	if err == nil {
		t.Fatal("compare of a differing folder: got nil, want an error")
	}
	for _, part := range []string{"changed.js has other bytes", "missing.js is missing", "stray.js is not built"} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("compare: got %q, want it to say %q", err, part)
		}
	}
	if strings.Contains(err.Error(), "same.js") {
		t.Errorf("compare: got %q, which names a file that is equal", err)
	}
	if err := want.write(dir); err != nil {
		t.Fatal(err)
	}
	if err := want.compare(dir); err != nil {
		t.Errorf("compare after write: %v", err)
	}
}

func TestNoticeRefusesALibraryWithoutLicence(t *testing.T) {
	modules := t.TempDir()
	folder := filepath.Join(modules, "bare")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "package.json"), []byte(`{"version":"1.0.0","license":"MIT"}`), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := noticeOf(modules, map[string]bool{"bare": true}); err == nil {
		t.Error("noticeOf of a library without a licence text: got nil, want an error")
	}
	if err := os.WriteFile(filepath.Join(folder, "LICENSE.md"), []byte("Do as you like.\r\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	notice, err := noticeOf(modules, map[string]bool{"bare": true})
	if err != nil {
		t.Fatal(err)
	}
	if want := "bare 1.0.0 (MIT)"; !strings.Contains(string(notice), want) || !strings.Contains(string(notice), "Do as you like.") {
		t.Errorf("noticeOf: got %q, want %q and the text", notice, want)
	}
}
