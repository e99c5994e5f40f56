package planning

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/geodesy"
	"headcut/model/recorded"
	"headcut/model/section"
	"headcut/model/works"
)

// patch are the lines on the contour of one patch of a slope: those in an area, or those about a line.
type patch struct {
	*drafting
	kind  string
	lines []contourLine       // that a closed level run proves, the highest first
	runs  map[string][]string // by level run, the lines whose pegs it proves
}

// contourLine is a line that a closed level run proves to keep to one contour.
type contourLine struct {
	item   *recorded.Item
	line   orb.LineString // from end to end
	gaps   []works.RowGap // that it leaves open
	levelM float64        // mean of its pegs
	downM  float64        // how far it lies from the highest line; NaN where the two do not face each other
}

// patchOf finds the lines of a kind. One that is not proven is none of them: what to measure is said.
func (d *drafting) patchOf(kind string) *patch {
	p := &patch{drafting: d, kind: kind, runs: map[string][]string{}}
	d.refuseUnsettled(d.item, "geometry")
	if d.request.Run != "" {
		d.refuse("no level run can be named: each line is proven by the newest closed run that pegged it.")
	}
	var waiting, off []*recorded.Item // not checked yet, and checked and not on the contour
	for item := range d.p.of(kind) {
		status := item.Status()
		if status == model.Failed || status == model.Removed || !d.besideIt(item) || d.refuseUnsettled(item, "geometry", "status", "toleranceM") {
			continue
		}
		line, gaps := joined(item.Geometry)
		if geodesy.Length(line) < 1 {
			d.leaveOut(item, "it has no line: walk or draw it")
			continue
		}
		levelM, pegs, why := d.contourOf(item, line, p.runs)
		if why != "" {
			d.leaveOut(item, "%s", why)
			if strings.HasPrefix(why, string(model.Fails)) {
				off = append(off, item)
			} else {
				waiting = append(waiting, item)
			}
			continue
		}
		d.use(item, "on the contour of %s m by %s", metres2(levelM), count(pegs, "peg", "pegs"))
		d.Used[len(d.Used)-1].levelM = new(rounded(levelM))
		p.lines = append(p.lines, contourLine{item: item, line: line, gaps: gaps, levelM: levelM})
	}
	for _, id := range model.Keys(p.runs) {
		run := d.p.items[id]
		names := model.Each(p.runs[id], func(line string) string { return d.p.items[line].Called() })
		d.use(run, "the pegs of %s", inWords(names))
	}
	if d.item.Kind != kind {
		d.use(d.item, "where the lines lie")
	}
	positions := 0
	for _, l := range p.lines {
		positions += len(l.line)
	}
	if positions > works.MaxRipPositions {
		d.refuse("the lines of %s have %d positions, more than %d: plan those about one line, or thin their positions out.", d.item.Called(), positions, works.MaxRipPositions)
		return p
	}
	model.SortStable(p.lines, func(a, b contourLine) int { return cmp.Compare(b.levelM, a.levelM) })
	p.order(waiting, off)
	return p
}

// besideIt tells whether a line belongs to what is planned: its middle lies in the area, or within reach of
// the line.
func (d *drafting) besideIt(item *recorded.Item) bool {
	if item == d.item {
		return true
	}
	line, _ := joined(item.Geometry)
	if len(line) == 0 {
		return false
	}
	middle := at(line, 0.5)
	if own, _ := joined(d.item.Geometry); len(own) > 0 {
		place, err := section.Snap(own, middle)
		return err == nil && place.OffsetM <= works.NeighbourM
	}
	return holds(d.item.Geometry, middle)
}

// contourOf is the level of a line's pegs, where a closed run proves that they keep to one contour and that
// they reach from end to end; else why nobody knows.
func (d *drafting) contourOf(item *recorded.Item, line orb.LineString, of map[string][]string) (levelM float64, pegs int, why string) {
	check, _ := model.Find(d.p.Sheet(item).Checks, func(c model.Check) bool { return c.Name == "contour-check" })
	if check.Verdict != model.OK {
		return 0, 0, string(cmp.Or(check.Verdict, model.NotLevelled)) + ": " + check.Text
	}
	var best, again *figures.LevelledRun
	for _, run := range d.p.figures.LevelledRuns(item.ID) {
		run.Spots = slices.DeleteFunc(run.Spots, func(s figures.LevelledSpot) bool { return s.Place != model.PegSpot })
		switch {
		case len(run.Spots) == 0:
		case best == nil:
			best = &run
		case again == nil && run.Proven:
			again = &run
		}
	}
	run := d.p.items[best.ID]
	if run.Unsettled("rows", "perRootKmMm", "perRootSetupMm", "staffLengthM") != "" {
		return 0, 0, "two people changed the book of " + best.Called + " differently, unseen by each other: settle the clash on the phone"
	}
	var chainages []float64
	for _, s := range best.Spots {
		if s.ChainageM == nil {
			return 0, 0, "its pegs have no taped chainages, so that nobody knows how much of it they check: tape them"
		}
		chainages = append(chainages, *s.ChainageM)
	}
	model.Sort(chainages)
	lastM := 0.0
	for _, m := range append(chainages, geodesy.Length(line)) {
		if m-lastM > gapM {
			return 0, 0, "not levelled from " + metres(lastM) + " to " + metres(m) + " m along it: peg it there"
		}
		lastM = max(lastM, m)
	}
	levelM = meanLevel(best)
	if again != nil && again.ObservedOn == best.ObservedOn && math.Abs(meanLevel(again)-levelM) > roughM {
		d.refuse("%s and %s, both%s, level %s %s m apart: level it again and strike the wrong run out.", best.Called, again.Called, ofDay(best.ObservedOn), item.Called(), metres2(math.Abs(meanLevel(again)-levelM)))
	}
	of[best.ID] = append(of[best.ID], item.ID)
	return levelM, len(chainages), ""
}

