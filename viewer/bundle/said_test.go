package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
)

func TestSaidIn(t *testing.T) {
	source := "import x from \"./a thing.ts\"; // a comment's thing\n" +
		"const a = (n) => <p class=\"a thing\" aria-label={`${n} things`}>Put it {/[\"']/.test(n) ? 'Back' : \"it's \\\"here\\\"\"}</p>;\n" +
		"export const b = () => ({ do: \"take back\", say: \"Undo\" }), c = a.kind === \"a thing\" ? \"thing\" : 4 / 2;\n"
	path := written(t, "one.tsx", source)
	want := []string{"things", "Put it", "Back", `it's "here"`, "Undo"}
	if got := saidIn(t, path); strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("got %q, want %q", got, want)
	}
}

// written is a file with this source.
func written(t *testing.T, name, source string) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(source), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// saidIn gives the texts of a script that people may read: those of JSX, strings and templates
// with a blank or a capital in them. Addresses, names of actions and classes are left out.
func saidIn(t *testing.T, path string) []string {
	t.Helper()
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	loader := api.LoaderTS
	if strings.HasSuffix(path, ".tsx") {
		loader = api.LoaderTSX
	}
	// What comes out has no types, comments, JSX or templates: what is left to read are strings.
	made := api.Transform(string(source), api.TransformOptions{
		Loader: loader, MinifyWhitespace: true, JSXFactory: "h", JSXFragment: "f", Charset: api.CharsetUTF8,
		Supported: map[string]bool{"template-literal": false}, LegalComments: api.LegalCommentsNone,
	})
	if len(made.Errors) > 0 {
		t.Fatalf("%s: %s", path, made.Errors[0].Text)
	}
	return texts(string(made.Code))
}

var (
	notRead = regexp.MustCompile(`(\b(do|did|state|stage|class|sign|mark|d|viewBox|role|href|id|key|from)"?:|[!=]==|\bcase|\bfrom|\bimport) ?\(?$`)
	spoken  = regexp.MustCompile(`\p{L}.* |^ ?[A-Z][a-z]+|^ \p{L}|\p{L} $`)
)

func texts(js string) []string {
	var out []string
	for i := 0; i < len(js); i++ {
		switch js[i] {
		case '"', '\'':
			end := endOf(js, i, js[i])
			text, err := strconv.Unquote(`"` + strings.ReplaceAll(strings.ReplaceAll(js[i+1:end], `\'`, `'`), "\n", " ") + `"`)
			if js[i] == '\'' { // esbuild writes these where the text has double quotes
				text, err = strings.ReplaceAll(js[i+1:end], `\'`, `'`), nil
			}
			if err != nil {
				text = js[i+1 : end]
			}
			before := js[max(0, i-24):i]
			if !notRead.MatchString(before) && spoken.MatchString(text) {
				out = append(out, strings.Join(strings.Fields(text), " "))
			}
			i = end
		case '/':
			if startsPattern(js[:i]) {
				i = endOf(js, i, '/')
			}
		}
	}
	return out
}

func startsPattern(before string) bool {
	before = strings.TrimRight(before, " \n")
	return before == "" || strings.ContainsRune("(,=:[!&|?{};+", rune(before[len(before)-1])) || strings.HasSuffix(before, "return")
}

// endOf finds where what was opened with a quote ends; in a pattern's class it may stand free.
func endOf(js string, i int, quote byte) int {
	class := false
	for i++; i < len(js); i++ {
		switch {
		case js[i] == '\\':
			i++
		case quote == '/' && js[i] == '[':
			class = true
		case js[i] == ']':
			class = false
		case js[i] == quote && !class:
			return i
		}
	}
	return len(js)
}
