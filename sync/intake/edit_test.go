package intake

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/sync/register"
)

// editor is a feature of a register, and a file that somebody edits it in.
type editor struct {
	t       testing.TB
	entries []register.Numbered
	seen    register.Fingerprint // what the editor had before them
}

func newEditor(t testing.TB, set map[string]json.RawMessage) *editor {
	e := &editor{t: t}
	e.add(register.Entry{Version: register.Version, ID: EntryID(time.UnixMilli(1), Key{1}), Property: "p", Feature: "f", Device: "phone-1", DeviceSeq: 1,
		Stamp: 1 << 20, SeenAt: "2026-05-01T09:00:00+10:00", Author: "Ana", Set: model.FieldValuesOf(set)})
	return e
}

func (e *editor) add(entry register.Entry) {
	e.t.Helper()
	if _, err := register.Encode(entry); err != nil {
		e.t.Fatalf("the entry %+v is refused: %v", entry, err)
	}
	e.entries = append(e.entries, register.Numbered{N: uint64(len(e.entries) + 1), Capped: entry.Stamp, Entry: entry})
	e.seen = register.Gather("f", e.entries).Folded().Seen
}

// file is GeoJSON of the feature as the editor left it.
func (e *editor) file(properties, geometry string) string {
	return `{"type":"Feature","properties":{"uid":"f","version":"` + string(e.seen.Append(nil)) + `"` + properties + `},"geometry":` + geometry + `}`
}

// edit reads a file and compares it; found is false when the file is none of an export.
func (e *editor) edit(text string) (edit Edit, problems []*model.Problem, found bool) {
	file, err := Read("edited.geojson", strings.NewReader(text))
	if err != nil || len(file.Records) != 1 || file.Records[0].Ours == nil || file.Records[0].Ours.UID != "f" {
		return Edit{}, nil, false
	}
	edit, found, problems = file.Records[0].EditOf(e.entries)
	return edit, problems, found
}

func damFields() map[string]json.RawMessage {
	return map[string]json.RawMessage{
		"kind": json.RawMessage(`"check-dam"`), "name": json.RawMessage(`"Dam 1"`), "crestHeightM": json.RawMessage(`0.4`), "status": json.RawMessage(`"built"`),
		"builtOn": json.RawMessage(`"2026-05-01"`), "sensitive": json.RawMessage(`false`), "accuracyM": json.RawMessage(`4`), "positionBasis": json.RawMessage(`"GPS"`),
		"notes": json.RawMessage(`"line one\nline two"`), "x-crew": json.RawMessage(`3`), "geometry": json.RawMessage(`{"type":"Point","coordinates":[133.2,-16.1]}`),
	}
}

const (
	damColumns = `,"kind":"check-dam","name":"Dam 1","crestHeightM":0.4,"status":"built","builtOn":"2026-05-01","sensitive":false,"accuracyM":4.0,"positionBasis":"GPS","notes":"line one\nline two","x_crew":3`
	damPlace   = `{"type":"Point","coordinates":[133.2,-16.1]}`
)

