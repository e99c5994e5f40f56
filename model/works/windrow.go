package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// Bounds of what is taken for the windrows of one slope.
const (
	// MaxWindrowPositions and MaxWindrowGaps are how many all rows together may have; the work
	// grows with their product where rows lie one below the other, and work stops it where many
	// lie askew.
	MaxWindrowPositions = 2_000
	MaxWindrowGaps      = 500

	slopeM      = 5_000 // rows reach no farther from each other, or the fall is not one
	leastGapM   = 0.05  // a narrower gap is a slip of the pen
	beyondSlack = 0.5   // m that a tape may read past the end of a row
)

// Windrow is one row of pushed timber: its line on the ground and the gaps left in it.
type Windrow struct {
	Name string // "" is called by its number
	Line orb.LineString
	Gaps []RowGap // in order along the row, not overlapping
}

// RowGap is an opening of a windrow, by chainage along it from its first position, metres.
type RowGap struct {
	FromM float64 `json:"fromM" unit:"m" doc:"where it begins, along the row from its first position"`
	ToM   float64 `json:"toM" unit:"m" doc:"where it ends"`
}

// Windrows are the rows of one slope. The fall is the bearing in which water runs straight
// down, degrees clockwise from true north; NaN when the rows are given from the top one down
// and the fall is to be taken square to them.
type Windrows struct {
	Rows                []Windrow
	FallBearingDeg      float64
	BearingPlusMinusDeg float64 // one standard deviation; 0: taken as right
	AccuracyM           float64 // one standard deviation of a position along any direction; not above 0: not known
	ChainagePlusMinusM  float64 // of a gap's chainage; 0: taken as right
}

// Meets is what lies straight down the fall below a gap.
type Meets string

// What may lie below.
const (
	MeetsTimber Meets = "timber"
	MeetsGap    Meets = "gap"
	TooClose    Meets = "too close to tell" // within the plus-minus of lining up
	MeetsOpen   Meets = "open ground"       // no row, or past the end of one
)

// AllMeets lists them all.
var AllMeets = []Meets{MeetsTimber, MeetsGap, TooClose, MeetsOpen}

// GapPair is a gap and something that lies below it. Numbers count from 0; Below and
// BelowGap are -1 where there is none. Each PlusMinus is one standard deviation, -1 when not
// known.
type GapPair struct {
	Row, Gap        int
	Below, BelowGap int
	Meets           Meets
	// OverlapM is the width across the fall over which the two stand one above the other: two
	// gaps, or a gap and open ground. Minus is how far apart they are.
	OverlapM, OverlapPlusMinusM float64
	// ShiftM is how far one of two gaps would have to move across the fall to stand clear of the
	// other: more than OverlapM where one reaches past the other on both sides.
	ShiftM, ShiftPlusMinusM float64
	DownM, DownPlusMinusM   float64 // straight down the fall to the row below, where it is nearest
}

// Staggering is what rows turned out to be.
type Staggering struct {
	Pairs          []GapPair // by row, gap, and from left to right as one looks down the fall
	Verdict        GapVerdict
	FallBearingDeg float64
	FallFromRows   bool
	Basis          model.Basis
}

// GapVerdict is whether gaps line up.
type GapVerdict string

const (
	Staggered   GapVerdict = "staggered"
	LinedUp     GapVerdict = "lined up"
	CannotTell  GapVerdict = "too close to tell"
	NoRowsBelow GapVerdict = "nothing below" // there is no gap above another row
)

