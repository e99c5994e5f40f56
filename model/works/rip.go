package works

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// Bounds of what is taken for the rip lines of one patch.
const (
	// NeighbourM is how far square to a line its neighbour is looked for. Common practice, no
	// source: lines farther apart than this are different patches.
	NeighbourM = 100.0
	// FacingShare is the share of the shorter of two lines over which they must see each other
	// first to be neighbours. At ragged ends a line looks past the end of the next one at the
	// one behind; that is no spacing. Ours: small enough to see a gap of a tenth in a line.
	FacingShare = 0.1
	// MaxRipPositions is how many positions all lines together may have. The work grows as
	// n log n where each line sees few others; work stops it where lines lie so that it does not.
	MaxRipPositions = 5_000

	patchM = 20_000 // lines reach no farther from each other, or the plane they are measured on bends
)

// Ripped is how much a patch of rip lines treats. Each PlusMinus is one standard deviation
// for independent errors of all positions, to first order, -1 when their accuracy is not known.
type Ripped struct {
	LengthM          float64 // of all lines together
	LengthPlusMinusM float64
	Spacing          *Spacing // nil when no line has a neighbour: then there is no area either
	AreaM2           float64
	AreaPlusMinusM2  float64
	AloneM           float64      // length of line with no neighbour on either side
	Pairs            []RipSpacing // neighbours, by their lines
	Meeting          [][2]int     // lines, counted from 0, that meet or cross: contour lines never do
}

// Spacing is how far apart neighbouring lines are.
type Spacing struct {
	MinM           float64  `json:"min" unit:"m" doc:"the narrowest place"`
	MeanM          float64  `json:"mean" unit:"m" doc:"over all places that have a neighbour"`
	MaxM           float64  `json:"max" unit:"m" doc:"the widest place"`
	PlusMinusM     float64  `json:"plusMinusM" unit:"m" doc:"one standard deviation of min and max; none without an accuracy"`
	MeanPlusMinusM float64  `json:"meanPlusMinusM" unit:"m" doc:"one standard deviation of mean; none without an accuracy"`
	MinAt          RipPlace `json:"minAt" doc:"where it is narrowest"`
	MaxAt          RipPlace `json:"maxAt" doc:"where it is widest"`
}

// RipSpacing is how two neighbours lie to each other, seen from both.
type RipSpacing struct {
	Lines          [2]int     `json:"lines" unit:"1" doc:"numbers of the two lines, counted from 1"`
	FacesM         [2]float64 `json:"facingM" unit:"m" doc:"how much of each has the other for its neighbour"`
	SharePct       [2]float64 `json:"sharePct" unit:"%" doc:"the same, of its length: less than 100 where it reaches past the other, or a third comes between"`
	MinM           float64    `json:"min" unit:"m" doc:"the narrowest place"`
	MeanM          float64    `json:"mean" unit:"m" doc:"over all places where they face"`
	MaxM           float64    `json:"max" unit:"m" doc:"the widest place"`
	MeanPlusMinusM float64    `json:"meanPlusMinusM" unit:"m" doc:"one standard deviation of mean; none without an accuracy"`
	MinAt          RipPlace   `json:"minAt" doc:"where it is narrowest"`
	MaxAt          RipPlace   `json:"maxAt" doc:"where it is widest"`
}

// RipPlace is a place on a line from which the next one is so far, square to the line.
type RipPlace struct {
	Line       int       `json:"line" unit:"1" doc:"number of the line on which it is, counted from 1"`
	Other      int       `json:"otherLine" unit:"1" doc:"number of the line it looks at"`
	At         orb.Point `json:"position" unit:"deg" doc:"longitude and latitude on the first, WGS84"`
	SpacingM   float64   `json:"spacingM" unit:"m" doc:"from there to the other, square to the first"`
	PlusMinusM float64   `json:"plusMinusM" unit:"m" doc:"one standard deviation of spacingM; none without an accuracy"`
}

