package intake

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/sync/register"
)

// TestLimitsAreWhereTheyAreSaid: as much as a limit allows is read, and one more is not.
func TestLimitsAreWhereTheyAreSaid(t *testing.T) {
	members := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `,"m%d":1`, i)
		}
		return b.String()
	}
	nested := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	words := func(element string, n int) string {
		return gpxHead + `<wpt lat="1" lon="2">` + element + strings.Repeat("<src>a</src>", n) + "</wpt></gpx>"
	}
	elements := func(n int) string { // below gpx and wpt and extensions
		return gpxHead + `<wpt lat="1" lon="2"><extensions>` + strings.Repeat("<q>", n) + "a" + strings.Repeat("</q>", n) + "</extensions></wpt></gpx>"
	}
	attributes := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, ` a%d="1"`, i)
		}
		return gpxHead + "<wpt lat=\"1\" lon=\"2\"" + b.String() + "/></gpx>"
	}
	rows := func(n int) string { return strings.TrimSuffix(strings.Repeat(`{"point":"A","is":1},`, n), ",") }
	for _, c := range []struct {
		name      string
		of        func(n int) string
		most      int
		says, not string // of one more, and never of as many: "" when one more is refused
	}{
		{"members of a text", func(n int) string { return `{"features":[],"type":"FeatureCollection"` + members(n-1) + `}` }, MaxMembers, "has more than 1000 members", ""},
		{"members of a feature", func(n int) string {
			return `{"type":"FeatureCollection","features":[{"type":"Feature","properties":null` + members(n-2) + `}]}`
		}, MaxMembers, "has more than 1000 members", ""},
		{"properties", func(n int) string { return `{"type":"Feature","properties":{"a":1` + members(n-1) + `}}` }, MaxMembers, "has more than 1000 members", ""},
		{"nested arrays", func(n int) string { return `{"type":"Feature","properties":{"a":` + nested(n-2) + `}}` }, MaxDepth, "nest deeper than 64", ""},
		{"nested collections", func(n int) string {
			return strings.Repeat(`{"type":"GeometryCollection","geometries":[`, n) + `{"type":"Point","coordinates":[1,2]}` + strings.Repeat(`]}`, n)
		}, model.GeometryDepth, "nest deeper than", ""},
		{"texts of an element", func(n int) string { return words("", n) }, MaxMembers, "one of more than 1000 texts", ""},
		{"texts of extensions", func(n int) string {
			return words("<extensions>"+strings.Repeat("<q>a</q>", n-1)+"</extensions>", 1)
		}, MaxMembers, "one of more than 1000 texts", ""},
		{"elements", func(n int) string { return elements(n - 3) }, MaxDepth, "nest deeper than 64", ""},
		{"attributes", func(n int) string { return attributes(n - 2) }, 64, "more than 64 attributes", ""},
		{"rows of a book", func(n int) string { return "station,backsight,foresight\n" + strings.Repeat("A,1,\n", n) }, MaxLevelRows, "more than 5000 rows", ""},
		{"rows of a feature", func(n int) string {
			return `{"type":"Feature","properties":{"kind":"level-run","rows":[` + rows(n) + `]}}`
		}, MaxLevelRows, "has more than 5000 rows: kept as x-rows", "kept as x-rows"},
		{"bytes of a cell", func(n int) string {
			return "latitude,longitude,mason\n1,2," + strings.Repeat("x", n-2) + "\n" // and its quotation marks
		}, fieldRoom, "has 258049 bytes, and an entry has room for 258048: the value is left out", "left out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			said := func(n int) (string, bool) {
				file, err := Read("file", strings.NewReader(c.of(n)))
				if err != nil {
					return err.Error(), false
				}
				return fmt.Sprint(file.Report), true
			}
			if got, ok := said(c.most); !ok || c.not != "" && strings.Contains(got, c.not) {
				t.Errorf("%d: %s", c.most, got)
			}
			if got, ok := said(c.most + 1); ok != (c.not != "") || !strings.Contains(got, c.says) {
				t.Errorf("%d: %s, want %q", c.most+1, got, c.says)
			}
		})
	}
}