// Stagger finds what lies straight down the fall below each gap: no gap may lie above one
// of the next row down, or water runs from gap to gap (common practice, no source). The
// next row down is the first that is met, so that rows may differ in length and stand side
// by side. A pair whose ShiftM is within its plus-minus is TooClose either way; without an
// accuracy the sign alone decides.
//
// The error is a *model.Problem with a path like "rows[1].gaps[0].toM". What it gives is worth
// nothing when work had to stop.
func (w Windrows) Stagger(work *model.Work) (Staggering, error) {
	if err := w.check(); err != nil {
		return Staggering{}, err
	}
	s := Staggering{FallBearingDeg: w.FallBearingDeg, Basis: model.GPS}
	turn := w.BearingPlusMinusDeg * math.Pi / 180
	frame := geodesy.Frame{Origin: w.Rows[0].Line[0]}
	if math.IsNaN(s.FallBearingDeg) {
		var chordsM float64
		var err error
		if s.FallBearingDeg, chordsM, err = w.fall(frame); err != nil {
			return Staggering{}, err
		}
		s.FallFromRows = true
		// Both ends of every row turn the sum of the rows.
		turn = math.Hypot(turn, max(0, w.AccuracyM)*math.Sqrt(2*float64(len(w.Rows)))/chordsM)
	}
	h := hillside{work: work, accuracyM: w.AccuracyM, chainageM2: w.ChainagePlusMinusM * w.ChainagePlusMinusM, turnRad: turn}
	for i, row := range w.Rows {
		h.lay(frame, s.FallBearingDeg, row)
		r := &h.rows[i]
		n := len(r.across) - 1
		chord := math.Hypot(r.across[n]-r.across[0], r.down[n]-r.down[0])
		if !(math.Abs(r.across[n]-r.across[0]) > chord/2) {
			return Staggering{}, &model.Problem{Path: fmt.Sprintf("rows[%d].line", i), Reason: "runs down the fall and not across it",
				Fix: "check the bearing of the fall: a windrow lies on the contour"}
		}
	}
	for i := range h.rows {
		for g := range h.rows[i].gaps {
			s.Pairs = append(s.Pairs, h.pairs(i, g)...)
		}
	}
	s.Verdict = judgeGaps(s.Pairs)
	return s, nil
}

// judgeGaps is the worst of what lies below gaps.
func judgeGaps(pairs []GapPair) GapVerdict {
	verdict := NoRowsBelow
	for _, worse := range []struct {
		meets Meets
		is    GapVerdict
	}{{MeetsTimber, Staggered}, {TooClose, CannotTell}, {MeetsGap, LinedUp}} {
		if slices.ContainsFunc(pairs, func(p GapPair) bool { return p.Meets == worse.meets }) {
			verdict = worse.is
		}
	}
	return verdict
}

// fall is the bearing square to the rows, on the side of the last one, and the length of
// the rows' chords laid head to tail.
func (w Windrows) fall(frame geodesy.Frame) (bearingDeg, chordsM float64, err error) {
	var along, toward [2]float64
	for i, row := range w.Rows {
		e0, n0 := frame.Offset(row.Line[0])
		e1, n1 := frame.Offset(row.Line[len(row.Line)-1])
		chord, middle := [2]float64{e1 - e0, n1 - n0}, [2]float64{(e0 + e1) / 2, (n0 + n1) / 2}
		sign := 1.0
		if chord[0]*along[0]+chord[1]*along[1] < 0 {
			sign = -1
		}
		for k := range 2 {
			along[k] += sign * chord[k]
			switch i {
			case 0:
				toward[k] -= middle[k]
			case len(w.Rows) - 1:
				toward[k] += middle[k]
			}
		}
	}
	chordsM = math.Hypot(along[0], along[1])
	east, north := -along[1], along[0]
	side := east*toward[0] + north*toward[1]
	if len(w.Rows) < 2 || side == 0 {
		return 0, 0, &model.Problem{Path: "fallBearingDeg", Reason: "is missing, and these rows do not show the fall", Fix: "give the bearing in which water runs straight down"}
	}
	if side < 0 {
		east, north = -east, -north
	}
	return math.Mod(math.Atan2(east, north)*180/math.Pi+360, 360), chordsM, nil
}

func (w Windrows) check() error {
	bearing := w.FallBearingDeg
	if p := model.FirstProblem(
		between("fallBearingPlusMinusDeg", w.BearingPlusMinusDeg, 0, 45, ""),
		between("chainagePlusMinusM", w.ChainagePlusMinusM, 0, 100, ""),
		model.Require(math.IsNaN(bearing) || bearing >= 0 && bearing <= 360, "fallBearingDeg", "give degrees clockwise from true north", "%v is not a bearing from 0 to 360", bearing),
		model.Require(len(w.Rows) > 0, "rows", "give each windrow with its line and its gaps", "is empty")); p != nil {
		return p
	}
	positions, gaps := 0, 0
	for i, row := range w.Rows {
		if p := row.check(w.AccuracyM, w.Rows[0].Line); p != nil {
			return p.Within(fmt.Sprintf("rows[%d]", i))
		}
		positions, gaps = positions+len(row.Line), gaps+len(row.Gaps)
	}
	return model.Require(positions <= MaxWindrowPositions && gaps <= MaxWindrowGaps, "rows", "give the rows of one slope, or thin their positions out",
		"have %d positions and %d gaps, more than %d or %d", positions, gaps, MaxWindrowPositions, MaxWindrowGaps).Err()
}

