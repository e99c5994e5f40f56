package works

import (
	"fmt"

	"headcut/model"
)

// LeastApronM is how thick the rock below a dam is laid at least, and where no flow sizes its
// stone: 12 inches (Indiana NRCS contractor training on rock chutes, 2008; looked up).
const LeastApronM = 0.3

// ApronThicknessM is how thick rock is laid: twice its median stone, and LeastApronM at least
// (the same; looked up. A Minnesota sheet asks for 2.5 times).
func ApronThicknessM(stoneM float64) float64 { return max(LeastApronM, 2*stoneM) }

// ApronRule is how far downstream of the toe rock is laid, by somebody's word.
type ApronRule struct {
	Name   string
	Source model.Source
	length func(crestM, bed float64) float64 // metres, from the height of the sill and the bed's rise over run
}

// ApronRules lists the rules; the first is used where none is named.
var ApronRules = []ApronRule{
	{"Heede", model.Source{Title: "Heede 1976, USDA Forest Service Research Paper RM-169", Place: "apron, 1.5 times the height on beds up to 15 %, 1.75 times above", How: model.FromMemory},
		func(crestM, bed float64) float64 {
			if bed <= 0.15 {
				return 1.5 * crestM
			}
			return 1.75 * crestM
		}},
	{"2 m of large stone", model.Source{Title: "Toronto and Region Conservation, LID planning and design guide (STEP), check dams", Place: "1 to 2 m of large stone below each dam", How: model.LookedUp},
		func(float64, float64) float64 { return 2 }},
	{"none", model.Source{How: model.CommonPractice}, func(float64, float64) float64 { return 0 }},
}

// LengthM is the apron's length along the bed below a dam of this height, bed to sill.
func (r ApronRule) LengthM(crestHeightM, bedSlopePct float64) float64 {
	return r.length(crestHeightM, bedSlopePct/100)
}

func apronRule(name string) (ApronRule, *model.Problem) {
	names := ""
	for _, r := range ApronRules {
		if r.Name == name || name == "" {
			return r, nil
		}
		names += ", " + r.Name
	}
	return ApronRule{}, &model.Problem{Path: "apronRule", Reason: fmt.Sprintf("%q is not a rule for aprons", name), Fix: "give one of " + names[2:]}
}
