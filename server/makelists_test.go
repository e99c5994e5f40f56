package server

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Each test that a list of the Makefile names is there: of one that got another name, make test would
// run or leave out nothing, and say nothing.
func TestMakefileNamesTests(t *testing.T) {
	written := map[string]bool{}
	test := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	for _, folder := range []string{"model", "sync", "server", "viewer"} {
		err := filepath.WalkDir(filepath.Join("..", folder), func(path string, d os.DirEntry, err error) error {
			switch {
			case err == nil && (d.Name() == "node_modules" || d.Name() == "src"):
				return filepath.SkipDir
			case err != nil || !strings.HasSuffix(path, "_test.go"):
				return err
			}
			text, err := os.ReadFile(path)
			for _, found := range test.FindAllSubmatch(text, -1) {
				written[string(found[1])] = true
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, list := range []string{"landlarge", "deskcore", "storecore", "fieldcore", "timed", "underload", "unhurried", "modelshared", "commandsraced"} {
		for _, name := range namedIn(t, list) {
			if !written[name] {
				t.Errorf("%s of the Makefile names %s, and there is no such test", list, name)
			}
		}
	}
}
