package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// entryTexts are the entries of a file as they would be sent.
func entryTexts(t testing.TB, text string) []string {
	var all []string
	for _, raw := range checkEntries(t, mustRead(t, text)) {
		all = append(all, string(raw))
	}
	return all
}

const gpxHead = `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">`

// drawElement makes an element of a GPX file that is like no other.
func drawElement(rt *rapid.T, number int) string {
	at := func(label string) string {
		return fmt.Sprintf(`lat="%.7f" lon="%.7f"`, rapid.Float64Range(-90, 90).Draw(rt, label+" lat"), rapid.Float64Range(-180, 179.9).Draw(rt, label+" lon"))
	}
	clock := ""
	if rapid.Bool().Draw(rt, "with time") {
		clock = fmt.Sprintf("<time>2024-05-01T%02d:%02d:00Z</time>", rapid.IntRange(0, 23).Draw(rt, "hour"), rapid.IntRange(0, 59).Draw(rt, "minute"))
	}
	if rapid.Bool().Draw(rt, "waypoint") {
		return fmt.Sprintf(`<wpt %s>%s<name>W%d</name></wpt>`, at("point"), clock, number)
	}
	var points strings.Builder
	for i := range rapid.IntRange(2, 5).Draw(rt, "points") {
		fmt.Fprintf(&points, `<trkpt %s>%s</trkpt>`, at(fmt.Sprint("vertex ", i)), clock)
	}
	return fmt.Sprintf(`<trk><name>T%d</name><trkseg>%s</trkseg></trk>`, number, points.String())
}

// TestReadingAgain: a file read again makes the same entries to the byte; with elements
// added and in another order, the same ones and those of what was added.
func TestReadingAgain(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var elements []string
		for i := range rapid.IntRange(1, 6).Draw(rt, "elements") {
			elements = append(elements, drawElement(rt, i))
		}
		first := entryTexts(t, gpxHead+strings.Join(elements, "\n")+"</gpx>")
		if again := entryTexts(t, gpxHead+strings.Join(elements, "\n")+"</gpx>"); !slices.Equal(first, again) {
			rt.Fatalf("read again, the entries are\n%s\nwant\n%s", again, first)
		}
		added := append(slices.Clone(elements), drawElement(rt, len(elements)))
		changed := entryTexts(t, gpxHead+strings.Join(rapid.Permutation(added).Draw(rt, "order"), " ")+"</gpx>")
		fresh := 0
		for _, e := range changed {
			if !slices.Contains(first, e) {
				fresh++
			}
		}
		if fresh != 1 || len(changed) != len(first)+1 {
			rt.Fatalf("with one element added there are %d entries of which %d are new, want %d and 1", len(changed), fresh, len(first)+1)
		}
	})
}

// TestEqualRecords: records that say the same all stay, and are the same ones next time.
func TestEqualRecords(t *testing.T) {
	point := `<wpt lat="-16.1" lon="133.2"><name>peg</name></wpt>`
	two := entryTexts(t, gpxHead+point+point+"</gpx>")
	three := entryTexts(t, gpxHead+point+point+point+"</gpx>")
	if len(two) != 2 || two[0] == two[1] || !slices.Equal(two, three[:2]) || len(three) != 3 || slices.Contains(two, three[2]) {
		t.Errorf("two equal waypoints make %d entries and three make %d, want 2 and 3 that begin alike", len(two), len(three))
	}
}

// TestPropertiesApart: the same file on two properties shares no id and no device.
func TestPropertiesApart(t *testing.T) {
	file := mustRead(t, gpxHead+`<wpt lat="-16.1" lon="133.2"/></gpx>`)
	ids := make(map[string]bool)
	for _, property := range []string{"north", "south"} {
		entries, err := Entries(file, property, "")
		if err != nil {
			t.Fatal(err)
		}
		for e := range entries {
			for _, id := range []string{string(e.ID), e.Feature, e.Device} {
				if ids[id] {
					t.Errorf("id %s is on both properties", id)
				}
				ids[id] = true
			}
		}
	}
	if _, err := Entries(file, "No Such Id", ""); err == nil {
		t.Error("a property's id with spaces is taken, want an error")
	}
}

// TestLongTrack: a track beyond one entry becomes lines that join, and stays known as it
// grows.
func TestLongTrack(t *testing.T) {
	track := func(n int) string {
		var b strings.Builder
		b.WriteString(gpxHead + "<trk><name>log</name><trkseg>")
		for i := range n {
			fmt.Fprintf(&b, `<trkpt lat="%.7f" lon="133.2"><ele>%d.5</ele><time>2024-05-01T%02d:%02d:%02dZ</time></trkpt>`, -16-float64(i)*1e-5, i%100, i/3600, i/60%60, i%60)
		}
		b.WriteString("</trkseg></trk></gpx>")
		return b.String()
	}
	file := mustRead(t, track(7_000))
	checkEntries(t, file)
	if len(file.Records) != 2 || len(file.Report) != 1 {
		t.Fatalf("%d records and a report of %v, want 2 and one line", len(file.Records), file.Report)
	}
	first, second := pointsOf(geometryOf(t, file.Records[0])), pointsOf(geometryOf(t, file.Records[1]))
	if len(first)+len(second) != 7_001 || first[len(first)-1] != second[0] {
		t.Errorf("lines of %d and %d vertices, want 7000 and the one where they join", len(first), len(second))
	}
	grown := mustRead(t, track(7_500))
	if grown.Records[0].Key != file.Records[0].Key || grown.Records[1].Key == file.Records[1].Key {
		t.Error("with the track grown, want the first line known and the second new")
	}
}

// TestLongRecord: values that fill several entries are one device's, numbered on end, and
// the first has the kind and the place.
func TestLongRecord(t *testing.T) {
	long := `"` + strings.Repeat("x", 200<<10) + `"`
	file := mustRead(t, `{"type":"Feature","properties":{"a":`+long+`,"b":`+long+`,"c":"`+strings.Repeat("y", 300<<10)+`"},"geometry":{"type":"Point","coordinates":[1,2]}}`)
	checkEntries(t, file)
	if len(file.Report) != 1 || file.Report[0].Path != "x-c" {
		t.Errorf("the report is %v, want one line about x-c, which no entry holds", file.Report)
	}
	entries, err := Entries(file, "sandalwood", "")
	if err != nil {
		t.Fatal(err)
	}
	device, seq := "", uint64(0)
	for e := range entries {
		if seq++; e.DeviceSeq != seq || device != "" && e.Device != device {
			t.Errorf("entry %d is number %d of %s, want %d of %q", seq, e.DeviceSeq, e.Device, seq, device)
		}
		if e.Set.Has("geometry") != (seq == 1) {
			t.Errorf("entry %d has the place: %v", seq, e.Set.Has("geometry"))
		}
		device = e.Device
	}
	if seq != 2 {
		t.Errorf("%d entries, want 2", seq)
	}
}
