package intake

import (
	"strings"
	"testing"

	"headcut/export"
)

// TestNearlySensitiveHides: whatever holds the word, in a name of a column or anywhere else in a feature, hides it
// unless it says a plain no, and the report names its line and says what to do.
func TestNearlySensitiveHides(t *testing.T) {
	const place = `"geometry":{"type":"Point","coordinates":[133.2,-16.1]}`
	forms := map[string]string{
		"beside the properties": `{"type":"Feature","sensitive":"%","properties":{"kind":"check-dam"},` + place + `}`,
		"within a property":     `{"type":"Feature","properties":{"kind":"check-dam","tags":{"sensitive":"%"}},` + place + `}`,
		"deep within one":       `{"type":"Feature","properties":{"kind":"check-dam","tags":[{"a":{"Sensitivity":"%"}}]},` + place + `}`,
		"a tag":                 `{"type":"Feature","properties":{"kind":"check-dam","tags":"sensitive=%"},` + place + `}`,
		"GPX, an attribute":     `<extensions><sensitive value="%"/></extensions>`,
		"GPX, an element in it": `<extensions><sensitive><b>%</b></sensitive></extensions>`,
		"GPX, named by another": `<extensions><x name="sensitive">%</x></extensions>`,
		"GPX, of extensions":    `<extensions y:sensitive="%" xmlns:y="urn:y"/>`,
		"GPX, no extension":     `<sensitive>%</sensitive>`,
		"GPX, foreign":          `<y:sensitive xmlns:y="urn:y">%</y:sensitive>`,
		"GPX, within a foreign": `<y:b xmlns:y="urn:y"><y:sensitive>%</y:sensitive></y:b>`,
		"GPX, of a name":        `<name y:sensitive="%" xmlns:y="urn:y">a</name>`,
		"GPX, of a link":        `<link href="a" sensitive="%"><text>b</text></link>`,
		"GPX, in a link":        `<link href="a"><sensitive>%</sensitive></link>`,
	}
	for _, column := range []string{"sensitive_1", "is_sensitive", "hc:sensitive", "Sensitivity", "sensitive?", "Sensitive (yes/no)", "sensitive:", `"sensitive"`, "Is it sensitive", "culturally sensitive site", "ｓｅｎｓｉｔｉｖｅ", "sénsitive", "ſensitive", "sensıtive", "se\u0301nsitive"} {
		forms["CSV "+column] = "latitude,longitude,kind,\"" + strings.ReplaceAll(column, `"`, `""`) + "\"\n-16.1,133.2,check-dam,%\n"
		forms["GeoJSON "+column] = `{"type":"Feature","properties":{"kind":"check-dam",` + string(rawText(column)) + `:"%"},` + place + `}`
	}
	for name, form := range forms {
		if strings.HasPrefix(name, "GPX") {
			form = gpxHead + `<wpt lat="-16.1" lon="133.2"><type>check dam</type>` + form + `</wpt></gpx>`
		}
		for value, hidden := range map[string]bool{"yes": true, "ja": true, "1": true, "no": false, "false": false} {
			file := mustRead(t, strings.ReplaceAll(form, "%", value))
			if len(file.Records) != 1 {
				t.Fatalf("%s: %d records: %v", name, len(file.Records), file.Report)
			}
			if got := file.Records[0].Fields["sensitive"]; export.Sensitive(got) != hidden {
				t.Errorf("%s, %s: sensitive is %s, want hidden: %t; %v", name, value, got, hidden, file.Report)
			}
			told := false
			for _, p := range file.Report {
				told = told || p.Line > 0 && sensitiveColumn(p.Path) && p.Fix != ""
			}
			if plainName := strings.HasPrefix(name, "GPX") && value != "ja"; hidden && !told && !plainName {
				t.Errorf("%s, %s: the report does not say it: %v", name, value, file.Report)
			}
		}
	}
}

// TestMembersTwice: of a feature whose properties or place stand twice nobody can tell which are meant: it is left
// out and named, and the others come in.
func TestMembersTwice(t *testing.T) {
	const one, other = `"geometry":{"type":"Point","coordinates":[133.2,-16.1]}`, `"geometry":{"type":"Point","coordinates":[134.2,-16.1]}`
	for name, feature := range map[string]string{
		"properties": `{"type":"Feature","properties":{"kind":"check-dam","sensitive":true},"properties":{"kind":"check-dam"},` + one + `}`,
		"geometry":   `{"type":"Feature","properties":{"kind":"check-dam"},` + one + `,` + other + `}`,
	} {
		file := mustRead(t, `{"type":"FeatureCollection","features":[`+feature+`,{"type":"Feature","properties":{"kind":"peg"},`+one+`}]}`)
		if len(file.Records) != 1 || file.LeftOut != 1 || len(file.Report) != 1 || !strings.HasSuffix(file.Report[0].Path, name) || file.Report[0].Fix == "" {
			t.Errorf("%s: %d records, %d left out, %v", name, len(file.Records), file.LeftOut, file.Report)
		}
		if _, err := Read("f", strings.NewReader(feature)); err == nil || !strings.Contains(err.Error(), name+": is there twice") {
			t.Errorf("%s of a lone feature: %v", name, err)
		}
	}
}

