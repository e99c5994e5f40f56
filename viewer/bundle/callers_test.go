package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// asked are the packages of the computations that ask the runtime for names or lines of functions, which
// gotables takes out, and what becomes of it.
var asked = map[string]string{
	"internal/bisect":      "only when GODEBUG asks for it, which no browser sets",
	"internal/reflectlite": "methodName puts the one name of all into its panics",
	"reflect":              "valueMethodName puts \"unknown method\" into its panics",
	"runtime/debug":        "Stack and PrintStack, which none of these calls",
}

// TestNamesAreNotAskedFor: what the computations are made of decides nothing by a function's name or line.
func TestNamesAreNotAskedFor(t *testing.T) {
	list := exec.Command("go", "list", "-deps", "-f", "{{.ImportPath}}\t{{.Dir}}\t{{join .GoFiles \" \"}}", "./wasm")
	list.Dir = viewerFolder
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for line := range strings.Lines(string(out)) {
		path, rest, _ := strings.Cut(strings.TrimSpace(line), "\t")
		dir, names, _ := strings.Cut(rest, "\t")
		if path == "runtime" {
			continue // gotables says what it does
		}
		for _, name := range strings.Fields(names) {
			if asks(t, filepath.Join(dir, name)) {
				found[path] = true
				if asked[path] == "" {
					t.Errorf("%s of %s asks for callers, who have no names in a browser", name, path)
				}
			}
		}
	}
	for path := range asked {
		if !found[path] {
			t.Errorf("%s asks for no callers any more", path)
		}
	}
}

// asks tells whether a file uses what gives names, files or lines of functions.
func asks(t *testing.T, file string) (yes bool) {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		selected, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		of, ok := selected.X.(*ast.Ident)
		switch {
		case !ok:
		case of.Name == "runtime":
			switch selected.Sel.Name {
			case "Caller", "Callers", "CallersFrames", "FuncForPC", "Stack":
				yes = true
			}
		case of.Name == "debug":
			yes = yes || selected.Sel.Name == "Stack" || selected.Sel.Name == "PrintStack"
		}
		return true
	})
	return yes
}
