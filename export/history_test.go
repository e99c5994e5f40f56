package export

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
)

// remembered are features with histories: plain, with clashes, and struck out.
func remembered(t testing.TB) Source {
	all := []model.Feature{
		{ID: "dam-1", Kind: "check-dam", Geometry: orb.Point{133.2, -16.1}, Fields: texts(t, map[string]any{"kind": "check-dam", "name": "Dam 5", "status": "built", "crestHeightM": 0.4, "crestHeightBasis": "taped", "notes": "silt to half"})},
		{ID: "rip-1", Kind: "rip-line", Geometry: orb.LineString{{133.2, -16.1}, {133.21, -16.1}}, Fields: texts(t, map[string]any{"kind": "rip-line", "status": "built"})},
		{ID: "hazard-1", Kind: "hazard", Geometry: orb.Point{133.2, -16.1}, Fields: texts(t, map[string]any{"kind": "hazard", "danger": "undercut wall"})},
	}
	histories := map[string]History{
		"dam-1": {Version: "v0123456789abcdef", RecordedBy: "Ana <A>", RecordedAt: "2026-05-13T09:00:00+10:00", ChangedBy: "Ben", ChangedAt: "2026-06-01T07:00:00+10:00",
			Clashes: []Clash{{Field: "name", Values: []Claim{{Value: json.RawMessage(`"Dam 5"`), Author: "Ana <A>", At: "2026-05-13T09:00:00+10:00"}, {Value: json.RawMessage(`"Dam 6"`), Author: "Ben"}}}}},
		"rip-1":    {Version: "v1123456789abcdef", RecordedBy: "Ana <A>", ChangedBy: "Ana <A>", Struck: true, Clashes: []Clash{{Field: "strike", Values: []Claim{{Value: json.RawMessage("true"), Author: "Ben"}}}}},
		"hazard-1": {Version: "v2123456789abcdef"},
	}
	return Source{Property: "P", Features: of(all...), Figures: figuresOf(of(all...)), History: func(id string) History { return histories[id] }}
}

// TestHistoryColumns: a file says of each feature its version, who recorded it and when it
// changed, its clashes, and whether it was struck out; what was has no place and no figures.
func TestHistoryColumns(t *testing.T) {
	file := write(t, "geojson", remembered(t))
	dam, rip := properties(t, file, "dam-1"), properties(t, file, "rip-1")
	for name, want := range map[string]any{
		"version": "v0123456789abcdef", "recordedBy": "Ana <A>", "recordedAt": "2026-05-13T09:00:00+10:00", "changedBy": "Ben", "changedAt": "2026-06-01T07:00:00+10:00",
		"clashes": `Name: "Dam 5" (Ana <A>, 13 May 2026) or "Dam 6" (Ben)`, "struckOut": false,
	} {
		if dam[name] != want {
			t.Errorf("%s is %v, want %v", name, dam[name], want)
		}
	}
	if rip["struckOut"] != true || rip["lengthM"] != nil || rip["recordedAt"] != nil || rip["clashes"] != "Struck out or kept: struck out (Ben)" {
		t.Errorf("what was struck out has %v", rip)
	}
	if !strings.Contains(file, `"id":"rip-1","properties":`) || strings.Count(file, `"geometry":null`) != 1 {
		t.Errorf("what was struck out must be there without a place:\n%s", file)
	}
	if shared := write(t, "geojson", Source{Features: remembered(t).Features, ForLink: true}); strings.Contains(shared, "recordedBy") || strings.Contains(shared, "version") {
		t.Error("a shared file says who recorded what")
	}
}

// TestDescriptionWarnsFirst: a KML description has what warns before any figure.
func TestDescriptionWarnsFirst(t *testing.T) {
	file := write(t, "kml", remembered(t))
	description := func(id string) string {
		_, rest, _ := strings.Cut(file, `<Placemark id="f_`+id+`">`)
		_, rest, _ = strings.Cut(rest, "<description>")
		text, _, _ := strings.Cut(rest, "</description>")
		return text
	}
	for id, want := range map[string][]string{
		"dam-1": {"Check dam, built\n", "Warning: Its toe and crest have not been levelled.\n", "Caution: ",
			"Clash to settle: Name: \"Dam 5\" (Ana &amp;lt;A&amp;gt;, 13 May 2026) or \"Dam 6\" (Ben)\n",
			"Crest above bed 0.40 ± 0.05 m (taped)\n", "silt to half\n", "Recorded by Ana &amp;lt;A&amp;gt;, 13 May 2026\nLast changed by Ben, 1 June 2026"},
		"hazard-1": {"Hazard\n", "Danger: undercut wall"},
	} {
		text := description(id)
		for _, part := range want {
			_, rest, ok := strings.Cut(text, part)
			if !ok {
				t.Errorf("the description of %s lacks %q, or has it too early:\n%s", id, part, description(id))
			}
			text = rest
		}
	}
	if got := description("rip-1"); !strings.HasPrefix(got, "Rip line, built\nStruck out of the register") || strings.Contains(got, "Length") {
		t.Errorf("the description of what was struck out is\n%s", got)
	}
}

