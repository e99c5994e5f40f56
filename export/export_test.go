package export

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// properties reads one feature's line of a GeoJSON export.
func properties(t testing.TB, file, id string) map[string]any {
	t.Helper()
	var all struct {
		Features []struct {
			ID         string
			Properties map[string]any
		}
	}
	if err := json.Unmarshal([]byte(file), &all); err != nil {
		t.Fatalf("export is not JSON: %v\n%s", err, file)
	}
	for _, f := range all.Features {
		if f.ID == id {
			return f.Properties
		}
	}
	t.Fatalf("export has no feature %q", id)
	return nil
}

// simpleData reads one placemark's columns of a KML export.
func simpleData(t testing.TB, file, id string) map[string]string {
	t.Helper()
	var document struct {
		Folders []struct {
			Placemarks []struct {
				ID   string `xml:"id,attr"`
				Data []struct {
					Name  string `xml:"name,attr"`
					Value string `xml:",chardata"`
				} `xml:"ExtendedData>SchemaData>SimpleData"`
			} `xml:"Placemark"`
		} `xml:"Document>Folder"`
	}
	if err := xml.Unmarshal([]byte(file), &document); err != nil {
		t.Fatalf("export is not XML: %v\n%s", err, file)
	}
	for _, folder := range document.Folders {
		for _, p := range folder.Placemarks {
			if p.ID == "f_"+id {
				values := map[string]string{}
				for _, d := range p.Data {
					values[d.Name] = d.Value
				}
				return values
			}
		}
	}
	t.Fatalf("export has no placemark of %q", id)
	return nil
}

func TestWrongTypesAreKept(t *testing.T) {
	f := model.Feature{ID: "head", Kind: "gully-head", Geometry: orb.Point{math.NaN(), 1}, Fields: map[string]json.RawMessage{
		"headDepthM": []byte(`"deep"`), "active": []byte(`"yes"`), "dispersive": []byte(` true `), "observedOn": []byte(`"0000-00-00"`),
		"photos": []byte(`[broken`), "catchmentHa": []byte(`1e400`), "accuracyM": []byte(`5`), "gpsHeightM": []byte(`null`),
		"row": []byte(`2.5`), "coverPct": []byte(`40`), "geometry": []byte(`{"type":"Point","coordinates":[1e99,1]}`),
		"kind": []byte(`"gully-head"`), "uid": []byte(`"other"`), "Notes": []byte(`"upper case"`), "headDepthMAsRecorded": []byte(`7`),
		"big": []byte(`9007199254740993`), "nested": []byte(`{"a":[1,null]}`), "blank": []byte(`null`),
	}}
	file := write(t, "geojson", Source{Property: "P", Features: of(f)})
	want := map[string]any{
		"uid": "head", "kind": "gully-head", "headDepthM": nil, "headDepthMAsRecorded": `"deep"`, "active": nil, "activeAsRecorded": `"yes"`,
		"dispersive": true, "observedOn": nil, "observedOnAsRecorded": `"0000-00-00"`, "photos": nil, "photosAsRecorded": `[broken`,
		"catchmentHa": nil, "catchmentHaAsRecorded": `1e400`, "accuracyM": 5.0, "gpsHeightM": nil, "rowAsRecorded": `2.5`, "coverPct": 40.0,
		"geometryAsRecorded": `{"type":"Point","coordinates":[1e99,1]}`, "otherUid": "other", "otherNotes": "upper case",
		"otherHeadDepthMAsRecorded": 7.0, "big": 9007199254740992.0, "nested": `{"a":[1,null]}`,
		"name": nil, "notes": nil, "gpsHeightsM": nil, "sensitive": nil,
		"positionBasis": nil, "headDepthBasis": nil, "catchmentBasis": nil,
	}
	got := properties(t, file, "head")
	for name, value := range want {
		if v, ok := got[name]; ok != (value != nil) || v != value { // what is unknown is left out
			t.Errorf("property %s = %#v (present: %v), want %#v", name, v, ok, value)
		}
	}
	for name := range got {
		if want[name] == nil {
			t.Errorf("property %s = %#v, want none", name, got[name])
		}
	}
	data := simpleData(t, write(t, "kml", Source{Property: "P", Features: of(f)}), "head")
	for name, value := range want {
		if text, ok := value.(string); ok && data[name] != text {
			t.Errorf("SimpleData %s = %q, want %q", name, data[name], text)
		}
		if _, ok := data[name]; value == nil && ok {
			t.Errorf("SimpleData %s = %q, want none: the value is unknown", name, data[name])
		}
	}
	if data["dispersive"] != "1" {
		t.Errorf("SimpleData dispersive = %q, want 1", data["dispersive"])
	}
}

