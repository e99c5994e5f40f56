package server

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// startsGoroutines says whether a piece of syntax starts a goroutine, or has one of names, which
// start some.
func startsGoroutines(n ast.Node, names ...string) (does bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			does = true
		case *ast.Ident: // in a selector as well
			does = does || n.Name == "Go" || slices.Contains(names, n.Name)
		}
		return !does
	})
	return does
}

// concurrentTests are the tests of a package that start goroutines, themselves or by helpers.
func concurrentTests(t *testing.T, dir string, names ...string) (tests []string) {
	t.Helper()
	paths, _ := filepath.Glob(filepath.Join(dir, "*_test.go"))
	quiet := map[string]*ast.FuncDecl{}
	for _, path := range paths {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && (f.Recv == nil || !startsGoroutines(f)) {
				quiet[f.Name.Name] = f
			} else if ok { // its name may be anything's: a test that has it is taken to call it
				names = append(names, f.Name.Name)
			}
		}
	}
	for found := true; found; {
		found = false
		for name, f := range quiet {
			if startsGoroutines(f.Body, names...) {
				delete(quiet, name)
				names, found = append(names, name), true
				if strings.HasPrefix(name, "Test") && name != "TestMain" {
					tests = append(tests, name)
				}
			}
		}
	}
	slices.Sort(tests)
	return tests
}

// namedIn gives the tests that a list of the Makefile names.
func namedIn(t *testing.T, list string) []string {
	t.Helper()
	makefile, err := os.ReadFile("../Makefile")
	if err != nil {
		t.Fatal(err)
	}
	line := regexp.MustCompile(`(?m)^` + list + ` := (.*)$`).FindSubmatch(makefile)
	if line == nil {
		t.Fatalf("the Makefile has no list %s", list)
	}
	return strings.Split(string(line[1]), "|")
}

// The Makefile tests model, and the packages it lists as single, without the race detector, which
// slows arithmetic five to ten times and could find nothing: they start no goroutine, and what
// they share is made once by sync.OnceValue. The few tests of model that start goroutines
// themselves, to ask for things at once as a server does, run under the detector by name.
func TestSinglePackagesNeedNoRaceDetector(t *testing.T) {
	files, tests, raced := 0, 0, namedIn(t, "modelshared")
	single := []string{"headcut/model/..."}
	for _, dir := range strings.Fields(namedIn(t, "single")[0]) {
		single = append(single, "headcut/"+strings.TrimPrefix(dir, "./"))
	}
	for _, p := range packages(t, single...) {
		paths, _ := filepath.Glob(filepath.Join(p.Dir, "*.go"))
		for _, path := range paths {
			files++
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			if startsGoroutines(file) {
				t.Errorf("%s starts a goroutine: test its package with -race in the Makefile", path)
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if s, ok := n.(*ast.SelectorExpr); ok {
					if x, ok := s.X.(*ast.Ident); ok && (x.Name == "sync" && s.Sel.Name != "OnceValue" || x.Name == "atomic") {
						t.Errorf("%s uses %s.%s: what is shared and changes is tested with -race", path, x.Name, s.Sel.Name)
					}
				}
				return true
			})
		}
		concurrent := concurrentTests(t, p.Dir, "Parallel", "RunParallel")
		tests += len(concurrent)
		for _, name := range concurrent {
			if !strings.HasPrefix(p.ImportPath, "headcut/model") {
				t.Errorf("%s of %s starts goroutines: take the package out of single in the Makefile", name, p.ImportPath)
			} else if !slices.Contains(raced, name) {
				t.Errorf("%s of %s starts goroutines: name it in modelshared of the Makefile", name, p.ImportPath)
			}
		}
	}
	if files < 150 || tests < 3 {
		t.Errorf("saw %d files and %d tests that start goroutines: too few to be all", files, tests)
	}
}

// Of the tests of server/headcut the Makefile races those that do things at once in the test's own
// process, and two of those that run beside one another. The others, and the scripts, run one command
// after another, or kill them: under the detector that takes five times as long, and finds what those do.
func TestConcurrentCommandsAreRaced(t *testing.T) {
	tests := concurrentTests(t, "headcut", "Serve", "NewServer", "NewTLSServer", "NewUnstartedServer")
	if len(tests) < 10 {
		t.Errorf("%d tests start goroutines: too few to be all", len(tests))
	}
	raced, timed := namedIn(t, "commandsraced"), namedIn(t, "timed")
	for _, name := range append(tests, "TestOwnExportChangesNothing", "TestEditMeanwhileIsAClash") {
		if !slices.Contains(raced, name) && !slices.Contains(timed, name) {
			t.Errorf("%s of server/headcut is not raced: name it in commandsraced of the Makefile", name)
		}
	}
}
