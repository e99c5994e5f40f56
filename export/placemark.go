package export

import (
	"cmp"
	"math"
	"strconv"

	"headcut/model"
	"headcut/model/figures"
)

// placemarks writes the features of one kind into a folder, in the order the schema of KML
// wants: name, description, TimeStamp, styleUrl, ExtendedData, geometry. What is unknown is
// left out.
type placemarks struct {
	*folder
	table                             *table
	begin, named                      []byte   // up to the id; from the name to the description
	undated, dated, day               []byte   // from the description to the first column, without a day, or round it
	columns                           [][]byte // between a column's value and the one before; the first has none
	end                               []byte   // behind the last of them
	name, status, danger, notes, seen int      // columns, -1 where the kind has none
	cautions, condition               int
	cautioned                         map[string]caution // by text
}

// caution is a text as a line of the description and as part of a column.
type caution struct{ line, column []byte }

func newPlacemarks(t *table, f *folder) *placemarks {
	name := string(appendXMLName(nil, t.kind.Name))
	columns := "<styleUrl>#style_" + name + `</styleUrl><ExtendedData><SchemaData schemaUrl="#schema_` + name + `">` + string(t.columns[0].kmlOpen)
	description := "<description>" + string(appendXMLofHTML(nil, cmp.Or(clean(t.kind.Label), "No kind")))
	p := &placemarks{
		folder: f, table: t, cautioned: map[string]caution{},
		begin: f.phrase(`<Placemark id="f_`), named: f.phrase("</name>", description),
		undated: f.phrase("</description>", columns), dated: f.phrase("</description><TimeStamp><when>"), day: f.phrase("</when></TimeStamp>", columns),
		end:  f.phrase("</SimpleData></SchemaData></ExtendedData>"),
		name: t.at("name"), status: t.at("status"), danger: t.at("danger"), notes: t.at("notes"), seen: t.at("observedOn"), cautions: t.at(cautionsColumn.name), condition: t.at("condition"),
		columns: make([][]byte, len(t.columns)),
	}
	for i, c := range t.columns {
		if i > 0 && c.kmlOpen != nil {
			p.columns[i] = f.phrase("</SimpleData>", string(c.kmlOpen))
		}
	}
	return p
}

// append writes one feature.
func (p *placemarks) append(dst []byte, r *row) []byte {
	dst = appendXMLName(append(dst, p.begin...), r.feature.ID)
	if name := r.cell(p.name); name.form != unknown {
		dst = append(appendXMLText(append(dst, `"><name>`...), name.bytes), p.named...)
	} else {
		dst = append(p.appendKindAsName(append(dst, `"><name>`...), r), p.named...)
	}
	dst = p.appendDescription(dst, r)
	if day := p.dayOf(r); day.form != unknown {
		dst = append(append(append(dst, p.dated...), day.bytes...), p.day...)
	} else {
		dst = append(dst, p.undated...)
	}
	dst = appendXMLText(dst, r.cells[0].bytes)
	for i, c := range r.cells {
		between := p.columns[i]
		switch {
		case c.form == unknown || between == nil:
		case i == p.cautions:
			dst = p.appendCautions(append(dst, between...), r.sheet.Cautions)
		default:
			dst = appendValue(append(dst, between...), c)
		}
	}
	for _, e := range r.extras {
		if e.cell.form != unknown && e.kmlOpen != nil {
			dst = appendValue(append(append(dst, "</SimpleData>"...), e.kmlOpen...), e.cell)
		}
	}
	dst = append(dst, p.end...)
	return append(appendKMLPlace(dst, &r.place), "</Placemark>\n"...)
}

// appendKindAsName calls what has no name by its kind, a visit by what it was to where that is known.
func (p *placemarks) appendKindAsName(dst []byte, r *row) []byte {
	dst = appendXMLText(dst, cmp.Or(clean(p.table.kind.Label), "No kind"))
	if of := r.feature.Text("of"); of != "" && r.source.Called != nil {
		if called := r.source.Called(of); called != "" {
			dst = appendXMLText(append(dst, " to "...), clean(called))
		}
	}
	return dst
}

// appendValue writes yes and no as 1 and 0: XML Schema's boolean allows both forms, but
// GDAL's LIBKML driver reads "true" as 0.
func appendValue(dst []byte, c cell) []byte {
	switch {
	case c.form == written:
		return appendXMLText(dst, c.bytes)
	case c.form == bare:
		return append(dst, c.bytes...)
	case string(c.bytes) == "true":
		return append(dst, '1')
	}
	return append(dst, '0')
}

