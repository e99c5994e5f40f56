package intake

import (
	"fmt"
	"strings"
	"testing"
)

// TestLineEndsOfTables: a table is the same however its lines end, and a line break within quotation
// marks stays what it is.
func TestLineEndsOfTables(t *testing.T) {
	rows := []string{"latitude,longitude,name,notes"}
	for i := range 3000 { // beyond every buffer
		rows = append(rows, fmt.Sprintf("-16.%05d,133.2,Peg %d,\"first %s\rsecond\nthird\"", i, i, strings.Repeat("z", i%7)))
	}
	ends := map[string]func(i int) string{
		"CR": func(int) string { return "\r" }, "LF": func(int) string { return "\n" }, "CRLF": func(int) string { return "\r\n" },
		"mixed": func(i int) string { return []string{"\r", "\r\n", "\n", "\r\n", "\r"}[i%5] },
	}
	read := func(name string, last bool) File {
		var text strings.Builder
		for i, row := range rows {
			if text.WriteString(row); last || i < len(rows)-1 {
				text.WriteString(ends[name](i))
			}
		}
		return mustRead(t, text.String())
	}
	want := read("LF", true)
	if len(want.Records) != len(rows)-1 || string(want.Records[0].Fields["notes"]) != `"first \rsecond\nthird"` {
		t.Fatalf("%d records, the first with notes %s", len(want.Records), want.Records[0].Fields["notes"])
	}
	for name := range ends {
		for _, last := range []bool{true, false} {
			got := read(name, last)
			if len(got.Records) != len(want.Records) || len(got.Report) > 0 {
				t.Errorf("lines that end with %s: %d records, %v; want %d", name, len(got.Records), got.Report, len(want.Records))
				continue
			}
			for i := range got.Records {
				if got.Records[i].Key != want.Records[i].Key || got.Records[i].Line != want.Records[i].Line {
					t.Errorf("lines that end with %s: record %d is of line %d, want the same of line %d", name, i, got.Records[i].Line, want.Records[i].Line)
					break
				}
			}
		}
	}
	book := "station,backsight,foresight\rA,1.5,\rB,,1.2\r"
	if file := mustRead(t, book); file.Format != LevelBook || len(file.Records) != 1 {
		t.Errorf("a level book whose lines end with CR: %+v", file)
	}
	for _, end := range []string{"\r", "\n", "\r\n"} {
		for _, text := range []string{"latitude,longitude,name" + end, "latitude,longitude,name" + end + ",," + end, "station,backsight,foresight" + end} {
			if file, err := Read("bare.csv", strings.NewReader(text)); err == nil && (file.LeftOut == 0 || len(file.Report) == 0) {
				t.Errorf("%q is read as a success: %+v", text, file)
			}
		}
	}
}
