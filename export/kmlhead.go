package export

import (
	"encoding/xml"
	"image/color"
	"io"
	"slices"
	"strconv"

	"github.com/twpayne/go-kml/v3"

	"headcut/model"
)

// balloon is how a placemark's description is shown: line by line, and nothing else. The
// default balloon would show the name and all columns as HTML.
const balloon = `<div style="white-space:pre-wrap">$[description]</div>`

// areaAlpha lets the ground show through an area's colour.
const areaAlpha = 0x66

func writeKMLHead(w io.Writer, s Source, tables []*table) error {
	head := append(appendXMLText([]byte(kmlHead), clean(s.Property)), "</name>\n<description>"...)
	if !s.ExportedAt.IsZero() {
		head = append(s.ExportedAt.UTC().AppendFormat(append(head, "Exported "...), "2 January 2006, 15:04 UTC"), ". "...)
	}
	head = append(head, "A ± is one standard deviation.</description>\n"...)
	if _, err := w.Write(head); err != nil {
		return err
	}
	encoder := xml.NewEncoder(w)
	for _, e := range slices.Concat(model.Each(tables, style), model.Each(tables, schema)) {
		if err := encoder.Encode(e); err != nil {
			return err
		}
		if _, err := io.WriteString(w, "\n"); err != nil {
			return err
		}
	}
	return nil
}

// style is the one style of the kind. It names no picture: addresses of pictures break
// where there is no network.
func style(t *table) kml.Element {
	solid, clear := kmlColour(t.kind.Colour, 0xff), kmlColour(t.kind.Colour, areaAlpha)
	return kml.SharedStyle(string(appendXMLName([]byte("style_"), t.kind.Name)),
		kml.IconStyle(kml.Color(solid)),
		kml.LineStyle(kml.Color(solid), kml.Width(3)),
		kml.PolyStyle(kml.Color(clear)),
		kml.BalloonStyle(kml.Text(balloon)),
	)
}

// kmlColour turns "#rrggbb" into what go-kml writes as aabbggrr. It is a color.RGBA whose
// parts are not multiplied by alpha, against that type's word, because go-kml writes the
// parts as RGBA() returns them and KML's are not multiplied. Anything else is grey.
func kmlColour(css string, alpha uint8) color.RGBA {
	rgb, err := strconv.ParseUint(css[min(1, len(css)):], 16, 24)
	if err != nil || len(css) != 7 || css[0] != '#' {
		rgb = 0x5a5a5a
	}
	return color.RGBA{R: uint8(rgb >> 16), G: uint8(rgb >> 8), B: uint8(rgb), A: alpha}
}

// schema declares the typed columns of the kind, with label and unit for people.
func schema(t *table) kml.Element {
	s := kml.NamedSchema(string(appendXMLName([]byte("schema_"), t.kind.Name)), t.title())
	for _, c := range t.all() {
		if c.kmlOpen == nil {
			continue
		}
		label := c.label
		if unit := model.UnitInWords(c.unit); unit != "" {
			label += " (" + unit + ")"
		}
		s.Append(kml.SimpleField(c.name, kmlType(c.of), kml.DisplayName(label)))
	}
	return s
}

func kmlType(of model.FieldType) string {
	switch of {
	case model.Number:
		return "double"
	case model.Integer:
		return "int"
	case model.YesNo:
		return "bool"
	}
	return "string"
}
