package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"strings"
	"testing"
)

// TestComputeAfterAStepThatRefused: an empty pipe is no input, with --set or without; an empty file and
// /dev/null leave it to --set. UTF-16 is called so.
func TestComputeAfterAStepThatRefused(t *testing.T) {
	const given = `{"bed": [{"chainageM": 0, "levelM": 100}, {"chainageM": 10, "levelM": 101}], "crestHeightM": 0.4}`
	set := []string{"compute", "dam-layout", "--set", `bed=[{"chainageM":0,"levelM":100},{"chainageM":10,"levelM":101}]`, "--set", "crestHeightM=0.4"}
	piped := func(text string) *os.File {
		r, w, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, text); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return r
	}
	opened := func(path string) *os.File {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	empty := t.TempDir() + "/empty.json"
	write(t, empty, nil)
	const nothing = "the input is empty: the step before gave nothing"
	for _, c := range []struct {
		name  string
		args  []string
		stdin *os.File
		want  int
		says  string
	}{
		{"empty pipe", set, piped(""), 1, nothing},
		{"pipe of a line's end", set, piped("\n"), 1, nothing},
		{"empty pipe, no --set", set[:2], piped(""), 1, "the input is empty"},
		{"empty pipe, --json", append(set[:len(set):len(set)], "--json"), piped(""), 1, `{"reason":"` + nothing},
		{"empty pipe, mistyped name", []string{"compute", "dam-layuot", "--set", "crestHeightM=0.5"}, piped(""), 1, "no computation"},
		{"pipe with the input", []string{"compute", "dam-layout", "--set", "crestHeightM=0.5"}, piped(given), 0, `"dams"`},
		{"marked UTF-16", set[:2], piped("\xff\xfe{\x00}\x00"), 1, "is in UTF-16, an encoding that is not read\n  save it as UTF-8"},
		{"UTF-16 without a mark", set, piped("{\x00}\x00"), 1, "is in UTF-16"},
		{"/dev/null", set, opened(os.DevNull), 0, `"dams"`},
		{"empty file", set, opened(empty), 0, `"dams"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			defer c.stdin.Close()
			var out, faults bytes.Buffer
			if got := run(context.Background(), c.args, c.stdin, &out, &faults); got != c.want {
				t.Errorf("ended with %d, want %d", got, c.want)
			}
			if text := out.String() + faults.String(); !strings.Contains(text, c.says) {
				t.Errorf("said %q, want %q in it", text, c.says)
			}
			if c.want > 0 && !strings.Contains(c.says, "{") && out.Len() > 0 {
				t.Errorf("gave %q to the next step", out.String())
			}
		})
	}
}