// TestExportedAtStandsOnce: two exports of one state differ in the stamp alone.
func TestExportedAtStandsOnce(t *testing.T) {
	for _, format := range Formats {
		early, late := remembered(t), remembered(t)
		early.ExportedAt = time.Date(2026, 5, 13, 1, 2, 3, 0, time.UTC)
		late.ExportedAt = time.Date(2026, 11, 29, 17, 2, 3, 0, time.UTC)
		a, b := write(t, format.Name, early), write(t, format.Name, late)
		for _, stamp := range [][2]string{{"2026-05-13T01:02:03Z", "2026-11-29T17:02:03Z"}, {"13 May 2026, 01:02 UTC", "29 November 2026, 17:02 UTC"}} {
			a = strings.Replace(a, stamp[0], stamp[1], 1)
		}
		if a != b || a == write(t, format.Name, remembered(t)) {
			t.Errorf("%s: two exports differ in more than one stamp, or have none", format.Label)
		}
	}
}

// TestPlacesOf: a value has the decimals that its ± deserves.
func TestPlacesOf(t *testing.T) {
	for _, c := range []struct {
		value, plusMinus float64
		want             string
	}{{9.2, 7.1, "9 ± 7 m (GPS)"}, {12.345, 0.42, "12.3 ± 0.4 m (GPS)"}, {0.4, 0.01, "0.400 ± 0.010 m (GPS)"}, {1234.6, 150, "1235 ± 150 m (GPS)"}, {3, 0.15, "3.00 ± 0.15 m (GPS)"}, {3.456, -1, "3.46 m (GPS)"}, {0.0001, 0.0004, "0.000 ± 0.000 m (GPS)"}} {
		if got := string(appendMeasure(nil, model.Figure{Value: c.value, PlusMinus: model.Known(c.plusMinus), Unit: "m", Basis: model.GPS})); got != c.want {
			t.Errorf("%v with ± %v is %q, want %q", c.value, c.plusMinus, got, c.want)
		}
	}
	for want, f := range map[string]model.Figure{
		"-5.0 ± 4.5 mm (levelled)": {Name: "misclosureM", Value: -0.005, PlusMinus: model.Known(0.0045), Unit: "m", Basis: model.Levelled},
		"7.1 mm (levelled)":        {Name: "allowableM", Value: 0.00707, PlusMinus: model.Known(0), Unit: "m", Basis: model.Levelled},
	} {
		if got := string(appendMeasure(nil, f)); got != want {
			t.Errorf("%s as a level book says it: %q, want %q", f.Name, got, want)
		}
	}
}

// TestVisitOfNoDay: what a device wrote as the day of a visit stands in a KML description as
// text, whatever it is, and breaks no file.
func TestVisitOfNoDay(t *testing.T) {
	all := []model.Feature{
		{ID: "dam-1", Kind: "check-dam", Geometry: orb.Point{133.2, -16.1}, Fields: texts(t, map[string]any{"kind": "check-dam", "name": "Dam 5"})},
		{ID: "visit-1", Kind: "visit", Fields: texts(t, map[string]any{"kind": "visit", "of": "dam-1", "condition": "sound", "observedOn": "\x01</description>&", "sedimentDepthM": 0.2})},
	}
	file := write(t, "kml", Source{Property: "P", Features: of(all...), Figures: figuresOf(of(all...))})
	for _, want := range []string{"Last inspected &amp;lt;/description&amp;gt;&amp;amp;", "Sediment", "m, &amp;lt;/description&amp;gt;&amp;amp;"} {
		if !strings.Contains(file, want) {
			t.Errorf("KML lacks %s:\n%s", want, file)
		}
	}
	if n := strings.Count(file, "</description>"); n != 3 {
		t.Errorf("KML has %d descriptions, want those of the document and of two features", n)
	}
}

// TestClaimed: a clash shows values that fit a line, and words for those that do not.
func TestClaimed(t *testing.T) {
	long := `"` + strings.Repeat("x", 78) + `"`
	for _, c := range []struct{ field, value, want string }{
		{"geometry", `{"type":"Point","coordinates":[1,2]}`, "a place"}, {"geometry", "null", "nothing"},
		{"strike", "true", "struck out"}, {"strike", "false", "restored"}, {"strike", `"x"`, "edited"},
		{"notes", "null", "nothing"}, {"notes", "true", "true"}, {"notes", "false", "false"},
		{"notes", " 3 ", "3"}, {"notes", long, long}, {"notes", long + "x", "a long value"},
	} {
		if got := claimed(c.field, json.RawMessage(c.value)); got != c.want {
			t.Errorf("%s of %s is %q, want %q", c.value, c.field, got, c.want)
		}
	}
}

// TestRecognise tells exports by their first bytes from other files of the same formats.
func TestRecognise(t *testing.T) {
	f := model.Feature{ID: "dam-1", Kind: "check-dam", Geometry: orb.Point{133.2, -16.1}, Fields: texts(t, map[string]any{"kind": "check-dam"})}
	for _, format := range []string{"kml", "geojson"} {
		for _, features := range [][]model.Feature{{f}, nil} {
			file := write(t, format, Source{Property: "P", Features: of(features...), Figures: figuresOf(of(features...))})
			if !Recognise([]byte(file)) {
				t.Errorf("an export of %d features as %s is not known again", len(features), format)
			}
		}
	}
	for _, other := range []string{"", "uid,version", `{"type":"FeatureCollection","features":[]}`, geoJSONHead + "]}", ` ,"exportedAt":"2026"`} {
		if Recognise([]byte(other)) {
			t.Errorf("%q is taken for an export", other)
		}
	}
}
