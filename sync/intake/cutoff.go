package intake

import (
	"slices"
	"strings"

	"headcut/model"
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
	var names []string
	for _, f := range all {
		names = append(names, f.Name)
	}
	return model.Field{}, strings.Join(names, " or ")
}

func cutFrom(kind model.Kind, column string) (all []model.Field) {
	if len(column) != cutTo {
		return nil
	}
	fields := slices.Concat(model.CommonFields, kind.Fields)
	if kind.Work {
		fields = append(fields, model.WorkFields...)
	}
	for _, f := range fields {
		if len(f.Name) > cutTo && strings.HasPrefix(f.Name, column) && f.Type != model.Place && !slices.ContainsFunc(all, func(g model.Field) bool { return g.Name == f.Name }) {
			all = append(all, f)
		}
	}
	return all
}
