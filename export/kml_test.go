package export

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"headcut/model"
)

func TestKMLColours(t *testing.T) {
	for _, c := range []struct {
		css   string
		alpha uint8
		want  string // aabbggrr: OGC 07-147r2, section 16.13 kml:color
	}{
		{"#ff0000", 0xff, "ff0000ff"},
		{"#0000ff", 0x7f, "7fff0000"},
		{"#00ff00", 0x00, "0000ff00"},
		{"#123456", 0x66, "66563412"},
		{"#A3262A", 0xff, "ff2a26a3"},
		{"", 0xff, "ff5a5a5a"},
		{"red", 0xff, "ff5a5a5a"},
		{"#12345g", 0xff, "ff5a5a5a"},
		{"x123456", 0xff, "ff5a5a5a"},
	} {
		tab := &table{kind: model.Kind{Colour: c.css}}
		if got := kmlColour(tab.kind.Colour, c.alpha); fmt.Sprintf("%02x%02x%02x%02x", got.A, got.B, got.G, got.R) != c.want {
			t.Errorf("colour %q at %02x = %v, want %s", c.css, c.alpha, got, c.want)
		}
	}
	// And as it comes out of go-kml, which treats alpha in a way of its own.
	file := write(t, "kml", Source{Features: of(model.Feature{ID: "h", Kind: "hazard"})})
	for _, want := range []string{"<LineStyle><color>ff2000b0</color>", "<PolyStyle><color>662000b0</color>"} {
		if !strings.Contains(file, want) {
			t.Errorf("KML of a hazard, #b00020, lacks %s:\n%s", want, file)
		}
	}
}

// The schema cannot see a space inside a tuple; this can.
func TestKMLTuples(t *testing.T) {
	file := write(t, "kml", Source{Features: of(land(t)...)})
	tuples := regexp.MustCompile(`^-?\d{1,3}(\.\d{1,8})?,-?\d{1,2}(\.\d{1,8})?( -?\d{1,3}(\.\d{1,8})?,-?\d{1,2}(\.\d{1,8})?)*$`)
	all := regexp.MustCompile(`(?s)<coordinates>(.*?)</coordinates>`).FindAllStringSubmatch(file, -1)
	if len(all) < len(model.Kinds) {
		t.Fatalf("KML has %d coordinates elements, want at least %d", len(all), len(model.Kinds))
	}
	for _, one := range all {
		if !tuples.MatchString(one[1]) {
			t.Errorf("coordinates %q are not lon,lat tuples parted by single spaces", one[1])
		}
	}
}

func TestKMLReferencesResolve(t *testing.T) {
	file := write(t, "kml", Source{Features: of(land(t)...)})
	for _, c := range []struct{ uses, defines string }{
		{`<styleUrl>#([^<]+)</styleUrl>`, `<Style id="%s">`},
		{`schemaUrl="#([^"]+)"`, `<Schema id="%s" `},
	} {
		uses := regexp.MustCompile(c.uses).FindAllStringSubmatch(file, -1)
		if len(uses) == 0 {
			t.Errorf("KML has no %s", c.uses)
		}
		for _, use := range uses {
			if n := strings.Count(file, fmt.Sprintf(c.defines, use[1])); n != 1 {
				t.Errorf("KML has %d definitions of %s, want 1", n, use[1])
			}
		}
	}
	kinds := len(model.Kinds) + 2 // one nobody knows, and none
	for _, element := range []string{"<Style ", "<Schema ", "<Folder "} {
		if n := strings.Count(file, element); n != kinds {
			t.Errorf("KML has %d %s elements, want one for each of %d kinds", n, element, kinds)
		}
	}
	for _, absent := range []string{"altitudeMode", "href", "<br", "http://www.google"} {
		if strings.Contains(file, absent) {
			t.Errorf("KML holds %q", absent)
		}
	}
}

