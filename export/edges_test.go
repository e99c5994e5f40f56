package export

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// Numbers of every length are written so that JSON and XML Schema take them as reals, on both sides
// of where exponents begin.
func TestRealsAtTheirLimits(t *testing.T) {
	for v, want := range map[float64]string{1e-6: "0.000001", -1e-6: "-0.000001", 9.9e-7: "9.9e-07", 1e15: "1e+15", -1e15: "-1e+15", 9e14: "900000000000000.0", 0: "0.0", 1.5: "1.5", 3: "3.0"} {
		if got := string(appendReal(nil, v)); got != want {
			t.Errorf("%v is written as %s, want %s", v, got, want)
		}
	}
	if got := string(appendReal([]byte("1."), 3)); got != "1.3.0" { // what stands before it has no part in it
		t.Errorf("behind other text: %s", got)
	}
}

// Which recorded numbers are written as they stand.
func TestPlainNumbers(t *testing.T) {
	for text, want := range map[string]string{
		"1": "whole", "12": "whole", "100000000000000": "whole", "123456789012345": "whole", "1234567890123456": "", "0": "", "01": "", "": "", "-1": "", "1x": "",
		"1.5": "real", "-1.5": "real", "0.5": "real", "00.5": "", "0.0": "real", "-0.0": "", "-0.5": "real", "1.": "", ".5": "", "-.5": "", "1.5.5": "", "1.5e3": "", "-": "",
		"12345678901234.567": "real", "123456789012345.678": "", "9.0": "real", "10.0": "real", "/.5": "", ":.5": "",
	} {
		got := ""
		if isPlainWhole([]byte(text)) {
			got = "whole"
		}
		if isPlainReal([]byte(text)) {
			got += "real"
		}
		if got != want {
			t.Errorf("%q is taken as %q, want %q", text, got, want)
		}
	}
}

