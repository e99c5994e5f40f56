package levelling

import (
	"fmt"
	"math"
)

// close compares the run with every known level after its start. Foresights carry the
// run, so only they close a stretch of it; an intermediate sight on a known point checks.
func (run *Run) close(r reduced, o Options) {
	from := 0 // place of the known level before
	run.Closed = true
	for k := 1; k < len(r.book); k++ {
		s := r.book[k]
		if s.known == nil {
			continue
		}
		start := r.book[from]
		gained := (r.levels[k] - r.levels[from]) - (*s.known - *start.known)
		c := Closure{Row: s.row + 1, SetUps: r.stretch(from, k), DistanceM: r.distance(from, k), MisclosureM: gained.metres(), OnSight: s.fs == nil, place: k}
		c.AllowableM = o.allowableM(c.SetUps, c.DistanceM)
		c.Closed = c.AllowableM != nil && within(gained, *c.AllowableM)
		if !c.Closed {
			run.Closed = false
			run.Reasons = append(run.Reasons, run.why(c))
		}
		run.Closures = append(run.Closures, c)
		if s.fs == nil {
			continue
		}
		run.MisclosureM = metresOf(r.levels[k] - *s.known)
		run.AllowableM = o.allowableM(r.stretch(0, k), r.distance(0, k))
		from = k
	}
	if end := len(r.book) - 1; from != end {
		run.Unfinished = run.Closed
		run.Closed = false
		reason := "The run never closes on a known level; if it ends where it started, give the level there too."
		if from > 0 {
			reason = fmt.Sprintf("The run goes on after its last known level, on row %d, and does not close again.", r.book[from].row+1)
		}
		run.Reasons = append(run.Reasons, reason)
	}
	if run.Closed && !run.wholeAllowed() {
		run.Closed = false
		run.Reasons = append(run.Reasons, fmt.Sprintf("The whole run is out by %s; %.1f mm is allowed.", nearest(*run.MisclosureM).millimetres(), *run.AllowableM*1000))
	}
	if run.closedTo = run.lastClosed(r, o); run.closedTo > 0 {
		run.ClosedTo = &r.book[run.closedTo].row
	}
}

// lastClosed is the place of the last known level to which everything is in order: each
// closure before it, the whole run to there, since stretches that each pass can add up to
// more than is allowed, and the arithmetic. What is booked after it cannot change that:
// an officer who pegs on from a closed run has not unlevelled it.
func (run *Run) lastClosed(r reduced, o Options) int {
	last := 0
	for _, c := range run.Closures {
		if !c.Closed || c.place >= run.faultAt {
			break
		}
		if c.OnSight {
			continue
		}
		allowed := o.allowableM(r.stretch(0, c.place), r.distance(0, c.place))
		if allowed == nil || !within(r.levels[c.place]-*r.book[c.place].known, *allowed) {
			break
		}
		last = c.place
	}
	return last
}

func (run *Run) why(c Closure) string {
	if c.AllowableM == nil {
		return fmt.Sprintf("%s is out by %s; what is allowed by root kilometre cannot be calculated without distances along the run.", run.name(c.Row-1), nearest(c.MisclosureM).millimetres())
	}
	return fmt.Sprintf("%s is out by %s; %.1f mm is allowed.", run.name(c.Row-1), nearest(c.MisclosureM).millimetres(), *c.AllowableM*1000)
}

// stretch is the number of set-ups that carry the level from one place to another. A
// level that closes a set-up starts the next one.
func (r reduced) stretch(from, to int) int { return r.setUps[to] - r.setUps[from] }

// distance is the levelled distance between two places, nil when it was not measured. A
// start without a distance is at 0.
func (r reduced) distance(from, to int) *float64 {
	a, b := r.book[from].distanceM, r.book[to].distanceM
	if b == nil || (a == nil && from > 0) {
		return nil
	}
	d := *b
	if a != nil {
		d -= *a
	}
	return &d
}

// AllowableM is the allowed misclosure k*sqrt(n): k in mm, n the levelled distance in
// kilometres or the number of set-ups. The answer is in metres.
func AllowableM(kMm, n float64) float64 { return kMm * math.Sqrt(n) / 1000 }

// allowableM holds the run to the stricter rule where two are given; nil when a rule
// cannot be applied.
func (o Options) allowableM(setUps int, distanceM *float64) *float64 {
	allowed := math.Inf(1)
	if o.PerRootSetupMm > 0 {
		allowed = AllowableM(o.PerRootSetupMm, float64(setUps))
	}
	if o.PerRootKmMm > 0 {
		if distanceM == nil {
			return nil
		}
		allowed = min(allowed, AllowableM(o.PerRootKmMm, *distanceM/1000))
	}
	return &allowed
}

// within allows for the last digits of a square root: 12 mm at 0.36 km is 7.2 mm.
func within(misclosure tenths, allowedM float64) bool {
	return math.Abs(misclosure.metres()) <= allowedM+1e-12
}

// judge sets how good each level is: how many readings it rests on, and whether the run
// closes there. A fault leaves every level after it unproven, until the end; so is what
// hangs beyond the last known level.
func (run *Run) judge(r reduced, o Options) {
	for k, s := range r.book {
		row := &run.Rows[s.row]
		row.PlusMinusM = o.plusMinusM(row.SetUp)
		row.Proven = run.closedTo > 0 && k <= run.closedTo
	}
	from, worst := 0, 0.0
	for _, c := range run.Closures {
		if !c.Closed {
			worst = max(worst, math.Abs(c.MisclosureM))
		}
		if c.OnSight {
			continue
		}
		for _, s := range r.book[from+1 : c.place+1] {
			row := &run.Rows[s.row]
			row.PlusMinusM = max(row.PlusMinusM, worst)
		}
		from, worst = c.place, 0
	}
}

// wholeAllowed tells whether the run from its start to its last known level is within what
// is allowed for the whole: stretches that each pass can add up to more.
func (run *Run) wholeAllowed() bool {
	return run.MisclosureM == nil || run.AllowableM == nil || within(nearest(*run.MisclosureM), *run.AllowableM)
}