// TestEdits: what a desktop program does to values in passing is no edit, what a person does is.
func TestEdits(t *testing.T) {
	replace := func(old, new string) string {
		if !strings.Contains(damColumns, old) {
			t.Fatalf("the columns have no %s", old)
		}
		return strings.Replace(damColumns, old, new, 1)
	}
	tests := []struct {
		name, columns, place string
		want                 string // field=value, in the order of the file; "" for no edit
		leftOut              string // part of a problem
	}{
		{name: "untouched", columns: damColumns, place: damPlace},
		{name: "columns-left-out", columns: `,"name":"Dam 1"`, place: damPlace},
		{name: "number-as-text", columns: replace(`0.4`, `"0.40"`), place: damPlace},
		{name: "last-digit", columns: replace(`0.4`, `0.40000000000000002`), place: damPlace},
		{name: "yes-no-as-0", columns: replace(`false`, `0`), place: damPlace},
		{name: "date-with-slashes", columns: replace(`2026-05-01`, `2026/05/01`), place: damPlace},
		{name: "date-of-a-spreadsheet", columns: replace(`2026-05-01`, `01/05/2026`), place: damPlace},
		{name: "date-of-a-spreadsheet-month-first", columns: replace(`2026-05-01`, `5/1/2026`), place: damPlace},
		{name: "date-edited-in-a-spreadsheet", columns: replace(`2026-05-01`, `13/05/2026`), place: damPlace, want: `builtOn="2026-05-13"`},
		{name: "date-of-two-meanings", columns: replace(`2026-05-01`, `02/05/2026`), place: damPlace, leftOut: `"02/05/2026" is either of two dates`},
		{name: "no-such-date", columns: replace(`2026-05-01`, `31/31/2026`), place: damPlace, leftOut: "is not a date"},
		{name: "line-ends", columns: replace(`one\nline`, `one\r\nline`), place: damPlace},
		{name: "rounded-place", columns: damColumns, place: `{"type":"Point","coordinates":[133.20000004,-16.1]}`},
		{name: "multi-place", columns: damColumns, place: `{"type":"MultiPoint","coordinates":[[133.2,-16.1]]}`},
		{name: "row-numbers", columns: damColumns + `,"fid":7,"layer":"x","ogc_fid":1`, place: damPlace},
		{name: "worked-out-columns", columns: damColumns + `,"checks":"all well","recordedBy":"me","visitedOn":"2020-01-01"`, place: damPlace},
		{name: "name", columns: replace(`Dam 1`, `Fig tree dam`), place: damPlace, want: `name="Fig tree dam"`},
		{name: "cleared", columns: replace(`"line one\nline two"`, `null`), place: damPlace, want: `notes=null`},
		{name: "number", columns: replace(`0.4`, `0.45`), place: damPlace, want: `crestHeightM=0.45`},
		{name: "not-a-number", columns: replace(`0.4`, `"high"`), place: damPlace, leftOut: "is not a number"},
		{name: "no-choice", columns: replace(`"built"`, `"finished"`), place: damPlace, leftOut: "is not one of the choices"},
		{name: "no-kind", columns: replace(`check-dam`, `castle`), place: damPlace, leftOut: "names no kind"},
		{name: "kind-of-another-shape", columns: replace(`check-dam`, `fence`), place: damPlace, leftOut: "cannot be"},
		{name: "kind", columns: replace(`check-dam`, `gully-head`), place: damPlace, want: `kind="gully-head"`},
		{name: "new-column", columns: damColumns + `,"mason":"Ben"`, place: damPlace, want: `x-mason="Ben"`},
		{name: "place-taken-away", columns: damColumns, place: `null`, leftOut: "the one it has stays"},
		{name: "place-of-another-shape", columns: damColumns, place: `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}`, leftOut: "cannot be"},
		{name: "struck-out", columns: damColumns + `,"struckOut":true`, place: damPlace, leftOut: "a file strikes nothing out: Dam 1 stays"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			e := newEditor(t, damFields())
			edit, problems, found := e.edit(e.file(test.columns, test.place))
			if !found {
				t.Fatal("the state it was exported from is not found")
			}
			var got []string
			for _, c := range edit.Changes {
				got = append(got, c.Field+"="+string(c.To))
			}
			if strings.Join(got, " ") != test.want {
				t.Errorf("the edit is %q, want %q", got, test.want)
			}
			var said []string
			for _, p := range problems {
				said = append(said, p.Error())
			}
			if all := strings.Join(said, "\n"); (all == "") != (test.leftOut == "") || !strings.Contains(all, test.leftOut) {
				t.Errorf("said %q, want %q", all, test.leftOut)
			}
		})
	}
}

// TestMovedPlaceIsDrawn: a place moved in a GIS says how far, and is from no receiver any more.
func TestMovedPlaceIsDrawn(t *testing.T) {
	line, area := orb.LineString{{133.2, -16.1}, {133.201, -16.1}, {133.202, -16.1}}, orb.Polygon{{{133, -16}, {133.001, -16}, {133.001, -16.001}, {133, -16}}}
	tests := []struct {
		name     string
		from, to orb.Geometry
		want     string
	}{
		// 0.0001 degrees of latitude there are 11.065 m (WGS84, by the series of the meridian arc).
		{"point", orb.Point{133.2, -16.1}, orb.Point{133.2, -16.1001}, "moved 11.1 m, from 16.1000000° S 133.2000000° E to 16.1001000° S 133.2000000° E"},
		{"centimetres", orb.Point{-133.2, 16.1}, orb.Point{-133.2, 16.1000009}, "moved 0.10 m, from 16.1000000° N 133.2000000° W to 16.1000009° N 133.2000000° W"},
		{"kilometres", orb.Point{133.2, -16.1}, orb.Point{133.2, -16.2}, "moved 11.07 km, from "},
		{"given", nil, orb.Point{133.2, -16.1}, "given a place: 16.1000000° S 133.2000000° E"},
		{"line", line, orb.LineString{line[0], {133.201, -16.1001}, line[2]}, "1 of 3 positions moved, at most 11.1 m: from 16.1000000° S 133.2010000° E to 16.1001000° S 133.2010000° E"},
		{"line-cut", line, line[:2], "drawn again: 214.0 m long, 3 positions from 16.1000000° S 133.2000000° E -> 107.0 m long, 2 positions from 16.1000000° S 133.2000000° E"},
		{"area", area, orb.Polygon{append(slices.Clone(area[0][:3]), orb.Point{133.0005, -16.0005}, area[0][0])}, "drawn again: 5922 m², 4 positions from "},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := moved(test.from, test.to); !strings.HasPrefix(got, test.want) {
				t.Errorf("said %q, want %q", got, test.want)
			}
		})
	}
	e := newEditor(t, damFields())
	edit, _, _ := e.edit(e.file(damColumns, `{"type":"Point","coordinates":[133.2,-16.1001]}`))
	if len(edit.Changes) != 1 || !strings.HasPrefix(edit.Changes[0].Words, "moved 11.1 m") || string(edit.set["positionBasis"]) != `"drawn on the map"` || string(edit.set["accuracyM"]) != "null" {
		t.Errorf("the edit is %+v, setting %s", edit.Changes, edit.set)
	}
}

