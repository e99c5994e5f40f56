package banks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/runoff"
)

// Found is a peg of a bank that is there: the levels of its channel's bed and, if levelled, of
// the bank's crest beside it.
type Found struct {
	Name        string   `json:"name,omitempty" doc:"what to call the peg; its number if not given"`
	ChainageM   float64  `json:"chainageM" unit:"m" doc:"along the bank, growing"`
	LevelM      float64  `json:"levelM" unit:"m" doc:"of the channel's bed"`
	CrestLevelM *float64 `json:"crestLevelM,omitempty" unit:"m" doc:"of the bank's crest beside it, at its lowest"`
}

// Check judges a bank's channel against the grade that it should have.
type Check struct {
	Pegs       []Found
	OutletAt   End     // Outfall: the first peg stands at the outlet; Top: the last one does
	Reaches    []Reach // wanted, from the top down; the last goes on to the outlet if it is too short, the first up to the top
	Basis      model.Basis
	PlusMinusM float64          // one standard deviation of a level; negative when not known
	Channel    *Channel         // in long grass; nil: neither velocity nor capacity
	ShortN     float64          // roughness once the grass is short, for the velocity; 0: as Channel's
	FlowM3S    *runoff.Quantity // the catchment's peak
	Bearing    Bearing
	FreeboardM float64 // kept free below the lowest crest
}

// A length of channel is too flat below FlattestShare of its grade and too steep above
// SteepestTimes: derived, as a peg 20 mm out on 20 m turns 0.3 % into 0.2 %.
const (
	FlattestShare = 0.5
	SteepestTimes = 2
)

// Fall is what a check finds of the channel between two pegs.
type Fall string

const (
	FallOK      Fall = "ok"
	TooFlat     Fall = "too flat"
	Climbs      Fall = "climbs" // away from the outlet
	TooSteep    Fall = "too steep"
	TooFast     Fall = "too fast" // for its ground
	NotLevelled Fall = "not levelled"
)

// Length is the channel between two neighbouring pegs.
type Length struct {
	FromM             float64  `json:"fromM" unit:"m" doc:"chainage of its upper peg, the one farther from the outlet"`
	ToM               float64  `json:"toM" unit:"m" doc:"chainage of its lower peg"`
	GradePct          float64  `json:"gradePct" unit:"%" doc:"fall towards the outlet; minus climbs"`
	GradePlusMinusPct float64  `json:"gradePlusMinusPct" unit:"%" doc:"one standard deviation; none when not known"`
	WantedPct         float64  `json:"wantedPct" unit:"%" doc:"mean fall wanted there"`
	VelocityMS        *float64 `json:"velocityMS,omitempty" unit:"m/s" doc:"at which the peak runs there; none without a channel and a peak, or where it does not fall"`
	Verdict           Fall     `json:"verdict" choices:"ok|too flat|climbs|too steep|too fast|not levelled" doc:"too flat is below half of what is wanted, too steep above twice, too fast above what the channel bears"`
	Close             bool     `json:"close" doc:"another verdict lies within twice the ±"`
	Reason            string   `json:"reason,omitempty" doc:"of the verdict"`
}

// Off is a peg and how far its bed lies above the grade that goes up from the peg at the
// outlet.
type Off struct {
	Peg       int     `json:"peg" unit:"1" doc:"number of the peg, counted from 1"`
	Name      string  `json:"name,omitempty" doc:"its name"`
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the bank"`
	WantedM   float64 `json:"wantedM" unit:"m" doc:"level that the bed should have"`
	OffM      float64 `json:"offM" unit:"m" doc:"above it; minus is below"`
	PlusMinus float64 `json:"plusMinusM" unit:"m" doc:"one standard deviation of offM; none when not known"`
	Move      string  `json:"move,omitempty" doc:"what to do"`
}

// Limit is the peg at whose crest the least water passes.
type Limit struct {
	Peg       int
	Name      string
	ChainageM float64
	HeightM   runoff.Quantity // of the crest above the bed
	Flow      *Flow           // that leaves the freeboard there; nil where none does, or the bank as a whole is too flat
}

// Report is what a check found.
type Report struct {
	MeanGradePct runoff.Quantity
	Lengths      []Length // by growing chainage
	Offs         []Off    // the farthest off first
	Pools        []Pool   // by growing chainage
	Limit        *Limit   // nil where no crest was levelled
	Verdict      model.Verdict
	Reasons      []string
}

