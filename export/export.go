package export

import (
	"bytes"
	"encoding/json"
	"io"
	"iter"
	"strings"
	"time"

	"headcut/model"
	"headcut/model/figures"
)

// Source is a property as an export takes it.
type Source struct {
	Property string                          // its name, as people call it
	Features iter.Seq2[model.Feature, error] // ids are unique. Run once by each Write
	Figures  Figures                         // nil: a file without figures, checks and cautions
	Labels   map[string][2]string            // by kind: what this file's readers call one and many, where not as model.Kinds does
	Describe func(id string) []string        // lines of a description below its kind and status; nil: worked out from the columns
	Called   func(id string) string          // the name, or the kind, of the item that a passing visit is to; "" where it is not known; nil: of none
	ForLink  bool                            // for a shared link: features marked sensitive are withheld

	// History is asked about each feature as it passes; nil: a file without versions, which
	// intake cannot match with the register. Only with it may features be struck out.
	History func(id string) History

	// ExportedAt is the one thing in a file that two exports of the same state differ in,
	// and stands in one place. Zero leaves it out.
	ExportedAt time.Time
}

// Figures is what an export asks of a property's figures, as *figures.PropertyFigures gives them; it
// must have surveyed the features that are exported.
type Figures interface {
	Of(model.Feature) figures.Sheet
}

// Format is one sort of file.
type Format struct {
	Name      string // as a command line and an address spell it
	Label     string // as a page shows it
	MediaType string
	Extension string // with its dot
	// Write streams the features of s to w. An error of the source, of w, or a feature
	// without an id leaves the file without its end.
	Write func(w io.Writer, s Source) error
}

// Formats lists every format.
var Formats = []Format{
	{Name: "geojson", Label: "GeoJSON", MediaType: "application/geo+json", Extension: ".geojson", Write: writeGeoJSON},
	{Name: "kml", Label: "KML", MediaType: "application/vnd.google-earth.kml+xml", Extension: ".kml", Write: writeKML},
}

// Named returns the format of this name.
func Named(name string) (Format, bool) {
	return model.Find(Formats, func(f Format) bool { return f.Name == name })
}

// withholds tells whether f stays out of this file.
func (s Source) withholds(f model.Feature) bool { return s.ForLink && Withheld(f.Fields) }

// Sensitive tells whether a value of the field sensitive keeps a feature out of what is shared. One
// that cannot be read does too: showing a place is not undone by hiding it later.
func Sensitive(value json.RawMessage) bool {
	raw := string(bytes.TrimSpace(value))
	return raw != "" && raw != "false" && raw != "null"
}

// keptWord tells whether a field is one under which older registers keep what a file said in a column such as
// "Sensitivity"; they did not mark the feature.
func keptWord(name string) bool {
	return strings.HasPrefix(name, "x-") && strings.Contains(strings.ToLower(name), "sensitiv")
}

// Withheld tells whether the fields of a feature keep it out of what is shared: it is sensitive, or only
// a file's own words are known, which are no plain no.
func Withheld(fields map[string]json.RawMessage) bool {
	if own, said := fields["sensitive"]; said {
		return Sensitive(own)
	}
	for name, words := range fields {
		if keptWord(name) && !plainNo(words) {
			return true
		}
	}
	return false
}

func plainNo(value json.RawMessage) bool {
	switch strings.ToLower(strings.Trim(string(value), "\" ")) {
	case "", "null", "false", "f", "no", "n", "0":
		return true
	}
	return false
}

// Recognise tells whether a file begins as the formats write it.
func Recognise(head []byte) bool {
	if bytes.HasPrefix(head, []byte(kmlHead)) {
		return true
	}
	return bytes.HasPrefix(head, []byte(geoJSONHead)) &&
		(bytes.Contains(head, []byte(`,"exportedAt":"`)) || bytes.Contains(head, []byte(`"properties":{"uid":`)) || bytes.Contains(head, []byte("\n],\"fields\":[")))
}
