// Package workedtest holds what comes of given texts against what is kept of it: worked cases, which
// a reader checks once and a test for ever. It is for tests alone.
package workedtest

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write what comes of the worked cases now")

// Run runs each case of a file and holds what comes of it against what follows it there. A case is "== name", what is given, "--", and all that comes of it; -update writes the last again,
// to be read before it is kept.
func Run(t *testing.T, path string, run func(t *testing.T, given string) string) {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(raw), "== ")
	now := strings.Builder{}
	now.WriteString(head)
	seen := map[string]bool{}
	for _, one := range strings.Split(rest, "\n== ") {
		title, body, _ := strings.Cut(one, "\n")
		given, want, _ := strings.Cut(body, "\n--\n")
		given = strings.TrimRight(given, "\n")
		if seen[title] || given == "" {
			t.Fatalf("the case %q is there twice, or has nothing", title)
		}
		seen[title] = true
		want = strings.Trim(want, "\n")
		var got string
		t.Run(title, func(t *testing.T) {
			if got = strings.Trim(run(t, given), "\n"); got != want && !*update {
				t.Errorf("given\n%s\ncomes\n%s\nwant\n%s", given, got, want)
			}
		})
		fmt.Fprintf(&now, "== %s\n%s\n--\n%s\n\n", title, given, got)
	}
	if *update {
		if err := os.WriteFile(path, []byte(now.String()), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
