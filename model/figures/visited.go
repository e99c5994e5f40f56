package figures

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
)

// Visited is what visits found of a feature: what is to be shown of its condition and of
// what is measured again and again, each with its day. A page, a link or a file that shows
// these shows no field of the feature of the same name: the field is what was written down
// when it was recorded, and is older. Sheet.Visited is it; a feature's visits need not be
// looked through for it.
type Visited struct {
	On          string          `json:"on,omitempty"`    // day of the newest visit that looked at it; a photo alone is no look
	Visit       string          `json:"visit,omitempty"` // id of that visit
	Condition   model.Condition `json:"condition,omitempty"`
	ConditionOn string          `json:"conditionOn,omitempty"` // day on which it was judged so
	Measured    []Measured      `json:"measured"`              // the newest of each, in the order of MeasuredFields
}

// Measured is the newest value of a field that visits measure.
type Measured struct {
	Name  string      `json:"name"` // as fields are named: "sedimentDepthM"
	Label string      `json:"label"`
	Value float64     `json:"value"`
	Unit  string      `json:"unit"` // UCUM code
	Basis model.Basis `json:"basis"`
	On    string      `json:"on,omitempty"`    // day it was measured
	Visit string      `json:"visit,omitempty"` // id of the visit; "" for the feature's own field
}

// MeasuredFields are the fields that a visit may hold instead of the feature.
var MeasuredFields = []string{"sedimentDepthM", "headOffsetM", "coverPct"}

// Visit is what is kept of a visit.
type Visit struct {
	ID, Of, On string
	Condition  model.Condition
	Measured   []Measured
	Looked     bool       // it judged or measured, and did not only photograph
	Head       *orb.Point // where the head stands, of a visit that placed it
}

// VisitOf reads a feature of the kind visit.
func VisitOf(f model.Feature) *Visit {
	v := &Visit{ID: f.ID, Of: f.Text("of"), On: f.Text("observedOn")}
	if c := f.Text("condition"); slices.Contains(model.Conditions, c) {
		v.Condition = model.Condition(c)
	}
	v.Measured = measuredIn(f, v.On, f.ID)
	if at, ok := f.Geometry.(orb.Point); ok && len(f.Fields["photos"]) == 0 { // with a photo it is where the camera stood
		v.Head = &at
	}
	v.Looked = v.Condition != "" || len(v.Measured) > 0 || v.Head != nil
	return v
}

// OwnMeasured are the values of MeasuredFields that a feature itself holds, of the day it was recorded.
func OwnMeasured(f model.Feature) []Measured { return measuredIn(f, f.Text("observedOn"), "") }

// measuredIn are the values of MeasuredFields that a visit or a feature holds.
func measuredIn(f model.Feature, on, visit string) []Measured {
	var all []Measured
	for _, name := range MeasuredFields {
		value, has := f.Number(name)
		if !has {
			continue // nearly always
		}
		kind, ok := model.KindNamed(f.Kind)
		if !ok {
			return nil
		}
		field, known := kind.FieldNamed(name)
		if !known {
			continue
		}
		basis := f.Basis(name)
		switch {
		case name == "headOffsetM":
			basis = model.Taped // it is a tape from the hub peg
		case name == "coverPct":
			basis = model.Estimated // on the ground: plots by eye, or points that stand for the rest
		}
		all = append(all, Measured{Name: name, Label: field.Label, Value: value, Unit: field.Unit, Basis: basis, On: on, Visit: visit})
	}
	return all
}

// sooner orders visits by day, those of a day by their ids, which begin with the time.
func sooner(a, b *Visit) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID)) }

// visitedOf is what visits and the feature itself have of it, nil when neither has anything.
func (l *PropertyFigures) visitedOf(f model.Feature) *Visited {
	if f.Kind == "visit" {
		return nil
	}
	own, visits := OwnMeasured(f), l.visits[f.ID]
	if len(own) == 0 && len(visits) == 0 {
		return nil
	}
	newest := own
	out := &Visited{Measured: []Measured{}}
	if len(visits) > 1 {
		visits = slices.Clone(visits)
		model.SortStable(visits, sooner)
	}
	for _, v := range visits {
		if v.Looked {
			out.On, out.Visit = v.On, v.ID
		}
		if v.Condition != "" {
			out.Condition, out.ConditionOn = v.Condition, v.On
		}
		for _, m := range v.Measured {
			at := slices.IndexFunc(newest, func(last Measured) bool { return last.Name == m.Name })
			if at < 0 {
				newest = append(newest, m)
			} else if last := newest[at]; m.On >= last.On || last.Visit != "" {
				newest[at] = m
			}
		}
	}
	for _, name := range MeasuredFields {
		for _, m := range newest {
			if m.Name == name {
				out.Measured = append(out.Measured, m)
			}
		}
	}
	if out.Visit == "" && len(out.Measured) == 0 {
		return nil
	}
	return out
}

// addVisited adds what visits found, and a caution where the newest found harm: no check
// of levels says that a dam is sound which somebody saw broken.
func (l *PropertyFigures) addVisited(s *Sheet, f model.Feature) {
	v := l.visitedOf(f)
	s.Visited = v
	if v == nil || f.Status() == model.Removed {
		return
	}
	on := ""
	if v.ConditionOn != "" {
		on = " on " + model.DayInWords(v.ConditionOn)
	}
	switch v.Condition {
	case model.NeedsWork:
		s.caution("condition", fmt.Sprintf("The visit%s found that it needs work.", on))
	case model.HasFailed:
		s.caution("condition", fmt.Sprintf("The visit%s found that it has failed.", on))
	}
}

// VisitedColumns are the names under which files have what visits found of a feature.
var VisitedColumns = func() []string {
	names := []string{"visitedOn", "visitedCondition", "visitedConditionOn"}
	for _, field := range MeasuredFields {
		name := "newest" + strings.ToUpper(field[:1]) + field[1:]
		names = append(names, name, name+"On")
	}
	return names
}()
