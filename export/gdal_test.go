package export

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"

	"headcut/model"
	"headcut/model/figures"
)

// GDAL reads our files back: every feature, with its geometry, and every column with its
// name, type and value. What is expected is read from the features themselves by the
// standard library, never by the code under test.

// layers gives the fields and types of each layer as ogrinfo sees them.
func layers(t testing.TB, args ...string) map[string]map[string]string {
	t.Helper()
	out := map[string]map[string]string{}
	var layer map[string]string
	field := regexp.MustCompile(`^(\w+): ([A-Za-z0-9]+(?:\([A-Za-z]+\))?) \(\d+\.\d+\)$`)
	for _, line := range strings.Split(judge(t, "ogrinfo", append(args, "-ro", "-so", "-al")...), "\n") {
		if name, ok := strings.CutPrefix(line, "Layer name: "); ok {
			layer = map[string]string{}
			out[name] = layer
		} else if m := field.FindStringSubmatch(line); m != nil {
			layer[m[1]] = m[2]
		}
	}
	return out
}

// records reads all layers of a file as GDAL's own CSV, with the geometry as WKT.
func records(t testing.TB, path string, config ...string) []map[string]string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "layers")
	judge(t, "ogr2ogr", append(config, "-f", "CSV", "-lco", "GEOMETRY=AS_WKT", dir, path)...)
	files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatalf("GDAL writes no layers of %s: %v", path, err)
	}
	var out []map[string]string
	for _, name := range files {
		file, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(file)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows[1:] {
			record := map[string]string{}
			for i, name := range rows[0] {
				record[name] = row[i]
			}
			out = append(out, record)
		}
	}
	return out
}

// byUID finds records by our own identifier.
func byUID(t testing.TB, records []map[string]string) map[string]map[string]string {
	t.Helper()
	out := map[string]map[string]string{}
	for _, record := range records {
		out[record["uid"]] = record
	}
	if len(out) != len(records) {
		t.Errorf("%d records have %d different uids", len(records), len(out))
	}
	return out
}

// readable is land without what GDAL cannot tell from CSV, or has a rule of its own for.
func readable(t testing.TB) []model.Feature {
	return slices.DeleteFunc(land(t), func(f model.Feature) bool { return f.ID == "wrong-types" || f.ID == "line-over-180" })
}

func TestGDALReadsGeoJSON(t *testing.T) {
	all := readable(t)
	t.Run("worked-out", func(t *testing.T) { readGeoJSON(t, all, figuresOf(of(all...))) })
	t.Run("every-figure", func(t *testing.T) { readGeoJSON(t, all, measured{}) })
}

