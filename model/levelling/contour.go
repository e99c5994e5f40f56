package levelling

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
)

// Peg is a levelled peg of a line that is meant to follow the contour.
type Peg struct {
	Name      string  `json:"name,omitempty" doc:"what to call the peg; its number if not given"`
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the line"`
	LevelM    float64 `json:"levelM" unit:"m" doc:"level of the ground at the peg"`
}

// Bounds of a tolerance. A line a metre off its contour is no contour line; and water held
// by a furrow or a windrow is a hand deep, so that beyond WideToleranceM a line that passes
// may still run. Common practice, no source.
const (
	MaxToleranceM  = 1.0
	WideToleranceM = 0.1
)

// ContourOptions are the choices that go with a line of pegs.
type ContourOptions struct {
	ToleranceM        float64     // how far a peg may be off the mean level, up or down
	GradeTolerancePct float64     // how steep the line may be between neighbours, either way; 0: not checked
	Basis             model.Basis // how the levels came about; only model.Levelled can pass
	PlusMinusM        float64     // one standard deviation of a peg's level; 0: one set-up with DefaultReadingMm if levelled, else not known
	Lip               Lip         // the zero Lip: no Holding is worked out
}

// OffPeg is a peg and how far it stands off the mean level: plus is high.
type OffPeg struct {
	Peg  int // counted from 1
	Name string
	OffM float64
}

// LowPoint is a peg lower than the line on both sides, where water gathers. DepthM is how
// deep it stands there before it breaks over the lower of the two sides.
type LowPoint struct {
	Peg       int     `json:"peg" unit:"1" doc:"number of the peg, counted from 1; the first of several at one level"`
	Name      string  `json:"name,omitempty" doc:"its name"`
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the line"`
	LevelM    float64 `json:"levelM" unit:"m" doc:"level there"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"how deep water stands before it breaks over along the line"`
}

// Drainage says where water that falls on the line goes along it.
type Drainage string

// Where it may go.
const (
	DrainsNowhere    Drainage = "nowhere"    // all pegs at one level
	DrainsToFirst    Drainage = "first peg"  // it falls that way throughout
	DrainsToLast     Drainage = "last peg"   // likewise
	DrainsToBothEnds Drainage = "both ends"  // highest in between
	DrainsToLow      Drainage = "low points" // some of it ponds on the line
)

// Contour is what a line of pegs turned out to be.
type Contour struct {
	MeanLevelM         float64 // of the pegs, each counted once
	MeanPlusMinusM     float64
	Offs               []OffPeg // every peg
	Worst              OffPeg   // the farthest off, the first of equals
	OffPlusMinusM      float64
	GradesPct          []float64 // from each peg to the next, plus climbs
	GradesPlusMinusPct []float64
	LowPoints          []LowPoint
	Drains             Drainage
	Reaches            []Reach  // where it stands off by more than the tolerance, in order
	Holding            *Holding // how much of it holds water behind a lip; nil without one
	Verdict            model.Verdict
	Basis              model.Basis
	Reasons            []string // why it does not hold, or why nobody can tell
	Cautions           model.Cautions
}

// CheckContour tells how well pegs stand on one level. They come in order along the line;
// chainages are metres and grow by at least a millimetre. A line whose levels are not
// levelled, or from an unproven run, is never passed: its verdict is model.NotLevelled.
//
// No published tolerance for rip lines or timber rows is known; both tolerances are the
// officer's. With an error s in each level, a false grade of up to 2s over the spacing of
// two pegs is to be expected (derived), so close pegs need the looser grade.
func CheckContour(pegs []Peg, o ContourOptions) (Contour, error) {
	levelPM := o.PlusMinusM
	if err := checkPegs(pegs, &o); err != nil {
		return Contour{}, err
	}
	if levelPM == 0 && o.Basis == model.Levelled {
		levelPM = o.PlusMinusM // the default of one set-up, which says nothing of other levels
	} else if levelPM == 0 {
		levelPM = -1
	}
	n := float64(len(pegs))
	sum := 0.0
	for _, p := range pegs {
		sum += p.LevelM - pegs[0].LevelM // differences, so that high ground costs no digits
	}
	mean := pegs[0].LevelM + sum/n
	c := Contour{
		MeanLevelM: tidy(mean, perMetre), MeanPlusMinusM: model.ScaledPlusMinus(1/math.Sqrt(n), levelPM),
		// A peg is part of its own mean: var(z - mean) = s^2 (1 - 1/n).
		OffPlusMinusM: model.ScaledPlusMinus(math.Sqrt(1-1/n), levelPM),
		LowPoints:     lowPoints(pegs), Drains: drainage(pegs), Basis: o.Basis,
	}
	for i, p := range pegs {
		off := OffPeg{Peg: i + 1, Name: p.Name, OffM: tidy(p.LevelM-mean, perMetre)}
		if i == 0 || math.Abs(off.OffM) > math.Abs(c.Worst.OffM) {
			c.Worst = off
		}
		c.Offs = append(c.Offs, off)
		if i > 0 {
			apart := p.ChainageM - pegs[i-1].ChainageM
			c.GradesPct = append(c.GradesPct, tidy(100*(p.LevelM-pegs[i-1].LevelM)/apart, 1e6))
			c.GradesPlusMinusPct = append(c.GradesPlusMinusPct, tidy(model.ScaledPlusMinus(100*math.Sqrt2/apart, levelPM), 1e6))
		}
	}
	c.Reaches = c.reaches(pegs, o, levelPM)
	if o.Lip.HeightM > 0 {
		c.Holding = hold(pegs, o.Lip, levelPM)
	}
	c.judge(o)
	c.Cautions.AddIf(o.ToleranceM > WideToleranceM+1e-9, "toleranceM", "A tolerance of %v m is wide: furrows and windrows hold water about a hand deep, and over %v m off the contour it runs along the line.", o.ToleranceM, WideToleranceM)
	return c, nil
}

