package compute

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// processorsOwn are the functions of package math that round otherwise in assembly than
// in Go, directly or through another of them; package elementary stands in for them.
var processorsOwn = []string{"Exp", "Pow", "Sinh", "Cosh", "Tanh", "Gamma", "Lgamma", "Erf", "Erfc"}

// TestModelGivesTheSameBitsEverywhere looks for calls whose last bits would differ between
// the server and the phone, which the goldens would find only by luck.
func TestModelGivesTheSameBitsEverywhere(t *testing.T) {
	looked := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") ||
			strings.HasPrefix(path, filepath.Join("..", "elementary")) {
			return err
		}
		file, err := parser.ParseFile(gotoken.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		looked++
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if of, ok := s.X.(*ast.Ident); ok && of.Name == "math" && slices.Contains(processorsOwn, s.Sel.Name) {
					t.Errorf("%s uses math.%s, which rounds otherwise on the phone: use elementary.%[2]s", path, s.Sel.Name)
				}
			}
			return true
		})
		return nil
	})
	if err != nil || looked < 20 {
		t.Errorf("looked at %d files: %v", looked, err)
	}
}
