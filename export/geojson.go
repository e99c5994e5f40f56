package export

import (
	"bytes"
	"encoding/json"
	"io"
	"time"

	"headcut/model"
)

// flushAt is how much is gathered before it is handed to the file.
const flushAt = 64 << 10

const geoJSONHead = `{"type":"FeatureCollection","name":`

// writeGeoJSON writes one FeatureCollection (RFC 7946) with a feature on each line. A
// foreign member (section 6.1) after the features, "fields", describes the properties.
func writeGeoJSON(w io.Writer, s Source) error {
	buf := append([]byte(geoJSONHead), appendJSONText(nil, clean(s.Property))...)
	if !s.ExportedAt.IsZero() {
		buf = append(s.ExportedAt.UTC().AppendFormat(append(buf, `,"exportedAt":"`...), time.RFC3339), '"')
	}
	buf = append(buf, `,"features":[`...)
	between := "\n"
	rows, err := s.each(func(r *row) error {
		buf = appendFeature(append(buf, between...), r)
		between = ",\n"
		if len(buf) < flushAt {
			return nil
		}
		_, err := w.Write(buf)
		buf = buf[:0]
		return err
	})
	if err != nil {
		return err
	}
	buf = append(buf, "\n],\"fields\":"...)
	buf = appendFieldList(buf, rows.kinds)
	_, err = w.Write(append(buf, "}\n"...))
	return err
}

func appendFeature(dst []byte, r *row) []byte {
	dst = append(dst, `{"type":"Feature","id":`...)
	dst = appendJSONText(dst, r.cells[0].bytes)
	dst = append(dst, `,"properties":{`...)
	for i, c := range r.cells {
		key := r.table.columns[i].jsonKey
		if i == 0 {
			key = key[1:] // no comma before the first, which is always known
		}
		dst = appendMember(dst, key, c)
	}
	for _, e := range r.extras {
		dst = appendMember(dst, e.jsonKey, e.cell)
	}
	dst = append(dst, `},"geometry":`...)
	return append(appendJSONPlace(dst, &r.place), '}')
}

// appendMember writes nothing of a value that is not known. Readers make one column of all
// features' members; in one of nulls alone, which is what would be left of a column that no
// feature has a value in, they see texts whatever its type.
func appendMember(dst, key []byte, c cell) []byte {
	switch c.form {
	case bare, yesNo:
		return append(append(dst, key...), c.bytes...)
	case written:
		return appendJSONText(append(dst, key...), c.bytes)
	}
	return dst
}

func appendJSONPlace(dst []byte, p *place) []byte {
	switch {
	case len(p.outlines) == 0:
		return append(dst, "null"...)
	case !p.collection:
		return appendJSONOutline(dst, p.outlines[0])
	}
	dst = append(dst, `{"type":"GeometryCollection","geometries":[`...)
	return append(appendJSONList(dst, p.outlines, appendJSONOutline), "]}"...)
}

// appendJSONList writes all with commas between.
func appendJSONList[T any](dst []byte, all []T, write func([]byte, T) []byte) []byte {
	for i, one := range all {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = write(dst, one)
	}
	return dst
}

func appendJSONOutline(dst []byte, o outline) []byte {
	dst = append(dst, `{"type":"`...)
	if o.multi {
		dst = append(dst, "Multi"...)
	}
	switch o.shape {
	case model.PointShape:
		dst = append(dst, "Point"...)
	case model.LineShape:
		dst = append(dst, "LineString"...)
	default:
		dst = append(dst, "Polygon"...)
	}
	dst = append(dst, `","coordinates":`...)
	if o.multi {
		dst = append(dst, '[')
	}
	dst = appendJSONList(dst, o.parts, func(dst []byte, rings [][]position) []byte { return appendJSONPart(dst, o.shape, rings) })
	if o.multi {
		dst = append(dst, ']')
	}
	return append(dst, '}')
}

func appendJSONPart(dst []byte, shape model.Shape, rings [][]position) []byte {
	switch shape {
	case model.PointShape:
		return appendJSONPosition(dst, rings[0][0])
	case model.LineShape:
		return appendJSONPositions(dst, rings[0])
	}
	return append(appendJSONList(append(dst, '['), rings, appendJSONPositions), ']')
}

func appendJSONPositions(dst []byte, ps []position) []byte {
	dst = append(dst, '[')
	for i, p := range ps { // not by appendJSONList: a call for each position takes a third longer
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendJSONPosition(dst, p)
	}
	return append(dst, ']')
}

func appendJSONPosition(dst []byte, p position) []byte {
	dst = appendScaled(append(dst, '['), p.lon, positionPlaces, 0)
	dst = appendScaled(append(dst, ','), p.lat, positionPlaces, 0)
	return append(dst, ']')
}

// fieldNote describes a property in the words of JSON Schema, where it has them.
type fieldNote struct {
	Name   string   `json:"name"`
	Label  string   `json:"label"`
	Type   string   `json:"type"`
	Format string   `json:"format,omitempty"` // "date", "date-time", or "json" for a list as text
	Unit   string   `json:"unit,omitempty"`   // UCUM code
	Kinds  []string `json:"kinds"`            // the kinds whose features have it
}

// appendFieldList describes the properties of these tables: each once for all kinds that
// call it the same.
func appendFieldList(dst []byte, tables []*table) []byte {
	notes := []*fieldNote{}
	byName := map[[2]string]*fieldNote{}
	for _, t := range tables {
		for _, c := range t.all() {
			note, ok := byName[[2]string{c.name, c.label}]
			if !ok {
				kind, format := jsonType(c.of)
				note = &fieldNote{Name: c.name, Label: c.label, Type: kind, Format: format, Unit: c.unit}
				byName[[2]string{c.name, c.label}] = note
				notes = append(notes, note)
			}
			note.Kinds = append(note.Kinds, clean(t.kind.Name))
		}
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	_ = encoder.Encode(notes) // cannot fail: texts in slices, written to memory
	return append(dst, bytes.TrimSpace(out.Bytes())...)
}

func jsonType(of model.FieldType) (kind, format string) {
	switch of {
	case model.Number:
		return "number", ""
	case model.Integer:
		return "integer", ""
	case model.YesNo:
		return "boolean", ""
	case model.Date:
		return "string", "date"
	case model.Instant:
		return "string", "date-time"
	case model.Photos, model.Numbers, model.LevelRows, model.SpacingRows, model.RateRows, model.RainRows, model.Place:
		return "string", "json"
	}
	return "string", ""
}
