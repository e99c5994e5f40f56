package runoff

import "headcut/model"

// Method is a formula for the time of concentration.
type Method string

const (
	Kirpich          Method = "kirpich"
	BransbyWilliams  Method = "bransby-williams"
	PilgrimMcDermott Method = "pilgrim-mcdermott"
	Friend           Method = "friend"
	Kinematic        Method = "kinematic"
)

// Methods lists every method.
var Methods = []Method{Kirpich, BransbyWilliams, PilgrimMcDermott, Friend, Kinematic}

// About is what a method is for and where its formula comes from.
type About struct {
	Where  string // the country and the flow it was made for
	Source model.Source
}

// About tells it of a method; the zero About for what is not one.
func (m Method) About() About { return aboutMethods[m] }

var aboutMethods = map[Method]About{
	Kirpich: {"flow in the channels of small farm catchments with slopes of 3 to 10 %",
		model.Source{Title: "TxDOT Hydraulic Design Manual", Place: "equation 4-15", How: model.LookedUp}},
	BransbyWilliams: {"channel flow in rural catchments; the slope is that of the main stream by equal areas, which is less than its fall over its length",
		model.Source{Title: "Bransby Williams 1922; derivation in T. Ladson 2017, the constant 58 from Australian Rainfall and Runoff", How: model.FromMemory}},
	PilgrimMcDermott: {"a catchment's time of response, not of travel: eastern New South Wales, Victoria and the Western Australian wheatbelt",
		model.Source{Title: "Pilgrim-McDermott, T. Ladson's blog, a weak source, quoting Australian Rainfall and Runoff 1987, book IV", Place: "equation 1", How: model.LookedUp}},
	Friend: {"sheet flow over the ground, up to 200 m",
		model.Source{Title: "Friend's sheet-flow formula in the Queensland Urban Drainage Manual", How: model.FromMemory}},
	Kinematic: {"sheet flow over an even plane, up to 200 m",
		model.Source{Title: "Kinematic wave, constant 6.99, in Australian Rainfall and Runoff", How: model.FromMemory}},
}

// BransbyConstant is the constant of Bransby Williams' formula for km, km² and m/km.
type BransbyConstant struct {
	Name   string
	Value  float64
	Source model.Source
}

// BransbyConstants lists those in use, the default first. The third is the form of 1922,
// t = (l/d) (a²/h)^(1/5) with l in miles, a in square miles, d the diameter of the circle
// of that area, h in feet per hundred and t in hours, converted:
// 60 (√π/2) / 1.609344 · 2.589988^0.1 · 10^0.2 = 57.594.
var BransbyConstants = []BransbyConstant{
	{"58", 58, model.Source{Title: "Australian Rainfall and Runoff", How: model.FromMemory}},
	{"58.5", 58.5, model.Source{Title: "the other rounding in use", How: model.FromMemory}},
	{"1922", 57.593979, model.Source{Title: "Bransby Williams 1922, converted; derivation read in T. Ladson 2017", How: model.Derived}},
}

// Surface is a surface with Horton's roughness for Friend's formula, which is not
// Manning's: grass that has 0.045 here may have 0.25 there.
type Surface struct {
	Name    string
	HortonN float64
}

// Surfaces lists them, the smoothest first (Queensland Urban Drainage Manual, from memory).
var Surfaces = []Surface{{"bare", 0.0275}, {"poor grass", 0.035}, {"average grass", 0.045}, {"dense grass", 0.060}}
