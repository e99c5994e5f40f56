package works

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"headcut/model"
)

// LeastApronM is how thick the rock below a dam is laid at least, and where no flow sizes its
// stone: 12 inches (Indiana NRCS contractor training on rock chutes, 2008; looked up).
const LeastApronM = 0.3

// ApronThicknessM is how thick rock is laid: twice its median stone, and LeastApronM at least
// (the same; looked up. A Minnesota sheet asks for 2.5 times).
func ApronThicknessM(stoneM float64) float64 { return max(LeastApronM, 2*stoneM) }

// ApronRule is how far downstream of the toe rock is laid, and who says so.
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
	return named(ApronRules, cmp.Or(name, ApronRules[0].Name), func(r ApronRule) string { return r.Name }, "apronRule", "a rule for aprons")
}

// thinner names what would bring the apron of a dam with a flow down to a layer that is laid
// by hand, each tried: a longer notch where the gully is wide enough, a face laid back where
// there is one, a lower crest where it is upright. An engineer's thickness is taken as it is.
func (d DamBuild) thinner() string {
	var ways []string
	left, right := d.gully().Banks(d.CrestHeightM)
	const stepM = 0.1
	for m := (math.Floor(d.NotchLengthM/stepM) + 1) * stepM; m <= right-left; m += stepM {
		wider := d
		if wider.NotchLengthM = m; wider.apronHolds() {
			ways = append(ways, fmt.Sprintf("lengthen the notch to %.1f m", m))
			break
		}
	}
	const chuteRun = 3
	if back := d; d.DownstreamRunPerRise > 0 && d.DownstreamRunPerRise < chuteRun {
		if back.DownstreamRunPerRise = chuteRun; back.apronHolds() {
			ways = append(ways, fmt.Sprintf("lay its downstream face back to 1 in %d", chuteRun))
		}
	}
	for m := (math.Ceil(d.CrestHeightM/stepM) - 1) * stepM; d.DownstreamRunPerRise == 0 && m >= LeastCrestM-1e-9; m -= stepM {
		lower := d
		if lower.CrestHeightM = m; lower.apronHolds() {
			ways = append(ways, fmt.Sprintf("lower the dam to %.1f m", m))
			break
		}
	}
	if ways == nil {
		ways = []string{"no longer notch that fits here and no lower dam would do: lead the water away above"}
	}
	return strings.Join(ways, ", or ") + "; or give the thickness that an engineer says"
}

// apronHolds tells whether the flow leaves the dam an apron that is laid by hand, and the
// gully the notch.
func (d DamBuild) apronHolds() bool {
	stone, p := d.FlowStone(*d.FlowM3S)
	return p == nil && ApronThicknessM(stone.ApronM) <= maxApronM && d.checkNotch() == nil
}
