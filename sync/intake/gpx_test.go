package intake

import (
	"strings"
	"testing"
)

// TestWaypointFields: what a handheld says of a point becomes the fields of its kind.
func TestWaypointFields(t *testing.T) {
	tests := []struct {
		name, element string
		want          map[string]string // "" for none
		reports       int
	}{
		{"type-names-kind", `<type>Check dam</type>`, map[string]string{"kind": `"check-dam"`, "x-type": `"Check dam"`}, 0},
		{"symbol-names-kind", `<sym>gully_head</sym>`, map[string]string{"kind": `"gully-head"`, "x-sym": `"gully_head"`}, 0},
		{"plural-names-kind", `<type>PHOTO POINTS</type>`, map[string]string{"kind": `"photo-point"`}, 0},
		{"type-outweighs-symbol", `<sym>peg</sym><type>hazard</type>`, map[string]string{"kind": `"hazard"`}, 0},
		{"other-word", `<sym>Flag, Red</sym>`, map[string]string{"kind": `"unsorted"`}, 0},
		{"kind-of-another-shape", `<type>thalweg</type>`, map[string]string{"kind": `"unsorted"`, "x-type": `"thalweg"`}, 1},
		{"notes", `<cmt>short</cmt><desc>long</desc>`, map[string]string{"notes": `"short\nlong"`, "x-cmt": ""}, 0},
		{"notes-said-twice", `<cmt>same</cmt><desc>same</desc>`, map[string]string{"notes": `"same"`}, 0},
		{"link", `<link href="a.jpg"><text>t</text></link><link href="b.jpg"/>`, map[string]string{"x-link": `"a.jpg\nb.jpg"`}, 0},
		{"precision", `<hdop>1.2</hdop>`, map[string]string{"x-hdop": `"1.2"`, "positionBasis": `"GPS"`}, 0},
		{"fixed-by-satellites", `<fix>3d</fix>`, map[string]string{"positionBasis": `"GPS"`}, 0},
		{"receiver-without-a-fix", `<fix>none</fix>`, map[string]string{"positionBasis": ""}, 0},
		{"of-no-receiver", `<ele>210</ele><name>drawn</name>`, map[string]string{"positionBasis": ""}, 0},
		{"foreign-outside-extensions", `<q xmlns="urn:example:q">1</q>`, map[string]string{"x-q": ""}, 1},
		{"two-heights", `<ele>1</ele><ele>2</ele>`, map[string]string{"gpsHeightM": "1"}, 1},
		{"height-of-no-place", `<ele>200000</ele>`, map[string]string{"gpsHeightM": ""}, 1},
		{"height-in-hexadecimal", `<ele>0x10</ele>`, map[string]string{"gpsHeightM": ""}, 1},
		{"time-at-day-by-sun", `<time>2024-04-30T23:30:00Z</time>`, map[string]string{"observedOn": `"2024-05-01"`, "positionBasis": `"GPS"`}, 0}, // half past eight in the morning at 133° E
		{"time-with-offset", `<time>2024-05-01T00:30:00+09:30</time>`, map[string]string{"observedOn": `"2024-05-01"`}, 0},
		{"clock-never-set", `<time>1970-01-01T00:00:00Z</time>`, map[string]string{"observedOn": ""}, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			file := mustRead(t, gpxHead+`<wpt lat="-16.1" lon="133.2">`+test.element+`</wpt></gpx>`)
			checkEntries(t, file)
			for name, want := range test.want {
				if got := string(file.Records[0].Fields[name]); got != want {
					t.Errorf("%s is %s, want %s", name, got, want)
				}
			}
			if len(file.Report) != test.reports {
				t.Errorf("the report is %v, want %d lines", file.Report, test.reports)
			}
		})
	}
}