func TestKMLTimeStamps(t *testing.T) {
	for _, c := range []struct {
		name   string
		kind   string
		fields map[string]any
		want   string
	}{
		{"work-by-its-status", "check-dam", map[string]any{"status": "built", "builtOn": "2026-05-01", "observedOn": "2026-06-01"}, "2026-05-01"},
		{"work-without-its-date", "check-dam", map[string]any{"status": "failed", "builtOn": "2026-05-01", "observedOn": "2026-06-01"}, "2026-06-01"},
		{"seen", "gully-head", map[string]any{"observedOn": "2026-06-01"}, "2026-06-01"},
		{"unknown", "gully-head", map[string]any{}, ""},
		{"not-a-date", "gully-head", map[string]any{"observedOn": "0000-00-00"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := write(t, "kml", Source{Features: of(model.Feature{ID: "f", Kind: c.kind, Fields: texts(t, c.fields)})})
			want := ""
			if c.want != "" {
				want = "<TimeStamp><when>" + c.want + "</when></TimeStamp>"
			}
			if got := regexp.MustCompile(`<TimeStamp>.*</TimeStamp>`).FindString(file); got != want {
				t.Errorf("TimeStamp is %q, want %q", got, want)
			}
		})
	}
}

// More text than the spool keeps in memory comes out as if it had been kept: kind by kind,
// each in its own order; and the temporary file is gone.
func TestSpool(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	const folders, rounds = 40, 3000
	var s spool
	var list []*folder
	var phrases [folders][]string
	var codes [folders][][]byte
	var want [folders]strings.Builder
	for i := range rounds {
		for k := range folders {
			if k >= len(list) {
				list = append(list, s.add())
			}
			line := fmt.Sprintf("%d of folder %d %s\n", i, k, strings.Repeat("x", (i*k)%200))
			if i < mostPhrases+10 { // the last ten are more than there are codes for
				phrase := fmt.Sprintf("phrase %d of %d ", i, k)
				phrases[k], codes[k] = append(phrases[k], phrase), append(codes[k], list[k].phrase(phrase))
			}
			again := (i * 7) % len(phrases[k])
			want[k].WriteString(line + phrases[k][again] + phrases[k][0])
			list[k].text = append(append(append(list[k].text, line...), codes[k][again]...), codes[k][0]...)
			if err := s.settle(list[k]); err != nil {
				t.Fatal(err)
			}
			if s.held > allInMemory {
				t.Fatalf("spool holds %d bytes, want at most %d", s.held, allInMemory)
			}
		}
	}
	for k, f := range list {
		var got strings.Builder
		if err := s.copyTo(&got, f); err != nil {
			t.Fatal(err)
		}
		if got.String() != want[k].String() {
			t.Errorf("folder %d comes back with %d bytes, want %d", k, got.Len(), want[k].Len())
		}
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("%d temporary files, want the one that was needed", len(left))
	}
	s.close()
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("the temporary file %s is left behind", left[0].Name())
	}
}

func TestSpoolWithoutRoom(t *testing.T) {
	t.Setenv("TMPDIR", "/nowhere/at/all")
	format, _ := Named("kml")
	if err := format.Write(&strings.Builder{}, Source{Features: pegs(5000)}); err == nil {
		t.Error("KML without a place for its temporary file succeeds")
	}
	if err := format.Write(&strings.Builder{}, Source{Features: pegs(20)}); err != nil {
		t.Errorf("a small KML needs the disk: %v", err)
	}
}

// A code that no phrase has is an error of the spool, the first past the last too.
func TestSpoolAsksForNoPhrase(t *testing.T) {
	var f folder
	code := f.phrase("a", "b")
	if out, _, err := f.inFull(nil, code); err != nil || string(out) != "ab" {
		t.Errorf("inFull = %q, %v", out, err)
	}
	if _, _, err := f.inFull(nil, []byte{phraseMark, 1}); err == nil {
		t.Error("phrase 1 of 1 is found, want an error")
	}
}

// What has no name is called by its kind, and a visit by what it was to; its condition is said.
func TestKMLNames(t *testing.T) {
	visit := model.Feature{ID: "v", Kind: "visit", Fields: texts(t, map[string]any{"of": "d", "condition": "needs work"})}
	file := write(t, "kml", Source{Features: of(visit, model.Feature{ID: "h", Kind: "gully-head"}), Called: func(id string) string { return map[string]string{"d": "Dam <1>"}[id] }})
	for _, want := range []string{
		`<Placemark id="f_v"><name>Visit to Dam &lt;1&gt;</name><description>Visit, needs work`,
		`<Placemark id="f_h"><name>Gully head</name><description>Gully head`,
	} {
		if !strings.Contains(file, want) {
			t.Errorf("the file lacks %s:\n%s", want, file)
		}
	}
}
