package export

import (
	"math"
	"strconv"

	"headcut/model"
)

// appendPlacemark writes one feature in the order the schema of KML wants: name,
// description, TimeStamp, styleUrl, ExtendedData, geometry. What is unknown is left out.
func appendPlacemark(dst []byte, r *row) []byte {
	dst = append(dst, `<Placemark id="`...)
	dst = append(appendXMLName(append(dst, "f_"...), r.feature.ID), `">`...)
	if name := r.cell("name"); name.form != unknown {
		dst = append(appendXMLText(append(dst, "<name>"...), name.bytes), "</name>"...)
	}
	dst = append(appendDescription(append(dst, "<description>"...), r), "</description>"...)
	dst = appendTimeStamp(dst, r)
	dst = append(dst, r.table.kmlLinks...)
	for i, c := range r.cells {
		dst = appendSimpleData(dst, r.table.columns[i].kmlOpen, c)
	}
	for _, e := range r.extras {
		dst = appendSimpleData(dst, e.kmlOpen, e.cell)
	}
	dst = append(dst, "</SchemaData></ExtendedData>"...)
	return append(appendKMLPlace(dst, &r.place), "</Placemark>\n"...)
}

// appendSimpleData writes yes and no as 1 and 0: XML Schema's boolean allows both forms, but
// GDAL's LIBKML driver reads "true" as 0.
func appendSimpleData(dst, open []byte, c cell) []byte {
	if c.form == unknown || open == nil {
		return dst
	}
	dst = append(dst, open...)
	switch {
	case c.form == written:
		dst = appendXMLText(dst, c.bytes)
	case c.form == bare:
		dst = append(dst, c.bytes...)
	case string(c.bytes) == "true":
		dst = append(dst, '1')
	default:
		dst = append(dst, '0')
	}
	return append(dst, "</SimpleData>"...)
}

// appendDescription writes, for readers that do not show the columns, lines of plain text as
// the page has them: the kind and status; then whatever warns; then figures, checks that are
// in order, notes, and who recorded it.
func appendDescription(dst []byte, r *row) []byte {
	dst = append(dst, r.table.kmlLabel...)
	if status := r.cell("status"); status.form != unknown {
		dst = appendXMLofHTML(append(dst, ", "...), status.bytes)
	}
	if r.source.Describe != nil {
		for _, line := range r.source.Describe(r.feature.ID) {
			dst = appendXMLofHTML(append(dst, '\n'), clean(line))
		}
		return dst
	}
	dst = appendWarnings(dst, r)
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
	if notes := r.cell("notes"); notes.form != unknown {
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
		dst = append(append(dst, "\nLast inspected "...), model.DayInWords(v.On)...)
		if v.Condition != "" {
			dst = appendXMLofHTML(append(dst, ": "...), string(v.Condition))
		}
	}
	for _, m := range v.Measured {
		dst = appendPlaces(append(appendXMLofHTML(append(dst, '\n'), m.Label), ' '), m.Value, 2)
		dst = append(append(dst, ' '), model.UnitInWords(m.Unit)...)
		if m.On != "" {
			dst = append(append(dst, ", "...), model.DayInWords(m.On)...)
		}
	}
	return dst
}

// appendWarnings writes what a person on the ground must not miss.
func appendWarnings(dst []byte, r *row) []byte {
	if r.history.Struck {
		dst = append(dst, "\nStruck out of the register: do not build or measure by it."...)
	}
	if danger := r.cell("danger"); danger.form != unknown {
		dst = appendXMLofHTML(append(dst, "\nDanger: "...), danger.bytes)
	}
	for _, c := range r.sheet.Checks {
		if c.Verdict != model.OK {
			dst = appendXMLofHTML(append(dst, "\nWarning: "...), clean(c.Text))
		}
	}
	for _, c := range r.sheet.Cautions {
		dst = appendXMLofHTML(append(dst, "\nCaution: "...), clean(c.Text))
	}
	for _, c := range r.history.Clashes {
		dst = appendXMLofHTML(append(dst, "\nClash to settle: "...), appendClash(nil, r.table, c))
	}
	return dst
}

func appendRecorded(dst []byte, r *row) []byte {
	one := func(what, by, at string) {
		if by == "" {
			return
		}
		dst = appendXMLofHTML(append(append(append(dst, '\n'), what...), " by "...), clean(by))
		if day := dayInWords(at); day != "" {
			dst = append(append(dst, ", "...), day...)
		}
	}
	h := &r.history
	one("Recorded", h.RecordedBy, h.RecordedAt)
	if h.ChangedBy != h.RecordedBy || dayInWords(h.ChangedAt) != dayInWords(h.RecordedAt) {
		one("Last changed", h.ChangedBy, h.ChangedAt)
	}
	return dst
}

// appendMeasure writes a figure as people read it: 12.3 ± 0.4 m (taped).
func appendMeasure(dst []byte, f model.Figure) []byte {
	known := f.PlusMinus != nil && !math.IsInf(*f.PlusMinus, 0)
	places := 2
	if known {
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

// appendTimeStamp writes the day a work came to its status, else the day it was seen.
func appendTimeStamp(dst []byte, r *row) []byte {
	day := cell{}
	if r.table.kind.Work {
		if status := r.cell("status"); status.form != unknown {
			day = r.cell(model.Status(status.bytes).DateField())
		}
	}
	if day.form == unknown {
		day = r.cell("observedOn")
	}
	if day.form == unknown {
		return dst
	}
	return append(append(append(dst, "<TimeStamp><when>"...), day.bytes...), "</when></TimeStamp>"...)
}

// cell is the cell of a column of the table, unknown when there is no such column.
func (r *row) cell(name string) cell {
	if i, ok := r.table.index[name]; ok {
		return r.cells[i]
	}
	return cell{}
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