// Run checks a bank. Between pegs the channel is taken as straight. It returns a *model.Problem
// with a path like "pegs[1].levelM" for what cannot be judged.
func (c Check) Run() (Report, error) {
	if p := c.wrong(); p != nil {
		return Report{}, p
	}
	levelPM := c.PlusMinusM
	pegs, out := c.Pegs, 0
	if c.OutletAt == Top {
		out = len(pegs) - 1
	}
	first, last := pegs[len(pegs)-1-out], pegs[out]
	length := math.Abs(first.ChainageM - last.ChainageM)
	r := Report{MeanGradePct: runoff.Quantity{Value: 100 * (first.LevelM - last.LevelM) / length, PlusMinus: model.ScaledPlusMinus(100*math.Sqrt2/length, levelPM)}}
	line := Line{Reaches: c.Reaches, OutletLevelM: last.LevelM}
	wanted := func(chainageM float64) float64 { return last.LevelM + line.upFrom(math.Abs(chainageM-last.ChainageM)) }
	for i := range len(pegs) - 1 {
		upper, lower := pegs[i+1], pegs[i]
		if c.OutletAt == Top {
			upper, lower = lower, upper
		}
		r.Lengths = append(r.Lengths, c.length(upper, lower, 100*(wanted(upper.ChainageM)-wanted(lower.ChainageM))/math.Abs(upper.ChainageM-lower.ChainageM), levelPM))
	}
	for i, p := range pegs {
		off := Off{Peg: i + 1, Name: p.Name, ChainageM: p.ChainageM, WantedM: wanted(p.ChainageM), PlusMinus: model.ScaledPlusMinus(math.Sqrt2, levelPM)}
		off.OffM = p.LevelM - off.WantedM
		switch {
		case i == out:
			off.PlusMinus = 0 // the grade goes up from it
		case off.OffM > 0.0005:
			off.Move = fmt.Sprintf("clear %.3f m out of the channel", off.OffM)
		case off.OffM < -0.0005:
			off.Move = fmt.Sprintf("fill %.3f m", -off.OffM)
		}
		r.Offs = append(r.Offs, off)
	}
	model.SortStable(r.Offs, func(a, b Off) int { return cmp.Compare(math.Abs(b.OffM), math.Abs(a.OffM)) })
	r.Pools = pools(c.fromOutlet(), levelPM)
	if c.OutletAt == Top {
		slices.Reverse(r.Pools)
	}
	if err := c.limit(&r, line, last, levelPM); err != nil {
		return Report{}, err
	}
	c.judge(&r)
	return r, nil
}

// upFrom is how high the bed should stand above the outlet at a distance up from it, beyond the
// line's own length at the grade of its first reach.
func (l Line) upFrom(m float64) float64 {
	length := l.LengthM()
	return l.aboveM(max(length-m, 0)) + max(m-length, 0)*l.Reaches[0].GradePct/100
}

func (c Check) length(upper, lower Found, wantedPct, levelPM float64) Length {
	apart := math.Abs(upper.ChainageM - lower.ChainageM)
	n := Length{FromM: upper.ChainageM, ToM: lower.ChainageM, GradePct: 100 * (upper.LevelM - lower.LevelM) / apart,
		GradePlusMinusPct: model.ScaledPlusMinus(100*math.Sqrt2/apart, levelPM), WantedPct: wantedPct}
	bearsPct := math.Inf(1)
	if c.Channel != nil && c.FlowM3S != nil {
		short := c.Channel.short(c.ShortN)
		if n.GradePct > 0 {
			if f, fits := short.running(c.FlowM3S.Value, n.GradePct); fits {
				n.VelocityMS = &f.VelocityMS
			}
		}
		if c.Bearing.VelocityMS > 0 {
			bearsPct = short.GradeForPct(c.FlowM3S.Value, c.Bearing.VelocityMS)
		}
	}
	verdict := func(pct float64) Fall {
		const rounding = 1e-9
		switch {
		case pct < -rounding:
			return Climbs
		case pct < FlattestShare*wantedPct-rounding:
			return TooFlat
		case pct > bearsPct+rounding:
			return TooFast
		case pct > SteepestTimes*wantedPct+rounding:
			return TooSteep
		}
		return FallOK
	}
	n.Verdict = verdict(n.GradePct)
	if c.Basis != model.Levelled {
		n.Verdict = NotLevelled
		return n
	}
	if spread := 2 * n.GradePlusMinusPct; spread > 0 {
		n.Close = verdict(n.GradePct-spread) != n.Verdict || verdict(n.GradePct+spread) != n.Verdict
	}
	switch n.Verdict {
	case Climbs:
		n.Reason = fmt.Sprintf("It climbs by %.2f %% towards the outlet: water stands behind it.", -n.GradePct)
	case TooFlat:
		n.Reason = fmt.Sprintf("It falls by %.2f %% and should by %.2f: silt settles here.", n.GradePct, wantedPct)
	case TooFast:
		n.Reason = fmt.Sprintf("At %.2f %% the peak runs faster than the %.2f m/s that the channel bears: it cuts here.", n.GradePct, c.Bearing.VelocityMS)
	case TooSteep:
		n.Reason = fmt.Sprintf("It falls by %.2f %% and should by %.2f: the channel may cut here.", n.GradePct, wantedPct)
	}
	return n
}