// TestSensitiveAnywhereInGPX: an attribute of a waypoint, route or track, of one of its points or of the file,
// and an element where GPX has none or nothing else is read.
func TestSensitiveAnywhereInGPX(t *testing.T) {
	const line = `<rtept lat="-16.1" lon="133.2"/><rtept lat="-16.2" lon="133.2"/>`
	for name, form := range map[string]string{
		"a waypoint's":             `<wpt lat="-16.1" lon="133.2" sensitive="%"/>`,
		"a waypoint's, foreign":    `<wpt lat="-16.1" lon="133.2" y:Sensitivity="%"/>`,
		"a route's":                `<rte y:sensitive="%">` + line + `</rte>`,
		"a route's point":          `<rte>` + line + `<rtept lat="-16.3" lon="133.2" y:sensitive="%"/></rte>`,
		"within a route's point":   `<rte>` + line + `<rtept lat="-16.3" lon="133.2"><extensions><y:sensitive>%</y:sensitive></extensions></rtept></rte>`,
		"a track's":                `<trk sensitive="%"><trkseg><trkpt lat="-16.1" lon="133.2"/><trkpt lat="-16.2" lon="133.2"/></trkseg></trk>`,
		"a segment's":              `<trk><trkseg y:sensitive="%"><trkpt lat="-16.1" lon="133.2"/><trkpt lat="-16.2" lon="133.2"/></trkseg></trk>`,
		"a segment's extensions":   `<trk><trkseg><trkpt lat="-16.1" lon="133.2"/><trkpt lat="-16.2" lon="133.2"/><extensions><y:a><y:sensitive>%</y:sensitive></y:a></extensions></trkseg></trk>`,
		"a track point's":          `<trk><trkseg><trkpt lat="-16.1" lon="133.2"/><trkpt lat="-16.2" lon="133.2" y:sensitive="%"/></trkseg></trk>`,
		"in a track point":         `<trk><trkseg><trkpt lat="-16.1" lon="133.2"/><trkpt lat="-16.2" lon="133.2"><y:sensitive>%</y:sensitive></trkpt></trkseg></trk>`,
		"in what is left out":      `<wpt lat="-16.1" lon="133.2"><y:b y:a="1"><y:b y:name="sensitive">%</y:b></y:b></wpt>`,
		"the file's":               `<wpt lat="-16.1" lon="133.2"/><extensions><y:sensitive>%</y:sensitive></extensions>`,
		"the file's, metadata's":   `<metadata><extensions><y:sensitive>%</y:sensitive></extensions></metadata><wpt lat="-16.1" lon="133.2"/>`,
		"the file's, an attribute": `<metadata y:sensitive="%"/><wpt lat="-16.1" lon="133.2"/>`,
	} {
		for value, hidden := range map[string]bool{"yes": true, "ja": true, "1": true, "no": false, "false": false} {
			file := mustRead(t, strings.Replace(gpxHead, "<gpx", `<gpx xmlns:y="urn:y"`, 1)+strings.ReplaceAll(form, "%", value)+`</gpx>`)
			if len(file.Records) != 1 {
				t.Fatalf("%s: %d records: %v", name, len(file.Records), file.Report)
			}
			if got := file.Records[0].Fields["sensitive"]; export.Sensitive(got) != hidden {
				t.Errorf("%s, %q: sensitive is %s, want hidden: %t; %v", name, value, got, hidden, file.Report)
			}
			told := false
			for _, p := range file.Report {
				told = told || strings.Contains(strings.ToLower(p.Path), "sensitiv") && p.Fix != ""
			}
			if value == "ja" && !told {
				t.Errorf("%s: the report does not say it: %v", name, file.Report)
			}
		}
	}
	// What was left out marks nobody else, and one feature does not mark the next.
	file := mustRead(t, gpxHead+`<wpt lat="-16.1" lon="133.2" sensitive="yes"/><wpt lat="-16.2" lon="133.2"/><rte sensitive="yes"><rtept lat="-16.1" lon="133.2"/></rte><wpt lat="-16.3" lon="133.2"/></gpx>`)
	for i, want := range []bool{true, false, false} {
		if got := export.Sensitive(file.Records[i].Fields["sensitive"]); got != want {
			t.Errorf("waypoint %d is hidden: %t, want %t", i+1, got, want)
		}
	}
	// However many say no, in however many ways, the one that says yes is heard.
	many := gpxHead + `<trk>`
	for range 40 {
		many += `<trkseg sensitive="` + strings.Repeat(" ", strings.Count(many, "<trkseg ")) + `no"><trkpt lat="-16.1" lon="133.2"/><trkpt lat="-16.2" lon="133.2"/></trkseg>`
	}
	if got := mustRead(t, many+`<trkseg sensitive="yes"/></trk></gpx>`).Records[0].Fields["sensitive"]; !export.Sensitive(got) {
		t.Errorf("after forty that say no, a yes leaves it %s", got)
	}
}

