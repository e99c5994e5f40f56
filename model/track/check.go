package track

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/section"
)

// Spacing is what a check finds of an interval between two breaks.
type Spacing string

const (
	OK          Spacing = "ok"
	TooFar      Spacing = "too far"
	NoRow       Spacing = "no row" // the table does not go as steep
	NotLevelled Spacing = "not levelled"
)

// Outfall is what a check finds of a bank's outlet.
type Outfall string

const (
	Safe     Outfall = "ok"
	Unsafe   Outfall = "not safe"
	NotKnown Outfall = "not known" // nobody said to which side it goes
)

// Built is a whoa-boy as it was found.
type Built struct {
	Name      string
	ChainageM float64
	Side      Side // "" when not known
}

// Interval is the track from one break down to the next.
type Interval struct {
	From              string  `json:"from" doc:"the bank above, or top"`
	To                string  `json:"to" doc:"the bank below, or foot"`
	FromM             float64 `json:"fromM" unit:"m" doc:"chainage of the upper one; water runs from there"`
	ToM               float64 `json:"toM" unit:"m" doc:"chainage of the lower one"`
	SpacingM          float64 `json:"spacingM" unit:"m" doc:"between them"`
	SpacingPlusMinusM float64 `json:"spacingPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	GradePct          float64 `json:"slopePct" unit:"%" doc:"mean fall between them"`
	GradePlusMinusPct float64 `json:"slopePlusMinusPct" unit:"%" doc:"one standard deviation; none when not known"`
	AllowedM          float64 `json:"allowedM" unit:"m" doc:"farthest that the table allows on that fall"`
	NextByM           float64 `json:"nextByM" unit:"m" doc:"chainage by which the next bank was due, going down; toM where none was"`
	Row               string  `json:"row" doc:"the table's row"`
	RowWhy            string  `json:"rowWhy,omitempty" doc:"why that row, where none is printed for the fall"`
	Verdict           Spacing `json:"verdict" choices:"ok|too far|no row|not levelled" doc:"no row: steeper than the table goes; not levelled: no closed level run stands behind the fall"`
	Close             bool    `json:"close" doc:"another verdict lies within twice the ±"`
	Reason            string  `json:"reason,omitempty" doc:"of the verdict"`
}

// Outlet is one bank's outlet.
type Outlet struct {
	Name           string   `json:"name" doc:"the bank"`
	ChainageM      float64  `json:"chainageM" unit:"m" doc:"of the bank"`
	Side           Side     `json:"side,omitempty" doc:"to which it lets the water out"`
	Verdict        Outfall  `json:"verdict" choices:"ok|not safe|not known" doc:"not known: nobody said to which side"`
	Reason         string   `json:"reason,omitempty" doc:"of the verdict"`
	HeadM          *float64 `json:"headM,omitempty" unit:"m" doc:"from the bank to the nearest gully head on its side, straight"`
	HeadPlusMinusM float64  `json:"headPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
}

// Check judges existing whoa-boys.
type Check struct {
	Track   Track
	Rule    Rule
	Outlets Outlets
	HumpM   float64
	Banks   []Built // in any order
}

// Report is what the check found.
type Report struct {
	Intervals []Interval // slope by slope by growing chainage, each from its top down
	Outlets   []Outlet   // by growing chainage
	Slopes    []Slope
	Verdict   model.Verdict // fails when an interval or an outlet does; holds on a levelled track alone
	Idle      []string      // banks on no slope: on level ground at an end
}

// Run checks every interval from the top of each slope to its foot, and every outlet. It
// returns a *model.Problem with a path like "banks[1].chainageM" for what cannot be
// judged.
func (c Check) Run() (Report, error) {
	if p := checkHump(c.HumpM); p != nil {
		return Report{}, p
	}
	outlets, err := c.Outlets.on(c.Track, c.HumpM)
	if err != nil {
		return Report{}, err
	}
	banks, err := c.sorted()
	if err != nil {
		return Report{}, err
	}
	r := Report{Slopes: c.Track.Slopes(c.HumpM)}
	served := make([]bool, len(banks))
	for _, s := range r.Slopes {
		low, high := min(s.Top.ChainageM, s.Foot.ChainageM), max(s.Top.ChainageM, s.Foot.ChainageM)
		from, _ := slices.BinarySearchFunc(banks, low, func(b Built, m float64) int { return cmp.Compare(b.ChainageM, m) })
		to := from
		for ; to < len(banks) && banks[to].ChainageM <= high; to++ {
			served[to] = true
		}
		r.Intervals = append(r.Intervals, c.down(s, banks[from:to])...)
	}
	for i, b := range banks {
		r.Outlets = append(r.Outlets, c.outlet(b, outlets))
		if !served[i] {
			r.Idle = append(r.Idle, b.Name)
		}
	}
	r.Verdict = r.sum(c.Track.proven())
	return r, nil
}

