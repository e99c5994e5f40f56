package intake

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
)

var update = flag.Bool("update", false, "write what is read now into testdata/intake")

// worked runs each case of a file of testdata/intake and holds it against what follows it there. A
// case is "== name", what is given, "--", and all that comes of it; -update writes the last again,
// to be read before it is kept.
func worked(t *testing.T, name string, run func(t *testing.T, given string) string) {
	path := filepath.Join("../../testdata/intake", name)
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

// escapes are how a case writes what an editor would not keep.
var escapes = strings.NewReplacer(`\x00`, "\x00", `\x01`, "\x01", `\x02`, "\x02", `\x1e`, "\x1e", `\x80`, "\x80", `\xa0`, "\xa0", `\xe9`, "\xe9", `\xff`, "\xff", `\xfe`, "\xfe", `\uFEFF`, utf8Mark, `\cr`, "\r", `\end`, "")

// TestReadings: all that is read of a file, and all that is said of it.
func TestReadings(t *testing.T) {
	worked(t, "readings.txt", func(_ *testing.T, given string) string {
		var options Options
		for strings.HasPrefix(given, "--") {
			line, rest, _ := strings.Cut(given, "\n")
			name, value, _ := strings.Cut(line, "=")
			switch given = rest; name {
			case "--kind":
				options.Kind = value
			case "--today":
				options.Today = value
			}
		}
		file, err := ReadAs("file", strings.NewReader(escapes.Replace(given)), options)
		if err != nil {
			return "refused: " + err.Error()
		}
		return readingInWords(file)
	})
}

func readingInWords(file File) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%s, %d records, %d left out\n", file.Format, len(file.Records), file.LeftOut)
	for _, r := range file.Records {
		fmt.Fprintf(&out, "line %d, kind by %q", r.Line, r.KindBy)
		if !r.SeenAt.IsZero() {
			fmt.Fprintf(&out, ", seen %s", r.SeenAt.Format(time.RFC3339Nano))
		}
		if r.Ours != nil {
			fmt.Fprintf(&out, ", of %q", r.Ours.UID)
			if r.Ours.Unversioned {
				out.WriteString(" without a version")
			}
			if r.Ours.WithoutPlace {
				out.WriteString(" without a place")
			}
		}
		out.WriteString("\n")
		for _, name := range slices.Sorted(maps.Keys(r.Fields)) {
			value := string(r.Fields[name])
			if len(value) > 300 {
				value = fmt.Sprintf("%s... (%d bytes)", value[:300], len(value))
			}
			fmt.Fprintf(&out, "  %s = %s\n", name, value)
		}
		for _, p := range r.Notes {
			fmt.Fprintf(&out, "  note: %s\n", inOneLine(p))
		}
		for _, p := range r.AsNew {
			fmt.Fprintf(&out, "  as a new one: %s\n", inOneLine(p))
		}
		if r.AsNewLeftOut > 0 {
			fmt.Fprintf(&out, "  as a new one: %d left out\n", r.AsNewLeftOut)
		}
	}
	for _, p := range file.Report {
		fmt.Fprintf(&out, "%s\n", inOneLine(p))
	}
	return out.String()
}

func inOneLine(p *model.Problem) string { return strings.ReplaceAll(p.Error(), "\n", " | ") }

// TestWorkedEdits: all that comes of a feature of the register and a file that says it otherwise.
// A case gives the feature's fields, the file's columns and its geometry, a line each.
func TestWorkedEdits(t *testing.T) {
	worked(t, "edits.txt", func(t *testing.T, given string) string {
		lines := strings.Split(given, "\n")
		if len(lines) < 3 {
			t.Fatalf("a case has three lines: %q", given)
		}
		var set map[string]json.RawMessage
		if err := json.Unmarshal([]byte(lines[0]), &set); err != nil {
			t.Fatal(err)
		}
		e := newEditor(t, set)
		version := string(e.seen.Append(nil))
		for _, word := range lines[3:] {
			switch word {
			case "struck out":
				entry := e.entries[0].Entry
				entry.ID, entry.DeviceSeq, entry.Stamp, entry.Strike, entry.Set = EntryID(time.UnixMilli(2), Key{2}), 2, 1<<21, new(true), nil
				e.add(entry)
				version = string(e.seen.Append(nil))
			case "no version":
				version = ""
			default:
				t.Fatalf("what is %q", word)
			}
		}
		text := `{"type":"Feature","properties":{"uid":"f","version":"` + version + `"` + lines[1] + `},"geometry":` + lines[2] + `}`
		file, err := ReadAs("edited.geojson", strings.NewReader(text), Options{Today: "2026-11-30"})
		if err != nil {
			return "refused: " + err.Error()
		}
		var out strings.Builder
		if version == "" {
			for _, c := range file.Records[0].Differs(e.entries) {
				fmt.Fprintf(&out, "differs in %s (%s): %s -> %s\n", c.Field, c.Label, c.From, c.To)
			}
			return out.String()
		}
		edit, found, problems := file.Records[0].EditOf(e.entries)
		if !found {
			return "no state is the one it was exported from"
		}
		said := func(edit Edit) {
			for _, c := range edit.Changes {
				fmt.Fprintf(&out, "%s (%s): %s -> %s", c.Field, c.Label, c.From, c.To)
				if c.Words != "" {
					fmt.Fprintf(&out, "  [%s]", c.Words)
				}
				out.WriteString("\n")
			}
			var also []string
			for _, name := range slices.Sorted(maps.Keys(edit.Values())) {
				if !slices.ContainsFunc(edit.Changes, func(c Change) bool { return c.Field == name }) {
					also = append(also, name+" = "+string(edit.Values()[name]))
				}
			}
			if also != nil {
				fmt.Fprintf(&out, "also sets %s\n", strings.Join(also, ", "))
			}
		}
		fmt.Fprintf(&out, "%s %q\n", edit.Kind, edit.Name)
		said(edit)
		for _, p := range edit.Notes {
			fmt.Fprintf(&out, "note: %s\n", inOneLine(p))
		}
		for _, p := range problems {
			fmt.Fprintf(&out, "left out: %s\n", inOneLine(p))
		}
		if edit.Place() != nil {
			edit.KeepPlace()
			out.WriteString("where the place is kept:\n")
			said(edit)
			if edit.Place() != nil {
				t.Error("the place is not taken out of the edit")
			}
		}
		return out.String()
	})
}