// TestWordSensitiveInTexts: what people write about a place, and the title of a file, may be all that says it.
// A plain yes or no under its name outweighs that, and so does what an export says of its own.
func TestWordSensitiveInTexts(t *testing.T) {
	point := func(properties string) string {
		return `{"type":"Feature","properties":{"kind":"check-dam"` + properties + `},"geometry":{"type":"Point","coordinates":[133.2,-16.1]}}`
	}
	wpt := func(inner string) string {
		return gpxHead + `<wpt lat="-16.1" lon="133.2">` + inner + `</wpt></gpx>`
	}
	for name, c := range map[string]struct {
		file   string
		hidden bool
	}{
		"GPX, cmt":                  {wpt(`<cmt>SENSITIVE: keep off</cmt>`), true},
		"GPX, desc":                 {wpt(`<desc>sensitive=yes</desc>`), true},
		"GPX, sym":                  {wpt(`<sym>Sensitive area</sym>`), true},
		"GPX, type":                 {wpt(`<type>culturally sensitive</type>`), true},
		"GPX, name":                 {wpt(`<name>sensitive tree</name>`), true},
		"GPX, an extension":         {wpt(`<extensions><a>sensitive</a></extensions>`), true},
		"GPX, an attribute":         {gpxHead + `<wpt lat="-16.1" lon="133.2" class="sensitive"/></gpx>`, true},
		"GPX, and a plain no":       {wpt(`<desc>sensitive site</desc><extensions><sensitive>no</sensitive></extensions>`), false},
		"GPX, another word":         {wpt(`<desc>sensible site</desc>`), false},
		"GPX, title":                {gpxHead + `<metadata><name>Sensitive sites</name></metadata><wpt lat="-16.1" lon="133.2"/></gpx>`, true},
		"GPX, title and a plain no": {gpxHead + `<metadata><keywords>sensitive</keywords></metadata><wpt lat="-16.1" lon="133.2" sensitive="no"/></gpx>`, false},
		"GeoJSON, notes":            {point(`,"notes":"sensitive site"`), true},
		"GeoJSON, a list":           {point(`,"tags":["dam","sensitive"]`), true},
		"GeoJSON, deep":             {point(`,"a":{"b":[{"c":"Sensitive"}]}`), true},
		"GeoJSON, and a plain no":   {point(`,"notes":"sensitive site","sensitive":false`), false},
		"GeoJSON, title":            {`{"type":"FeatureCollection","name":"sensitive_sites","features":[` + point("") + `]}`, true},
		"GeoJSON, the whole file":   {`{"type":"FeatureCollection","features":[` + point("") + `],"sensitive":true}`, true},
		"GeoJSON, none of it":       {`{"type":"FeatureCollection","features":[` + point("") + `],"sensitive":false}`, false},
		"GeoJSON, an export":        {point(`,"uid":"0000018c-0000-7000-8000-000000000001","version":"1","notes":"sensitive to rain"`), false},
		"CSV, notes":                {"latitude,longitude,kind,notes\n-16.1,133.2,check-dam,sensitive site\n", true},
		"CSV, and a plain no":       {"latitude,longitude,kind,notes,sensitive\n-16.1,133.2,check-dam,sensitive site,no\n", false},
		"CSV, and an empty one":     {"latitude,longitude,kind,notes,sensitive\n-16.1,133.2,check-dam,sensitive site,\n", true},
	} {
		file := mustRead(t, c.file)
		if got := file.Records[0].Fields["sensitive"]; export.Sensitive(got) != c.hidden {
			t.Errorf("%s: sensitive is %s, want hidden: %t; %v", name, got, c.hidden, file.Report)
		}
		told := false
		for _, p := range file.Report {
			told = told || strings.Contains(p.Reason, "marked sensitive") && p.Fix != ""
		}
		if told != c.hidden {
			t.Errorf("%s: the report says %v", name, file.Report)
		}
	}
}
