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

// appendDescription writes, for readers that do not show the columns, lines of plain text:
// the kind and status, each figure, checks, cautions and notes.
func appendDescription(dst []byte, r *row) []byte {
	dst = append(dst, r.table.kmlLabel...)
	if status := r.cell("status"); status.form != unknown {
		dst = appendXMLofHTML(append(dst, ", "...), status.bytes)
	}
	for _, f := range r.sheet.Figures {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			continue
		}
		dst = appendXMLofHTML(append(dst, '\n'), f.Label)
		dst = appendMeasure(append(dst, ' '), f)
	}
	for _, name := range [...]string{"checks", "cautions", "notes"} {
		if c := r.cell(name); c.form != unknown {
			dst = appendXMLofHTML(append(dst, '\n'), c.bytes)
		}
	}
	return dst
}

// appendMeasure writes a figure as people read it: 12.35 ± 0.4 m (taped).
func appendMeasure(dst []byte, f model.Figure) []byte {
	dst = appendHundredths(dst, f.Value)
	if f.PlusMinus >= 0 && !math.IsInf(f.PlusMinus, 0) {
		dst = appendHundredths(append(dst, " ± "...), f.PlusMinus)
	}
	if unit := model.UnitInWords(f.Unit); unit != "" {
		dst = append(append(dst, ' '), unit...)
	}
	dst = appendXMLofHTML(append(dst, " ("...), string(f.Basis))
	return append(dst, ')')
}

func appendHundredths(dst []byte, v float64) []byte {
	if scaled := math.RoundToEven(v * 100); math.Abs(scaled) < 1<<53 {
		return appendScaled(dst, int64(scaled), 2, 0)
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