// A GeoJSON reader guesses a column's type from its values: numbers of a measured field
// keep a point even when they are whole.
func TestNumbersKeepTheirType(t *testing.T) {
	file := write(t, "geojson", Source{Features: of(
		model.Feature{ID: "w", Kind: "windrow", Fields: map[string]json.RawMessage{"heightM": []byte("3"), "row": []byte("3")}})})
	for _, want := range []string{`"heightM":3.0,`, `"row":3}`} {
		if !strings.Contains(file, want) {
			t.Errorf("export lacks %s:\n%s", want, file)
		}
	}
}

// Whole numbers are those that 32 bits hold, the widest that KML has; others are kept as
// recorded.
func TestIntegers(t *testing.T) {
	for raw, want := range map[string]string{
		"1": "1", "-0": "0", "2147483647": "2147483647", "-2147483648": "-2147483648",
		"2147483648": "", "1.0": "", "1e3": "", "007": "", `"1"`: "", "": "",
	} {
		c, ok := integer([]byte(raw))
		if ok != (want != "") || string(c.bytes) != want {
			t.Errorf("integer(%q) = %q, %v, want %q", raw, c.bytes, ok, want)
		}
	}
}

func TestOneNameHasOneType(t *testing.T) {
	types := map[string]model.FieldType{}
	for _, kind := range model.Kinds {
		for _, f := range kind.AllFields() {
			if other, ok := types[f.Name]; ok && other != f.Type {
				t.Errorf("field %s of %s is %s, elsewhere %s: a file would mix the two", f.Name, kind.Name, f.Type, other)
			}
			types[f.Name] = f.Type
		}
	}
}

func TestSensitiveIsWithheldFromLinks(t *testing.T) {
	var all []model.Feature
	for id, raw := range map[string]string{"open": "false", "cleared": "null", "secret": "true", "spaced": " true", "unreadable": `"yes"`} {
		all = append(all, model.Feature{ID: id, Kind: "cover-plot", Geometry: orb.Point{133, -16}, Fields: map[string]json.RawMessage{"sensitive": []byte(raw)}})
	}
	all = append(all, model.Feature{ID: "unmarked", Kind: "cover-plot"})
	for id, fields := range map[string]string{ // as registers of old keep what a file said
		"words-said": `{"x-sensitive":"ja"}`, "words-near": `{"x-Sensitivity":"yes"}`, "words-number": `{"x-sensitive":2}`, "words-spelled": `{"x-Sensitive":true}`, "words-gpx": `{"x-extensions.sensitive":"true"}`,
		"plain-no": `{"x-extensions.sensitive":" No"}`, "answered": `{"x-sensitive":"ja","sensitive":false}`, "words-sure": `{"x-sensitive":"no","sensitive":true}`,
	} {
		f := model.Feature{ID: id, Kind: "cover-plot"}
		if err := json.Unmarshal([]byte(fields), &f.Fields); err != nil {
			t.Fatal(err)
		}
		all = append(all, f)
	}
	open := []string{"open", "cleared", "unmarked", "plain-no", "answered"}
	for _, format := range Formats {
		whole := write(t, format.Name, Source{Features: of(all...)})
		shared := write(t, format.Name, Source{Features: of(all...), ForLink: true})
		for _, f := range all {
			if !strings.Contains(whole, f.ID) {
				t.Errorf("%s for the owner lacks %s", format.Name, f.ID)
			}
			if got := strings.Contains(shared, f.ID); got != slices.Contains(open, f.ID) {
				t.Errorf("%s for a link has %s: %v", format.Name, f.ID, got)
			}
		}
	}
}

func TestFailingSourceLeavesNoWholeFile(t *testing.T) {
	broken := errors.New("the store is gone")
	for _, format := range Formats {
		for _, at := range []int{0, 1, 500} {
			var out bytes.Buffer
			err := format.Write(&out, Source{Property: "P", Features: func(yield func(model.Feature, error) bool) {
				for i := range at {
					if !yield(peg(i), nil) {
						return
					}
				}
				yield(model.Feature{}, broken)
			}})
			if !errors.Is(err, broken) {
				t.Errorf("%s failing at feature %d returns %v, want the source's error", format.Name, at, err)
			}
			if json.Valid(out.Bytes()) || xml.Unmarshal(out.Bytes(), new(struct{})) == nil {
				t.Errorf("%s failing at feature %d leaves a file that parses: %d bytes", format.Name, at, out.Len())
			}
		}
	}
}

func TestFeatureWithoutID(t *testing.T) {
	for _, format := range Formats {
		err := format.Write(io.Discard, Source{Features: of(model.Feature{Kind: "peg"})})
		if problem, ok := errors.AsType[*model.Problem](err); !ok || problem.Path != "id" {
			t.Errorf("%s of a feature without an id returns %v, want a Problem at id", format.Name, err)
		}
	}
}

