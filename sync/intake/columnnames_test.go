package intake

import (
	"strings"
	"testing"
)

// TestGroundOfKMLIsNoHeight: the 0 that KML writes for a place on the ground is no height that
// anybody measured; others are kept.
func TestGroundOfKMLIsNoHeight(t *testing.T) {
	for _, test := range []struct{ columns, coordinates, want string }{
		{`"Name":"a","tessellate":-1,"visibility":-1`, `[133.2,-16.1,0]`, ""},
		{`"Name":"a","tessellate":-1,"visibility":-1`, `[133.2,-16.1,240]`, "240"},
		{`"name":"a"`, `[133.2,-16.1,0]`, "0"},
	} {
		file := mustRead(t, `{"type":"Feature","properties":{`+test.columns+`},"geometry":{"type":"Point","coordinates":`+test.coordinates+`}}`)
		if got := string(file.Records[0].Fields["gpsHeightM"]); got != test.want || len(file.Report) > 0 || string(file.Records[0].Fields["name"]) != `"a"` {
			t.Errorf("%s at %s has a height of %q, want %q: %v", test.columns, test.coordinates, got, test.want, file.Report)
		}
	}
}

// TestMadeUpNamesOfKML: what our KML calls a feature without a name comes back as no name of it; a name
// that somebody gave does, and so does any in the KML of others.
func TestMadeUpNamesOfKML(t *testing.T) {
	for _, test := range []struct{ columns, want string }{
		{`"kind":"visit","Name":"Visit to Dam 7"`, ""},
		{`"kind":"check-dam","Name":"Check dam"`, ""},
		{`"kind":"check-dam","Name":"Check dam to widen"`, "Check dam to widen"},
		{`"kind":"hut","Name":"Hut"`, "Hut"},
	} {
		_, theirs, _ := strings.Cut(test.columns, `"Name":`)
		for uid, want := range map[string]string{`,"uid":"u"`: test.want, "": strings.Trim(theirs, `"`)} {
			properties, _ := members([]byte("{" + test.columns + uid + `,"tessellate":-1,"visibility":-1}`))
			raw, _ := named(carried(properties), "name")
			if got, _ := textOf(raw); got != want {
				t.Errorf("%s%s is called %q, want %q", test.columns, uid, got, want)
			}
		}
	}
}

// TestHeadingsInOtherWords: columns of others are taken for the fields they name, told once, and
// a field of another kind says that it is none of this one's.
func TestHeadingsInOtherWords(t *testing.T) {
	file := mustRead(t, `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"NAME":"check dam 5","Description":"at the fig tree","Crest Height M":0.4,"outletSide":"left","station":"Top"},"geometry":{"type":"Point","coordinates":[133.2,-16.1]}},
{"type":"Feature","properties":{"NAME":"check dam 6","Crest Height M":0.3,"outletSide":"left"},"geometry":{"type":"Point","coordinates":[133.3,-16.1]}}]}`)
	want := map[string]string{"kind": `"check-dam"`, "name": `"check dam 5"`, "notes": `"at the fig tree"`, "crestHeightM": "0.4", "x-outletSide": `"left"`, "x-station": `"Top"`}
	for field, value := range want {
		if got := string(file.Records[0].Fields[field]); got != value {
			t.Errorf("%s is %s, want %s", field, got, value)
		}
	}
	var said []string
	for _, p := range file.Report {
		said = append(said, p.Path+" "+p.Reason)
	}
	if got := strings.Join(said, "; "); got != "Crest Height M is taken as crestHeightM; outletSide is no field of a check dam: kept as x-outletSide" {
		t.Errorf("said %q", got)
	}
}