// down goes down one slope from its top over its banks to its foot.
func (c Check) down(s Slope, banks []Built) []Interval {
	w := walk{s, c.Rule}
	var all []Interval
	i, fromM, above, name := 0, 0.0, c.Track.stationPlace(s.first), "top"
	step := func(toM float64, below place, to string) {
		if toM-fromM < section.LeastApartM {
			if to != "foot" {
				name = to
			}
			return
		}
		n := c.interval(above, below)
		n.From, n.To, n.NextByM = name, to, n.ToM
		if latestM, _, found := w.latestM(i, fromM); found && latestM < toM-section.LeastApartM {
			n.NextByM = s.chainageM(latestM)
		}
		c.judge(&n)
		all = append(all, n)
		i, fromM, above, name = w.past(i, toM), toM, below, to
	}
	for k := range banks {
		b := banks[k]
		if s.downM < 0 {
			b = banks[len(banks)-1-k]
		}
		step(math.Abs(b.ChainageM-s.Top.ChainageM), c.Track.pegPlace(b.ChainageM), b.Name)
	}
	step(s.LengthM(), c.Track.stationPlace(s.last()), "foot")
	return all
}

func (c Check) interval(above, below place) Interval {
	q := c.Track.Quality
	n := Interval{FromM: above.chainageM, ToM: below.chainageM, SpacingM: math.Abs(below.chainageM - above.chainageM), SpacingPlusMinusM: q.SpacingPlusMinusM(),
		GradePct: gradePct(above, below), GradePlusMinusPct: gradePlusMinusPct(above, below, q, false)}
	n.AllowedM = c.Rule.SpacingM(c.Rule.judged(n.GradePct))
	n.Row, n.RowWhy = c.Rule.Reading(c.Rule.judged(n.GradePct))
	return n
}

// judge sets the verdict, whether it is close, and the reason.
func (c Check) judge(n *Interval) {
	n.Verdict = c.verdict(n.SpacingM, n.GradePct)
	// One rule for both: where the walk that lays banks out needs none sooner, it is near enough.
	steep := n.Verdict == OK && n.NextByM != n.ToM
	switch {
	case steep:
		n.Verdict = TooFar
	case n.Verdict == TooFar && n.NextByM == n.ToM:
		n.Verdict = OK
	}
	spread, tilt := 2*max(0, n.SpacingPlusMinusM), 2*max(0, n.GradePlusMinusPct)
	worst, best := c.verdict(n.SpacingM+spread, n.GradePct+tilt), c.verdict(n.SpacingM-spread, n.GradePct-tilt)
	n.Close = n.SpacingPlusMinusM >= 0 && n.GradePlusMinusPct >= 0 && !steep && (worst != n.Verdict || best != n.Verdict)
	switch {
	case n.Verdict == NoRow:
		n.Reason = fmt.Sprintf("%.3g %% is steeper than %s goes.", n.GradePct, c.Rule.Table)
	case steep:
		n.Reason = fmt.Sprintf("The steep pitch at its top calls for a bank by chainage %.1f m, though the mean grade allows %.4g m.", n.NextByM, n.AllowedM)
	case n.Verdict == TooFar && n.To == "foot":
		n.Reason = fmt.Sprintf("The foot lies %.1f m farther than the %.4g m allowed: a bank is missing by chainage %.1f m.", n.SpacingM-n.AllowedM, n.AllowedM, n.NextByM)
	case n.Verdict == TooFar:
		n.Reason = fmt.Sprintf("It is %.1f m longer than the %.4g m allowed; a bank was due by chainage %.1f m.", n.SpacingM-n.AllowedM, n.AllowedM, n.NextByM)
	}
	// From heights that prove nothing no interval passes; but one longer than the gentlest
	// row allows is too long at any grade, if the length itself is sure.
	gentlest := c.Rule.SpacingM(0)
	if !c.Track.proven() {
		if sure := n.SpacingPlusMinusM >= 0 && n.SpacingM-spread > gentlest; sure {
			n.Verdict, n.Close = TooFar, false
			n.Reason = fmt.Sprintf("At any grade %s allows at most %.4g m.", c.Rule.Table, gentlest)
			return
		}
		n.Verdict, n.Close = NotLevelled, false
		n.Reason = fmt.Sprintf("The levels are %s, and cannot check a grade: level the track.", c.Track.Quality.Basis)
		return
	}
	if n.Close {
		n.Reason = strings.TrimPrefix(n.Reason+" Another verdict lies within twice the ±.", " ")
	}
}