func meanLevel(run *figures.LevelledRun) float64 {
	sum := 0.0
	for _, s := range run.Spots {
		sum += s.LevelM - run.Spots[0].LevelM
	}
	return run.Spots[0].LevelM + sum/float64(len(run.Spots))
}

// order puts each line so far from the highest one, refuses levels that the ground cannot have, and says what
// is to be levelled.
func (p *patch) order(waiting, off []*recorded.Item) {
	if len(p.lines) == 0 {
		p.refuse("no %s of %s is checked to keep to the contour by a closed level run: peg one from end to end with level and staff, a taped chainage at each peg, and close the run.", recorded.KindWords(p.kind), p.item.Called())
		return
	}
	top := &p.lines[0]
	p.below = top.item.Called()
	for i := range p.lines {
		p.lines[i].downM = p.from(top, p.lines[i].line)
	}
	for i, item := range slices.Concat(waiting, off) {
		line, _ := joined(item.Geometry)
		stands := item.Status() != model.Proposed
		if m := p.from(top, line); !math.IsNaN(m) {
			p.existing = append(p.existing, existing{item: item, atM: m, stands: stands, line: line, off: i >= len(waiting)})
		}
	}
	for _, item := range off {
		p.miss("%s does not keep to the contour by its own pegs: mend it or peg it again, and level it.", item.Called())
	}
	if n := len(waiting); n > 0 {
		p.miss("%s not yet checked by a closed level run: peg %s with level and staff from end to end, and close the run.", inWords(model.Each(waiting, (*recorded.Item).Called))+map[bool]string{true: " is", false: " are"}[n == 1], map[bool]string{true: "it", false: "each"}[n == 1])
	}
	byPlace := slices.DeleteFunc(slices.Clone(p.lines), func(l contourLine) bool { return math.IsNaN(l.downM) })
	model.SortStable(byPlace, func(a, b contourLine) int { return cmp.Compare(a.downM, b.downM) })
	for i, lower := range byPlace {
		for _, upper := range byPlace[:i] {
			apartM := lower.downM - upper.downM
			if rise := lower.levelM - upper.levelM; rise > roughM && apartM > 2*math.Max(0, p.accuracyM()) && p.from(&upper, lower.line) < lower.downM {
				p.refuse("%s lies below %s by their places, and stands %s m higher by their levels: one of the two was levelled or walked wrongly. Do it again, or plan the lines of each slope by themselves.", lower.item.Called(), upper.item.Called(), metres2(rise))
				return
			}
		}
	}
}

// from is how far a line lies from another, on the level; NaN where the two do not face each other.
func (p *patch) from(l *contourLine, other orb.LineString) float64 {
	short, long := other, l.line
	if geodesy.Length(short) > geodesy.Length(long) {
		short, long = long, short
	}
	const places = 9
	sum, faces := 0.0, 0
	for i := range places {
		place, err := section.Snap(long, at(short, float64(i)/(places-1)))
		if err == nil && !place.Beyond {
			sum += place.OffsetM
			faces++
		}
	}
	if 2*faces < places {
		return math.NaN()
	}
	return sum / float64(faces)
}

// accuracyM is the worst of the lines' positions, -1 where one of them is not known.
func (p *patch) accuracyM() float64 {
	worst := 0.0
	for _, l := range p.lines {
		m := accuracyOf(l.item)
		if m < 0 {
			return -1
		}
		worst = max(worst, m)
	}
	return worst
}

// putAccuracy puts in how good the positions of the lines are.
func (p *patch) putAccuracy() {
	if m := p.accuracyM(); m > 0 {
		p.in.put("accuracyM", m)
		return
	}
	p.miss("how good the positions of the lines are is not recorded for all of them: give each its position accuracy.")
}

// leastGapM is the narrowest opening between two pieces of a line. Package works has the same.
const leastGapM = 0.05

// joined is a line from end to end, and the gaps between its pieces by chainage along it.
func joined(g orb.Geometry) (line orb.LineString, gaps []works.RowGap) {
	switch g := g.(type) {
	case orb.LineString:
		return g, nil
	case orb.MultiLineString:
		m := 0.0
		for _, piece := range g {
			if n := len(line); n > 0 && len(piece) > 0 {
				apartM := geodesy.Distance(line[n-1], piece[0])
				if apartM >= leastGapM {
					gaps = append(gaps, works.RowGap{FromM: m, ToM: m + apartM})
				}
				m += apartM
			}
			m += geodesy.Length(piece)
			line = append(line, piece...)
		}
	}
	return line, gaps
}

// at is the position at a share of a line's length.
func at(line orb.LineString, share float64) orb.Point {
	leftM := share * geodesy.Length(line)
	for i, m := range geodesy.Segments(line) {
		if leftM <= m && m > 0 {
			return geodesy.Destination(line[i], geodesy.Azimuth(line[i], line[i+1]), leftM)
		}
		leftM -= m
	}
	return line[len(line)-1]
}