// caution gives what is written of a caution. The same few stand in nearly all features of a
// kind, twice each, so they are phrases as long as there are codes.
func (p *placemarks) caution(text string) caution {
	c, ok := p.cautioned[text]
	if !ok {
		cleaned := clean(text)
		c = caution{appendXMLofHTML([]byte("\nCaution: "), cleaned), appendXMLText(nil, cleaned)}
		if !p.fullOfPhrases() {
			c = caution{p.phrase(string(c.line)), p.phrase(string(c.column))}
			p.cautioned[text] = c
		}
	}
	return c
}

func (p *placemarks) appendCautions(dst []byte, all []model.Caution) []byte {
	for i, c := range all {
		if i > 0 {
			dst = append(dst, '\n')
		}
		dst = append(dst, p.caution(c.Text).column...)
	}
	return dst
}

// appendDescription writes, for readers that do not show the columns, lines of plain text as
// the page has them: behind the kind the status; then whatever warns; then figures, checks
// that are in order, notes, and who recorded it.
func (p *placemarks) appendDescription(dst []byte, r *row) []byte {
	if status := r.cell(p.status); status.form != unknown {
		dst = appendXMLofHTML(append(dst, ", "...), status.bytes)
	}
	if condition := r.cell(p.condition); condition.form != unknown {
		dst = appendXMLofHTML(append(dst, ", "...), condition.bytes)
	}
	if r.source.Describe != nil {
		for _, line := range r.source.Describe(r.feature.ID) {
			dst = appendXMLofHTML(append(dst, '\n'), clean(line))
		}
		return dst
	}
	dst = p.appendWarnings(dst, r)
	dst = appendVisited(dst, r)
	for _, f := range r.sheet.Figures {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			continue
		}
		dst = appendXMLofHTML(append(dst, '\n'), f.Label)
		dst = appendMeasure(append(dst, ' '), f)
	}
	for _, c := range r.sheet.Checks {
		if c.Verdict == model.OK {
			dst = appendXMLofHTML(append(dst, "\nOK: "...), clean(c.Text))
		}
	}
	if notes := r.cell(p.notes); notes.form != unknown {
		dst = appendXMLofHTML(append(dst, '\n'), notes.bytes)
	}
	return appendRecorded(dst, r)
}

// appendVisited writes when it was last inspected, and what was measured then.
func appendVisited(dst []byte, r *row) []byte {
	v := r.sheet.Visited
	if v == nil {
		return dst
	}
	if v.On != "" {
		dst = appendXMLofHTML(append(dst, "\nLast inspected "...), clean(model.DayInWords(v.On)))
		if v.Condition != "" {
			dst = appendXMLofHTML(append(dst, ": "...), string(v.Condition))
		}
	}
	for _, m := range v.Measured {
		dst = appendPlaces(append(appendXMLofHTML(append(dst, '\n'), m.Label), ' '), m.Value, 2)
		dst = append(append(dst, ' '), model.UnitInWords(m.Unit)...)
		if m.On != "" {
			dst = appendXMLofHTML(append(dst, ", "...), clean(model.DayInWords(m.On)))
		}
	}
	return dst
}

// appendWarnings writes what a person on the ground must not miss.
func (p *placemarks) appendWarnings(dst []byte, r *row) []byte {
	if r.history.Struck {
		dst = append(dst, "\nStruck out of the register: do not build or measure by it."...)
	}
	if danger := r.cell(p.danger); danger.form != unknown {
		dst = appendXMLofHTML(append(dst, "\nDanger: "...), danger.bytes)
	}
	for _, c := range r.sheet.Checks {
		if c.Verdict != model.OK {
			dst = appendXMLofHTML(append(dst, "\nWarning: "...), clean(c.Text))
		}
	}
	for _, c := range r.sheet.Cautions {
		dst = append(dst, p.caution(c.Text).line...)
	}
	for _, c := range r.history.Clashes {
		dst = appendXMLofHTML(append(dst, "\nClash to settle: "...), appendClash(nil, r.table, c))
	}
	return dst
}

func appendRecorded(dst []byte, r *row) []byte {
	h := &r.history
	dst = appendBy(dst, "\nRecorded by ", h.RecordedBy, h.RecordedAt)
	if h.ChangedBy != h.RecordedBy || dayOf(h.ChangedAt) != dayOf(h.RecordedAt) {
		dst = appendBy(dst, "\nLast changed by ", h.ChangedBy, h.ChangedAt)
	}
	return dst
}

