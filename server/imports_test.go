package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// forbidden says which folder may not import what, and why.
var forbidden = []struct{ folder, path, why string }{
	{"headcut/model", "headcut/sync", "model is pure computation: it runs in the gully and knows no entries"},
	{"headcut/model", "headcut/export", "model is pure computation"},
	{"headcut/model", "headcut/server", "nothing imports server"},
	{"headcut/model", "github.com/paulmach/orb/geojson", "it brings a database driver into the phone's build"},
	{"headcut/model", "github.com/paulmach/orb/geo", "its earth is a sphere: use model/geodesy"},
	{"headcut/model", "github.com/paulmach/orb/planar", "degrees are not metres: use model/geodesy"},
	{"headcut/model", "net/http", "model is pure computation"},
	{"headcut/model", "os", "model reads no files"},
	{"headcut/model", "time/tzdata", "model knows no clock"},
	{"headcut/sync/register", "go.etcd.io/bbolt", "register is pure: the phone folds with the same code"},
	{"headcut/sync/register", "net/http", "register is pure"},
	{"headcut/sync/wire", "net/http", "wire is pure"},
	{"headcut/sync", "headcut/export", "taking in does not give out"},
	{"headcut/sync", "headcut/server", "nothing imports server"},
	{"headcut/export", "headcut/sync", "exports write features and know no entries"},
	{"headcut/export", "headcut/server", "nothing imports server"},
	{"headcut/viewer", "headcut/server", "nothing imports server"},
	{"headcut/server/demo", "headcut/sync/store", "the demo goes through a device like everybody"},
}

// goPackage is a package as go list tells it; its tests are left out.
type goPackage struct {
	ImportPath, Dir  string
	Imports, GoFiles []string
}

func packages(t *testing.T, patterns ...string) (all []goPackage) {
	t.Helper()
	out, err := exec.Command("go", append([]string{"list", "-json=ImportPath,Imports,GoFiles,Dir"}, patterns...)...).Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p goPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// TestImports keeps the arrows between folders as DEVELOPERS.md gives them. Direct imports
// of non-test files are looked at; the wasm build of model proves the rest.
func TestImports(t *testing.T) {
	seen := 0
	for _, p := range packages(t, "headcut/...") {
		seen++
		if p.ImportPath == "headcut/sync" && len(p.GoFiles) > 0 {
			t.Errorf("%s has Go files %v: they would shadow the standard package sync", p.Dir, p.GoFiles)
		}
		if filepath.Base(p.Dir) == "testdata" {
			t.Errorf("%s has Go files: testdata holds data only", p.Dir)
		}
		for _, rule := range forbidden {
			if !below(p.ImportPath, rule.folder) {
				continue
			}
			for _, imported := range p.Imports {
				if p.ImportPath == "headcut/viewer/fieldtest/phone" && below(imported, "headcut/server") {
					continue // for tests only: it runs the real server
				}
				if imported == rule.path || strings.HasPrefix(rule.path, "headcut/") && below(imported, rule.path) {
					if p.ImportPath == "headcut/model/modeltest" {
						continue // for tests only: it reads the case files
					}
					t.Errorf("%s imports %s: %s", p.ImportPath, imported, rule.why)
				}
			}
		}
	}
	if seen < 15 {
		t.Errorf("go list found %d packages, want all of the module", seen)
	}
}

func below(path, folder string) bool {
	return path == folder || strings.HasPrefix(path, folder+"/")
}

// TestPhoneReadsByJSONValue: what phones load reads and writes by model/jsonvalue. A call of encoding/json there
// would bring all of that package, 50 kB compressed.
func TestPhoneReadsByJSONValue(t *testing.T) {
	out, err := exec.Command("env", "GOOS=js", "GOARCH=wasm", "go", "list", "-deps", "-f", "{{$dir := .Dir}}{{range .GoFiles}}{{$dir}}/{{.}}\n{{end}}", "headcut/viewer/wasm").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	calls := regexp.MustCompile(`\bjson\.(Marshal|MarshalIndent|Unmarshal|NewEncoder|NewDecoder|Valid|Compact|Indent)\(`)
	seen := 0
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range strings.Fields(string(out)) {
		name, ours := strings.CutPrefix(file, root+"/")
		if !ours {
			continue
		}
		seen++
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, call := range calls.FindAllString(string(text), -1) {
			if name != "sync/register/decode.go" || !strings.Contains(string(text), "func Encode(") { // which no phone calls
				t.Errorf("%s calls %s...): use model/jsonvalue", name, call)
			}
		}
	}
	if seen < 200 {
		t.Errorf("%d files of ours are in the phone's program, want some three hundred", seen)
	}
}
