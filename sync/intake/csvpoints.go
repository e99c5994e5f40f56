package intake

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
)

// csvPoints reads a table with a feature in each row: where it is, and whatever else the columns
// say of it. A row whose position cannot be read is left out and named; the other rows do not
// depend on it.
type csvPoints struct {
	*csvText
	where whereColumns
	names []string // of the fields that the columns hold
}

// whereColumns are the columns of a table that say where its features are, -1 where there is
// none: a latitude and a longitude, or geometries as OGC 06-103r4 writes them (WKT). The rows of
// an export without either still say what they say of their features.
type whereColumns struct{ lat, lon, wkt int }

func (w whereColumns) has(i int) bool { return i == w.lat || i == w.lon || i == w.wkt }
func (w whereColumns) none() bool     { return w.lat < 0 && w.wkt < 0 }

// Headings of a latitude and a longitude as plainWord leaves them. Common practice, no source.
var (
	latWords = []string{"latitude", "lat", "latdd", "latdeg", "latitudedeg", "latwgs84", "latitudewgs84", "ylat", "gpslat", "gpslatitude", "y"}
	lonWords = []string{"longitude", "lon", "long", "lng", "londd", "longdd", "londeg", "longitudedeg", "lonwgs84", "longitudewgs84", "xlon", "xlong", "gpslon", "gpslong", "gpslongitude", "x"}
)

// placeColumns finds where a table says where its features are. ok is false when it is no table
// of features.
func placeColumns(header []string) (where whereColumns, ok bool) {
	find := func(words ...string) int {
		for _, w := range words {
			if i := slices.IndexFunc(header, func(h string) bool { return plainWord(h) == w }); i >= 0 {
				return i
			}
		}
		return -1
	}
	where = whereColumns{lat: find(latWords...), lon: find(lonWords...), wkt: -1}
	if where.lat < 0 || where.lon < 0 {
		where = whereColumns{lat: -1, lon: -1, wkt: find("wkt")}
	}
	return where, !where.none() || slices.Contains(header, "uid") && slices.Contains(header, "version")
}

// pointFields are headings, as plainWord leaves them, of fields under other names.
var pointFields = map[string]string{
	"name": "name", "label": "name", "title": "name", "waypoint": "name", "point": "name", "station": "name",
	"notes": "notes", "note": "notes", "desc": "notes", "description": "notes", "comment": "notes", "comments": "notes", "remark": "notes", "remarks": "notes",
	"date": "observedOn", "observedon": "observedOn", "accuracy": "accuracyM", "accuracym": "accuracyM",
	"ele": "gpsHeightM", "elevation": "gpsHeightM", "altitude": "gpsHeightM", "heightgps": "gpsHeightM",
	"time": "time", "kind": "kind",
}

func (p *csvPoints) read() error {
	p.names = slices.Clone(p.header)
	for i, heading := range p.header {
		field, ok := pointFields[plainWord(heading)]
		if ok && (plainWord(heading) == plainWord(field) || !slices.Contains(p.header, field)) { // else it stands in a column of its own
			p.names[i] = field
		}
		switch {
		case p.where.has(i):
		case heading == "":
			p.out.leave(1, fmt.Sprintf("column %d", i+1), "has no heading: left out", "")
		case slices.Contains(p.names[:i], p.names[i]):
			return p.out.refuse(1, heading, "two columns are the same: which is meant?", "leave one")
		}
	}
	if p.where.none() {
		p.out.report(1, "", "the table has no positions: what it says of the features is read, and their places stay", "")
	}
	return p.rows(p.add)
}

func (p *csvPoints) add(cells []string) error {
	var source []string
	var columns []member // as the file has them
	placed := false
	for i, cell := range cells {
		switch {
		case p.where.has(i):
			placed = placed || strings.TrimSpace(cell) != ""
		case p.header[i] != "":
			source = append(source, p.header[i], cell)
			columns = append(columns, member{p.header[i], rawText(strings.TrimSpace(cleanText(cell)))})
		}
	}
	at, reason, fix := p.place(cells)
	ours := oursOf(carried(columns), at.geometry)
	p.out.next.Ours = ours
	switch {
	case ours != nil && !placed: // a row of an export says what it says of its feature
		ours.WithoutPlace = true
		kind, _ := named(ours.columns, "kind")
		text, _ := textOf(kind)
		return p.out.keep(p.line, append([]string{"row"}, cells...), map[string]json.RawMessage{"kind": rawText(cmp.Or(kindOf(text), Unsorted))}, time.Time{})
	case reason != "":
		p.out.leave(p.line, "", p.said(": "+reason+": the row is left out"), fix)
		return nil
	}
	fields := map[string]json.RawMessage{"geometry": model.AppendGeometry(nil, at.geometry)}
	setHeights(fields, at.geometry, at.heightsM)
	for _, reason := range at.doubts() {
		p.out.report(p.line, "", p.said(": its place "+reason), "")
	}
	report := func(at, reason, fix string) {
		p.out.reportValue(&model.Problem{Line: p.line, Path: strings.TrimPrefix(at, "properties."), Reason: p.said(": " + reason), Fix: fix})
	}
	when := p.out.setProperties(withoutBlankIDs(carried(p.properties(cells)), ours), at.geometry, fields, report)
	return p.out.keep(p.line, append([]string{"point", string(fields["geometry"])}, source...), fields, when)
}