// TestLongFileOfShortParts: what is bounded is each part, not their sum.
func TestLongFileOfShortParts(t *testing.T) {
	part := `"` + strings.Repeat("x", MaxFeature/3) + `"`
	feature := `{"type":"Feature","properties":{"a":` + part + `}}`
	text := `{"type":"FeatureCollection","a":` + part + `,"b":` + part + `,"c":` + part + `,"d":` + part + `,"features":[` + feature + "," + feature + "," + feature + "," + feature + `]}`
	if file := mustRead(t, text); len(file.Records) != 4 || file.LeftOut != 4 {
		t.Errorf("%d records, %d left out", len(file.Records), file.LeftOut)
	}
}

// TestFileOfTheMostBytes is read to its end.
func TestFileOfTheMostBytes(t *testing.T) {
	for size, fails := range map[int64]bool{3: false, 4: true} {
		whole, bytewise := newSource(strings.NewReader("text"[:size])), newSource(strings.NewReader("text"[:size]))
		whole.left, bytewise.left = 3, 3
		n, err := io.Copy(io.Discard, onlyReader{whole})
		if (err != nil) != fails || !fails && n != size {
			t.Errorf("%d bytes of 3: read %d, %v", size, n, err)
		}
		for range size {
			_, err = bytewise.ReadByte()
		}
		if (err != nil) != fails {
			t.Errorf("byte by byte %d of 3: %v", size, err)
		}
	}
	token := newSource(strings.NewReader("ab"))
	if token.token = MaxToken - 1; token.left != MaxBytes {
		t.Errorf("%d bytes are allowed", token.left)
	}
	if _, err := token.ReadByte(); err != nil {
		t.Errorf("the last byte of the longest token: %v", err)
	}
	if _, err := token.ReadByte(); err == nil {
		t.Error("a byte beyond the longest token is read")
	}
}

type onlyReader struct{ io.Reader }

// TestTablesOfShapefiles are told by their first bytes (dBASE level 5).
func TestTablesOfShapefiles(t *testing.T) {
	table := func(change func([]byte)) []byte {
		head := make([]byte, 32)
		copy(head, []byte{3, 126, 5, 13})
		for i := 4; i < 32; i++ {
			head[i] = 1
		}
		head[4] = 0
		change(head)
		return head
	}
	set := func(i int, v byte) func([]byte) { return func(b []byte) { b[i] = v } }
	for name, c := range map[string]struct {
		head []byte
		want bool
	}{
		"table": {table(func([]byte) {}), true}, "short": {table(func([]byte) {})[:31], false}, "version": {table(set(0, 4)), false},
		"month 1": {table(set(2, 1)), true}, "month 12": {table(set(2, 12)), true}, "month 0": {table(set(2, 0)), false}, "month 13": {table(set(2, 13)), false},
		"day 1": {table(set(3, 1)), true}, "day 31": {table(set(3, 31)), true}, "day 0": {table(set(3, 0)), false}, "day 32": {table(set(3, 32)), false},
		"no size": {table(set(4, 1)), false}, "size at the end": {table(func(b []byte) { b[4], b[31] = 1, 0 }), true},
	} {
		if got := isTable(c.head); got != c.want {
			t.Errorf("%s: %t, want %t", name, got, c.want)
		}
	}
}