func (c *Contour) judge(o ContourOptions) {
	c.Verdict = model.OK
	for _, off := range c.Offs {
		// The slack is for tolerances that binary numbers cannot hold.
		if math.Abs(off.OffM) > o.ToleranceM+1e-9 {
			c.Verdict = model.Fails
			word, move := "high", "downhill"
			if off.OffM < 0 {
				word, move = "low", "uphill"
			}
			c.Reasons = append(c.Reasons, fmt.Sprintf("Peg %s is %s m %s: move it %s.", off.called(), model.ToMillimetre(math.Abs(off.OffM)), word, move))
		}
	}
	for i, g := range c.GradesPct {
		if o.GradeTolerancePct > 0 && math.Abs(g) > o.GradeTolerancePct+1e-9 {
			c.Verdict = model.Fails
			way := "rises"
			if g < 0 {
				way = "falls"
			}
			c.Reasons = append(c.Reasons, fmt.Sprintf("The line %s by %.2f %% from peg %s to peg %s.", way, math.Abs(g), c.Offs[i].called(), c.Offs[i+1].called()))
		}
	}
	if o.Basis == model.Levelled {
		return
	}
	c.Verdict = model.NotLevelled
	reason := "Only a level and staff can check a contour: these levels are " + string(o.Basis) + "."
	switch o.Basis {
	case model.GPS:
		reason = "Heights from a GPS err by metres and cannot check a contour: level the pegs."
	case model.Unproven:
		reason = "The level run behind these levels is not closed: close it on a known level, or level it again."
	}
	c.Reasons = model.Insert(c.Reasons, 0, reason)
}

func (p OffPeg) called() string { return cmp.Or(p.Name, fmt.Sprint(p.Peg)) }

func checkPegs(pegs []Peg, o *ContourOptions) error {
	const most = 10_000 // more is not a line that anyone pegged
	if p := model.FirstProblem(model.Require(len(pegs) >= 2, "pegs", "", "a line needs two pegs and has %d", len(pegs)),
		model.Require(len(pegs) <= most, "pegs", "check one line at a time", "a line of %d pegs is more than %d", len(pegs), most)); p != nil {
		return p
	}
	for i, p := range pegs {
		const farthestM, closestM = 1e6, 0.001 // nearer pegs have no grade worth telling
		before := pegs[max(i-1, 0)].ChainageM
		if fault := model.FirstProblem(checkLevel("levelM", p.LevelM),
			model.Require(math.Abs(p.ChainageM) <= farthestM, "chainageM", "give metres along the line", "%v m is no chainage", p.ChainageM),
			model.Require(i == 0 || p.ChainageM-before >= closestM, "chainageM", "give the pegs in order along the line", "%v m is not beyond the peg before, at %v m", p.ChainageM, before)); fault != nil {
			return fault.Within(fmt.Sprintf("pegs[%d]", i))
		}
	}
	if p := model.FirstProblem(upTo("toleranceM", o.ToleranceM, MaxToleranceM), upTo("gradeTolerancePct", o.GradeTolerancePct, 1000), upTo("levelPlusMinusM", o.PlusMinusM, 100),
		model.Require(slices.Contains(model.Bases, o.Basis), "basis", fmt.Sprintf("give one of %q", model.Bases), "%q is not how a level is measured", o.Basis),
		o.Lip.check()); p != nil {
		return p
	}
	o.PlusMinusM = cmp.Or(o.PlusMinusM, Options{ReadingMm: DefaultReadingMm}.plusMinusM(1))
	return nil
}

// upTo refuses what is not from nought to most.
func upTo(path string, v, most float64) *model.Problem {
	return model.Require(v >= 0 && v <= most, path, "", "%v is not between 0 and %v", v, most)
}

// tidy rounds to 1/per, so that the rounding of binary arithmetic does not show.
func tidy(v, per float64) float64 { return math.Round(v*per) / per }
