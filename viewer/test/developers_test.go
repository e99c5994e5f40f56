package pages

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"headcut/viewer/tab"
)

// What DEVELOPERS.md names in its tables of the field page must be there: a rule whose file
// or test has gone is held by nothing.
func TestDevelopersNamesWhatIsThere(t *testing.T) {
	root, err := tab.Root()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(text), "\n## The field page\n")
	section, _, _ = strings.Cut(section, "\n## ")
	read := func(below, name string) string {
		// A name that begins at a top-level folder is told from the top.
		if strings.HasPrefix(name, "server/") || strings.HasPrefix(name, "viewer/") {
			below = ""
		}
		content, err := os.ReadFile(filepath.Join(root, below, name))
		if errors.Is(err, fs.ErrNotExist) {
			t.Errorf("DEVELOPERS.md names %s, which is not there", name)
		} else if err != nil {
			t.Error(err)
		}
		return string(content)
	}
	tests := regexp.MustCompile("`([a-z0-9/]+_test\\.go): (Test\\w+)`").FindAllStringSubmatch(section, -1)
	for _, named := range tests {
		if !strings.Contains(read("viewer/fieldtest", named[1]), "func "+named[2]+"(") {
			t.Errorf("DEVELOPERS.md names %s of %s, which has no such test", named[2], named[1])
		}
	}
	files := regexp.MustCompile("`([a-z0-9/]+/[a-z]+\\.(?:tsx?|go))`").FindAllStringSubmatch(section, -1)
	for _, named := range files {
		read("viewer/src", named[1])
	}
	if len(tests) < 35 || len(files) < 20 {
		t.Errorf("only %d tests and %d files were found in the tables", len(tests), len(files))
	}
}