// FuzzEdits: whatever a program makes of the columns and the place, the edit is an entry that a
// register takes, and the same file taken in again is known by it.
func FuzzEdits(f *testing.F) {
	for _, seed := range [][2]string{
		{damColumns, damPlace}, {`,"name":null,"crestHeightM":"1e400","notes":[1,{"a":null}]`, `null`}, {`,"kind":"gully-head","struckOut":1,"a b":"c","a_b":2`, damPlace},
		{`,"name":"Dam 1","name":"x"`, `{"type":"Point","coordinates":[180,90]}`}, {`,"builtOn":"2026/13/45","observedAt":"2026/05/01 09:00:00+00"`, `{"type":"LineString","coordinates":[[0,0],[1,1]]}`},
		{`,"photos":"[]","x_crew":"3","rows":"[{}]","sensitive":"T"`, `{"type":"GeometryCollection","geometries":[]}`}, {`,"status":"","accuracyM":-1,"":1`, `{"type":"MultiPoint","coordinates":[]}`},
	} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, columns, place string) {
		e := newEditor(t, damFields())
		text := e.file(columns, place)
		edit, problems, found := e.edit(text)
		for _, p := range problems {
			if p.Reason == "" {
				t.Errorf("a problem without a reason: %#v", p)
			}
		}
		if !found || len(edit.Changes) == 0 {
			return
		}
		at := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
		entry := edit.Entry("p", "Office", at)
		e.add(entry)
		again, _, found := e.edit(text)
		if !found || again.Entry("p", "Office", at.Add(time.Hour)).Device != entry.Device {
			t.Errorf("taken in again, the same file says %+v after %+v", again.Changes, edit.Changes)
		}
	})
}

// Without a version, or with one that is cut off, a record differs only when no state of its
// feature, newest or former, said what it says.
func TestRecordWithoutVersion(t *testing.T) {
	e := newEditor(t, damFields())
	e.add(register.Entry{Version: register.Version, ID: EntryID(time.UnixMilli(2), Key{2}), Property: "p", Feature: "f", Device: "phone-1", DeviceSeq: 2,
		Stamp: 2 << 20, SeenAt: "2026-05-02T09:00:00+10:00", Author: "Ana", Set: model.FieldValuesOf(map[string]json.RawMessage{"name": json.RawMessage(`"Dam one"`)})})
	newest := strings.Replace(damColumns, `"Dam 1"`, `"Dam one"`, 1)
	for _, c := range []struct{ name, columns, want string }{
		{"as it is now", newest, ""},
		{"as it was before", damColumns, ""},
		{"edited", strings.Replace(newest, "0.4", "0.5", 1), "crestHeightM"},
		{"edited when it was exported before", strings.Replace(damColumns, "0.4", "0.5", 1), "name crestHeightM"},
		{"a basis of old columns", newest + `,"crestHeightBasis":"taped"`, ""},
	} {
		for _, version := range []string{"", `,"version":null`, `,"version":"12E+3"`} {
			file, err := Read("old.geojson", strings.NewReader(`{"type":"Feature","properties":{"uid":"f"`+version+c.columns+`},"geometry":`+damPlace+`}`))
			if err != nil || len(file.Records) != 1 || file.Records[0].Ours == nil || !file.Records[0].Ours.Unversioned {
				t.Fatalf("%s: read %+v, %v", c.name, file, err)
			}
			var fields []string
			for _, change := range file.Records[0].Differs(e.entries) {
				fields = append(fields, change.Field)
			}
			if got := strings.Join(fields, " "); got != c.want {
				t.Errorf("%s, version %q: differs in %q, want %q", c.name, version, got, c.want)
			}
		}
	}
}
