package compute

import (
	"reflect"
	"strings"

	"headcut/model"
)

// withRemedy gives a refusal that does not say what to do the words of the field it is about:
// what belongs there, in which unit, and whether it may be left out.
func (s shapes) withRemedy(p *model.Problem, in reflect.Type) *model.Problem {
	if p.Fix != "" {
		return p
	}
	q := *p
	q.Fix = "give what the computation takes: its inputs are listed by --explain"
	path := strings.ReplaceAll(p.Path, "[", ".[")
	for _, name := range strings.Split(path, ".") {
		for in.Kind() == reflect.Pointer || name != "" && name[0] == '[' && (in.Kind() == reflect.Slice || in.Kind() == reflect.Array) {
			in = in.Elem()
			if in.Kind() != reflect.Pointer {
				break
			}
		}
		if name == "" || name[0] == '[' || in.Kind() != reflect.Struct {
			continue
		}
		for _, f := range s.of(in) {
			if f.name != name {
				continue
			}
			q.Fix = "give " + f.doc + inUnit(f)
			if f.optional {
				q.Fix += ", or leave it out"
			}
			in = f.typ
			break
		}
	}
	return &q
}

// inUnit is the unit of what a field holds: " (in m)".
func inUnit(f field) string {
	if f.unit == "" || f.unit == "1" {
		return ""
	}
	return " (in " + strings.ReplaceAll(strings.ReplaceAll(f.unit, "har", "ha"), "deg", "degrees") + ")"
}
