package intake

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/workedtest"
)

// escapes are how a case writes what an editor would not keep.
var escapes = strings.NewReplacer(`\x00`, "\x00", `\x01`, "\x01", `\x02`, "\x02", `\x1e`, "\x1e", `\x80`, "\x80", `\xa0`, "\xa0", `\xe9`, "\xe9", `\xff`, "\xff", `\xfe`, "\xfe", `\uFEFF`, utf8Mark, `\cr`, "\r", `\end`, "")

// TestReadings: all that is read of a file, and all that is said of it.
func TestReadings(t *testing.T) {
	workedtest.Run(t, "../../testdata/intake/readings.txt", func(t *testing.T, given string) string {
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
		return readingInWords(t, file)
	})
}

func readingInWords(t *testing.T, file File) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%s, %d records, %d left out\n", file.Format, len(file.Records), file.LeftOut)
	earlier := map[string]bool{}
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
			fmt.Fprintf(&out, ", columns %s", strings.Join(model.Each(r.Ours.columns, func(m member) string { return m.name }), " "))
		}
		// A file that is read again is known by these: what it says must give them for ever.
		said, err := json.Marshal(r.Entries("p", ""))
		if err != nil {
			t.Fatal(err)
		}
		feature := r.Feature("p")
		if earlier[feature] {
			t.Errorf("two records are of feature %s", feature)
		}
		earlier[feature] = true
		fmt.Fprintf(&out, "\n  is %s, its entries %.8x", feature, sha256.Sum256(said))
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
	workedtest.Run(t, "../../testdata/intake/edits.txt", func(t *testing.T, given string) string {
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
