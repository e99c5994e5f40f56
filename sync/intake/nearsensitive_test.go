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
	}
	for _, column := range []string{"sensitive_1", "is_sensitive", "hc:sensitive", "Sensitivity", "sensitive?", "Sensitive (yes/no)", "sensitive:", `"sensitive"`, "Is it sensitive", "culturally sensitive site"} {
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
				told = told || p.Line > 0 && strings.Contains(strings.ToLower(p.Path), "sensitiv") && p.Fix != ""
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
