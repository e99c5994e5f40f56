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
	met := 0
	columns := r.table.columns
	for i := len(r.cells); i < r.table.fields; i++ {
		c := &columns[i]
		raw, ok := f.Fields[c.field]
		if !ok {
			r.cells = append(r.cells, cell{})
			continue
		}
		met++
		value, ok := r.reader.typed(c.of, raw)
		if !ok {
			value = cell{}
			r.asRecorded(c.field, raw)
		}
		r.cells = append(r.cells, value)
	}
	if _, ok := f.Fields["kind"]; ok {
		met++
	}
	raw, ok := f.Fields["geometry"]
	if ok {
		met++
	}
	if r.place.set(f.Geometry); len(r.place.outlines) == 0 && ok && string(raw) != "null" {
		r.asRecorded("geometry", raw)
	}
	if met < len(f.Fields) {
		r.takeUnknown()
	}
	slices.SortFunc(r.extras, func(a, b extraCell) int { return strings.Compare(a.key, b.key) })
}

// asRecorded keeps a value that cannot stand in its own column.
func (r *row) asRecorded(field string, raw json.RawMessage) {
	e := r.table.extra(field, "AsRecorded", model.Text)
	r.extras = append(r.extras, extraCell{e, r.reader.text(string(raw))})
}

func (r *row) takeUnknown() {
	names := make([]string, 0, 8)
	for name, raw := range r.feature.Fields {
		if !r.table.knows(name) && string(raw) != "null" {
			names = append(names, name)
		}
	}
	slices.Sort(names) // the order of a map is not the same each time
	for _, name := range names {
		raw := r.feature.Fields[name]
		of, known := typeElsewhere[name]
		if !known {
			value, of := r.reader.loose(raw)
			r.extras = append(r.extras, extraCell{r.table.extra(name, "", of), value})
		} else if value, ok := r.reader.typed(of, raw); ok {
			r.extras = append(r.extras, extraCell{r.table.extra(name, "", of), value})
		} else {
			r.asRecorded(name, raw)
		}
	}
}

func (t *table) knows(field string) bool {
	return field == "kind" || field == "geometry" ||
		slices.ContainsFunc(t.columns[:t.fields], func(c column) bool { return c.field == field })
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
			if value = r.reader.real(f.Value, appendFigure); value.form == unknown {
				break
			}
			if f.PlusMinus != nil {
				plusMinus = r.reader.real(*f.PlusMinus, appendFigure)
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
				value, on = r.reader.real(m.Value, appendFigure), r.known(m.On)
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
