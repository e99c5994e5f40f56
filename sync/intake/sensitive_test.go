package intake

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"headcut/export"
	"headcut/sync/register"
)

// sensitiveValues are what files say in a column sensitive, as JSON, and whether the feature is hidden: every
// one that is no plain no.
var sensitiveValues = []struct {
	json            string
	hidden, unclear bool
}{
	{`true`, true, false}, {`"TRUE"`, true, false}, {`"yes"`, true, false}, {`"Y"`, true, false}, {`1`, true, false}, {`"1.0"`, true, false}, {`1.0`, true, false}, {`"t"`, true, false},
	{`false`, false, false}, {`"no"`, false, false}, {`"F"`, false, false}, {`0`, false, false}, {`0.0`, false, false}, {`"0"`, false, false}, {`""`, false, false}, {`"  "`, false, false},
	{`"x"`, true, true}, {`"ja"`, true, true}, {`"oui"`, true, true}, {`"hidden"`, true, true}, {`"nein"`, true, true}, {`2`, true, true}, {`-1`, true, true}, {`0.5`, true, true}, {`"yes!"`, true, true},
}

// jsonSensitiveValues can stand in JSON alone.
var jsonSensitiveValues = []struct {
	json            string
	hidden, unclear bool
}{{`null`, false, false}, {`[true]`, true, true}, {`{"a":1}`, true, true}, {`[]`, true, true}, {`9e99`, true, true}}

// TestUnclearSensitiveHides: whatever a file says of a feature's being sensitive, in any format, in any
// spelling of the column, what is no plain no hides it. What is no plain yes either is named with its
// line, its column, its value and what to do, and stays with the feature.
func TestUnclearSensitiveHides(t *testing.T) {
	check := func(t *testing.T, text, value, column string, line int, hidden, unclear bool) {
		t.Helper()
		file := mustRead(t, text)
		if len(file.Records) != 1 {
			t.Fatalf("%s: %d records", text, len(file.Records))
		}
		fields := file.Records[0].Fields
		if export.Sensitive(fields["sensitive"]) != hidden {
			t.Errorf("%s: sensitive is %s, want hidden: %t", text, fields["sensitive"], hidden)
		}
		named := 0
		for _, p := range file.Report {
			if strings.Contains(p.Reason, "neither yes nor no") && p.File != "" && p.Line == line && strings.HasSuffix(p.Path, column) && strings.Contains(p.Reason, quote(value)) && p.Fix != "" {
				named++
			}
		}
		if want := map[bool]int{true: 1}[unclear]; named != want || file.LeftOut != want {
			t.Errorf("%s: %d lines of the report name it, and %d are left out; want %d:\n%v", text, named, file.LeftOut, want, file.Report)
		}
		kept := false
		for name := range fields {
			kept = kept || strings.HasPrefix(name, "x-") && strings.HasSuffix(strings.ToLower(name), "sensitive")
		}
		if unclear && !kept {
			t.Errorf("%s: the file's own words are lost: %v", text, fields)
		}
	}
	for _, column := range []string{"sensitive", "Sensitive", "SENSITIVE", "ogr_sensitive"} {
		for _, v := range append(sensitiveValues, jsonSensitiveValues...) {
			value := plain(json.RawMessage(v.json))
			check(t, `{"type":"Feature","properties":{"kind":"check-dam","`+column+`":`+v.json+`},"geometry":{"type":"Point","coordinates":[133.2,-16.1]}}`, value, column, 1, v.hidden, v.unclear)
		}
		for _, v := range sensitiveValues {
			value := plain(json.RawMessage(v.json))
			check(t, "latitude,longitude,kind,"+column+"\n-16.1,133.2,check-dam,"+value+"\n", value, column, 2, v.hidden, v.unclear)
			check(t, gpxHead+"\n<wpt lat=\"-16.1\" lon=\"133.2\"><type>check dam</type><extensions><y:"+column+" xmlns:y=\"urn:y\">"+value+"</y:"+column+"></extensions></wpt></gpx>", value, column, 2, v.hidden, v.unclear)
		}
	}
	place := `},"geometry":{"type":"Point","coordinates":[133.2,-16.1]}}`
	for text, hidden := range map[string]bool{
		`"sensitive":false,"Sensitive":true`:   true, // of two columns
		`"Sensitive":"no","sensitive":"x"`:     true,
		`"sensitive":true,"Sensitive":false`:   true,
		`"sensitive":true,"sensitive":false`:   true, // of one member that is there twice
		`"sensitive":"no","SENSITIVE":"false"`: false,
	} {
		if got := mustRead(t, `{"type":"Feature","properties":{"kind":"check-dam",`+text+place).Records[0].Fields["sensitive"]; export.Sensitive(got) != hidden {
			t.Errorf("%s: sensitive is %s, want hidden: %t", text, got, hidden)
		}
	}
}

// TestEditsKeepHidden: an export that comes back shows nothing that was hidden unless it says a plain no, and
// hides what it may mean to hide.
func TestEditsKeepHidden(t *testing.T) {
	for _, before := range []string{"", "true", "false"} {
		fields := damFields()
		delete(fields, "sensitive")
		if before != "" {
			fields["sensitive"] = json.RawMessage(before)
		}
		e := newEditor(t, fields)
		columns := strings.Replace(damColumns, `,"sensitive":false`, "", 1)
		for _, v := range append(sensitiveValues, jsonSensitiveValues...) {
			blank := strings.Trim(v.json, `" `) == "" || v.json == "null"
			edit, problems, found := e.edit(e.file(columns+`,"sensitive":`+v.json, damPlace))
			if !found {
				t.Fatalf("%s: no edit", v.json)
			}
			after := append(e.entries[:1:1], register.Numbered{N: 2, Capped: 1 << 21, Entry: edit.Entry("p", "GIS", time.UnixMilli(2))})
			hidden := export.Sensitive(register.Fold("f", after).Fields["sensitive"])
			if want := v.hidden || blank && before == "true"; hidden != want {
				t.Errorf("%q, edited to %s: hidden is %t, want %t", before, v.json, hidden, want)
			}
			if want := v.unclear || blank && before == "true"; want != (len(problems) == 1) || want && (problems[0].Path != "sensitive" || problems[0].Line != 1 || problems[0].Fix == "") {
				t.Errorf("%q, edited to %s: problems are %v", before, v.json, problems)
			}
		}
	}
}