func appendBy(dst []byte, what, by, at string) []byte {
	if by == "" {
		return dst
	}
	return appendDay(appendXMLofHTML(append(dst, what...), clean(by)), at)
}

// appendMeasure writes a figure as people read it: 12.3 ± 0.4 m (taped).
func appendMeasure(dst []byte, f model.Figure) []byte {
	known := f.PlusMinus != nil && !math.IsInf(*f.PlusMinus, 0)
	places := 2
	if figures.InMillimetres(f.Name) {
		f.Value, f.Unit, places = f.Value*1000, "mm", 1
		if known {
			known = *f.PlusMinus > 0 // what is allowed is exact
			f.PlusMinus = model.Known(*f.PlusMinus * 1000)
		}
	} else if known {
		places = placesOf(*f.PlusMinus)
	}
	dst = appendPlaces(dst, f.Value, places)
	if known {
		dst = appendPlaces(append(dst, " ± "...), *f.PlusMinus, places)
	}
	if unit := model.UnitInWords(f.Unit); unit != "" {
		dst = append(append(dst, ' '), unit...)
	}
	dst = appendXMLofHTML(append(dst, " ("...), string(f.Basis))
	return append(dst, ')')
}

// placesOf is how many decimals a value with this ± deserves: those of the first digit of the
// ±, and one more where that digit is a 1. At most three, a millimetre.
func placesOf(plusMinus float64) int {
	for places, unit := 0, 2.0; places < 3; places, unit = places+1, unit/10 {
		if plusMinus >= unit {
			return places
		}
	}
	if plusMinus == 0 {
		return 2
	}
	return 3
}

// appendPlaces writes v with exactly so many decimals, at most 3.
func appendPlaces(dst []byte, v float64, places int) []byte {
	if scaled := math.RoundToEven(v * [...]float64{1, 10, 100, 1000}[places]); math.Abs(scaled) < 1<<53 {
		return appendScaled(dst, int64(scaled), places, places)
	}
	return strconv.AppendFloat(dst, v, 'e', 3, 64)
}

// dayOf is the day a work came to its status, else the day it was seen.
func (p *placemarks) dayOf(r *row) cell {
	if p.table.kind.Work {
		if status := r.cell(p.status); status.form != unknown {
			if day := r.cell(p.table.at(model.Status(status.bytes).DateField())); day.form != unknown {
				return day
			}
		}
	}
	return r.cell(p.seen)
}

// cell is the cell of a column of the table, unknown for -1.
func (r *row) cell(at int) cell {
	if at < 0 {
		return cell{}
	}
	return r.cells[at]
}

func appendKMLPlace(dst []byte, p *place) []byte {
	single := len(p.outlines) == 1 && !p.collection && !p.outlines[0].multi
	if len(p.outlines) == 0 {
		return dst
	}
	if !single {
		dst = append(dst, "<MultiGeometry>"...)
	}
	for _, o := range p.outlines {
		for _, part := range o.parts {
			dst = appendKMLPart(dst, o.shape, part)
		}
	}
	if !single {
		dst = append(dst, "</MultiGeometry>"...)
	}
	return dst
}

// appendKMLPart leaves altitudeMode at its default, clampToGround: works lie on the
// ground, and the heights of a GPS would float or bury them.
func appendKMLPart(dst []byte, shape model.Shape, rings [][]position) []byte {
	switch shape {
	case model.PointShape:
		dst = appendCoordinates(append(dst, "<Point>"...), rings[0])
		return append(dst, "</Point>"...)
	case model.LineShape:
		dst = appendCoordinates(append(dst, "<LineString><tessellate>1</tessellate>"...), rings[0])
		return append(dst, "</LineString>"...)
	}
	dst = append(dst, "<Polygon><tessellate>1</tessellate>"...)
	for i, ring := range rings {
		side := "outerBoundaryIs>"
		if i > 0 {
			side = "innerBoundaryIs>"
		}
		dst = append(append(append(dst, '<'), side...), "<LinearRing>"...)
		dst = appendCoordinates(dst, ring)
		dst = append(append(dst, "</LinearRing></"...), side...)
	}
	return append(dst, "</Polygon>"...)
}

// appendCoordinates writes tuples parted by one space; a space or line break inside one
// would make readers see more of them.
func appendCoordinates(dst []byte, ps []position) []byte {
	dst = append(dst, "<coordinates>"...)
	for i, p := range ps {
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = appendScaled(dst, p.lon, positionPlaces, 0)
		dst = appendScaled(append(dst, ','), p.lat, positionPlaces, 0)
	}
	return append(dst, "</coordinates>"...)
}
