package server

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// startsGoroutines says whether a piece of syntax starts a goroutine, or lets tests run beside
// one another.
func startsGoroutines(n ast.Node) (does bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			does = true
		case *ast.SelectorExpr:
			does = does || n.Sel.Name == "Go" || n.Sel.Name == "Parallel" || n.Sel.Name == "RunParallel"
		}
		return !does
	})
	return does
}

// The Makefile tests model without the race detector, which slows its arithmetic five to ten
// times and could find nothing: model starts no goroutine, and what its packages share is made
// once by sync.OnceValue. The few tests of model that start goroutines themselves, to ask for
// things at once as a server does, run under the detector by name.
func TestModelNeedsNoRaceDetector(t *testing.T) {
	makefile, err := os.ReadFile("../Makefile")
	if err != nil {
		t.Fatal(err)
	}
	files, tests := 0, 0
	for _, p := range packages(t, "headcut/model/...") {
		paths, _ := filepath.Glob(filepath.Join(p.Dir, "*.go"))
		starting := []string{} // helpers of the package's tests
		byName := map[string]*ast.FuncDecl{}
		for _, path := range paths {
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files++
			if !strings.HasSuffix(path, "_test.go") {
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
				continue
			}
			for _, d := range file.Decls {
				if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil {
					byName[f.Name.Name] = f
					if startsGoroutines(f) {
						starting = append(starting, f.Name.Name)
					}
				}
			}
		}
		for name, f := range byName {
			if !strings.HasPrefix(name, "Test") {
				continue
			}
			does := false
			ast.Inspect(f, func(n ast.Node) bool {
				id, ok := n.(*ast.Ident)
				does = does || ok && slices.Contains(starting, id.Name)
				return !does
			})
			if !does {
				continue
			}
			if tests++; !strings.Contains(string(makefile), name) {
				t.Errorf("%s of %s starts goroutines: name it in modelshared of the Makefile", name, p.ImportPath)
			}
		}
	}
	if files < 100 || tests < 3 {
		t.Errorf("saw %d files and %d tests that start goroutines: too few to be all of model", files, tests)
	}
}