// limit finds the crest at which the least water passes below the freeboard, by the mean grade
// or that wanted there, whichever is flatter; without a channel, the lowest above its bed.
func (c Check) limit(r *Report, line Line, out Found, levelPM float64) error {
	least := math.Inf(1)
	for i, p := range c.Pegs {
		if p.CrestLevelM == nil {
			continue
		}
		one := Limit{Peg: i + 1, Name: p.Name, ChainageM: p.ChainageM, HeightM: runoff.Quantity{Value: *p.CrestLevelM - p.LevelM, PlusMinus: model.ScaledPlusMinus(math.Sqrt2, levelPM)}}
		by := one.HeightM.Value
		if c.Channel != nil {
			grade := r.MeanGradePct
			if wanted := line.gradePct(line.LengthM() - math.Abs(p.ChainageM-out.ChainageM)); wanted < grade.Value {
				grade = runoff.Quantity{Value: wanted}
			}
			depth := one.HeightM
			if depth.Value = min(depth.Value-c.FreeboardM, MaxDepthM); depth.Value >= leastDepth && grade.Value >= LeastGradePct {
				flow, err := c.Channel.At(depth, grade)
				if err != nil {
					return err
				}
				one.Flow = &flow
				by = flow.FlowM3S.Value
			} else {
				by -= MaxDepthM // before any that passes
			}
		}
		if by < least {
			least, r.Limit = by, &one
		}
	}
	return nil
}

// judge sets the verdict and its reasons.
func (c Check) judge(r *Report) {
	for _, n := range r.Lengths {
		if n.Reason != "" {
			r.Reasons = append(r.Reasons, fmt.Sprintf("From %.4g to %.4g m: %s", n.FromM, n.ToM, n.Reason))
		}
	}
	for _, p := range r.Pools {
		if p.OverTheBank {
			r.Reasons = append(r.Reasons, fmt.Sprintf("Water %.2f m deep at %.4g m runs over the bank at %.4g m before it runs on along the channel.", p.DepthM, p.DeepestM, p.SpillM))
		}
	}
	if l := r.Limit; l != nil && c.Channel != nil {
		switch {
		case l.HeightM.Value-c.FreeboardM < leastDepth:
			r.Reasons = append(r.Reasons, fmt.Sprintf("The lowest crest, at %.4g m, stands %.2f m above its bed, which leaves no channel below the freeboard.", l.ChainageM, l.HeightM.Value))
		case l.Flow != nil && c.FlowM3S != nil && l.Flow.FlowM3S.Value < c.FlowM3S.Value-1e-9:
			r.Reasons = append(r.Reasons, fmt.Sprintf("The lowest crest, at %.4g m, lets %.3f m3/s pass of a peak of %.3f: raise it, or clear the channel.", l.ChainageM, l.Flow.FlowM3S.Value, c.FlowM3S.Value))
		}
	}
	r.Verdict = model.OK
	if r.Reasons != nil {
		r.Verdict = model.Fails
	}
	if c.Basis != model.Levelled {
		r.Verdict = model.NotLevelled
		reason := "These levels are " + string(c.Basis) + " and cannot check a grade: level the channel, and close the run."
		r.Reasons = model.Insert(r.Reasons, 0, reason)
	}
}

func (c Check) wrong() *model.Problem {
	const most, closestM, highestBankM = 10_000, 0.1, 10
	if p := model.FirstProblem(
		model.Require(len(c.Pegs) >= 2, "pegs", "", "a bank needs two pegs and has %d", len(c.Pegs)),
		model.Require(len(c.Pegs) <= most, "pegs", "check one bank at a time", "a bank of %d pegs is more than %d", len(c.Pegs), most)); p != nil {
		return p
	}
	for i, peg := range c.Pegs {
		before := c.Pegs[max(i-1, 0)].ChainageM
		crest := peg.LevelM
		if peg.CrestLevelM != nil {
			crest = *peg.CrestLevelM
		}
		if p := model.FirstProblem(
			model.InRange("levelM", peg.LevelM, -highestM, highestM, "a level", " m", "give metres, not millimetres"),
			model.InRange("chainageM", peg.ChainageM, 0, MaxLengthM, "a chainage", " m", "give metres along the bank"),
			model.Require(i == 0 || peg.ChainageM-before >= closestM, "chainageM", "give the pegs in order along the bank", "%v m is not %v m beyond the peg before, at %v m", peg.ChainageM, closestM, before),
			model.Require(crest >= peg.LevelM && crest-peg.LevelM <= highestBankM, "crestLevelM", "give both on one datum", "%v m is not the crest of a bank whose channel lies at %v m", crest, peg.LevelM)); p != nil {
			return p.Within(fmt.Sprintf("pegs[%d]", i))
		}
	}
	if p := model.FirstProblem(Line{Reaches: c.Reaches}.Check(),
		model.Require(slices.Contains(model.Bases, c.Basis), "basis", fmt.Sprintf("give one of %q", model.Bases), "%q is not how a level is measured", c.Basis),
		model.InRange("freeboardM", c.FreeboardM, 0, 1, "a freeboard", " m", "give metres")); p != nil {
		return p
	}
	if c.Channel != nil {
		if p := model.FirstProblem(c.Channel.Check(), c.Channel.checkShort(c.ShortN)); p != nil {
			return p
		}
	}
	if c.FlowM3S != nil {
		return checkFlow(c.FlowM3S.Value)
	}
	return nil
}