// RipArea measures rip lines, each pass a line of its own, in any order. accuracyM is the
// standard deviation of a position along any direction, not above 0 when not known.
//
// Spacing is measured square to every line, to both sides, all along it, up to the first
// other line within NeighbourM, if the two are neighbours (FacingShare); the mean is over all
// places that have a neighbour, each gap being seen from both its lines.
//
// Area is length times spacing, place by place: a line treats the ground half-way to its
// neighbour on each side. Where it has a neighbour on one side only, as the outermost lines
// have, it treats as much on the other; where it has none, it treats the mean spacing.
// Nothing is added past the ends of a line. So n lines of length l, s apart, treat n l s.
//
// The error is a *model.Problem with a path like "lines[2][0]". What it gives is worth nothing
// when work had to stop.
func RipArea(lines []orb.LineString, accuracyM float64, work *model.Work) (Ripped, error) {
	if err := checkRip(lines); err != nil {
		return Ripped{}, err
	}
	r := Ripped{LengthPlusMinusM: -1, AreaPlusMinusM2: -1}
	variance := 0.0
	for _, line := range lines {
		r.LengthM += geodesy.Length(line)
		pm := geodesy.LengthPlusMinus(line, accuracyM)
		variance += pm * pm
	}
	known := accuracyM > 0
	if known {
		r.LengthPlusMinusM = math.Sqrt(variance)
	}
	sweep, err := newSweep(lines, work)
	if err != nil {
		return Ripped{}, err
	}
	if err := sweep.crossings(); err != nil {
		return Ripped{}, err
	}
	if err := sweep.run(); err != nil {
		return Ripped{}, err
	}
	r.Meeting, r.AloneM = inOrder(sweep.met), sweep.aloneM
	if sweep.seenM == 0 || work.Err() != nil {
		return r, nil
	}
	r.Pairs = sweep.spacings(accuracyM)
	mean := sweep.sum / sweep.seenM
	sweep.least.settle(r.Pairs[0].Lines, mean)
	sweep.most.settle(r.Pairs[0].Lines, mean)
	r.Spacing = &Spacing{MinM: sweep.least.m, MeanM: mean, MaxM: sweep.most.m, PlusMinusM: -1, MeanPlusMinusM: -1,
		MinAt: sweep.put(sweep.least, accuracyM), MaxAt: sweep.put(sweep.most, accuracyM)}
	r.AreaM2 = sweep.area + sweep.aloneM*mean
	if known {
		r.Spacing.PlusMinusM = accuracyM * math.Sqrt2
		r.Spacing.MeanPlusMinusM = accuracyM * sweep.meanPull()
		r.AreaPlusMinusM2 = accuracyM * sweep.areaPull(mean)
	}
	return r, nil
}

// Cautions tells what is odd about the lines. about names the figures: "spacingM", "areaM2".
func (r Ripped) Cautions() []model.Caution {
	var all model.Cautions
	for _, pair := range r.Meeting {
		all.Add("spacingM", "Lines %d and %d meet: one of them is off the contour, or a fix is wrong.", pair[0]+1, pair[1]+1)
	}
	s := r.Spacing
	if s == nil {
		all.Add("areaM2", "No line has a neighbour within %v m, so that there is no spacing and no area.", NeighbourM)
		return all
	}
	all.AddIf(s.MaxM > 2*s.MeanM, "spacingM", "Spacing goes up to %.1f m, over twice the mean: is a line missing, or does one wander?", s.MaxM)
	all.AddIf(s.PlusMinusM > s.MeanM/2, "spacingM", "Fixes as rough as this cannot tell a spacing of %.1f m: tape it.", s.MeanM)
	return all
}

func checkRip(lines []orb.LineString) error {
	positions := 0
	for i, line := range lines {
		path := fmt.Sprintf("lines[%d]", i)
		for j, p := range line {
			if off := model.CheckPosition(p); off != nil {
				return &model.Problem{Path: fmt.Sprintf("%s[%d]", path, j), Reason: off.Error()}
			}
		}
		if len(line) < 2 || geodesy.Length(line) == 0 {
			return &model.Problem{Path: path, Reason: "has no length", Fix: "give two or more different positions"}
		}
		positions += len(line)
	}
	return model.FirstProblem(model.Require(len(lines) > 0, "lines", "give each pass as a line of its own", "is empty"),
		model.Require(positions <= MaxRipPositions, "lines", "give the lines of one patch, or thin them out", "have %d positions, more than %d", positions, MaxRipPositions)).Err()
}