func (c Check) verdict(spacingM, gradePct float64) Spacing {
	switch {
	case !c.Rule.Covers(gradePct):
		return NoRow
	case spacingM > c.Rule.SpacingM(c.Rule.judged(gradePct))+1e-6:
		return TooFar
	}
	return OK
}

func (c Check) outlet(b Built, outlets *outlets) Outlet {
	o := Outlet{Name: b.Name, ChainageM: b.ChainageM, Side: b.Side, Verdict: Safe, HeadPlusMinusM: -1}
	safe, why := outlets.sideAt(b.ChainageM)
	switch {
	case b.Side == "":
		o.Verdict, o.Reason = NotKnown, "nobody said to which side it lets the water out"
	case b.Side == None:
		o.Verdict, o.Reason = Unsafe, "it has no outlet: water ponds on the track and breaks over the bank"
	case safe != b.Side && safe != Either:
		o.Verdict, o.Reason = Unsafe, cmp.Or(why, "that is not the side that was said to be safe")
		if safe != None {
			o.Reason += fmt.Sprintf("; the %s is safe", safe)
		}
	}
	c.Track.Work.Do(len(c.Outlets.Heads))
	for i, h := range c.Outlets.Heads {
		if b.Side != "" && b.Side != Either && !outlets.down.turn(outlets.heads[i], b.ChainageM).has(b.Side) {
			continue
		}
		if away := math.Hypot(b.ChainageM-h.ChainageM, h.OffsetM); o.HeadM == nil || away < *o.HeadM {
			o.HeadM, o.HeadPlusMinusM = &away, headPlusMinusM(b, h, c.Track.Quality)
			if spread := 2 * o.HeadPlusMinusM; o.Verdict == Safe && spread > 0 && away-spread < c.Outlets.ClearanceM {
				o.Reason = fmt.Sprintf("%s may be nearer than %v m", h.called(i), c.Outlets.ClearanceM)
			}
		}
	}
	return o
}

// headPlusMinusM carries the errors of the bank's and the head's places into the distance
// d = √(x² + o²) between them.
func headPlusMinusM(b Built, h Head, q section.Quality) float64 {
	x := b.ChainageM - h.ChainageM
	along := model.JointPlusMinus(q.ChainagePlusMinusM, h.PlusMinusM)
	d := math.Hypot(x, h.OffsetM)
	if along < 0 || d == 0 {
		return along
	}
	return math.Hypot(x/d*along, h.OffsetM/d*h.PlusMinusM)
}

// sorted returns the banks by growing chainage, each with a name.
func (c Check) sorted() ([]Built, error) {
	if len(c.Banks) > MaxBanks {
		return nil, &model.Problem{Path: "banks", Reason: fmt.Sprintf("has more than %d banks", MaxBanks)}
	}
	order := make([]int, len(c.Banks))
	for i, b := range c.Banks {
		order[i] = i
		if p := model.FirstProblem(
			model.Require(b.ChainageM >= c.Track.startM() && b.ChainageM <= c.Track.endM(), "chainageM", "", "%v m is outside the surveyed track, %.6g to %.6g m", b.ChainageM, c.Track.startM(), c.Track.endM()),
			checkSide(cmp.Or(b.Side, None))); p != nil {
			return nil, p.Within(fmt.Sprintf("banks[%d]", i))
		}
	}
	model.SortStable(order, func(a, b int) int { return cmp.Compare(c.Banks[a].ChainageM, c.Banks[b].ChainageM) })
	sorted := make([]Built, len(order))
	for k, i := range order {
		sorted[k] = c.Banks[i]
		sorted[k].Name = cmp.Or(sorted[k].Name, fmt.Sprintf("bank %d", i+1))
		if k > 0 && sorted[k].ChainageM-sorted[k-1].ChainageM < section.LeastApartM {
			return nil, &model.Problem{Path: fmt.Sprintf("banks[%d].chainageM", i), Reason: fmt.Sprintf("%v m is where banks[%d] stands too", c.Banks[i].ChainageM, order[k-1]), Fix: "keep one of the two"}
		}
	}
	return sorted, nil
}

// sum is the report's verdict on a track whose levels are proven or not.
func (r Report) sum(proven bool) model.Verdict {
	switch {
	case slices.ContainsFunc(r.Intervals, func(n Interval) bool { return n.Verdict == TooFar || n.Verdict == NoRow }),
		slices.ContainsFunc(r.Outlets, func(o Outlet) bool { return o.Verdict == Unsafe }):
		return model.Fails
	case !proven:
		return model.NotLevelled
	}
	return model.OK
}
