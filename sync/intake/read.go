package intake

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"time"

	"headcut/model"
)

// Limits of what is read. They bound memory: a hostile file costs a small multiple of its
// own size and no more.
const (
	MaxBytes    = 64 << 20 // of a file
	MaxRecords  = 100_000  // in a file
	MaxDepth    = 64       // of XML elements, and of arrays and objects of JSON
	MaxToken    = 1 << 20  // bytes of one XML token or text, and of one row of a book
	MaxFeature  = 4 << 20  // bytes of one GeoJSON feature
	MaxMembers  = 1_000    // of a JSON object, and texts of a GPX element
	MaxPoints   = 250_000  // of a GPX route or track segment
	MaxProblems = 1_000    // listed in a report; the rest are counted
)

// Format is what a file turned out to hold.
type Format string

// The formats.
const (
	GPX       Format = "GPX"
	GeoJSON   Format = "GeoJSON"
	LevelBook Format = "level book"
	Points    Format = "CSV points"
)

// File is what was read of one file.
type File struct {
	Name    string
	Format  Format
	Records []Record

	// LeftOut counts the records and values of the file that were not taken.
	LeftOut int

	// Report names, in the order of the file, each place that was changed, left out or may be
	// wrong. After MaxProblems of them the last one says how many more there are.
	Report []*model.Problem
}

// Record is one feature of a file.
type Record struct {
	Key    Key                        // what the record says, as a hash
	Fields map[string]json.RawMessage // always with a kind; each valid for its field
	SeenAt time.Time                  // in UTC; zero when the file does not say
	Line   int                        // where it begins, counted from 1
	KindBy KindBy                     // what the kind was found by
	Ours   *Ours                      // nil: not from an export of a register

	// Of a record that is taken as a new feature: what it lacks, though all of it is taken.
	Notes []*model.Problem

	// Of a record with a uid: problems of its values when no feature has that uid and the record
	// is taken as a new one. Of an edit [Record.EditOf] gives them.
	AsNew        []*model.Problem
	AsNewLeftOut int

	today string // as the options have it
}

// Key is the SHA-256 of a record's contents as the file gave them.
type Key [sha256.Size]byte

// Read reads a whole file of any [Format]; name is how problems call it. The error
// is a *model.Problem when the file is refused, or what r returned.
func Read(name string, r io.Reader) (File, error) { return ReadAs(name, r, Options{}) }

// Options say what a file does not.
type Options struct {
	Kind string // of records whose kind nothing in the file tells; "" leaves them unsorted

	// Today is the latest date that can have come about; "" when nobody knows.
	Today string
}

// ReadAs is Read with options.
func ReadAs(name string, r io.Reader, options Options) (File, error) {
	in := newSource(r)
	out := &reading{File: File{Name: name}, options: options, equal: map[Key]int{}, uids: map[string]bool{}, once: map[string]bool{}}
	if options.Kind != "" {
		if out.options.Kind = kindOf(options.Kind); out.options.Kind == "" {
			return File{}, &model.Problem{Path: "--kind", Reason: quote(options.Kind) + " names no kind", Fix: "the kinds are, the nearest first, " + strings.Join(kindsNear(options.Kind), ", ")}
		}
	}
	head, err := in.buffered.Peek(512)
	if err != nil && err != io.EOF {
		return File{}, err
	}
	format, reason, fix := sniff(head)
	if reason != "" {
		return File{}, out.refuse(0, "", reason, fix)
	}
	out.Format = format
	if bytes.HasPrefix(head, []byte(utf8Mark)) {
		_, _ = in.buffered.Discard(len(utf8Mark)) // Peek has seen it
	}
	switch format {
	case GPX:
		err = readGPX(in, out)
	case GeoJSON:
		err = readGeoJSON(in, out)
	case LevelBook:
		err = readCSV(in, out)
	}
	switch {
	case in.err != nil: // whatever the parser made of it, this is the cause
		if p, ok := errors.AsType[*model.Problem](in.err); ok {
			return File{}, out.refuse(p.Line, p.Path, p.Reason, p.Fix)
		}
		return File{}, in.err
	case err != nil:
		return File{}, err
	}
	return out.finish(), nil
}

const utf8Mark = "\xef\xbb\xbf"

// InUTF16 tells by its first bytes whether a text is in UTF-16, marked or not.
func InUTF16(head []byte) bool {
	return bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")) ||
		len(head) > 1 && (head[0] == 0) != (head[1] == 0)
}

// sniff tells the format from a file's first bytes. A file of some other sort gets a
// reason.
func sniff(head []byte) (format Format, reason, fix string) {
	switch {
	case len(head) == 0:
		return "", "is empty", "copy it from the device again"
	case InUTF16(head):
		return "", "is in UTF-16, an encoding that is not read", "save it as UTF-8"
	case bytes.HasPrefix(head, []byte("SQLite format 3\x00")):
		return "", "is a database, such as a GeoPackage, which is not read", "export its layer as GeoJSON in WGS84, and keep the columns uid and version"
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return "", "is a ZIP archive, such as a zipped KML, shapefile or spreadsheet, which is not read", "export what is in it as GeoJSON in WGS84, or a table of points as CSV"
	case bytes.HasPrefix(head, []byte("\x00\x00\x27\x0a")), isTable(head):
		return "", "is part of a shapefile, which is not read", "save the shapefile as GeoJSON in WGS84, and keep the columns uid and version"
	case bytes.HasPrefix(head, []byte("fgb")):
		return "", "is a FlatGeobuf, which is not read", "save it as GeoJSON in WGS84, and keep the columns uid and version"
	case head[0] == 0x1e:
		return "", "is a GeoJSON text sequence (RFC 8142), not one GeoJSON text", "save it as a FeatureCollection"
	}
	head = bytes.TrimPrefix(head, []byte(utf8Mark))
	text := bytes.ToLower(bytes.TrimLeft(head, " \t\r\n"))
	switch {
	case bytes.HasPrefix(text, []byte("<!doctype html")), bytes.HasPrefix(text, []byte("<html")):
		return "", "is a web page, not GPX", "log in at the page it came from and download the file again"
	case bytes.HasPrefix(text, []byte("<")):
		return GPX, "", ""
	case bytes.HasPrefix(text, []byte("{")), bytes.HasPrefix(text, []byte("[")):
		return GeoJSON, "", ""
	}
	controls := 0 // a stray one in a text is told with its line
	for _, b := range head {
		if b < ' ' && !strings.ContainsRune("\t\n\v\f\r", rune(b)) {
			controls++
		}
	}
	if controls > 3 {
		return "", "is not text, or it is damaged", "give GPX, GeoJSON or CSV; if a phone saved it, save it on the phone again and take that in"
	}
	return LevelBook, "", ""
}

// isTable reports whether a file begins as the table of a shapefile (dBASE level 5): a version, the
// year since 1900, a month and a day, and the sizes of its head and rows.
func isTable(head []byte) bool {
	return len(head) >= 32 && head[0] == 0x03 && head[2] >= 1 && head[2] <= 12 && head[3] >= 1 && head[3] <= 31 && bytes.IndexByte(head[4:32], 0) >= 0
}
