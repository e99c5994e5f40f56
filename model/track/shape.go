package track

import (
	"math"

	"headcut/model"
)

// Advice is what one guide says of a bank's shape. Guides that disagree stand side by
// side.
type Advice struct {
	Item      string
	Low, High float64 // equal where the guide gives one figure; High negative where it gives a least one
	Unit      string
	Source    model.Source
}

var (
	roadsForWater = model.Source{Title: "Roads for Water, Use basic road-surface drainage", How: model.LookedUp}
	southern      = model.Source{Title: "Southern Regional Extension Forestry handbook", How: model.LookedUp}
	texas         = model.Source{Title: "Texas Forest Service, best management practices, 2004 and 2013", How: model.LookedUp}
)

// ShapeAdvice is what the guides say of the shape of a bank. Their heights differ sixfold:
// the low bars are for tracks in use, the high ones for tracks that are shut.
var ShapeAdvice = []Advice{
	{"height", 0.075, 0.15, "m", roadsForWater},
	{"height", 18 * 0.0254, -1, "m", southern},
	{"height, track closed", 3 * footM, -1, "m", model.Source{Title: "Orange County (North Carolina) forestry practices", How: model.LookedUp}},
	{"width", 0.3, 1, "m", roadsForWater},
	{"angle to the track", 45, 60, "deg", roadsForWater},
	{"angle to the track", 45, 60, "deg", southern},
	{"past the edge of the tread", 0.3, -1, "m", roadsForWater},
	{"reverse grade of a rolling dip", 3, 8, "%", texas},
	{"steepest track for a rolling dip", 15, 15, "%", texas},
	{"steepest track for a broad-based dip", 12, 12, "%", texas},
	{"trench above a cross-bank, depth", 0.2, 0.3, "m", model.Source{Title: "Outfall drainage, Queensland wet tropics", Place: "section 13.1.1", How: model.LookedUp}},
	{"diversion bank, length for 1 m of fall along it", 300, 300, "m", model.Source{Title: "NQ Dry Tropics gully case study", How: model.LookedUp}},
}

// Shape is a bank as it is to be built. AngleDeg is between the bank and the track;
// TrackWidthM, SettledHeightM and OneIn of 0 are not given.
type Shape struct {
	AngleDeg       float64
	TrackWidthM    float64
	PastEdgeM      float64 // beyond the tread at each end
	OneIn          float64 // length along the bank for each metre that it falls to its outlet
	SettledHeightM float64 // wanted once traffic and rain have settled it
	SettlePct      float64 // of the height as built that is lost
}

// DefaultAngleDeg is the flatter end of what both guides give: the nearer to square, the
// rougher to drive over and the more silt it keeps.
const (
	DefaultAngleDeg  = 45
	DefaultPastEdgeM = 0.3
)

// LengthM is how long the bank is along its crest: the width of the track across it, and
// what it reaches past the edges. 0 when the width is not given.
func (s Shape) LengthM() float64 {
	if s.TrackWidthM == 0 {
		return 0
	}
	return (s.TrackWidthM + 2*s.PastEdgeM) / math.Sin(s.AngleDeg*(math.Pi/180))
}

// FallM is how far a bank of this length falls along itself at 1 in oneIn.
func FallM(lengthM, oneIn float64) float64 { return lengthM / oneIn }

// BuiltHeightM is the height to build for it to settle to SettledHeightM.
func (s Shape) BuiltHeightM() float64 { return s.SettledHeightM / (1 - s.SettlePct/100) }

// Check tells what of s cannot be built.
func (s Shape) Check() error {
	inRange := func(path string, v, least, most float64, unit string) *model.Problem {
		return model.InRange(path, v, least, most, "", " "+unit, "")
	}
	given := func(path string, v, least, most float64, unit string) *model.Problem {
		if v == 0 {
			return nil
		}
		return inRange(path, v, least, most, unit)
	}
	if p := model.FirstProblem(
		inRange("angleDeg", s.AngleDeg, 30, 90, "degrees to the track"),
		given("trackWidthM", s.TrackWidthM, 1, 30, "m wide"),
		inRange("pastEdgeM", s.PastEdgeM, 0, 20, "m past the edge"),
		given("oneIn", s.OneIn, 10, 5000, "m of bank for 1 m of fall"),
		given("settledHeightM", s.SettledHeightM, 0.05, 1.5, "m high"),
		inRange("settlePct", s.SettlePct, 0, 60, "% of settling")); p != nil {
		return p
	}
	return nil
}