func readGeoJSON(t *testing.T, all []model.Feature, land Figures) {
	path := onDisk(t, "geojson", Source{Property: "Sandalwood Run", Features: of(all...), Figures: land})
	seen := layers(t, path)["Sandalwood Run"]
	// A column that no feature has a value in is not there: GDAL would see texts in it.
	want := map[string]string{"id": "String", "uid": "String", "kind": "String"}
	for _, f := range all {
		kind, _ := model.KindNamed(f.Kind)
		if kind == nil {
			kind = &model.Kind{}
		}
		for _, field := range kind.AllFields() {
			if raw := f.Fields[field.Name]; field.Name == "geometry" || raw == nil || string(raw) == "null" {
				continue
			}
			want[field.Name] = "String"
			if of := map[model.FieldType]string{model.Number: "Real", model.Integer: "Integer", model.YesNo: "Integer(Boolean)", model.Date: "Date"}[field.Type]; of != "" {
				want[field.Name] = of
			}
		}
		sheet := land.Of(f)
		for _, c := range figures.Columns(f.Kind) {
			figure, known := sheet.Figure(c.Name)
			if known {
				want[columnName(c, c.Name)], want[columnName(c, c.BasisName)] = "Real", "String"
			}
			if known && figure.PlusMinus != nil {
				want[columnName(c, c.PlusMinusName)] = "Real"
			}
		}
		if len(sheet.Checks) > 0 {
			want["checks"] = "String"
		}
		if len(sheet.Cautions) > 0 {
			want["cautions"] = "String"
		}
		v := sheet.Visited
		if f.Kind == "visit" || f.Kind == "level-run" || v == nil {
			continue
		}
		for name, of := range map[string]struct{ value, is string }{"visitedOn": {v.On, "Date"}, "visitedCondition": {string(v.Condition), "String"}, "visitedConditionOn": {v.ConditionOn, "Date"}} {
			if of.value != "" {
				want[name] = of.is
			}
		}
		for _, m := range v.Measured {
			name := "newest" + strings.ToUpper(m.Name[:1]) + m.Name[1:]
			want[name] = "Real"
			if m.On != "" {
				want[name+"On"] = "Date"
			}
		}
	}
	maps.Copy(want, map[string]string{"volumeM3": "Real", "lined": "Integer(Boolean)", "crew": "String", "parts": "String"})
	for name, of := range want {
		if seen[name] != of {
			t.Errorf("GDAL sees column %s as %q, want %q", name, seen[name], of)
		}
	}
	for name := range seen {
		if want[name] == "" {
			t.Errorf("GDAL sees a column %s of type %s, want none", name, seen[name])
		}
	}
	got := byUID(t, records(t, path))
	if len(got) != len(all) {
		t.Errorf("GDAL reads %d features, want %d", len(got), len(all))
	}
	for _, f := range all {
		checkRecord(t, f, land.Of(f), got[f.ID], "name")
	}
}

func TestLIBKMLReadsKML(t *testing.T) {
	all := readable(t)
	t.Run("worked-out", func(t *testing.T) { readLIBKML(t, all, figuresOf(of(all...))) })
	t.Run("every-figure", func(t *testing.T) { readLIBKML(t, all, measured{}) })
}

func readLIBKML(t *testing.T, all []model.Feature, land Figures) {
	path := onDisk(t, "kml", Source{Property: "Sandalwood Run", Features: of(all...), Figures: land})
	config := []string{"--config", "OGR_SKIP", "KML"}
	seen := layers(t, append(config, path)...)
	named := map[string]bool{}
	for _, f := range all {
		kind, ok := model.KindNamed(f.Kind)
		layer := f.Kind
		if ok {
			layer = kind.Plural
		} else if layer == "" {
			layer = "No kind"
		}
		named[layer] = true
		for _, field := range model.CommonFields {
			checkKMLType(t, layer, seen[layer], field)
		}
		if ok {
			for _, field := range kind.AllFields() {
				checkKMLType(t, layer, seen[layer], field)
			}
		}
		for _, c := range figures.Columns(f.Kind) {
			if s := seen[layer]; s[columnName(c, c.Name)] != "Real" || s[columnName(c, c.PlusMinusName)] != "Real" || s[columnName(c, c.BasisName)] != "String" {
				t.Errorf("LIBKML sees figure %s of %s as %q, %q, %q", c.Name, layer, s[columnName(c, c.Name)], s[columnName(c, c.PlusMinusName)], s[columnName(c, c.BasisName)])
			}
		}
	}
	if len(seen) != len(named) {
		t.Errorf("LIBKML sees %d layers, want %d", len(seen), len(named))
	}
	got := byUID(t, records(t, path, config...))
	if len(got) != len(all) {
		t.Errorf("LIBKML reads %d features, want %d", len(got), len(all))
	}
	for _, f := range all {
		checkRecord(t, f, land.Of(f), got[f.ID], "Name")
	}
}

// The plain KML driver has no typed columns and passes over placemarks without a place, but
// must find all others where they are.
func TestKMLDriverReadsKML(t *testing.T) {
	var want []string
	all := readable(t)
	for _, f := range all {
		if f.Geometry != nil {
			want = append(want, wkt.MarshalString(f.Geometry))
		}
	}
	var got []string
	for _, record := range records(t, onDisk(t, "kml", Source{Features: of(all...)}), "--config", "OGR_SKIP", "LIBKML") {
		got = append(got, record["WKT"])
	}
	if len(got) != len(want) {
		t.Fatalf("the KML driver reads %d features, want %d", len(got), len(want))
	}
	for _, one := range want {
		if !slices.ContainsFunc(got, func(other string) bool { return sameGeometry(other, one) }) {
			t.Errorf("the KML driver reads no geometry %s", one)
		}
	}
}