// TestTrackFields: heights and instants keep their places along the line, unknown ones too.
func TestTrackFields(t *testing.T) {
	file := mustRead(t, gpxHead+`<trk><name>bottom</name><type>thalweg</type><trkseg>
		<trkpt lat="-16.1" lon="133.2"><ele>1.5</ele></trkpt>
		<trkpt lat="-16.2" lon="133.2"><time>2024-05-01T09:30:00+09:30</time><hdop>3</hdop></trkpt></trkseg><trkseg>
		<trkpt lat="-16.3" lon="133.2"/><trkpt lat="-16.4" lon="133.2"><ele>-2</ele><hdop>4</hdop></trkpt></trkseg></trk></gpx>`)
	want := map[string]string{
		"kind":        `"thalweg"`,
		"name":        `"bottom"`,
		"geometry":    `{"type":"MultiLineString","coordinates":[[[133.2,-16.1],[133.2,-16.2]],[[133.2,-16.3],[133.2,-16.4]]]}`,
		"gpsHeightsM": `[1.5,null,null,-2]`,
		"x-times":     `[null,"2024-05-01T00:00:00Z",null,null]`,
		"observedOn":  `"2024-05-01"`,
		"x-type":      `"thalweg"`,

		"positionBasis": `"GPS"`,
	}
	if len(file.Records[0].Fields) != len(want) {
		t.Errorf("%d fields, want %d", len(file.Records[0].Fields), len(want))
	}
	for name, value := range want {
		if got := string(file.Records[0].Fields[name]); got != value {
			t.Errorf("%s is %s, want %s", name, got, value)
		}
	}
	if len(file.Report) != 1 || file.Report[0].Path != "hdop" || file.Report[0].Line != 3 {
		t.Errorf("the report is %v, want one line about hdop, on line 3", file.Report)
	}
}

// TestEncodings: declared single-byte encodings are read, others refused by name.
func TestEncodings(t *testing.T) {
	text := func(encoding, name string) string {
		return `<?xml version="1.0" encoding="` + encoding + `"?>` + gpxHead + `<wpt lat="1" lon="2"><name>` + name + `</name></wpt></gpx>`
	}
	for _, test := range []struct{ encoding, name, want string }{
		{"Windows-1252", "\x80 \x93caf\xe9\x94", "€ “café”"},
		{"ISO-8859-1", "caf\xe9 \x93", "café \u0093"},
		{"us-ascii", "cafe", "cafe"},
	} {
		file := mustRead(t, text(test.encoding, test.name))
		if got, _ := textOf(file.Records[0].Fields["name"]); got != test.want {
			t.Errorf("%s: name is %q, want %q", test.encoding, got, test.want)
		}
	}
	_, err := Read("case", strings.NewReader(text("KOI8-R", "x")))
	if err == nil || !strings.Contains(err.Error(), "KOI8-R") {
		t.Errorf("the error is %v, want one that names the encoding", err)
	}
}

// TestXMLMistakesInPlainWords: what the parser says of a text never reaches people.
func TestXMLMistakesInPlainWords(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{`<?xml version="1.0" encoding="latin-9"?><gpx/>`, `the encoding "latin-9" is not read (save it as UTF-8)`},
		{`<?xml version="1.1"?><gpx/>`, "cannot be read as XML 1.0 ("},
		{gpxHead + `<wpt lat="1" lon="2">&bogus;</wpt></gpx>`, `"&bogus;" stands for no character; & alone is written &amp; (`},
		{gpxHead + `<wpt lat="1" lon="2"><name>Hill & Dale</name></wpt></gpx>`, `has "&" alone, which is written &amp; (`},
		{gpxHead + `<wpt lat="1" lon="2"><name>Hill &Dale</name></wpt></gpx>`, `"&Dale" stands for no character; & alone is written &amp; (`},
		{gpxHead + `<wpt lat="1" lon="2"><name>a</wpt></gpx>`, `"</wpt>" stands where another element should end (`},
		{gpxHead + `<wpt lat="1" lon="2"></wpt></gpx></gpx>`, `"</gpx>" ends nothing that was begun (`},
		{gpxHead + `<wpt lat="<" lon="2"></wpt></gpx>`, "has < alone, which is written &lt; ("},
		{gpxHead + `<wpt lat="1" lon="2"><name>a < b</name></wpt></gpx>`, "has < alone, which is written &lt; ("},
		{gpxHead + "<wpt lat=\"1\" lon=\"2\"><name>\xff</name></wpt></gpx>", "has bytes that are not UTF-8 ("},
		{gpxHead + "<wpt lat=\"1\" lon=\"2\"><name>\x01</name></wpt></gpx>", "has a character that XML does not allow ("},
		{gpxHead + `<wpt lat=1 lon="2"></wpt></gpx>`, "is not well-formed XML ("},
	} {
		_, err := Read("case", strings.NewReader(test.text))
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("of %q is said\n%v, want\n%s", test.text, err, test.want)
		}
	}
}
