package intake

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
)

const casesDir = "../../testdata/cases"

// manifestRow is one odd file and what must come of it.
type manifestRow struct{ file, format, outcome, expected, why string }

func manifest(t testing.TB) []manifestRow {
	t.Helper()
	f, err := os.Open(filepath.Join(casesDir, "manifest.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []manifestRow
	for _, r := range table[1:] {
		rows = append(rows, manifestRow{file: r[0], format: r[1], outcome: r[2], expected: r[3], why: r[4]})
	}
	if len(rows) == 0 {
		t.Fatal("the manifest lists no files")
	}
	return rows
}

// processorTime is what this process has used of all processors: others on the machine do not lengthen it.
func processorTime() time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		panic(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}

// TestManifest reads every file of testdata/cases and holds the outcome, and each clause
// of what the manifest expects, against what came out: within 2 s of processor time and 64 MB.
func TestManifest(t *testing.T) {
	rows := manifest(t)
	listed := make(map[string]bool)
	passed := make(map[string]int)
	for _, row := range rows {
		listed[row.file] = true
		ok := t.Run(strings.NewReplacer("/", "-", ".", "-", "_", "-").Replace(row.file), func(t *testing.T) {
			raw, err := os.ReadFile(filepath.Join(casesDir, row.file))
			if err != nil {
				t.Fatal(err)
			}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := processorTime()
			file, err := Read(row.file, bytes.NewReader(raw))
			took := processorTime() - start
			runtime.ReadMemStats(&after)
			// All that was allocated is more than was ever held at once.
			if got := after.TotalAlloc - before.TotalAlloc; got > 64<<20 {
				t.Errorf("reading allocated %d bytes, want at most 64 MB", got)
			}
			if took > 2*time.Second {
				t.Errorf("reading took %v, want at most 2 s", took)
			}
			checkOutcome(t, row, file, err)
			if err == nil {
				checkExpected(t, row.expected, file)
				checkEntries(t, file)
			}
		})
		if ok {
			passed[row.format]++
		}
	}
	t.Logf("rows that pass: %v of %d", passed, len(rows))
	for _, pattern := range []string{"gpx/*", "geojson/*", "csv/*"} {
		found, _ := filepath.Glob(filepath.Join(casesDir, pattern))
		for _, path := range found {
			if name, _ := filepath.Rel(casesDir, path); !listed[name] {
				t.Errorf("%s is not in the manifest", name)
			}
		}
	}
}

func checkOutcome(t *testing.T, row manifestRow, file File, err error) {
	t.Helper()
	got := "accept"
	switch {
	case err != nil:
		got = "reject"
	case len(file.Report) > 0:
		got = "accept_with_warnings"
	}
	if got != row.outcome {
		t.Errorf("outcome is %s, want %s (%s)\nerror: %v\nreport: %v", got, row.outcome, row.why, err, file.Report)
	}
	if err != nil {
		p, ok := err.(*model.Problem)
		if !ok {
			t.Fatalf("the error is a %T, want a *model.Problem: %v", err, err)
		}
		if p.File != row.file {
			t.Errorf("the refusal names the file %q, want %q", p.File, row.file)
		}
		if whole := regexp.MustCompile(`empty|UTF-16|web page|RFC 8142`); p.Line == 0 && !whole.MatchString(p.Reason) {
			t.Errorf("the refusal names no line: %v", err)
		}
	}
	for _, p := range file.Report {
		if p.File != row.file || p.Reason == "" {
			t.Errorf("a line of the report lacks its file or its reason: %+v", p)
		}
	}
}

// clauses are the forms in which the manifest says what it expects. A clause of no known
// form fails the test.
var clauses = []struct {
	form  *regexp.Regexp
	check func(c *caseFile, m []string)
}{
	{regexp.MustCompile(`^0$`), func(c *caseFile, m []string) { c.count("records", len(c.Records), "0") }},
	{regexp.MustCompile(`^(\d+) points?$`), func(c *caseFile, m []string) { c.count("points", len(c.shaped("Point")), m[1]) }},
	{regexp.MustCompile(`^1 point at -180$`), func(c *caseFile, m []string) {
		if at := c.shaped("Point")[0].(orb.Point); at[0] != -180 {
			c.t.Errorf("longitude is %v, want -180", at[0])
		}
	}},
	{regexp.MustCompile(`^(\d+) lines?$`), func(c *caseFile, m []string) { c.count("lines", len(c.shaped("LineString")), m[1]) }},
	{regexp.MustCompile(`^1 line of (\d+) vertices$`), func(c *caseFile, m []string) {
		c.count("vertices", len(c.shaped("LineString")[0].(orb.LineString)), m[1])
	}},
	{regexp.MustCompile(`^2 line parts \((\d+) and (\d+) vertices\)$`), func(c *caseFile, m []string) {
		lines := c.shaped("MultiLineString")[0].(orb.MultiLineString)
		c.count("parts", len(lines), "2")
		c.count("vertices", len(lines[0]), m[1])
		c.count("vertices", len(lines[1]), m[2])
	}},
	{regexp.MustCompile(`^length ([\d.]+) m(?: \(GeodSolve\))?$`), func(c *caseFile, m []string) {
		want, _ := strconv.ParseFloat(m[1], 64)
		if got := geodSolveM(c.t, c.shaped("LineString")[0].(orb.LineString)); math.Abs(got-want) > 0.001 {
			c.t.Errorf("length is %.4f m, want %v m", got, want)
		}
	}},
	{regexp.MustCompile(`^not 38 000 km$`), func(c *caseFile, m []string) {}}, // said by the length
	{regexp.MustCompile(`^ele ([\d.]+)$`), func(c *caseFile, m []string) { c.field("gpsHeightM", m[1]) }},
	{regexp.MustCompile(`^ele unknown$`), func(c *caseFile, m []string) { c.field("gpsHeightM", "") }},
	{regexp.MustCompile(`^name with U\+00E9$`), func(c *caseFile, m []string) { c.field("name", `"Café bore"`) }},
	{regexp.MustCompile(`^time (\d{4}.*Z)$`), func(c *caseFile, m []string) { c.seen(0, m[1]) }},
	{regexp.MustCompile(`^time read as UTC$`), func(c *caseFile, m []string) { c.seen(0, "2024-05-01T09:30:00Z") }},
	{regexp.MustCompile(`^times unknown$`), func(c *caseFile, m []string) {
		for i := range c.Records {
			c.seen(i, "")
			if raw, ok := c.Records[i].Fields["observedOn"]; ok {
				c.t.Errorf("observedOn of record %d is %s, want none", i, raw)
			}
		}
	}},
	{regexp.MustCompile(`^(\d+) features?$`), func(c *caseFile, m []string) { c.count("features", len(c.Records), m[1]) }},
	{regexp.MustCompile(`^(?:(\d+)|1 feature) without place$`), func(c *caseFile, m []string) { c.count("features without a place", len(c.shaped("")), "1") }},
	{regexp.MustCompile(`^(\d+) geometries after flattening$`), func(c *caseFile, m []string) {
		c.count("geometries", len(c.shaped("GeometryCollection")[0].(orb.Collection)), m[1])
	}},
	{regexp.MustCompile(`^1 polygon$`), func(c *caseFile, m []string) { c.count("polygons", len(c.shaped("Polygon")), "1") }},
	{regexp.MustCompile(`^1 polygon with 1 hole$`), func(c *caseFile, m []string) {
		c.count("rings", len(c.shaped("Polygon")[0].(orb.Polygon)), "2")
	}},
	{regexp.MustCompile(`^1 multipolygon$`), func(c *caseFile, m []string) { c.count("multipolygons", len(c.shaped("MultiPolygon")), "1") }},
	{regexp.MustCompile(`^a = 2$`), func(c *caseFile, m []string) { c.field("x-a", "2") }},
	{regexp.MustCompile(`^serial kept to the last digit$`), func(c *caseFile, m []string) { c.field("x-serial", `"9007199254740993"`) }},
	{regexp.MustCompile(`^(\d+) rows$`), func(c *caseFile, m []string) { c.count("rows", len(c.levelRows()), m[1]) }},
	{regexp.MustCompile(`^rise and fall sum (-?[\d.]+) m$`), func(c *caseFile, m []string) {
		var sumM float64
		for _, row := range c.levelRows() {
			if row.BS != nil {
				sumM += *row.BS
			}
			if row.FS != nil {
				sumM -= *row.FS
			}
		}
		if got := fmt.Sprintf("%.3f", sumM); got != m[1] {
			c.t.Errorf("backsights less foresights are %s m, want %s m", got, m[1])
		}
	}},
}

func checkExpected(t *testing.T, expected string, file File) {
	t.Helper()
	c := &caseFile{File: file, t: t}
	for _, clause := range regexp.MustCompile(`[,;] `).Split(expected, -1) {
		known := false
		for _, k := range clauses {
			if m := k.form.FindStringSubmatch(clause); m != nil {
				k.check(c, m)
				known = true
				break
			}
		}
		if !known {
			t.Errorf("the manifest expects %q, which this test does not know how to check", clause)
		}
	}
}

type caseFile struct {
	File
	t *testing.T
}

func (c *caseFile) count(what string, got int, want string) {
	c.t.Helper()
	if strconv.Itoa(got) != want {
		c.t.Errorf("%d %s, want %s", got, what, want)
	}
}

// shaped lists the geometries of a type, "" for none, and stops the test without any.
func (c *caseFile) shaped(kind string) []orb.Geometry {
	c.t.Helper()
	var all []orb.Geometry
	for _, r := range c.Records {
		g := geometryOf(c.t, r)
		if g == nil && kind == "" || g != nil && g.GeoJSONType() == kind {
			all = append(all, g)
		}
	}
	if len(all) == 0 {
		c.t.Fatalf("no record is a %q", kind)
	}
	return all
}

func (c *caseFile) field(name, want string) {
	c.t.Helper()
	if got := string(c.Records[0].Fields[name]); got != want {
		c.t.Errorf("%s is %s, want %s", name, got, want)
	}
}

func (c *caseFile) seen(i int, want string) {
	c.t.Helper()
	got := ""
	if at := c.Records[i].SeenAt; !at.IsZero() {
		got = at.Format(time.RFC3339Nano)
	}
	if got != want {
		c.t.Errorf("record %d was seen at %q, want %q", i, got, want)
	}
}

func (c *caseFile) levelRows() []model.LevelRow {
	return model.Feature{Fields: c.Records[0].Fields}.LevelRows("rows")
}

func geometryOf(t testing.TB, r Record) orb.Geometry {
	t.Helper()
	raw, ok := r.Fields["geometry"]
	if !ok {
		return nil
	}
	g, err := model.ParseGeometry(raw)
	if err != nil {
		t.Fatalf("line %d: the place cannot be read back: %v", r.Line, err)
	}
	return g
}

// TestManifestTexts holds what the manifest says about texts in its own words (column
// "why") against what came out.
func TestManifestTexts(t *testing.T) {
	tests := []struct{ file, field, want string }{
		{"gpx/34_unicode_names.gpx", "name", "水 ماء e\u0301 💧 & <b> <i>&amp;</i>"},
		{"gpx/02_route.gpx", "x-pointNames", ""},
		{"geojson/31_nested_properties.geojson", "x-a", `{"b":[1,2,{"c":null}]}`},
		{"geojson/31_nested_properties.geojson", "x-d", `[]`},
		{"geojson/32_unicode.geojson", "name", "水 💧 e\u0301 \"q\" /  end"},
		{"geojson/32_unicode.geojson", "x-lone", "\ufffd"},
		{"geojson/40_dates.geojson", "observedOn", "2024-05-01"},
		{"gpx/06_extensions.gpx", "x-extensions.ele", "9999"},
	}
	for _, test := range tests {
		raw, err := os.ReadFile(filepath.Join(casesDir, test.file))
		if err != nil {
			t.Fatal(err)
		}
		file, err := Read(test.file, bytes.NewReader(raw))
		if err != nil {
			t.Fatal(err)
		}
		got := string(file.Records[0].Fields[test.field])
		if test.field == "x-pointNames" {
			if got != `["R0","R1","R2","R3"]` {
				t.Errorf("%s: %s is %s, want the four names", test.file, test.field, got)
			}
			continue
		}
		var text string
		if err := json.Unmarshal([]byte(got), &text); err != nil || text != test.want {
			t.Errorf("%s: %s is %s, want %q", test.file, test.field, got, test.want)
		}
	}
}

// TestManifestRefusals: a refusal says what its reason is about.
func TestManifestRefusals(t *testing.T) {
	tests := []struct {
		file string
		line int
		says string
	}{
		{"gpx/12_utf16.gpx", 0, "UTF-16"},
		{"gpx/14_bad_number.gpx", 3, `"abc"`},
		{"gpx/18_decimal_comma.gpx", 3, "comma"},
		{"gpx/22_entity_bomb.gpx", 13, "DOCTYPE"},
		{"gpx/23_external_entity.gpx", 2, "DOCTYPE"},
		{"gpx/24_truncated.gpx", 3, "ends in the middle"},
		{"gpx/31_deep_nesting.gpx", 3, "deeper than 64"},
		{"gpx/32_html_page.gpx", 0, "not GPX"},
		{"gpx/39_missing_lat.gpx", 3, "lat"},
		{"gpx/42_kml_inside.gpx", 2, "kml"},
		{"geojson/08_huge_number.geojson", 1, "too large"},
		{"geojson/10_nan.geojson", 1, "NaN"},
		{"geojson/12_swapped_axes.geojson", 1, "swapped"},
		{"geojson/16_crs_projected.geojson", 1, "3857"},
		{"geojson/27_unknown_type.geojson", 1, "Circle"},
		{"geojson/28_type_case.geojson", 1, `"point"`},
		{"geojson/34_json_seq.geojson", 0, "sequence"},
		{"geojson/42_trailing_bytes.geojson", 2, "follows"},
		{"geojson/44_latin1_bytes.geojson", 1, "byte 84"},
		{"csv/04_ragged.csv", 6, "row 6"},
		{"csv/06_bare_quote.csv", 2, "row 2, byte 16"},
		{"csv/07_duplicate_header.csv", 1, "twice"},
		{"csv/08_missing_column.csv", 1, "foresight"},
		{"csv/11_nul.csv", 2, "NUL"},
		{"csv/12_utf16.csv", 0, "UTF-16"},
		{"csv/13_units.csv", 2, "unit"},
		{"csv/14_thousands.csv", 2, "thousand"},
		{"csv/16_two_readings.csv", 4, "row 4 has an intermediate and a foresight"},
	}
	for _, test := range tests {
		raw, err := os.ReadFile(filepath.Join(casesDir, test.file))
		if err != nil {
			t.Fatal(err)
		}
		_, err = Read(test.file, bytes.NewReader(raw))
		p, ok := err.(*model.Problem)
		if !ok || p.Line != test.line || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%s: error %v, want one of line %d that says %q", test.file, err, test.line, test.says)
		}
	}
}

// geodSolveM is the length of a line by GeographicLib's own program.
func geodSolveM(t testing.TB, line orb.LineString) float64 {
	t.Helper()
	path, err := exec.LookPath("GeodSolve")
	if err != nil {
		t.Fatal("GeodSolve is not here: run make test, which installs geographiclib-tools")
	}
	var in strings.Builder
	for i := 1; i < len(line); i++ {
		fmt.Fprintln(&in, line[i-1][1], line[i-1][0], line[i][1], line[i][0])
	}
	cmd := exec.Command(path, "-i", "-p", "6")
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var sumM float64
	for row := range strings.Lines(string(out)) {
		cells := strings.Fields(row)
		v, err := strconv.ParseFloat(cells[len(cells)-1], 64)
		if err != nil {
			t.Fatal(err)
		}
		sumM += v
	}
	return sumM
}
