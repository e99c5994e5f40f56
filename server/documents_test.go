package server

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// document is a file for readers, or the comment of a Go package.
type document struct {
	name string // from the top of the repository
	text string
}

// repository is what documents may name.
type repository struct {
	documents []document
	files     map[string]bool   // and folders, from the top
	functions map[string]string // tests, fuzz targets and benchmarks: the text of all files of that name
	targets   []string          // of the Makefile
}

func readRepository(t *testing.T) repository {
	r := repository{files: map[string]bool{}, functions: map[string]string{}}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := filepath.ToSlash(strings.TrimPrefix(path, ".."+string(filepath.Separator)))
		r.files[name] = true
		if d.IsDir() && (d.Name() == "node_modules" || name == ".git" || name == "viewer/dist") {
			return filepath.SkipDir
		}
		isTest := strings.HasSuffix(name, "_test.go")
		if d.IsDir() || !isTest && !strings.HasSuffix(name, ".md") && !strings.HasSuffix(name, ".go") && name != "Makefile" {
			return nil
		}
		raw, err := os.ReadFile(path)
		text := string(raw)
		switch before, _, found := strings.Cut(text, "\npackage "); {
		case name == "Makefile":
			for _, target := range regexp.MustCompile(`(?m)^([a-z-]+):`).FindAllStringSubmatch(text, -1) {
				r.targets = append(r.targets, target[1])
			}
		case isTest:
			for _, f := range regexp.MustCompile(`(?m)^func ((?:Test|Fuzz|Benchmark)\w+)\(`).FindAllStringSubmatch(text, -1) {
				r.functions[f[1]] += name + " "
			}
		case strings.HasSuffix(name, ".md"):
			r.documents = append(r.documents, document{name, text})
		case found && strings.HasPrefix(before, "//"):
			r.documents = append(r.documents, document{name, before})
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// has finds a file that a document names: from its own folder, from the top or, of the pages,
// from their sources or tests.
func (r *repository) has(d document, file string) (path string, has bool) {
	for _, folder := range []string{filepath.ToSlash(filepath.Dir(d.name)), "", "viewer/src", "viewer/fieldtest"} {
		if path = filepath.ToSlash(filepath.Join(folder, file)); r.files[path] {
			return path, true
		}
	}
	return "", false
}

var (
	namedFile   = regexp.MustCompile(`(?:^|[\s(` + "`" + `])([A-Za-z0-9_./-]*[A-Za-z0-9_-]\.(?:go|tsx?|md|sh|css|mod|sum))\b(?:: ((?:Test|Fuzz|Benchmark)\w+))?`)
	namedFolder = regexp.MustCompile("\\b((?:model|sync|export|server|viewer|testdata)(?:/[a-z0-9-]+)+)/?(?:[\\s,;:)`']|\\.\\s|$)")
	namedTest   = regexp.MustCompile(`\b(?:Test|Fuzz|Benchmark)[A-Z]\w+`)
	namedTarget = regexp.MustCompile(`(?m)(?:` + "`" + `|^    )make ([a-z-]+)`)
)

// TestDocumentsNameWhatIsThere: what documents and package comments say of files, folders, tests
// and commands to make must be so, or readers go astray and a rule is held by nothing.
func TestDocumentsNameWhatIsThere(t *testing.T) {
	r := readRepository(t)
	var files, tests int
	for _, d := range r.documents {
		for _, named := range namedFile.FindAllStringSubmatch(d.text, -1) {
			path, has := r.has(d, named[1])
			if files++; !has {
				t.Errorf("%s names %s, which is not there", d.name, named[1])
			} else if test := named[2]; test != "" && !slices.Contains(strings.Fields(r.functions[test]), path) {
				t.Errorf("%s names %s of %s, which has no such test", d.name, test, path)
			}
		}
		for _, named := range namedFolder.FindAllStringSubmatch(d.text, -1) {
			if !r.files[named[1]] {
				t.Errorf("%s names the folder %s, which is not there", d.name, named[1])
			}
		}
		for _, test := range namedTest.FindAllString(d.text, -1) {
			if tests++; r.functions[test] == "" {
				t.Errorf("%s names %s, which no package has", d.name, test)
			}
		}
		for _, named := range namedTarget.FindAllStringSubmatch(d.text, -1) {
			if !slices.Contains(r.targets, named[1]) {
				t.Errorf("%s names make %s, which the Makefile does not have", d.name, named[1])
			}
		}
	}
	if files < 300 || tests < 250 {
		t.Errorf("only %d names of files and %d of tests were found: the search is wrong", files, tests)
	}
}

// TestEveryLossHasARuleAndATest: each way in which a phone can lose what was recorded names what
// prevents it and a test of that.
func TestEveryLossHasARuleAndATest(t *testing.T) {
	raw, err := os.ReadFile("../viewer/src/storage/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(raw), "\n| how it is lost | what prevents it | test |\n| --- | --- | --- |\n")
	table, _, _ = strings.Cut(table, "\n\n")
	rows := strings.Split(table, "\n")
	for _, row := range rows {
		cells := strings.Split(row, " | ")
		if len(cells) != 3 || !namedFile.MatchString(cells[1]) || !regexp.MustCompile("_test.go: Test").MatchString(cells[2]) {
			t.Errorf("this row names no file or no test: %s", row)
		}
	}
	if len(rows) < 21 {
		t.Errorf("only %d ways of losing were found", len(rows))
	}
}

// TestEveryPackageSaysWhatItIs: a package has a comment that says what it is for.
func TestEveryPackageSaysWhatItIs(t *testing.T) {
	for _, p := range packages(t, "headcut/...") {
		said := false
		for _, file := range p.GoFiles {
			raw, err := os.ReadFile(filepath.Join(p.Dir, file))
			if err != nil {
				t.Fatal(err)
			}
			before, _, _ := strings.Cut(string(raw), "\npackage ")
			said = said || strings.Contains(before, "// Package ") || strings.Contains(before, "// Command ")
		}
		if !said && len(p.GoFiles) > 0 {
			t.Errorf("%s has no package comment", p.ImportPath)
		}
	}
}
