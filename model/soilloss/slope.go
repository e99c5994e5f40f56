package soilloss

import (
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Formula is how the slope's length and steepness become the topographic factor LS.
type Formula string

const (
	USLE  Formula = "usle"
	RUSLE Formula = "rusle"
)

// Formulas lists every formula.
var Formulas = []Formula{USLE, RUSLE}

// Source is where the formula stands.
func (f Formula) Source() model.Source {
	switch f {
	case USLE:
		return model.Source{Title: "Wischmeier and Smith 1978, USDA Agriculture Handbook 537",
			Place: "as reprinted: LS = (L/22.13)^m (65.41 sin2 + 4.56 sin + 0.065); m 0.5, 0.4, 0.3, 0.2 from 5, 3, 1, 0 %", How: model.LookedUp}
	default:
		return model.Source{Title: "RUSLE LS table for a moderate ratio of rill to interrill erosion, Michigan State University",
			Place: "m = b/(1+b), b = (sin/0.0896)/(3 sin^0.8 + 0.56); S = 10.8 sin + 0.03 below 9 %, 16.8 sin - 0.5 from 9 %", How: model.LookedUp}
	}
}

// Limits of a hillslope, in metres and percent. The printed table of RUSLE runs from 0.2
// to 60 % and to 1000 ft; below 15 ft it follows another formula. Handbook 537 stops at
// 20 %, from memory. Past the lengths water has gathered into channels anyway.
const (
	LeastLengthM  = 4.5
	MostLengthM   = 305
	LeastSlopePct = 0.2
)

// unitPlotM is the length of the plots that both formulas are relative to: 72.6 ft.
const unitPlotM = 72.6 * 0.3048

// MostSlopePct is the steepest slope the formula was printed for.
func (f Formula) MostSlopePct() float64 {
	if f == USLE {
		return 20
	}
	return 60
}

// LengthSlope is the topographic factor LS of a straight slope, 1 on 22.13 m at 9 %.
// lengthM is horizontal, from where runoff starts to where it gathers or drops its silt.
// Paths of a *model.Problem are "lengthM" and "slopePct".
func (f Formula) LengthSlope(lengthM, slopePct float64) (float64, error) {
	if p := f.check(lengthM, slopePct); p != nil {
		return 0, p
	}
	return f.lengthSlope(lengthM, slopePct), nil
}

func (f Formula) check(lengthM, slopePct float64) *model.Problem {
	return model.FirstProblem(checkLength(lengthM, "lengthM"),
		model.Require(slopePct >= LeastSlopePct && slopePct <= f.MostSlopePct(), "slopePct", "give the slope in percent, not in degrees or as a part of one",
			"%v is not a slope from %v to %v %%, for which %s was printed", slopePct, LeastSlopePct, f.MostSlopePct(), f))
}

func checkLength(m float64, path string) *model.Problem {
	return model.InRange(path, m, LeastLengthM, MostLengthM, "a slope length", " m", "measure in metres from where runoff starts to where it gathers into a channel")
}

func (f Formula) lengthSlope(lengthM, slopePct float64) float64 {
	sin := slopePct / math.Hypot(slopePct, 100)
	if f == USLE {
		return elementary.Pow(lengthM/unitPlotM, usleExponent(slopePct)) * (65.41*sin*sin + 4.56*sin + 0.065)
	}
	b := (sin / 0.0896) / (3*elementary.Pow(sin, 0.8) + 0.56)
	steepness := 16.8*sin - 0.5
	if slopePct < 9 {
		steepness = 10.8*sin + 0.03
	}
	return elementary.Pow(lengthM/unitPlotM, b/(1+b)) * steepness
}

// usleExponent is m. The handbook gives 0.4 from 3.5 to 4.5 % and leaves gaps on both
// sides; the whole of 3 to 5 % is read as that class, as a reprint of the handbook has it.
func usleExponent(slopePct float64) float64 {
	switch {
	case slopePct >= 5:
		return 0.5
	case slopePct > 3:
		return 0.4
	case slopePct >= 1:
		return 0.3
	}
	return 0.2
}
