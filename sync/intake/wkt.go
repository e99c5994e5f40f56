package intake

import (
	"encoding/json"
	"regexp"
	"strings"

	"headcut/model"
)

// wktForm is a geometry as OGC 06-103r4 section 7 writes it: its type, whether its positions have
// heights (Z) or measures (M), and its coordinates.
var wktForm = regexp.MustCompile(`(?is)^\s*(?:SRID=4326;)?\s*(POINT|LINESTRING|POLYGON|MULTIPOINT|MULTILINESTRING|MULTIPOLYGON)\s*(Z|M|ZM)?\s*(\(.*\))\s*$`)

// wktTuple is one position: numbers with white space between them.
var wktTuple = regexp.MustCompile(`[-+0-9.eE]+(?:\s+[-+0-9.eE]+)+`)

var wktTypes = map[string]string{"POINT": "Point", "LINESTRING": "LineString", "POLYGON": "Polygon",
	"MULTIPOINT": "MultiPoint", "MULTILINESTRING": "MultiLineString", "MULTIPOLYGON": "MultiPolygon"}

// parseWKT reads a cell as the GeoJSON geometry of the same coordinates, which is then judged as
// any other is.
func parseWKT(cell string) (place, *model.Problem) {
	m := wktForm.FindStringSubmatch(cell)
	if m == nil || strings.EqualFold(m[2], "M") || strings.EqualFold(m[2], "ZM") {
		return place{}, &model.Problem{Reason: quote(cell) + " is no point, line or area in WKT"}
	}
	kind := wktTypes[strings.ToUpper(m[1])]
	text := m[3]
	if kind == "MultiPoint" { // whose points stand in brackets of their own, or do not
		text = "(" + strings.NewReplacer("(", "", ")", "").Replace(text) + ")"
	}
	text = wktTuple.ReplaceAllStringFunc(text, func(tuple string) string { return "[" + strings.Join(strings.Fields(tuple), ",") + "]" })
	text = strings.NewReplacer("(", "[", ")", "]").Replace(text)
	if kind == "Point" {
		text = strings.TrimSpace(text)
		text = text[1 : len(text)-1]
	}
	if !json.Valid([]byte(text)) {
		return place{}, &model.Problem{Reason: quote(cell) + " is no point, line or area in WKT"}
	}
	at, fault := parsePlace([]member{{"geometry", json.RawMessage(`{"type":"` + kind + `","coordinates":` + text + `}`)}})
	switch {
	case fault != nil:
		return place{}, &model.Problem{Reason: quote(cell) + ": " + fault.Reason, Fix: fault.Fix}
	case at.geometry == nil:
		return place{}, &model.Problem{Reason: quote(cell) + " has no positions"}
	}
	return at, nil
}
