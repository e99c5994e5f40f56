package export

import (
	"cmp"
	"encoding/xml"
	"io"
	"slices"

	"headcut/model"
)

const (
	kmlHead = xml.Header + `<kml xmlns="http://www.opengis.net/kml/2.2">` + "\n<Document><name>"
	kmlTail = "</Document>\n</kml>\n"
)

// writeKML writes one Document with a Style, a Schema and a Folder for each kind that
// occurs. Styles and schemas are go-kml's elements. Its elements for placemarks would hold
// the whole tree in memory and take five times the processor time (encoding/xml looks at
// each character), so the placemarks, nearly all of a file, are appended by placemark.go.
func writeKML(w io.Writer, s Source) error {
	var spool spool
	defer spool.close()
	folders := map[*table]*placemarks{}
	rows, err := s.each(func(r *row) error {
		p, ok := folders[r.table]
		if !ok {
			p = newPlacemarks(r.table, spool.add())
			folders[r.table] = p
		}
		p.text = p.append(p.text, r)
		return spool.settle(p.folder)
	})
	if err != nil {
		return err
	}
	tables := inTableOrder(rows.kinds)
	if err := writeKMLHead(w, s, tables); err != nil {
		return err
	}
	for _, t := range tables {
		open := append([]byte(`<Folder id="`), appendXMLName([]byte("kind_"), t.kind.Name)...)
		open = append(appendXMLText(append(open, `"><name>`...), t.title()), "</name>\n"...)
		if _, err := w.Write(open); err != nil {
			return err
		}
		if err := spool.copyTo(w, folders[t].folder); err != nil {
			return err
		}
		if _, err := io.WriteString(w, "</Folder>\n"); err != nil {
			return err
		}
	}
	_, err = io.WriteString(w, kmlTail)
	return err
}

// inTableOrder sorts kinds as the table of kinds has them, then unknown ones by name.
func inTableOrder(tables []*table) []*table {
	rank := func(t *table) uint { // the largest of all for one that is not there
		return uint(slices.IndexFunc(model.Kinds, func(k model.Kind) bool { return k.Name == t.kind.Name }))
	}
	return slices.SortedFunc(slices.Values(tables), func(a, b *table) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.kind.Name, b.kind.Name))
	})
}

// title is the name of the folder of the kind.
func (t *table) title() string {
	if t.kind.Plural == "" {
		return "No kind"
	}
	return clean(t.kind.Plural)
}
