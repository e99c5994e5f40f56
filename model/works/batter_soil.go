package works

import (
	"fmt"
	"strings"

	"headcut/model"
)

// BatterGrade is how steep a battered bank of a soil may be, by somebody's word.
type BatterGrade struct {
	Soil               string
	LeastRunPerRise    float64 // no steeper than this
	FlattestRunPerRise float64 // the other end of what is usual; 0: not said
	Source             model.Source
}

var usualBatters = model.Source{Title: "Usual conservation practice; no printed table was at hand", Place: "batter grades by soil", How: model.FromMemory}

// BatterGrades lists the grades, the steepest first. An officer with a local table gives
// that instead.
var BatterGrades = []BatterGrade{
	{"stiff clay, not dispersive", 1.5, 2, usualBatters},
	{"loam", 2, 3, usualBatters},
	{"under loose rock", 2, 0, model.Source{Title: "Catchments & Creeks, Rock Linings (2010)", Place: "riprap not steeper than 2 to 1", How: model.LookedUp}},
	{"under loose rock, planted", 2.5, 0, model.Source{Title: "Catchments & Creeks, Rock Linings (2010)", Place: "planted riprap not steeper than 2.5 to 1", How: model.LookedUp}},
	{"sandy or dispersive", 3, 4, usualBatters},
}

// grade finds the grade of a soil among the officer's own rows first, then in the table.
func grade(soil string, local []BatterGrade) (BatterGrade, *model.Problem) {
	var names []string
	for _, table := range [][]BatterGrade{local, BatterGrades} {
		for _, g := range table {
			if g.Soil == soil {
				return g, nil
			}
			names = append(names, g.Soil)
		}
	}
	return BatterGrade{}, &model.Problem{Path: "soil", Reason: fmt.Sprintf("no grade is known for %q", soil), Fix: "give one of " + strings.Join(names, "; ") + ", or a row of your own in grades"}
}

func checkGrades(local []BatterGrade) *model.Problem {
	for i, g := range local {
		at := fmt.Sprintf("grades[%d]", i)
		if g.Soil == "" {
			return &model.Problem{Path: at + ".soil", Reason: "is empty", Fix: "name the soil"}
		}
		if g.Source.Title == "" {
			return &model.Problem{Path: at + ".source", Reason: "is empty", Fix: "say where it comes from"}
		}
		if p := inRange(at+".leastRunPerRise", g.LeastRunPerRise, LeastBatterRun, MaxBatterRun, oneIn); p != nil {
			return p
		}
		for j := range i {
			if local[j].Soil == g.Soil {
				return &model.Problem{Path: at + ".soil", Reason: fmt.Sprintf("%q is in row %d too", g.Soil, j+1), Fix: "keep one of the two"}
			}
		}
	}
	return nil
}
