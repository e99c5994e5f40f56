package intake

import (
	"encoding/json"
	"strings"
	"testing"
)

// TestBooksSayWhatTheyLack: a book that cannot be reduced, or gives no levels, says so however it
// comes: as a table, and within GeoJSON.
func TestBooksSayWhatTheyLack(t *testing.T) {
	for _, test := range []struct{ name, csv, says string }{
		{"closed", "BM,1.0,,,100\nP,,1.5,,\nBM,,,1.0,100\n", ""},
		{"no-known-level", "BM,1.0,,,\nP,,1.5,,\nBM,,,1.0,\n", "the book has no levels yet: its row 1 (BM) has no known level"},
		{"known-level-at-the-end-alone", "A,1.0,,,\nBM,,,1.0,55\n", "the book has no levels yet: its row 1 (A) has no known level"},
		{"no-backsight", "BM,,1.0,,100\nP,,,1.5,\n", "the book cannot be reduced: its row 1 (BM) backsight is missing"},
		{"not-closed", "BM,1.0,,,100\nP,,1.5,,\nBM,,,1.2,100\n", "its levels are not checked by a closed level run"},
	} {
		t.Run(test.name, func(t *testing.T) {
			book := mustRead(t, "station,bs,is,fs,known_level_m\n"+test.csv)
			text := `{"type":"Feature","properties":{"kind":"level-run","name":"book","rows":` + string(book.Records[0].Fields["rows"]) + `},"geometry":null}`
			for name, file := range map[string]File{"csv": book, "geojson": mustRead(t, text)} {
				var said []string
				for _, p := range append(file.Report, file.Records[0].Notes...) {
					said = append(said, p.Reason)
				}
				if all := strings.Join(said, "\n"); (all == "") != (test.says == "") || !strings.Contains(all, test.says) {
					t.Errorf("%s said %q, want %q", name, all, test.says)
				}
			}
		})
	}
}

// TestFieldOfAnotherKindIsTold: a column that is no field of this kind is kept, and says so.
func TestFieldOfAnotherKindIsTold(t *testing.T) {
	e := newEditor(t, damFields())
	edit, problems, _ := e.edit(e.file(damColumns+`,"outletSide":"left"`, damPlace))
	if len(problems) > 0 || string(edit.set["x-outletSide"]) != `"left"` || len(edit.Notes) != 1 || edit.Notes[0].Reason != "Dam 1: is no field of a check dam, kept as x-outletSide" {
		t.Errorf("the edit sets %s, noting %v %v", edit.set, edit.Notes, problems)
	}
}

// TestBookEditNamesItsCells: an edit of a book names the cells that changed, and says what the
// book lacks then.
func TestBookEditNamesItsCells(t *testing.T) {
	const rows = `[{"point":"BM","bs":1,"knownLevelM":100},{"point":"P","is":1.5},{"point":"BM","fs":1,"knownLevelM":100}]`
	e := newEditor(t, map[string]json.RawMessage{"kind": rawText("level-run"), "name": rawText("run"), "rows": json.RawMessage(rows)})
	for _, test := range []struct{ name, rows, words, note string }{
		{"same-otherwise-written", strings.ReplaceAll(rows, ":1}", ":1.0}"), "", ""},
		{"intermediate", strings.Replace(rows, "1.5", "1.6", 1), "row 2 (P), intermediate: 1.5 -> 1.6", ""},
		{"cleared", strings.Replace(rows, `,"is":1.5`, "", 1), "row 2 (P), intermediate: 1.5 -> nothing", "the book cannot be reduced"},
		{"foresight", strings.Replace(rows, `"fs":1`, `"fs":1.2`, 1), "row 3 (BM), foresight: 1 -> 1.2", "its levels are not checked by a closed level run"},
		{"row-added", strings.Replace(rows, `},{"point":"P"`, `},{"point":"Q","is":2},{"point":"P"`, 1), `3 rows -> 4 rows; row 2 (P), station: "P" -> "Q"; row 2 (P), intermediate: 1.5 -> 2`, ""},
		{"known-level-gone", strings.Replace(rows, `,"knownLevelM":100`, "", 1), "row 1 (BM), known level: 100 -> nothing", "the book has no levels yet"},
	} {
		t.Run(test.name, func(t *testing.T) {
			text, err := json.Marshal(test.rows)
			if err != nil {
				t.Fatal(err)
			}
			edit, _, _ := e.edit(e.file(`,"kind":"level-run","name":"run","rows":`+string(text), `null`))
			if len(edit.Changes) != min(1, len(test.words)) {
				t.Fatalf("the changes are %+v", edit.Changes)
			}
			if test.words == "" {
				return
			}
			if got := edit.Changes[0].Words; !strings.HasPrefix(got, test.words) {
				t.Errorf("the change is %q, want %q", got, test.words)
			}
			var note string
			for _, p := range edit.Notes {
				note += p.Reason
			}
			if (note == "") != (test.note == "") || !strings.Contains(note, test.note) {
				t.Errorf("noted %q, want %q", note, test.note)
			}
		})
	}
}