func (row Windrow) check(accuracyM float64, first orb.LineString) *model.Problem {
	for j, p := range row.Line {
		path := fmt.Sprintf("line[%d]", j)
		if off := model.CheckPosition(p); off != nil {
			return &model.Problem{Path: path, Reason: off.Error()}
		}
		if far := geodesy.Distance(first[0], p); far > slopeM {
			return &model.Problem{Path: path, Reason: fmt.Sprintf("lies %.1f km from the first row", far/1000), Fix: "give the rows of one slope"}
		}
	}
	length := geodesy.Length(row.Line)
	if len(row.Line) < 2 || length < 1 {
		return &model.Problem{Path: "line", Reason: "is shorter than a metre", Fix: "give two or more positions along the row"}
	}
	beyond := length + beyondSlack + 3*math.Sqrt2*max(0, accuracyM)
	at := 0.0
	for g, gap := range row.Gaps {
		if p := model.FirstProblem(
			model.Require(gap.FromM >= at || g == 0, "fromM", "give the gaps in order along the row", "%v m is not beyond the gap before, which ends at %v m", gap.FromM, at),
			model.Require(gap.FromM >= 0, "fromM", "measure from the row's first position", "%v m is no chainage along the row", gap.FromM),
			model.Require(gap.ToM >= gap.FromM+leastGapM, "toM", "give the end that is farther along the row", "%v m is not beyond the gap's start at %v m", gap.ToM, gap.FromM),
			model.Require(gap.ToM <= beyond && gap.FromM < length, "toM", "measure in metres along the row from its first position",
				"%v m lies past the end of the row, which is %.1f m long", gap.ToM, length)); p != nil {
			return p.Within(fmt.Sprintf("gaps[%d]", g))
		}
		at = gap.ToM
	}
	return model.Require(!slices.ContainsFunc(row.Gaps, func(g RowGap) bool { return g.ToM-g.FromM >= length }), "gaps[0]", "leave out a row that has no timber", "is the whole row")
}

// WindrowCautions go with every set of windrows.
var WindrowCautions = []model.Caution{
	{Text: "A row that is off the contour gathers water behind it and lets it go at one place: level each row before timber is pushed."},
	{Text: "Clearing, even of dead timber, may need a permit; services, heritage and nesting hollows may lie in the way: ask before pushing."},
	{Text: "Timber that does not touch the ground all along stops nothing; keep rows clear of fences and of gullies, and mind fire."},
	{Text: "Gaps are best on the ridge lines, where least water comes, and staggered there too from row to row."},
}

// Cautions are those of this set of rows: the general ones and what its own pairs call for.
func (w Windrows) Cautions(s Staggering) []model.Caution {
	all := append(model.Cautions(nil), WindrowCautions...)
	for _, p := range s.Pairs {
		switch {
		case p.Meets == MeetsGap:
			all.Add("pairs", "Gap %d of %s lies above gap %d of %s: close one of them, or move it %.1f m or more along the row.",
				p.Gap+1, w.called(p.Row), p.BelowGap+1, w.called(p.Below), p.ShiftM)
		case p.Meets == TooClose:
			all.Add("pairs", "Gap %d of %s and gap %d of %s are %.1f m from standing clear, good to %.1f m: stand in the one, look straight down the fall, and tape.",
				p.Gap+1, w.called(p.Row), p.BelowGap+1, w.called(p.Below), math.Abs(p.ShiftM), p.ShiftPlusMinusM)
		case p.Meets == MeetsOpen && p.Below >= 0:
			all.Add("pairs", "Gap %d of %s looks past the end of %s over %.1f m: see where that water goes.", p.Gap+1, w.called(p.Row), w.called(p.Below), p.OverlapM)
		}
	}
	all.AddIf(s.FallFromRows, "fallBearingDeg", "The fall, %.0f°, is taken square to the rows. Where they are off the contour it is wrong: shoot the bearing.", s.FallBearingDeg)
	all.AddIf(!(w.AccuracyM > 0), "pairs", "How good the positions are was not given, so that gaps that just miss each other pass.")
	return all
}

func (w Windrows) called(i int) string { return cmp.Or(w.Rows[i].Name, fmt.Sprintf("row %d", i+1)) }
