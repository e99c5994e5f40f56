package intake

import (
	"regexp"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
)

// cutTo is how many letters a shapefile leaves of a column's name (dBASE table format).
const cutTo = 10

// cutOff is the field of a kind whose name a shapefile cuts to a column's name. Where it may be
// one of several, there is no field and several names them.
func cutOff(kind model.Kind, column string) (field model.Field, several string) {
	all := cutFrom(kind, column)
	if len(all) == 1 {
		return all[0], ""
	}
	names := model.Each(all, func(f model.Field) string { return f.Name })
	return model.Field{}, strings.Join(names, " or ")
}

// spelled is the field of a kind whose name is written otherwise: "crest_height_m", "Crest Height M".
// There is none where another column may be meant too.
func spelled(kind *model.Kind, column string, columns []member) (field model.Field, ok bool) {
	word := plainWord(column)
	for _, other := range columns {
		if other.name != column && plainWord(other.name) == word {
			return field, false
		}
	}
	return kind.FieldNamed(fieldSpelled[[2]string{kind.Name, word}])
}

// fieldSpelled is the name of a kind's field by the kind and the field's plainWord. Places and kinds
// are found otherwise.
var fieldSpelled = func() map[[2]string]string {
	all := map[[2]string]string{}
	for _, kind := range model.Kinds {
		for _, f := range kind.AllFields() {
			if key := [2]string{kind.Name, plainWord(f.Name)}; all[key] == "" && f.Type != model.Place && f.Name != "kind" {
				all[key] = f.Name
			}
		}
	}
	return all
}()

func cutFrom(kind model.Kind, column string) (all []model.Field) {
	prefix, ok := cutPrefix(column)
	if !ok {
		return nil
	}
	for _, f := range kind.AllFields() {
		if len(f.Name) > cutTo && strings.HasPrefix(f.Name, prefix) && f.Type != model.Place && !slices.ContainsFunc(all, func(g model.Field) bool { return g.Name == f.Name }) {
			all = append(all, f)
		}
	}
	return all
}

// numberedCut is how programs write the second and further columns that are cut to one name.
var numberedCut = regexp.MustCompile(`^(.{7,8})_[0-9]{1,2}$`)

// cutPrefix is what is left of the whole name in a column's name that a shapefile may have cut.
func cutPrefix(column string) (prefix string, ok bool) {
	if len(column) != cutTo {
		return "", false
	}
	if m := numberedCut.FindStringSubmatch(column); m != nil {
		return m[1], true
	}
	return column, true
}

// cutFigure reports whether a column may be a cut-off one of those that an export calculates.
func cutFigure(column string) bool {
	prefix, ok := cutPrefix(column)
	if !ok {
		return false
	}
	cut := func(name string) bool { return len(name) > cutTo && strings.HasPrefix(name, prefix) }
	for _, k := range model.Kinds {
		for _, f := range figures.Columns(k.Name) {
			for _, name := range []string{f.Name, f.PlusMinusName, f.BasisName} {
				if name != "" && (cut(name) || cut("computed"+strings.ToUpper(name[:1])+name[1:])) {
					return true
				}
			}
		}
	}
	return slices.ContainsFunc(figures.VisitedColumns, cut) || slices.ContainsFunc(ownColumns, cut)
}

// cutOff compares a column that a shapefile cut, and reports whether it is one. Of several fields
// that it may be, the value tells which: the one that has it, or the only one that can.
func (c *comparison) cutOff(m member) bool {
	fields := cutFrom(*c.kind, m.name)
	var can []model.Field
	var names []string
	for _, field := range fields {
		names = append(names, field.Name)
		after, ok := retyped(field, m.raw)
		if before, has := c.feature.Fields[field.Name]; ok && has && same(field, before, after) {
			return true
		}
		if ok && field.Check(after) == nil {
			can = append(can, field)
		}
	}
	switch {
	// Exports have the fields before what is calculated, and the first column of a name has no number.
	case numberedCut.MatchString(m.name) && cutFigure(m.name):
	case len(fields) == 1:
		c.field(fields[0], m.raw)
	case len(can) == 1:
		c.field(can[0], m.raw)
	case len(fields) > 0:
		c.leaveOut(m.name, "looks like a cut-off "+strings.Join(names, " or "), "give the column its whole name")
	default:
		return cutFigure(m.name)
	}
	return true
}
