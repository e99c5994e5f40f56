package runoff

import (
	"fmt"
	"math"

	"headcut/model"
)

// GravityMS2 is the acceleration of free fall as the handbooks of hydraulics round it.
const GravityMS2 = 9.81

// Weir is a discharge coefficient C in Q = C L H^1.5, with Q in m³/s, the length L of the
// crest and the head H above it in metres.
type Weir struct {
	Name        string
	Coefficient Quantity // m^0.5/s
	Source      model.Source
}

// Weirs lists the named coefficients, the default first. It is the lower one: it gives
// the deeper water and so the higher abutments.
//
// Either carries as its plus-minus the spread of the two taken as a range,
// (1.705 - 1.65)/√12: what is not known about a rough crest is at least that.
var Weirs = []Weir{
	{"loose rock", Quantity{1.65, 0.016}, model.Source{Title: "Heede 1976, USDA Forest Service Research Paper RM-169", Place: "spillway of loose rock dams", How: model.FromMemory}},
	{"broad crest", Quantity{1.705, 0.016}, model.Source{Title: "V. M. Ponce, San Diego State University CIVE 530 solutions", Place: "critical-flow weir, in feet; the metric figure derived", How: model.LookedUp}},
}

// IdealWeir is (2/3)√(2g/3), the coefficient of a broad crest without losses (Ponce, as
// above): 1.7049 where g is in m/s², 3.087 where it is 32.17 ft/s².
func IdealWeir(gravity float64) float64 { return 2 * math.Sqrt(2*gravity/3) / 3 }

// Bounds of a coefficient given as a number. Around 3 it is the one for feet: 3.0 ft^0.5/s
// is 1.656 m^0.5/s, and 3.0 with metres claims 1.8 times the flow that gets through.
const (
	leastWeir = 1.2
	mostWeir  = 1.9
	leastFeet = 2.2
	mostFeet  = 3.5
)

// weirFromFeet turns a coefficient in ft^0.5/s into m^0.5/s.
func weirFromFeet(c float64) float64 { return c * math.Sqrt(0.3048) }

func checkWeir(c Quantity) *model.Problem {
	if c.Value >= leastFeet && c.Value <= mostFeet {
		return &model.Problem{Path: "coefficient", Reason: "this is a coefficient for feet: with metres it would claim 1.8 times the flow that gets through the notch",
			Fix: fmt.Sprintf("multiply it by 0.552: %v in feet is %.3f in metres", c.Value, weirFromFeet(c.Value))}
	}
	return bound{"coefficient", leastWeir, mostWeir, "a weir coefficient", " m^0.5/s", "loose rock is about 1.65, the ideal broad crest 1.705"}.check(c, "coefficientPlusMinus")
}
