package intake

import (
	"strings"
	"testing"
)

// TestOneValueOneSentence: what is said of an edited value is what comes of it.
func TestOneValueOneSentence(t *testing.T) {
	tests := []struct{ name, old, new, want, said string }{
		{"day-first", `"2026-05-01"`, `"20/03/2025"`, `builtOn="2025-03-20"`, ""},
		{"day-or-month-first", `"2026-05-01"`, `"02/03/2025"`, "", `Dam 1: "02/03/2025" is either of two dates: left out (write the year, month and day`},
		{"slashes", `"2026-05-01"`, `"2025/03/20"`, `builtOn="2025-03-20"`, ""},
		{"number-as-text", `0.4`, `"0.45"`, "crestHeightM=0.45", ""},
		{"too-high", `0.4`, `30`, "", "left out"},
		{"below", `0.4`, `-1`, "", "left out"},
		{"future", `"2026-05-01"`, `"2099-01-01"`, "", "2099-01-01 is in the future: left out"},
		{"before-1900", `"2026-05-01"`, `"1899-12-30"`, "", "1899-12-30 is before 1900: left out"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			e := newEditor(t, damFields())
			file, err := ReadAs("e.geojson", strings.NewReader(e.file(strings.Replace(damColumns, test.old, test.new, 1), damPlace)), Options{Today: "2026-06-01"})
			if err != nil || len(file.Records) != 1 {
				t.Fatal(file, err)
			}
			edit, _, problems := file.Records[0].EditOf(e.entries)
			var got, said []string
			for _, c := range edit.Changes {
				got = append(got, c.Field+"="+string(c.To))
			}
			for _, p := range append(file.Report, problems...) {
				said = append(said, p.Error())
			}
			if strings.Join(got, " ") != test.want {
				t.Errorf("the edit is %q, want %q", got, test.want)
			}
			if all := strings.Join(said, "\n"); len(said) > 1 || (all == "") != (test.said == "") || !strings.Contains(all, test.said) || strings.Contains(all, "kept as") {
				t.Errorf("said %q, want only %q", all, test.said)
			}
		})
	}
}

// TestNewValues: of a new feature, a value is taken, left out or kept beside, and its line says which.
func TestNewValues(t *testing.T) {
	feature := func(properties string) string {
		return `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"check-dam","name":"Dam 9"` + properties + `},"geometry":` + damPlace + `}]}`
	}
	tests := []struct{ name, text, field, want, said string }{
		{"slashes", feature(`,"builtOn":"2025/03/18"`), "builtOn", `"2025-03-18"`, `feature 1 (Dam 9).properties.builtOn: "2025/03/18": taken as 2025-03-18`},
		{"day-first", feature(`,"builtOn":"18/03/2025"`), "builtOn", `"2025-03-18"`, `feature 1 (Dam 9).properties.builtOn: "18/03/2025": taken as 2025-03-18`},
		{"day-or-month-first", feature(`,"builtOn":"02/03/2025"`), "x-builtOn", `"02/03/2025"`, "kept as x-builtOn"},
		{"future", feature(`,"builtOn":"2099-01-01"`), "builtOn", "", "2099-01-01 is in the future: left out"},
		{"before-1900", feature(`,"builtOn":"0001-01-01"`), "builtOn", "", "is before 1900: left out"},
		{"number-as-text", feature(`,"crestHeightM":"0.45"`), "crestHeightM", "0.45", "taken as 0.45"},
		{"empty-ids", feature(`,"uid":"","version":""`), "x-uid", "", ""},
		{"emptied-uid", feature(`,"uid":null,"version":"12E+3"`), "x-version", "", ""},
		{"cut-off", feature(`,"positionBa":"GPS"`), "positionBasis", `"GPS"`, "is a cut-off positionBasis: taken as that"},
		{"cut-off-of-two", feature(`,"crestHeigh":0.4`), "x-crestHeigh", "0.4", "looks like a cut-off crestHeightM or crestHeightBasis: kept as x-crestHeigh"},
		{"csv-future", "latitude,longitude,name,kind,builtOn\n-19.6,144.3,Dam far,check dam,2099-01-01\n", "builtOn", "", "row 2: 2099-01-01 is in the future: left out"},
		{"csv-slashes", "latitude,longitude,name,kind,builtOn\n-19.6,144.3,Dam 9,check dam,2025/03/18\n", "builtOn", `"2025-03-18"`, "taken as 2025-03-18"},
		{"csv-empty-uid", "Y,X,uid,version,name\n-19.6,144.3,,,Dam 9\n", "x-uid", "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			file, err := ReadAs("n", strings.NewReader(test.text), Options{Today: "2026-06-01"})
			if err != nil || len(file.Records) != 1 {
				t.Fatal(file, err)
			}
			var said []string
			for _, p := range file.Report {
				said = append(said, p.Error())
			}
			if all := strings.Join(said, "\n"); len(said) > 1 || (all == "") != (test.said == "") || !strings.Contains(all, test.said) {
				t.Errorf("said %q, want only %q", all, test.said)
			}
			if got := string(file.Records[0].Fields[test.field]); got != test.want {
				t.Errorf("%s is %q, want %q", test.field, got, test.want)
			}
		})
	}
}

