package intake

import (
	"errors"
	"io"
	"runtime"
	"strings"
	"testing"
)

// endless repeats a text for ever after a head.
func endless(head, repeated string) io.Reader {
	return io.MultiReader(strings.NewReader(head), &repeater{text: strings.Repeat(repeated, 1+8<<10/len(repeated))})
}

type repeater struct {
	text string
	at   int
}

func (r *repeater) Read(p []byte) (int, error) {
	n := copy(p, r.text[r.at:])
	r.at = (r.at + n) % len(r.text)
	return n, nil
}

// TestEndlessFiles: whatever a file never stops saying, it is refused with little held.
func TestEndlessFiles(t *testing.T) {
	tests := []struct {
		name, head, repeated, says string
	}{
		{"xml-text", gpxHead + `<wpt lat="1" lon="2"><name>`, "x", "1048576 bytes"},
		{"xml-attribute", `<gpx a="`, "x", "1048576 bytes"},
		{"xml-comment", `<gpx><!--`, "x", "1048576 bytes"},
		{"xml-text-in-pieces", gpxHead + `<wpt lat="1" lon="2"><name>`, "xxxxxxxxxxxxxxxxxxxxxxxx<!-- -->", "1048576 bytes"},
		{"xml-texts", gpxHead + `<wpt lat="1" lon="2">`, "<src>a</src>", "1000 texts"},
		{"xml-extensions", gpxHead + `<wpt lat="1" lon="2"><extensions>`, "<q>a</q>", "1000 texts"},
		{"xml-attributes", `<gpx `, `a="1" `, "1048576 bytes"},
		{"xml-depth", gpxHead, `<wpt lat="1" lon="2">`, "deeper than 64"},
		{"json-text", `{"type":"`, "x", "too long"},
		{"json-space", `{"type":`, " ", "too long"},
		{"json-feature", `{"features":[{"geometry":{"coordinates":[`, "[1,2],", "too long"},
		{"json-members", `{"a":1`, `,"a":1`, "1000 members"},
		{"json-depth", `{"features":`, "[", "deeper than 64"},
		{"csv-field", "station,backsight,foresight\n", "x", "too long"},
		{"csv-heading", "station,", "x", "too long"},
		{"csv-quoted", "station,backsight,foresight\n\"", "x\n", "too long"},
		{"csv-rows", "station,backsight,foresight\n", "A,1,\n", "5000 rows"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := Read(test.name, endless(test.head, test.repeated))
			runtime.ReadMemStats(&after)
			if err == nil || !strings.Contains(err.Error(), test.says) {
				t.Errorf("error %v, want one that says %q", err, test.says)
			}
			if got := after.TotalAlloc - before.TotalAlloc; got > 64<<20 {
				t.Errorf("reading allocated %d bytes, want at most 64 MB", got)
			}
		})
	}
}

// TestLargeFile: no parser gets more than MaxBytes to read.
func TestLargeFile(t *testing.T) {
	n, err := io.Copy(io.Discard, newSource(endless("", "text ")))
	if err == nil || !strings.Contains(err.Error(), "larger than 64 MiB") || n > MaxBytes {
		t.Errorf("after %d bytes the error is %v, want one that says it is larger than 64 MiB", n, err)
	}
	bytewise := newSource(endless("", "text "))
	bytewise.left = 3
	for range 3 {
		if _, err := bytewise.ReadByte(); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := bytewise.ReadByte(); err == nil || !strings.Contains(err.Error(), "larger than 64 MiB") {
		t.Errorf("byte by byte the error is %v, want one that says it is larger than 64 MiB", err)
	}
}

// TestLongTables: a row is bounded, not the table.
func TestLongTables(t *testing.T) {
	remark := strings.Repeat("x", MaxToken/10)
	for _, test := range []struct{ name, head, row string }{
		{"points", "latitude,longitude,remarks\n", "-16.1,133.2," + remark + "\n"},
		{"level-book", "station,backsight,foresight,weather\n", "A,1,," + remark + "\n"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if file := mustRead(t, test.head+strings.Repeat(test.row, 30)); len(file.Records) == 0 {
				t.Error("nothing is taken in")
			}
		})
	}
}

var errCable = errors.New("the cable came out")

type brokenReader struct{}

func (brokenReader) Read([]byte) (int, error) { return 0, errCable }

// TestBrokenReader: what is wrong with the reader is not blamed on the file.
func TestBrokenReader(t *testing.T) {
	for _, head := range []string{"", gpxHead, `{"type":"Feature",`, "station,backsight,foresight\nA,"} {
		_, err := Read("broken", io.MultiReader(strings.NewReader(head), brokenReader{}))
		if !errors.Is(err, errCable) {
			t.Errorf("after %q the error is %v, want %v", head, err, errCable)
		}
	}
}

// TestReportEnds: a file full of small faults has a report of bounded length.
func TestReportEnds(t *testing.T) {
	file := mustRead(t, gpxHead+strings.Repeat(`<wpt lat="1" lon="2"><ele>x</ele></wpt>`, MaxProblems+5)+"</gpx>")
	if len(file.Report) != MaxProblems+1 || file.Report[MaxProblems].Reason != "5 more problems are not listed" {
		t.Errorf("a report of %d lines ending in %q", len(file.Report), file.Report[len(file.Report)-1].Reason)
	}
	if len(file.Records) != MaxProblems+5 {
		t.Errorf("%d records, want all %d", len(file.Records), MaxProblems+5)
	}
}
