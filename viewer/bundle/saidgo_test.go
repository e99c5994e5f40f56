package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func TestSaidInGo(t *testing.T) {
	source := "package one\n\nimport \"a/thing\"\n\n// a comment's thing\n" +
		"type T struct {\n\tThing int `json:\"thing\" unit:\"m\" doc:\"what \\\"it\\\" is\" choices:\"a thing|another\"`\n}\n" +
		"var a = map[string]string{\"x\": \"Put it\" + `\nback`}\n"
	path := written(t, "one.go", source)
	want := []string{`what "it" is`, "a thing|another", "x", "Put it back"}
	if got := saidInGo(t, path); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// saidInGo gives the texts of a Go file that people may read: its strings, those joined with
// + as one, and of a field's tag what describes it and what it may be.
func saidInGo(t *testing.T, path string) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	tags := map[*ast.BasicLit]bool{}
	add := func(text string) {
		if text = strings.Join(strings.Fields(text), " "); text != "" {
			out = append(out, text)
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			if n.Tag != nil {
				parts := reflect.StructTag(unquoted(t, n.Tag))
				add(parts.Get("doc"))
				add(parts.Get("choices"))
				tags[n.Tag] = true
			}
		case *ast.BinaryExpr:
			if text, whole := joined(t, n); whole {
				add(text)
				return false
			}
		case *ast.BasicLit:
			if n.Kind == token.STRING && !tags[n] {
				add(unquoted(t, n))
			}
		}
		return true
	})
	return out
}

// joined is the text of strings joined with +; whole is false when something else is in it.
func joined(t *testing.T, e ast.Expr) (text string, whole bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			return unquoted(t, e), true
		}
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			x, ok := joined(t, e.X)
			y, also := joined(t, e.Y)
			return x + y, ok && also
		}
	}
	return "", false
}

func unquoted(t *testing.T, lit *ast.BasicLit) string {
	t.Helper()
	text, err := strconv.Unquote(lit.Value)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// wholeText is a file that people read as it is, a paragraph at a time.
func wholeText(t *testing.T, path string) []string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(text), "\n\n")
}
