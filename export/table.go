package export

import (
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
)

// column is one column of the features of a kind.
type column struct {
	field string // the feature's field it is read from; "" for columns made here
	name  string
	label string
	unit  string // UCUM code
	of    model.FieldType

	jsonKey []byte // `,"name":`
	kmlOpen []byte // `<SimpleData name="name">`; nil where KML has an element for it
}

// table is the columns of the features of one kind, in the order in which every format
// writes them: uid, version, kind, status, the other fields, three for each figure, checks
// and cautions, the history, then whatever else turns up while the features pass.
type table struct {
	kind    model.Kind
	columns []column
	fields  int              // columns before this one are uid, version, kind and fields
	fieldAt map[string]int   // the fields by name, counted from the first of their columns
	blank   []cell           // one for each field
	figures []figures.Column // each has three columns
	visited bool             // has columns of what visits found
	extras  map[string]*extra
	order   []*extra // as they turned up
	taken   map[string]bool
	index   map[string]int // columns by name
}

// extra is a column that the table of kinds does not know.
type extra struct {
	column
	key string // the field's own name, and why it stands here
}

// Two columns say how a work stands as a whole.
var (
	checksColumn   = column{name: "checks", label: "Checks", of: model.Text}
	cautionsColumn = column{name: "cautions", label: "Cautions", of: model.Text}
)

// notForNames are names that common readers keep for themselves; a field of that name gets
// another. Compared without case, as readers do.
var notForNames = []string{"id", "fid", "description", "timestamp", "begin", "end",
	"altitudeMode", "tessellate", "extrude", "visibility", "drawOrder", "icon", "geometry"}

// typeElsewhere is the type of each field of any kind. A field that turns up in a feature
// of another kind keeps it, so that a property has one type in the whole of a file.
var typeElsewhere = func() map[string]model.FieldType {
	types := map[string]model.FieldType{}
	for _, kind := range model.Kinds {
		for _, f := range kind.AllFields() {
			types[f.Name] = f.Type
		}
	}
	return types
}()

func newTable(name string, withFigures, withHistory bool) *table {
	kind, ok := model.KindNamed(name)
	if !ok {
		kind = &model.Kind{Name: name, Label: name, Plural: name, Colour: "#5a5a5a"}
	}
	t := &table{kind: *kind, extras: map[string]*extra{}, taken: map[string]bool{}, index: map[string]int{}}
	for _, reserved := range notForNames {
		t.taken[strings.ToLower(reserved)] = true
	}
	t.add(column{name: "uid", label: "Identifier", of: model.Text})
	if withHistory {
		t.add(versionColumn)
	}
	t.add(column{name: "kind", label: "Kind", of: model.Text})
	t.fieldAt = map[string]int{}
	fields := slices.Clone(kind.AllFields()) // theirs is shared
	slices.SortStableFunc(fields, func(a, b model.Field) int { return rank(a) - rank(b) })
	for _, f := range fields {
		if f.Name != "kind" && f.Name != "geometry" {
			t.fieldAt[f.Name] = len(t.fieldAt)
			t.add(column{field: f.Name, name: f.Name, label: f.Label, unit: f.Unit, of: f.Type})
		}
	}
	t.fields = len(t.columns)
	t.blank = make([]cell, len(t.fieldAt))
	if withFigures {
		t.figures = figures.Columns(name)
		for _, f := range t.figures {
			name, label := own, f.Label
			if t.taken[strings.ToLower(f.Name)] { // fields of the same names hold what was measured by hand, and how
				name, label = computed, f.Label+", computed"
			}
			t.add(column{name: name(f.Name), label: label, unit: f.Unit, of: model.Number})
			t.add(column{name: name(f.PlusMinusName), label: label + " ±", unit: f.Unit, of: model.Number})
			t.add(column{name: name(f.BasisName), label: label + ", measured by", of: model.Text})
		}
		t.add(checksColumn)
		t.add(cautionsColumn)
		if t.visited = name != "visit" && name != "level-run"; t.visited {
			t.addVisited()
		}
	}
	if withHistory {
		for _, c := range historyColumns {
			t.add(c)
		}
	}
	return t
}

// addVisited adds the columns of what visits found, named by figures.VisitedColumns.
func (t *table) addVisited() {
	names := figures.VisitedColumns
	t.add(column{name: names[0], label: "Last inspected on", of: model.Date})
	t.add(column{name: names[1], label: "Condition when last inspected", of: model.Text})
	t.add(column{name: names[2], label: "Condition judged on", of: model.Date})
	for i, field := range figures.MeasuredFields {
		label, unit := measuredLabel(field)
		t.add(column{name: names[3+2*i], label: label + ", newest", unit: unit, of: model.Number})
		t.add(column{name: names[4+2*i], label: label + ", newest, measured on", of: model.Date})
	}
}

func measuredLabel(field string) (label, unit string) {
	visit, _ := model.KindNamed("visit")
	f, _ := visit.FieldNamed(field)
	return f.Label, f.Unit
}

// The three columns of a figure have names that begin alike, so that its ± is taken for no
// other column's.
func own(name string) string      { return name }
func computed(name string) string { return "computed" + strings.ToUpper(name[:1]) + name[1:] }

// rank puts the status, the first thing asked of a work, before the other fields.
func rank(f model.Field) int {
	if f.Name == "status" {
		return 0
	}
	return 1
}

func (t *table) add(c column) {
	c.name = t.free(c.name)
	t.index[c.name] = len(t.columns)
	t.columns = append(t.columns, prepared(c))
}

// at is where the column of this name is, -1 where there is none.
func (t *table) at(name string) int {
	if i, ok := t.index[name]; ok {
		return i
	}
	return -1
}

// free gives a name that no other column has, apart from case.
func (t *table) free(name string) string {
	for t.taken[strings.ToLower(name)] {
		name = "other" + strings.ToUpper(name[:1]) + name[1:]
	}
	t.taken[strings.ToLower(name)] = true
	return name
}

// extra finds or makes the column of a field that the table does not know. A type that
// changes from feature to feature ends as text, which all values can be read as.
func (t *table) extra(raw, suffix string, of model.FieldType) *extra {
	key := raw + "\x00" + suffix // no field of another name is mistaken for it
	if e, ok := t.extras[key]; ok {
		if e.of != of {
			e.of = model.Text
		}
		return e
	}
	label := clean(raw) + suffix
	name := t.free(model.ColumnName(label))
	e := &extra{key: key, column: prepared(column{name: name, label: label, of: of})}
	t.extras[key] = e
	t.order = append(t.order, e)
	return e
}

// prepared is c with the texts before its values, made once and not for each feature.
func prepared(c column) column {
	c.jsonKey = append(appendJSONText([]byte{','}, c.name), ':')
	if c.field != "name" {
		c.kmlOpen = append(append([]byte(`<SimpleData name="`), c.name...), `">`...)
	}
	return c
}

// all lists the columns with those that turned up.
func (t *table) all() []column {
	columns := slices.Clone(t.columns)
	for _, e := range t.order {
		columns = append(columns, e.column)
	}
	return columns
}

// call names the kind as a file's readers do.
func (t *table) call(label, plural string) {
	t.kind.Label, t.kind.Plural = label, plural
}