// The quick reader of escaped texts takes what encoding/json takes, or leaves it.
func TestUnescapedTexts(t *testing.T) {
	for text, want := range map[string]string{
		`a`: "a", ` `: " ", `~`: "~", `\n`: "\n", `\t`: "\t", `\"\\\/`: `"\/`, `a\u0026b`: "a&b", `\u0020`: " ", `\u007e`: "~", `\u003c\u003e`: "<>",
		"\x1f": "-", "\x7f": "\x7f", "é": "-", `"`: "-", `\`: "-", `a\`: "-", `\r`: "-", `\u001f`: "-", `\u007f`: "-", `\u002`: "-", `\u00zz`: "-", `\u00e9`: "-",
	} {
		dst, ok := appendUnescaped([]byte("x"), []byte(text))
		got := "-"
		if ok {
			got = string(dst[1:])
		}
		if got != want {
			t.Errorf("%q is read as %q, want %q", text, got, want)
		}
	}
}

func TestDaysOfTheCalendar(t *testing.T) {
	for text, want := range map[string]bool{
		"2026-11-25": true, "2026-01-01": true, "2026-12-31": true, "2024-02-29": true, "2023-02-29": false, "1900-02-29": false, "2000-02-29": true, "2026-04-30": true, "2026-04-31": false,
		"2026-00-10": false, "2026-13-10": false, "2026-00-30": false, "2026-13-30": false, "2026-05-00": false, "2026-05-28": true, "2026-05-32": false, "2026/11/25": false, "2026-11/25": false,
		"2026-11-2": false, "2026-11-255": false, "2o26-11-25": false, "2026-11-2:": false, "2026-11-2/": false,
	} {
		if got := isDay(text); got != want {
			t.Errorf("%s is a day: %t", text, got)
		}
	}
}

// A spool gives every folder its own text back, however much goes to the file, and counts what it holds.
func TestSpoolCountsWhatItHolds(t *testing.T) {
	var s spool
	defer s.close()
	a, b := s.add(), s.add()
	var want [2]bytes.Buffer
	for i := range 3000 {
		f, w := a, &want[0]
		if i%3 == 0 {
			f, w = b, &want[1]
		}
		text := fmt.Sprintf("%d %s\n", i, strings.Repeat("x", i%97))
		f.text = append(f.text, text...)
		w.WriteString(text)
		if err := s.settle(f); err != nil {
			t.Fatal(err)
		}
		if s.held != len(a.text)+len(b.text) || len(f.text) > folderInMemory {
			t.Fatalf("after %d the spool counts %d bytes and holds %d and %d", i, s.held, len(a.text), len(b.text))
		}
	}
	stored := int64(0)
	for i, f := range []*folder{a, b} {
		for _, c := range f.chunks {
			stored += c.length
		}
		var got bytes.Buffer
		if err := s.copyTo(&got, f); err != nil || !bytes.Equal(got.Bytes(), want[i].Bytes()) {
			t.Errorf("folder %d gives back %d bytes, want %d (%v)", i, got.Len(), want[i].Len(), err)
		}
	}
	if s.file == nil || stored != s.size || len(a.chunks) == 0 {
		t.Errorf("%d bytes in chunks, %d in the file", stored, s.size)
	}
	// What one folder spills twice without another between is one chunk.
	for range 2 {
		a.text = append(a.text[:0], bytes.Repeat([]byte("y"), folderInMemory+1)...)
		a.known = 0
		before := len(a.chunks)
		if err := s.settle(a); err != nil || before > 0 && s.size > 0 && len(a.chunks) > before+1 {
			t.Errorf("%d chunks, %v", len(a.chunks), err)
		}
	}
	if last := a.chunks[len(a.chunks)-1]; last.length < 2*(folderInMemory+1) {
		t.Errorf("two spills in a row are %d bytes of one chunk, want %d", last.length, 2*(folderInMemory+1))
	}
	// Small folders go to the file together once all of them hold too much.
	var many spool
	defer many.close()
	for range allInMemory/folderInMemory + 1 {
		f := many.add()
		f.text = bytes.Repeat([]byte("z"), folderInMemory)
		if err := many.settle(f); err != nil {
			t.Fatal(err)
		}
	}
	if many.held != 0 || many.size != int64(allInMemory+folderInMemory) {
		t.Errorf("%d bytes held and %d in the file, want 0 and %d", many.held, many.size, allInMemory+folderInMemory)
	}
}

// Half the way round is the same either way; beyond it the other way is shorter.
func TestNearWay(t *testing.T) {
	for dlon, want := range map[int64]int64{0: 0, halfTurn: halfTurn, -halfTurn: -halfTurn, halfTurn + 1: 1 - halfTurn, -halfTurn - 1: halfTurn - 1, 2 * halfTurn: 0} {
		if got := nearWay(dlon); got != want {
			t.Errorf("%d is %d, want %d", dlon, got, want)
		}
	}
}

// What is no place is refused whole; what is empty is none.
func TestPlacesThatAreNone(t *testing.T) {
	a, b, c := orb.Point{148, -25}, orb.Point{148.001, -25}, orb.Point{148, -25.001}
	off := orb.Point{148, -91}
	for _, g := range []struct {
		g        orb.Geometry
		ok       bool
		outlines int
	}{
		{nil, true, 0}, {a, true, 1}, {off, false, 0}, {orb.Point{180, 90}, true, 1}, {orb.Point{-180, -90}, true, 1}, {orb.Point{180.1, 0}, false, 0}, {orb.Point{-180.1, 0}, false, 0}, {orb.Point{0, 90.1}, false, 0},
		{orb.MultiPoint{a, b}, true, 1}, {orb.MultiPoint{a, off}, false, 0}, {orb.MultiPoint{off, a}, false, 0}, {orb.MultiPoint{}, true, 0},
		{orb.LineString{}, true, 0}, {orb.LineString{a}, false, 0}, {orb.LineString{a, b}, true, 1}, {orb.LineString{a, off}, false, 0},
		{orb.MultiLineString{{a, b}, {b, c}}, true, 1}, {orb.MultiLineString{{a, b}, {b}}, false, 0}, {orb.MultiLineString{{b}, {a, b}}, false, 0},
		{orb.Polygon{}, true, 0}, {orb.Polygon{{}}, true, 0}, {orb.Polygon{{a, b, c}}, true, 1}, {orb.Polygon{{a, b}}, false, 0}, {orb.Polygon{{a, b, a}}, false, 0}, {orb.Polygon{{a, b, c, a}, {}}, false, 0}, {orb.Polygon{{a, b, off}}, false, 0},
		{orb.Ring{a, b, c, a}, true, 1}, {orb.Bound{Min: c, Max: b}, true, 1}, {orb.MultiPolygon{{{a, b, c, a}}, {{a, b}}}, false, 0}, {orb.MultiPolygon{{{a, b}}, {{a, b, c, a}}}, false, 0},
		{orb.Collection{a, orb.LineString{a, b}}, true, 2}, {orb.Collection{a, off}, false, 0}, {orb.Collection{off, a}, false, 0},
	} {
		var p place
		if ok := p.set(g.g); ok != g.ok || len(p.outlines) != g.outlines {
			t.Errorf("%v: taken %t with %d outlines, want %t with %d", g.g, ok, len(p.outlines), g.ok, g.outlines)
		}
	}
}

// Who changed a feature is said where it is not the one who recorded it, or on another day.
func TestWhoChangedIt(t *testing.T) {
	for _, c := range []struct {
		by, at string
		want   bool
	}{{"Ada", "2026-05-01T09:00:00Z", false}, {"Ada", "2026-05-02T09:00:00Z", true}, {"Bo", "2026-05-01T09:00:00Z", true}, {"Bo", "2026-05-02T09:00:00Z", true}} {
		r := &row{history: History{RecordedBy: "Ada", RecordedAt: "2026-05-01T08:00:00Z", ChangedBy: c.by, ChangedAt: c.at}}
		text := string(appendRecorded(nil, r))
		if !strings.Contains(text, "Recorded by Ada") || strings.Contains(text, "Last changed by "+c.by) != c.want {
			t.Errorf("changed by %s at %s: %q", c.by, c.at, text)
		}
	}
}

// Where figures end: two digits of the ±, else where the unit ends and three digits at least.
func TestColumnPlaces(t *testing.T) {
	pm := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		f    model.Figure
		want int
	}{
		{model.Figure{Unit: "m", Value: 12, PlusMinus: pm(0.05)}, 4}, {model.Figure{Unit: "m", Value: 12, PlusMinus: pm(0.5)}, 3}, {model.Figure{Unit: "m", Value: 12, PlusMinus: pm(1)}, 2}, {model.Figure{Unit: "m", Value: 12, PlusMinus: pm(10)}, 1},
		{model.Figure{Unit: "m", Value: 12, PlusMinus: pm(100)}, 0}, {model.Figure{Unit: "m", Value: 12, PlusMinus: pm(5000)}, 0}, {model.Figure{Unit: "m", Value: 12, PlusMinus: pm(0)}, 3},
		{model.Figure{Unit: "m3", Value: 12}, 1}, {model.Figure{Unit: "m3", Value: 1}, 2}, {model.Figure{Unit: "m3", Value: 0.01}, 4}, {model.Figure{Unit: "m3", Value: 10}, 1}, {model.Figure{Unit: "m3", Value: 9.9}, 2},
	} {
		if got := columnPlaces(c.f); got != c.want {
			t.Errorf("%+v ends after %d decimals, want %d", c.f, got, c.want)
		}
	}
}

// Texts of any length are plain where no byte of theirs is escaped, wherever it stands.
func TestPlainTexts(t *testing.T) {
	for length := range 20 {
		text := bytes.Repeat([]byte("a"), length)
		if !isPlainASCII(text) {
			t.Errorf("%q is not plain", text)
		}
		for at := range text {
			for c := range 256 {
				text[at] = byte(c)
				want := c >= 0x20 && c < 0x80 && c != '\\' && c != '"'
				if got := isPlainASCII(text); got != want {
					t.Errorf("%q is plain: %t", text, got)
				}
			}
			text[at] = 'a'
		}
	}
}

// A field that nobody knows keeps its type while all its values have it, and is text from then on; no
// column takes the name of another, apart from case.
func TestColumnsThatTurnUp(t *testing.T) {
	table := newTable("check-dam", false, false)
	first := table.extra("sound level", "", model.Number)
	if again := table.extra("sound level", "", model.Number); again != first || first.of != model.Number || first.name != "sound_level" || first.label != "sound level" {
		t.Errorf("%+v", first)
	}
	if table.extra("sound level", "", model.YesNo); first.of != model.Text {
		t.Errorf("numbers and a yes are %s", first.of)
	}
	for _, c := range [][2]string{{"Sound_Level", "otherSound_Level"}, {"sound.level", "otherOtherSound_level"}, {"9", "_9"}} {
		if e := table.extra(c[0], "", model.Number); e.name != c[1] {
			t.Errorf("%q stands in the column %q, want %q", c[0], e.name, c[1])
		}
	}
	if e := table.extra("sound level", "AsRecorded", model.Text); e == first || e.label != "sound levelAsRecorded" {
		t.Errorf("%+v", e)
	}
	if got := table.all(); len(got) != len(table.columns)+5 || got[len(table.columns)].name != "sound_level" || got[len(table.columns)].of != model.Text {
		t.Errorf("%d columns of which %d were known", len(got), len(table.columns))
	}
}
