package modeltest

import (
	"encoding/csv"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// leastIndependent is how many cases of others' making the computations must meet: those
// published, and those computed with another's program.
const leastIndependent = 150

// TestEveryCaseIsMet finds for each row of testdata/reference a test that asks for its
// topic or its id, or the reason why nothing does, and never both: neither a case that
// nobody meets nor an excuse that is no longer true can pass.
func TestEveryCaseIsMet(t *testing.T) {
	asked := map[string]bool{} // "banks BS01", "banks vi_linear"
	err := filepath.WalkDir(filepath.Dir(Root(t)), func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, "_test.go"):
			return nil
		}
		return askedIn(path, asked)
	})
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(Root(t), "reference", "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no reference files: %v", err)
	}
	independent, derived := 0, 0
	excuses, used := excuses(t), map[string]bool{}
	for _, path := range files {
		file := strings.TrimSuffix(filepath.Base(path), ".csv")
		met, excused := 0, 0
		for _, c := range Cases(t, file) {
			byTopic, byID := file+" "+c.Topic, file+" "+c.ID
			used[byTopic], used[byID] = true, true
			isMet, isExcused := asked[byTopic] || asked[byID], excuses[byTopic] != "" || excuses[byID] != ""
			switch {
			case isMet && isExcused:
				t.Errorf("%s %s (%s) is met, and excused still", file, c.ID, c.Topic)
			case isExcused:
				excused++
			case !isMet:
				t.Errorf("%s %s (%s) is met by no test", file, c.ID, c.Topic)
			case c.Origin == "derived_by_hand":
				met++
				derived++
			default:
				met++
				independent++
			}
		}
		t.Logf("%s: %d rows are met and %d excused", file, met, excused)
	}
	for key := range excuses {
		if !used[key] {
			t.Errorf("%s is excused, and is no topic or row", key)
		}
	}
	t.Logf("%d independent cases and %d worked by hand are met", independent, derived)
	if independent < leastIndependent {
		t.Errorf("%d independent cases are met, want at least %d", independent, leastIndependent)
	}
}

// askedIn adds the words of a test file to the lists that it calls Cases or Named for: ids
// and topics are like no other words, and a loop over ids names them apart from the call.
// Names of a case's numbers are left out.
func askedIn(path string, asked map[string]bool) error {
	if strings.HasSuffix(path, "met_test.go") {
		return nil
	}
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	if err != nil {
		return err
	}
	var lists, words []string
	ofNumbers := map[ast.Node]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			called := name(n.Fun)
			if list := literal(n.Args, 1); list != "" && (called == "Cases" || called == "Named") {
				lists = append(lists, list)
			}
			if slices.Contains([]string{"Check", "CheckAll", "Number", "Text", "Has", "Expects", "Allows", "Input", "Want"}, called) {
				for _, arg := range n.Args {
					ofNumbers[arg] = true
				}
			}
		case *ast.BasicLit:
			if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING && !ofNumbers[n] {
				words = append(words, text)
			}
		}
		return true
	})
	for _, list := range lists {
		for _, word := range words {
			asked[list+" "+word] = true
		}
	}
	return nil
}

// name is the last part of what is called: Cases of modeltest.Cases.
func name(called ast.Expr) string {
	switch called := called.(type) {
	case *ast.IndexExpr:
		return name(called.X)
	case *ast.SelectorExpr:
		return called.Sel.Name
	case *ast.Ident:
		return called.Name
	}
	return ""
}

// literal is the text of an argument, "" when it is none.
func literal(args []ast.Expr, i int) string {
	if i >= len(args) {
		return ""
	}
	l, ok := args[i].(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return ""
	}
	text, _ := strconv.Unquote(l.Value)
	return text
}

// Every row names who published it and where, and how it reached us.
func TestEveryCaseHasASource(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(Root(t), "reference", "*.csv"))
	for _, path := range files {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		ids := map[string]bool{}
		for i, row := range rows[1:] {
			if row[5] == "" || row[6] == "" || !slices.Contains([]string{"looked_up", "from_memory", "computed_with", "derived_by_hand"}, row[7]) {
				t.Errorf("%s, row %d: source %q, place %q, origin %q", filepath.Base(path), i+2, row[5], row[6], row[7])
			}
			if ids[row[0]] {
				t.Errorf("%s, row %d: the id %s is there twice", filepath.Base(path), i+2, row[0])
			}
			ids[row[0]] = true
		}
	}
}