// properties are what the cells of a row say, by the names of fields.
func (p *csvPoints) properties(cells []string) (all []member) {
	for i, cell := range cells {
		if text := strings.TrimSpace(cleanText(cell)); text != "" && p.header[i] != "" && !p.where.has(i) {
			all = append(all, member{p.names[i], p.value(p.names[i], text)})
		}
	}
	return all
}

// value is the JSON of a cell: a number where one is plainly meant, else text.
func (p *csvPoints) value(name, cell string) json.RawMessage {
	text := p.decimal(cell)
	if name != "name" && name != "notes" {
		if d, reason := parseDecimal(text); reason == "" && !d.exponent && !(len(text) > 1 && text[0] == '0' && text[1] != '.') && len(text) < 17 {
			if text != cell {
				p.commas++
			}
			return rawNumber(d.value)
		}
		switch strings.ToLower(cell) {
		case "true", "yes":
			return json.RawMessage("true")
		case "false", "no":
			return json.RawMessage("false")
		}
	}
	return rawText(cell)
}

// place is where a row says its feature is; or why it cannot be read, and what to do.
func (p *csvPoints) place(cells []string) (at place, reason, fix string) {
	const asDegrees, withPositions = "give degrees of WGS84, as -16.10473 or 16°06'17.0\"S", "write the table with positions, as GDAL does with -lco GEOMETRY=AS_XY"
	if p.where.none() {
		return at, "has no uid of an export and no position", withPositions
	}
	if p.where.wkt >= 0 {
		at, fault := parseWKT(cells[p.where.wkt])
		if fault != nil {
			return at, "the geometry " + fault.Reason, cmp.Or(fault.Fix, withPositions)
		}
		return at, "", ""
	}
	north, east := cells[p.where.lat], cells[p.where.lon]
	if onGrid(north, 90) && onGrid(east, 180) {
		return at, fmt.Sprintf("the position %s, %s is on a map grid, in metres", strings.TrimSpace(east), strings.TrimSpace(north)), "save the table in WGS84 (EPSG:4326)"
	}
	lat, reason := p.degrees(north, "NS", 90)
	if reason != "" {
		return at, "the latitude " + reason, asDegrees
	}
	lon, reason := p.degrees(east, "EW", 180)
	if reason != "" {
		return at, "the longitude " + reason, asDegrees
	}
	if lat == 0 && lon == 0 {
		return at, "the position is 0, 0, as receivers write without a fix", asDegrees
	}
	return place{geometry: orb.Point{lon, lat}}, "", ""
}

// onGrid reports whether a cell is a plain number far beyond any angle.
func onGrid(cell string, most float64) bool {
	d, reason := parseDecimal(cell)
	return reason == "" && math.Abs(d.value) > 10*most
}

// sexagesimal is degrees, with minutes and seconds if there are any, each but the last whole:
// 16°06'17.0", 16 06.283, 16:6:17. The hemisphere stands before or behind.
var sexagesimal = regexp.MustCompile(`^([0-9]{1,3}(?:\.[0-9]+)?)(?:[°ºd:\s]+(?:([0-9]{1,2}(?:\.[0-9]+)?)(?:['′’m:\s]+(?:([0-9]{1,2}(?:\.[0-9]+)?)(?:["″”s\s]|'')*)?)?)?)?$`)

// degrees reads decimal degrees, or degrees, minutes and seconds.
func (p *csvPoints) degrees(cell, hemispheres string, most float64) (float64, string) {
	text := p.decimal(strings.TrimSpace(cell))
	if text == "" {
		return 0, "is empty"
	}
	if text != strings.TrimSpace(cell) {
		p.commas++
	}
	upper, sign := strings.ToUpper(text), 1.0
	letter := byte(0)
	if strings.IndexByte(hemispheres, upper[0]) >= 0 {
		letter, upper = upper[0], upper[1:]
	} else if last := upper[len(upper)-1]; strings.IndexByte(hemispheres, last) >= 0 {
		letter, upper = last, upper[:len(upper)-1]
	}
	upper = strings.TrimSpace(upper)
	if strings.HasPrefix(upper, "-") || strings.HasPrefix(upper, "+") {
		if letter != 0 {
			return 0, quote(cell) + " has both a sign and a hemisphere"
		}
		if upper[0] == '-' {
			sign = -1
		}
		upper = strings.TrimSpace(upper[1:])
	}
	if letter == 'S' || letter == 'W' {
		sign = -1
	}
	m := sexagesimal.FindStringSubmatch(strings.ToLower(upper))
	if m == nil {
		return 0, quote(cell) + " is no angle"
	}
	value, part := 0.0, 1.0
	for i, digits := range m[1:] {
		if digits == "" {
			break
		}
		v, _ := strconv.ParseFloat(digits, 64) // digits and a point
		if i > 0 && (v >= 60 || strings.Contains(m[i], ".")) {
			return 0, quote(cell) + " has minutes or seconds that are none"
		}
		value += v * part
		part /= 60
	}
	if m[2] != "" {
		value = math.Round(value*1e9) / 1e9 // what dividing leaves beyond the file's own digits
	}
	if value > most {
		return 0, fmt.Sprintf("%s is beyond %v degrees", quote(cell), most)
	}
	return tidy(sign * value), ""
}