// TestFieldsShareEntries: as many as have room, in one, the place and the kind first.
func TestFieldsShareEntries(t *testing.T) {
	value := func(n int) json.RawMessage { return json.RawMessage(strings.Repeat("1", n)) }
	const overhead = register.FieldNameBytes + 8
	half := (fieldRoom + overhead) / 2
	for name, c := range map[string]struct {
		fields map[string]json.RawMessage
		want   []string
	}{
		"both have room": {map[string]json.RawMessage{"a": value(half - overhead), "b": value(half - overhead)}, []string{"a b"}},
		"one too many":   {map[string]json.RawMessage{"a": value(half - overhead), "b": value(half - overhead + 1)}, []string{"a", "b"}},
		"one fills it":   {map[string]json.RawMessage{"a": value(fieldRoom), "b": value(1)}, []string{"a", "b"}},
		"in order":       {map[string]json.RawMessage{"b": value(1), "a": value(1), "kind": value(1), "geometry": value(1)}, []string{"a b geometry kind"}},
		"place first":    {map[string]json.RawMessage{"a": value(fieldRoom), "kind": value(1), "geometry": value(half)}, []string{"geometry kind", "a"}},
	} {
		var got []string
		for _, set := range share(c.fields) {
			got = append(got, strings.Join(sorted(set), " "))
		}
		if fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	many := map[string]json.RawMessage{}
	for i := range register.FieldsPerEntry + 1 {
		many[fmt.Sprintf("f%03d", i)] = value(1)
	}
	if all := share(many); len(all) != 2 || len(all[0]) != register.FieldsPerEntry || len(all[1]) != 1 {
		t.Errorf("%d fields are in %d entries", len(many), len(all))
	}
}

func sorted(set map[string]json.RawMessage) (names []string) {
	for _, v := range model.FieldValuesOf(set) {
		names = append(names, v.Name)
	}
	return names
}

// TestEditsThatNoEntryHolds are left out, to the byte.
func TestEditsThatNoEntryHolds(t *testing.T) {
	line := func(n int) string { // GeoJSON of n bytes
		const head, tail, one = `{"type":"LineString","coordinates":[[1,2]`, `]}`, `,[1,3]`
		spare := n - len(head) - len(tail)
		many, digits := spare/len(one)-2, spare%len(one)+2*len(one)-len(`,[1.,3]`)
		return head + strings.Repeat(one, many) + `,[1.` + strings.Repeat("1", digits) + `,3]` + tail
	}
	for more := range 2 {
		e := newEditor(t, map[string]json.RawMessage{"kind": json.RawMessage(`"fence"`)})
		edit, problems, found := e.edit(e.file(`,"mason":"`+strings.Repeat("x", fieldRoom-2+more)+`"`, line(fieldRoom)))
		if !found {
			t.Fatal("not found")
		}
		if len(edit.Changes) != 2-more || len(problems) != more {
			t.Errorf("%d bytes more than there is room for: %d changes, %v", more, len(edit.Changes), problems)
		}
		for _, p := range problems {
			if !strings.Contains(p.Reason, fmt.Sprintf("has %d bytes, and an entry has room for %d: left out", fieldRoom+1, fieldRoom)) {
				t.Error(p)
			}
		}
	}
}

// TestPlacesThatNoEntryHolds: the record is left out, and the others are not.
func TestPlacesThatNoEntryHolds(t *testing.T) {
	at := func(n int) string { return `[1,2` + strings.Repeat(`],[1.25,3`, n) + `]` }
	n := fieldRoom / len(`[1.25,3],`)
	text := func(n int) string {
		return `{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":{"type":"LineString","coordinates":[` + at(n) + `]}},` +
			`{"type":"Feature","properties":{"name":"Peg 1"},"geometry":null}]}`
	}
	if file := mustRead(t, text(n-10)); len(file.Records) != 2 || len(file.Report) != 0 {
		t.Errorf("%d records, %v", len(file.Records), file.Report)
	}
	file := mustRead(t, text(n+10))
	if len(file.Records) != 1 || file.LeftOut != 1 || len(file.Report) != 1 || file.Report[0].Path != "geometry" || !strings.Contains(file.Report[0].Error(), ": the record is left out (split it") {
		t.Errorf("%d records, %d left out, %v", len(file.Records), file.LeftOut, file.Report)
	}
}

// TestKindEntry: its author has seen all, and its device follows from what it says.
func TestKindEntry(t *testing.T) {
	e := newEditor(t, map[string]json.RawMessage{"kind": json.RawMessage(`"unsorted"`)})
	state := register.Gather("f", e.entries)
	now := time.Date(2026, 5, 13, 9, 0, 0, 0, time.UTC)
	entry := KindEntry(state, "p", "f", "check-dam", "", now)
	if entry.Author != DefaultAuthor || entry.SeenAt != "2026-05-13T09:00:00Z" || entry.Stamp != 1<<20+1 || entry.DeviceSeq != 1 || entry.Saw["phone-1"] != 1 ||
		string(entry.Set.Get("kind")) != `"check-dam"` || len(entry.Set) != 1 || entry.ID != "019e2090-7a80-76a6-a3c6-7e357197de5c" || !strings.HasPrefix(entry.Device, DevicePrefix) {
		t.Errorf("the entry is %+v", entry)
	}
	if another := KindEntry(state, "p", "f", "check-dam", "Ana", now.Add(time.Hour)); another.Author != "Ana" || another.Device != entry.Device {
		t.Errorf("an hour later it is %+v", another)
	}
	if another := KindEntry(state, "p", "f", "fence", "", now); another.Device == entry.Device {
		t.Error("another kind is of the same device")
	}
}

// TestAuthorsOfEntries: intake, where nobody is named.
func TestAuthorsOfEntries(t *testing.T) {
	file := mustRead(t, "latitude,longitude\n1,2\n1,3\n")
	for author, want := range map[string]string{"": DefaultAuthor, "Ana": "Ana"} {
		entries, err := Entries(file, "p", author)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for e := range entries {
			if n++; e.Author != want {
				t.Errorf("the author is %q, want %q", e.Author, want)
			}
		}
		if n != 2 {
			t.Errorf("%d entries", n)
		}
		for range entries { // may be left early
			break
		}
	}
	if _, err := Entries(file, "p", strings.Repeat("x", 1<<10)); err == nil {
		t.Error("an author who cannot stand in an entry is taken")
	}
}

// TestLongTracksAreShared: into lines that join end to end, of names of their own.
func TestLongTracksAreShared(t *testing.T) {
	point := func(i int) string { return fmt.Sprintf(`<trkpt lat="1" lon="%v"/>`, float64(i)/100_000) }
	track := func(segments ...int) string {
		var b strings.Builder
		b.WriteString(gpxHead + "<trk><name>Walk</name>")
		i := 0
		for _, n := range segments {
			b.WriteString("<trkseg>")
			for range n {
				b.WriteString(point(i))
				i++
			}
			b.WriteString("</trkseg>")
		}
		b.WriteString("</trk></gpx>")
		return b.String()
	}
	for _, c := range []struct {
		segments []int
		want     string // of each record its name and the positions of its lines
	}{
		{[]int{pointsPerRecord}, "Walk[5000]"},
		{[]int{pointsPerRecord + 1}, "Walk[5000] Walk part 2[2]"},
		{[]int{pointsPerRecord - 1, 2}, "Walk[4999] Walk part 2[2]"},
		{[]int{pointsPerRecord - 2, 2}, "Walk[4998 2]"},
		{[]int{pointsPerRecord - 2, 3}, "Walk[4998 2] Walk part 2[2]"},
		{[]int{2 * pointsPerRecord}, "Walk[5000] Walk part 2[5000] Walk part 3[2]"},
	} {
		file := mustRead(t, track(c.segments...))
		var got []string
		var last orb.Point
		for i, r := range file.Records {
			var name string
			_ = json.Unmarshal(r.Fields["name"], &name)
			var counts []int
			lines := linesOf(geometryOf(t, r))
			for _, line := range lines {
				counts = append(counts, len(line))
			}
			if i > 0 && len(c.segments) == 1 && lines[0][0] != last {
				t.Errorf("%v: line %d begins at %v, the one before ends at %v", c.segments, i+1, lines[0][0], last)
			}
			last = lines[len(lines)-1][len(lines[len(lines)-1])-1]
			got = append(got, name+fmt.Sprint(counts))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%v: %v, want %s", c.segments, got, c.want)
		}
		if long := len(file.Records) > 1; long != strings.Contains(fmt.Sprint(file.Report), fmt.Sprintf("is long: taken as %d lines", len(file.Records))) {
			t.Errorf("%v: %v", c.segments, file.Report)
		}
	}
}

func linesOf(g orb.Geometry) []orb.LineString {
	switch g := g.(type) {
	case orb.LineString:
		return []orb.LineString{g}
	case orb.MultiLineString:
		return g
	}
	return nil
}

// TestTangledAreas: an area of very many edges side by side is read, and it is said that nobody can
// tell whether they cross.
func TestTangledAreas(t *testing.T) {
	ring := func(n int) orb.Ring { // there and back n times, each a little further north
		var ring orb.Ring
		for i := range n {
			ring = append(ring, orb.Point{float64(i % 2), float64(i) / 10_000})
		}
		return append(ring, orb.Point{-1, 1}, orb.Point{-1, 0}, ring[0])
	}
	if crosses, sure := crossing(edgesOf(orb.MultiPolygon{{ring(2000)}})); crosses || !sure {
		t.Errorf("of 2000 edges: crosses %t, sure %t", crosses, sure)
	}
	at := place{geometry: orb.Polygon{ring(3000)}}
	if said := strings.Join(at.doubts(), "\n"); !strings.Contains(said, "too many edges side by side") || strings.Contains(said, "edges cross") {
		t.Errorf("said %q", said)
	}
}