func checkKMLType(t *testing.T, layer string, seen map[string]string, field model.Field) {
	t.Helper()
	if field.Name == "kind" || field.Name == "geometry" || field.Name == "name" {
		return
	}
	want := map[model.FieldType]string{model.Number: "Real", model.Integer: "Integer", model.YesNo: "Integer"}[field.Type]
	if want == "" {
		want = "String"
	}
	if seen[field.Name] != want {
		t.Errorf("LIBKML sees column %s of %s as %q, want %q", field.Name, layer, seen[field.Name], want)
	}
}

// columnName is the name of one of a figure's three columns where a field has taken the
// figure's own name.
func columnName(c figures.Column, name string) string {
	if _, taken := typeElsewhere[c.Name]; taken {
		return "computed" + strings.ToUpper(name[:1]) + name[1:]
	}
	return name
}

// halfDigit is half of the last digit that a figure and its ± deserve: the second after the first
// of the ±, at least 0.1 mm, and without one where the unit ends.
func halfDigit(t *testing.T, f model.Figure) float64 {
	decimals := model.DecimalsOf(f.Unit)
	if f.PlusMinus != nil && *f.PlusMinus > 0 {
		_, exponent, _ := strings.Cut(strconv.FormatFloat(*f.PlusMinus, 'e', -1, 64), "e")
		e, err := strconv.Atoi(exponent)
		if err != nil {
			t.Fatal(err)
		}
		decimals = min(max(0, 2-e), 4)
	}
	return 0.50001 * math.Pow10(-decimals)
}

func checkRecord(t *testing.T, f model.Feature, sheet figures.Sheet, got map[string]string, nameColumn string) {
	t.Helper()
	if got == nil {
		t.Errorf("GDAL does not read %s", f.ID)
		return
	}
	if got["kind"] != f.Kind {
		t.Errorf("%s has kind %q, want %q", f.ID, got["kind"], f.Kind)
	}
	for name, raw := range f.Fields {
		if name == "kind" {
			continue
		}
		column := name
		if name == "name" {
			column = nameColumn
		}
		if text, ok := got[column]; !ok || !sameValue(t, text, raw) {
			t.Errorf("%s has %s = %q (present: %v), want %s", f.ID, column, text, ok, raw)
		}
	}
	for _, figure := range sheet.Figures {
		for _, c := range figures.Columns(f.Kind) {
			if c.Name != figure.Name {
				continue
			}
			if v, err := strconv.ParseFloat(got[columnName(c, c.Name)], 64); err != nil || math.Abs(v-figure.Value) > halfDigit(t, figure) {
				t.Errorf("%s has %s = %q, want %v", f.ID, c.Name, got[columnName(c, c.Name)], figure.Value)
			}
			if v, err := strconv.ParseFloat(got[columnName(c, c.PlusMinusName)], 64); (err != nil) != (figure.PlusMinus == nil) || err == nil && math.Abs(v-*figure.PlusMinus) > halfDigit(t, figure) {
				t.Errorf("%s has %s = %q, want %v", f.ID, c.PlusMinusName, got[columnName(c, c.PlusMinusName)], figure.PlusMinus)
			}
			if got[columnName(c, c.BasisName)] != string(figure.Basis) {
				t.Errorf("%s has %s = %q, want %q", f.ID, c.BasisName, got[columnName(c, c.BasisName)], figure.Basis)
			}
		}
	}
	checkGeometry(t, f, got["WKT"])
}