// full refuses all after some bytes.
type full struct{ room int }

var errFull = errors.New("no room left")

func (f *full) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestFullDisk(t *testing.T) {
	for _, format := range Formats {
		whole := write(t, format.Name, Source{Features: pegs(2000)})
		for _, room := range []int{0, 10, 1000, len(whole) / 2, len(whole) - 1} {
			if err := format.Write(&full{room}, Source{Features: pegs(2000)}); !errors.Is(err, errFull) {
				t.Errorf("%s into a disk with room for %d of %d bytes returns %v", format.Name, room, len(whole), err)
			}
		}
	}
}

func TestSameBytesEachTime(t *testing.T) {
	all := land(t)
	for _, format := range Formats {
		first := write(t, format.Name, Source{Property: "P", Features: of(all...)})
		for range 5 { // maps change their order
			if again := write(t, format.Name, Source{Property: "P", Features: of(all...)}); again != first {
				t.Fatalf("%s differs from one time to the next", format.Name)
			}
		}
	}
}

func TestEmptyProperty(t *testing.T) {
	file := write(t, "geojson", Source{Property: "Nothing \"yet\"", Features: of()})
	if want := "{\"type\":\"FeatureCollection\",\"name\":\"Nothing \\\"yet\\\"\",\"features\":[\n],\"fields\":[]}\n"; file != want {
		t.Errorf("GeoJSON without features is %q, want %q", file, want)
	}
	file = write(t, "kml", Source{Property: "Nothing & <yet>", Features: of()})
	if !strings.HasSuffix(file, "<Document><name>Nothing &amp; &lt;yet&gt;</name>\n<description>A ± is one standard deviation.</description>\n</Document>\n</kml>\n") {
		t.Errorf("KML without features is %q", file)
	}
}

func TestNamed(t *testing.T) {
	for _, f := range Formats {
		got, ok := Named(f.Name)
		if !ok || got.Extension != f.Extension || !strings.HasPrefix(f.Extension, ".") || !strings.Contains(f.MediaType, "/") || f.Label == "" {
			t.Errorf("Named(%q) = %+v, %v", f.Name, got, ok)
		}
	}
	if f, ok := Named("GeoJSON"); ok {
		t.Errorf("Named knows %+v, want names in lower case only", f)
	}
}

// Each feature stands on a line of its own, so that a large file can be cut by lines.
func TestFeaturePerLine(t *testing.T) {
	all := land(t)
	lines := strings.Split(strings.TrimSpace(write(t, "geojson", Source{Features: of(all...)})), "\n")
	if len(lines) != len(all)+2 {
		t.Fatalf("export of %d features has %d lines, want two more", len(all), len(lines))
	}
	for i, line := range lines[1 : len(lines)-1] {
		var f struct{ ID string }
		if err := json.Unmarshal([]byte(strings.TrimSuffix(line, ",")), &f); err != nil || f.ID != all[i].ID {
			t.Errorf("line %d reads as %q (%v), want %q", i+2, f.ID, err, all[i].ID)
		}
	}
}

// Both formats carry the same columns for the same feature.
func TestFormatsAgree(t *testing.T) {
	all := land(t)
	source := Source{Features: of(all...)}
	geojson, kml := write(t, "geojson", source), write(t, "kml", source)
	for _, f := range all {
		var inJSON, inKML []string
		for name, v := range properties(t, geojson, f.ID) {
			if v != nil && name != "name" {
				inJSON = append(inJSON, name)
			}
		}
		for name := range simpleData(t, kml, string(appendXMLName(nil, f.ID))) {
			inKML = append(inKML, name)
		}
		slices.Sort(inJSON)
		slices.Sort(inKML)
		if !slices.Equal(inJSON, inKML) {
			t.Errorf("%s has columns %q in GeoJSON and %q in KML", f.ID, inJSON, inKML)
		}
	}
}

// A field that two kinds call differently is described once for each name, so that the label
// of a whoa-boy's chainage is its own and not a dam's.
func TestGeoJSONLabelsEachKindsOwn(t *testing.T) {
	features := of(model.Feature{ID: "d", Kind: "check-dam", Fields: texts(t, map[string]any{"chainageM": 9})},
		model.Feature{ID: "w", Kind: "whoa-boy", Fields: texts(t, map[string]any{"chainageM": 41.1})})
	file := write(t, "geojson", Source{Features: features})
	for _, want := range []string{`"label":"Chainage","type":"number","unit":"m","kinds":["check-dam"]`,
		`"label":"Chainage from the upper end","type":"number","unit":"m","kinds":["whoa-boy"]`} {
		if !strings.Contains(file, `{"name":"chainageM",`+want+`}`) {
			t.Errorf("the file does not say %s", want)
		}
	}
}