// TestCSVOfAnExport: a row with a uid is an edit, as in GeoJSON; an untouched one is none.
func TestCSVOfAnExport(t *testing.T) {
	for _, test := range []struct{ height, builtOn, want string }{{"0.4", "2026/05/01", ""}, {"0.5", "2026/05/01", "crestHeightM=0.5"}} {
		e := newEditor(t, damFields())
		text := "X,Y,uid,version,kind,name,crestHeightM,status,builtOn,sensitive,accuracyM,x_crew\n133.2,-16.1,f," + string(e.seen.Append(nil)) + ",check-dam,Dam 1," + test.height + ",built," + test.builtOn + ",0,4.0,3\n"
		edit, problems, found := e.edit(text)
		var got []string
		for _, c := range edit.Changes {
			got = append(got, c.Field+"="+string(c.To))
		}
		if !found || len(problems) > 0 || strings.Join(got, " ") != test.want {
			t.Errorf("found %v, the edit is %q, want %q; said %v", found, got, test.want, problems)
		}
	}
}

// TestBookIsChecked: a book that cannot be reduced, or does not close, is kept and says so.
func TestBookIsChecked(t *testing.T) {
	for _, test := range []struct{ name, rows, said string }{
		{"closes", "A,1.000,,100\nB,,1.500,99.5\n", ""},
		{"open", "A,1.000,,100\nB,,1.500,\n", ""},
		{"out-by-50-mm", "A,1.000,,100\nB,,1.500,99.45\n", "its levels are not checked by a closed level run: "},
		{"foresight-without-backsight", "A,1.000,,100\nB,,1.500,\nC,,1.200,\n", "b.csv:3: the book cannot be reduced: its row 2 (B) backsight is missing: "},
	} {
		t.Run(test.name, func(t *testing.T) {
			file, err := Read("b.csv", strings.NewReader("station,backsight,foresight,known_level_m\n"+test.rows))
			if err != nil || len(file.Records) != 1 {
				t.Fatal(file, err)
			}
			said := ""
			for _, p := range file.Report {
				said += p.Error()
			}
			if (said == "") != (test.said == "") || !strings.Contains(said, test.said) {
				t.Errorf("said %q, want %q", said, test.said)
			}
			t.Log(said)
		})
	}
}

// TestFilesThatAreNotRead say what to export instead.
func TestFilesThatAreNotRead(t *testing.T) {
	for text, want := range map[string]string{
		`<kml xmlns="http://www.opengis.net/kml/2.2"/>`:                                 "save it as GeoJSON",
		"SQLite format 3\x00\x10\x00":                                                   "GeoPackage",
		"PK\x03\x04\x14\x00":                                                            "ZIP",
		"\x00\x00\x27\x0a" + strings.Repeat("\x00", 96):                                 "save the shapefile as GeoJSON",
		"\x03\x7e\x0b\x1d\x18\x00\x00\x00\x61\x05\x2c\x0c" + strings.Repeat("\x00", 20): "part of a shapefile",
		"fgb\x03fgb\x00":                                                                "is a FlatGeobuf",
	} {
		if _, err := Read("f", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: said %v, want %q", text, err, want)
		}
	}
}

// TestCutOffColumns: a shapefile cuts names to ten letters and numbers those that become one
// (dBASE table format). Nothing of that is an edit; a changed value is one of its own field.
func TestCutOffColumns(t *testing.T) {
	for _, test := range []struct{ name, columns, want, said string }{
		{"untouched", `,"crestHeigh":0.4,"crestHei_1":"taped","positionBa":"GPS","computedCr":0.4,"computed_1":0.007,"spacingPlu":3`, "", ""},
		{"edited", `,"crestHeigh":0.5,"crestHei_1":"taped"`, "crestHeightM=0.5", ""},
		{"no-value-of-either", `,"crestHeigh":"high"`, "", `crestHeigh: Dam 1: looks like a cut-off crestHeightM or crestHeightBasis: left out`},
		{"none-of-ours", `,"stockmanss":"Ben"`, `x-stockmanss="Ben"`, ""},
	} {
		fields := damFields()
		fields["crestHeightBasis"] = rawText("taped")
		e := newEditor(t, fields)
		edit, problems, _ := e.edit(e.file(test.columns, damPlace))
		var got []string
		for _, c := range edit.Changes {
			got = append(got, c.Field+"="+string(c.To))
		}
		said := ""
		for _, p := range problems {
			said += p.Error()
		}
		if strings.Join(got, " ") != test.want || (said == "") != (test.said == "") || !strings.Contains(said, test.said) {
			t.Errorf("%s: the edit is %q, want %q; said %q, want %q", test.name, got, test.want, said, test.said)
		}
	}
}