// sameValue compares a text of GDAL's with a recorded value.
func sameValue(t *testing.T, text string, raw json.RawMessage) bool {
	t.Helper()
	var want any
	if err := json.Unmarshal(raw, &want); err != nil {
		t.Fatal(err)
	}
	switch want := want.(type) {
	case string:
		if strings.ReplaceAll(text, "/", "-") == want {
			return true // GDAL writes the Date type with slashes
		}
		// encoding/csv reads CR LF as LF inside quotes.
		return text == strings.ReplaceAll(legal(want), "\r\n", "\n")
	case float64:
		v, err := strconv.ParseFloat(text, 64)
		return err == nil && v == want
	case bool:
		return text == "0" && !want || text == "1" && want
	case nil:
		return text == ""
	default:
		var got any
		if json.Unmarshal([]byte(text), &got) != nil {
			return false
		}
		return fmt.Sprint(got) == fmt.Sprint(want)
	}
}

var number = regexp.MustCompile(`-?\d+(\.\d+)?(e[-+]\d+)?`)

// checkGeometry compares shape and structure exactly and each number to 1e-7 degrees.
func checkGeometry(t *testing.T, f model.Feature, got string) {
	t.Helper()
	if f.Geometry == nil {
		if got != "" {
			t.Errorf("%s has geometry %s, want none", f.ID, got)
		}
		return
	}
	if want := wkt.MarshalString(f.Geometry); !sameGeometry(got, want) {
		t.Errorf("%s has geometry %s, want %s", f.ID, got, want)
	}
}

// sameGeometry compares two WKT texts.
func sameGeometry(got, want string) bool {
	form := func(s string) string {
		return strings.ReplaceAll(number.ReplaceAllString(s, "#"), " ", "")
	}
	if form(got) != form(want) {
		return false
	}
	gotNumbers, wantNumbers := number.FindAllString(got, -1), number.FindAllString(want, -1)
	for i := range wantNumbers {
		a, errA := strconv.ParseFloat(gotNumbers[i], 64)
		b, errB := strconv.ParseFloat(wantNumbers[i], 64)
		if errA != nil || errB != nil || math.Abs(a-b) > 1e-7 {
			return false
		}
	}
	return true
}

// GDAL's own RFC 7946 writer rewinds and cuts where it must: of our files it changes
// nothing. Collections are left out: version 3.6.2 loses members of them there.
func TestGDALFindsNothingToMend(t *testing.T) {
	all := slices.DeleteFunc(land(t), func(f model.Feature) bool { return f.ID == "collection" })
	all = append(all,
		model.Feature{ID: "clockwise", Kind: "scald", Geometry: orb.Polygon{{{0, 0}, {0, 1}, {1, 1}, {1, 0}, {0, 0}}, {{0.2, 0.2}, {0.4, 0.2}, {0.4, 0.4}, {0.2, 0.2}}}},
		model.Feature{ID: "area-over-180", Kind: "scald", Geometry: orb.Polygon{
			{{179, 0}, {-179, 0}, {-179, 2}, {179, 2}, {179, 0}}, {{179.5, 0.5}, {179.5, 1.5}, {-179.5, 1.5}, {-179.5, 0.5}, {179.5, 0.5}}}})
	path := onDisk(t, "geojson", Source{Property: "P", Features: of(all...)})
	mended := filepath.Join(t.TempDir(), "mended.geojson")
	judge(t, "ogr2ogr", "-f", "GeoJSON", "-lco", "RFC7946=YES", "-lco", "COORDINATE_PRECISION=8", mended, path)
	ours, theirs := geometries(t, path), geometries(t, mended)
	if len(ours) != len(all) || len(theirs) != len(all) {
		t.Fatalf("%d geometries, and %d after GDAL, want %d", len(ours), len(theirs), len(all))
	}
	for id, g := range ours {
		if theirs[id] != g {
			t.Errorf("GDAL mends %s\nfrom %s\n  to %s", id, g, theirs[id])
		}
	}
}

func geometries(t *testing.T, path string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for line := range strings.Lines(judge(t, "jq", "-c", ".features[] | [.properties.uid, .geometry]", path)) {
		var pair [2]json.RawMessage
		if err := json.Unmarshal([]byte(line), &pair); err != nil {
			t.Fatal(err)
		}
		out[string(pair[0])] = string(pair[1])
	}
	return out
}
