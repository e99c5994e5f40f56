package export

import (
	"encoding/json"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
)

// row is one feature, ready for any format. It and all it points to are used again for
// the next feature.
type row struct {
	feature model.Feature
	table   *table
	place   place
	cells   []cell // one for each of table.columns
	extras  []extraCell
	left    []string // fields that have no cell
	sheet   figures.Sheet
	history History

	reader reader
	source Source
	tables map[string]*table
	kinds  []*table // those met, in the order met
}

type extraCell struct {
	*extra
	cell
}

// each hands the features of s that may leave to write, as rows, in their order.
func (s Source) each(write func(*row) error) (*row, error) {
	r := &row{source: s, tables: map[string]*table{}}
	for f, err := range s.Features {
		if err != nil {
			return nil, err
		}
		if f.ID == "" {
			return nil, &model.Problem{Path: "id", Reason: "a feature without an id cannot be exported", Fix: "run a check of the store"}
		}
		if s.withholds(f) {
			continue
		}
		r.take(f)
		if err := write(r); err != nil {
			return nil, err
		}
	}
	return r, nil
}

func (r *row) take(f model.Feature) {
	r.feature = f
	r.table = r.tables[f.Kind]
	if r.table == nil {
		r.table = newTable(f.Kind, r.source.Figures != nil, r.source.History != nil)
		if words, ok := r.source.Labels[f.Kind]; ok {
			r.table.call(words[0], words[1])
		}
		r.tables[f.Kind] = r.table
		r.kinds = append(r.kinds, r.table)
	}
	r.reader.reset()
	r.extras = r.extras[:0]
	r.cells = append(r.cells[:0], r.reader.text(f.ID))
	if r.source.History != nil {
		r.history = r.source.History(f.ID)
		r.cells = append(r.cells, r.known(r.history.Version))
	}
	r.cells = append(r.cells, r.known(f.Kind))
	r.takeFields()
	if r.history.Struck {
		r.place.outlines = r.place.outlines[:0]
	}
	if r.source.Figures != nil {
		r.takeFigures()
	}
	if r.source.History != nil {
		r.takeHistory()
	}
}

func (r *row) takeFields() {
	f := r.feature
	first := len(r.cells)
	r.cells = append(r.cells, r.table.blank...)
	cells := r.cells[first:]
	r.left = r.left[:0]
	for name, raw := range f.Fields {
		i, known := r.table.fieldAt[name]
		switch {
		case known:
			value, ok := r.reader.typed(r.table.columns[first+i].of, raw)
			if ok {
				cells[i] = value
			} else {
				r.left = append(r.left, name)
			}
		case name != "kind" && name != "geometry" && string(raw) != "null":
			r.left = append(r.left, name)
		}
	}
	r.place.set(f.Geometry)
	if raw, ok := f.Fields["geometry"]; ok && len(r.place.outlines) == 0 && string(raw) != "null" {
		r.asRecorded("geometry", raw)
	}
	slices.Sort(r.left) // the order of a map is not the same each time
	for _, name := range r.left {
		r.takeOdd(name, f.Fields[name])
	}
	slices.SortFunc(r.extras, func(a, b extraCell) int { return strings.Compare(a.key, b.key) })
}

// asRecorded keeps a value that cannot stand in its own column.
func (r *row) asRecorded(field string, raw json.RawMessage) {
	e := r.table.extra(field, "AsRecorded", model.Text)
	r.extras = append(r.extras, extraCell{e, r.reader.text(string(raw))})
}

// takeOdd keeps a field that is not of the kind's, or not of its field's type.
func (r *row) takeOdd(name string, raw json.RawMessage) {
	if _, known := r.table.fieldAt[name]; known {
		r.asRecorded(name, raw)
	} else if of, known := typeElsewhere[name]; !known {
		value, of := r.reader.loose(raw)
		r.extras = append(r.extras, extraCell{r.table.extra(name, "", of), value})
	} else if value, ok := r.reader.typed(of, raw); ok {
		r.extras = append(r.extras, extraCell{r.table.extra(name, "", of), value})
	} else {
		r.asRecorded(name, raw)
	}
}

func (r *row) takeFigures() {
	r.sheet = figures.Sheet{}
	if !r.history.Struck {
		r.sheet = r.source.Figures.Of(r.feature)
	}
	for _, column := range r.table.figures {
		value, plusMinus, basis := cell{}, cell{}, cell{}
		for _, f := range r.sheet.Figures {
			if f.Name != column.Name {
				continue
			}
			places := columnPlaces(f)
			if value = r.reader.figure(f.Value, places); value.form == unknown {
				break
			}
			if f.PlusMinus != nil {
				plusMinus = r.reader.figure(*f.PlusMinus, places)
			}
			basis = r.reader.text(string(f.Basis))
			break
		}
		r.cells = append(r.cells, value, plusMinus, basis)
	}
	r.cells = append(r.cells, r.checks(), r.cautions())
	if r.table.visited {
		r.takeVisited()
	}
}

// takeVisited writes what visits found; a field of the feature says what was first recorded.
func (r *row) takeVisited() {
	v := r.sheet.Visited
	if v == nil {
		v = &figures.Visited{}
	}
	r.cells = append(r.cells, r.known(v.On), r.known(string(v.Condition)), r.known(v.ConditionOn))
	for _, name := range figures.MeasuredFields {
		value, on := cell{}, cell{}
		for _, m := range v.Measured {
			if m.Name == name {
				value, on = r.reader.figure(m.Value, figurePlaces), r.known(m.On)
			}
		}
		r.cells = append(r.cells, value, on)
	}
}

func (r *row) checks() cell {
	return lines(&r.reader, r.sheet.Checks, func(dst []byte, c model.Check) []byte {
		dst = append(appendClean(dst, c.Name), ": "...)
		dst = append(appendClean(dst, string(c.Verdict)), ". "...)
		return appendClean(dst, c.Text)
	})
}

func (r *row) cautions() cell {
	return lines(&r.reader, r.sheet.Cautions, func(dst []byte, c model.Caution) []byte {
		return appendClean(dst, c.Text)
	})
}

// lines is a cell with a line for each of all, unknown when there are none.
func lines[T any](r *reader, all []T, write func([]byte, T) []byte) cell {
	if len(all) == 0 {
		return cell{}
	}
	start := len(r.scratch)
	for i, one := range all {
		if i > 0 {
			r.scratch = append(r.scratch, '\n')
		}
		r.scratch = write(r.scratch, one)
	}
	return cell{written, r.scratch[start:]}
}
