package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
)

// One word for one thing: what the field page must not say, and what it says instead. The
// code may name things as it likes; this is about what people read or hear.
var notSaid = []struct{ pattern, say string }{
	{`\bthings?\b`, "item, or its kind"},
	{`\banew\b`, "again"},
	{`\b(put|puts) back\b`, "restore"},
	{`\b(take|takes|taken|took) (it )?(back|out)\b`, "undo, or remove"},
	{`\bgo(es)? on( with|:|\.|$)|\b(walk|count) on\b`, "continue"},
	{`\bgive or take\b|\bplus or minus\b`, "±"},
	{`\b(how it stands|it stands)\b`, "Sync status"},
	{`\ball the same\b|\bwhatever\b`, "plain words"},
	{`\bnot (yet )?on the server\b|\bnot on it\b|\bunsent\b`, "not sent yet"},
	{`\bcaptures?\b`, "entry"},
	{`\bnot said\b`, "still to fill in, or not recorded"},
	{`\bno name\b|\bwithout a name\b|\bnameless\b`, "unnamed"},
	{`\bprograms?\b`, "app"},
	{`brought to size|bring.* to size`, "resized"},
	{`\bits bytes\b`, "the photo"},
	{`\bmetres up\b|\bfrom its foot\b|how far up the gully`, "chainage"},
	{`\bway round\b`, "perimeter"},
	{`\bsill\b|notch bottom`, "notch"},
	{`\bmelts?\b`, "slump and wash away"},
	{`\bholds\b|\bholding\b|\bdoes not hold\b`, "OK; of a work: sound"},
	{`\bproves?\b|\bnot proven\b`, "checked by a closed level run"},
	{`told from none|could not be told|cannot be told`, "too small to detect; cannot be calculated"},
	{`\bthe measuring itself\b`, "measurement error"},
	{`\brub out\b`, "delete"},
	{`\bcorrected\b|\bcorrect(ion)? it\b`, "edit"},
	{`\blook that\b`, "check that"},
	{`\bby whose word\b|\bhangs on\b|\bstands beside\b|\bis not told\b`, "whose rule; depends on it; cannot be given with"},
	{`too rough`, "GPS is too poor"},
	{`\bworked out\b|\bwork(s)? out\b|\bworking it out\b`, "calculated"},
	{`\bout of sight\b`, "hidden"},
	{`\bhas run out\b`, "expired"},
	{`\bnot seen since\b`, "not visited since"},
	{`\bgoes to the register\b`, "is saved"},
	{`\brun for one of rise\b`, "1 in 3"},
	{`\bsown ground\b|\bexclosure\b`, "sown area, fenced-off area"},
	{`\d(st|nd|rd|th)\b|^th `, "1 in 3"},
	{`\b(mind:|what to mind)`, "danger"},
}

// TestOneWordForOneThing looks through every text of the field page's sources.
func TestOneWordForOneThing(t *testing.T) {
	banned := make([]*regexp.Regexp, len(notSaid))
	for i, n := range notSaid {
		banned[i] = regexp.MustCompile(`(?i)` + n.pattern)
	}
	said := 0
	root := filepath.Join(viewerFolder, "src", "field")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		name := d.Name()
		if err != nil || d.IsDir() || strings.HasSuffix(name, ".test.ts") || !(strings.HasSuffix(name, ".ts") || strings.HasSuffix(name, ".tsx")) {
			return err
		}
		for _, text := range saidIn(t, path) {
			said++
			for i, b := range banned {
				if found := b.FindString(text); found != "" {
					t.Errorf("%s says %q in %q: say %q", path, found, text, notSaid[i].say)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if said < 800 {
		t.Fatalf("found only %d texts: the scan does not see them", said)
	}
}

func TestSaidIn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "one.tsx")
	source := "import x from \"./a thing.ts\"; // a comment's thing\n" +
		"const a = (n) => <p class=\"a thing\" aria-label={`${n} things`}>Put it {/[\"']/.test(n) ? 'Back' : \"it's \\\"here\\\"\"}</p>;\n" +
		"export const b = () => ({ do: \"take back\", say: \"Undo\" }), c = a.kind === \"a thing\" ? \"thing\" : 4 / 2;\n"
	if err := os.WriteFile(path, []byte(source), 0o600); err != nil {
		t.Fatal(err)
	}
	want := []string{"things", "Put it", "Back", `it's "here"`, "Undo"}
	if got := saidIn(t, path); strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("got %q, want %q", got, want)
	}
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
