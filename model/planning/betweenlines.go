package planning

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
	"headcut/model/works"
)

// Lines between two that are proven. Common practice, no source: where one is much longer than the other,
// nobody knows which parts of them lie below each other.
const (
	mostPlanned  = 200 // lines at once, more than anyone pegs
	everyM       = 10  // how far apart the positions of a planned line are
	mostUnlikely = 1.5 // one line's length over the other's
)

// plannedLine lies between two proven lines of a patch, where the ground between them falls evenly.
type plannedLine struct {
	upper, lower *contourLine
	line         orb.LineString
	gaps         []works.RowGap
	levelM       float64
	downM        float64
}

// between plans lines between those that are proven, no farther apart than asked for: as evenly as the ground
// is taken to fall, which only the pegs of each can show.
func (p *patch) between() (all []plannedLine) {
	apartM, asked := p.own("apartM", leastApartM, works.NeighbourM)
	if !asked || len(p.Refused) > 0 {
		return nil
	}
	p.nearM = apartM / 2
	if len(p.lines) == 1 {
		p.miss("only %s is checked to keep to the contour by a closed level run: peg a second line below it, and the lines between them can be planned.", p.lines[0].item.Called())
	}
	for i := range p.lines {
		lower := &p.lines[i]
		upper, m := p.above(i)
		if upper == nil {
			if i > 0 {
				p.miss("no line that faces %s from above is checked to keep to the contour by a closed level run: no lines are planned there.", lower.item.Called())
			}
			continue
		}
		a, b := upper.line, lower.line
		if x, y := geodesy.Length(a), geodesy.Length(b); max(x, y) > mostUnlikely*min(x, y) {
			p.miss("%s is %.0f m long and %s %.0f m: no lines are planned between them. Peg the shorter one on, or record the longer one in two.", upper.item.Called(), x, lower.item.Called(), y)
			continue
		}
		n := int(math.Ceil((m-section.LeastApartM)/apartM)) - 1 // a millimetre is no delay
		if len(all)+n > mostPlanned {
			p.refuse("apartM: %v m would plan more than %d lines: give more, or plan a smaller patch.", apartM, mostPlanned)
			return nil
		}
		from, to := facing(a, b)
		for k := 1; k <= n; k++ {
			t := float64(k) / float64(n+1)
			levelM := upper.levelM + t*(lower.levelM-upper.levelM)
			l := plannedLine{upper: upper, lower: lower, line: amid(from, to, t), levelM: levelM, downM: upper.downM + t*(lower.downM-upper.downM)}
			if !p.taken(l) {
				all = append(all, l)
			}
		}
	}
	return all
}

// taken tells whether a line that nobody proved stands where one would be planned.
func (p *patch) taken(l plannedLine) bool {
	return slices.ContainsFunc(p.existing, func(e existing) bool { return e.stands && e.offM(proposal{line: l.line}) <= p.nearM })
}

// fromTheTop orders planned lines by their levels.
func fromTheTop(all []plannedLine) {
	model.SortStable(all, func(a, b plannedLine) int { return cmp.Compare(b.levelM, a.levelM) })
}

// above is the proven line that faces one from above, the nearest of them, and how far off it lies.
func (p *patch) above(i int) (upper *contourLine, apartM float64) {
	apartM = math.Inf(1)
	for k := range p.lines[:i] {
		if m := p.from(&p.lines[k], p.lines[i].line); m < apartM && p.lines[k].levelM > p.lines[i].levelM {
			upper, apartM = &p.lines[k], m
		}
	}
	return upper, apartM
}

// facing are positions along two lines, as many on each, from the same side on.
func facing(a, b orb.LineString) (from, to orb.LineString) {
	first, last := len(a)-1, len(b)-1
	turned := geodesy.Distance(a[0], b[last])+geodesy.Distance(a[first], b[0]) < geodesy.Distance(a[0], b[0])+geodesy.Distance(a[first], b[last])
	n := min(max(1, math.Ceil(max(geodesy.Length(a), geodesy.Length(b))/everyM)), 200)
	for i := range int(n) + 1 {
		share := float64(i) / n
		from = append(from, at(a, share))
		if turned {
			share = 1 - share
		}
		to = append(to, at(b, share))
	}
	return from, to
}

// amid is the line at a share of the way from one to another that faces it.
func amid(from, to orb.LineString, share float64) orb.LineString {
	line := make(orb.LineString, len(from))
	for i, p := range from {
		line[i] = geodesy.Destination(p, geodesy.Azimuth(p, to[i]), share*geodesy.Distance(p, to[i]))
	}
	return line
}

// own is a number that the request gives to the plan itself; false where it gives none. One that cannot be is
// refused.
func (d *drafting) own(name string, low, high float64) (m float64, given bool) {
	raw, given := d.request.Given[name]
	if !given {
		return 0, false
	}
	if jsonvalue.Unmarshal(raw, &m) != nil || m < low || m > high {
		d.refuse("%s: %s is not from %v to %v m.", name, raw, low, high)
		return 0, false
	}
	return m, true
}

// leastApartM is how near to each other lines may be asked for: as passes of one machine.
const leastApartM = 0.5

// propose proposes the planned lines, each at its level. A windrow's gaps are left out of its line.
func (p *patch) propose(all []plannedLine, more func(f fields)) {
	for _, l := range all {
		f := fields{"geometry": model.AppendGeometry(nil, pieces(l.line, l.gaps))}
		f.put("positionBasis", model.FromPlan)
		levelM := rounded(l.levelM)
		f.put("targetLevelM", levelM)
		more(f)
		p.works = append(p.works, proposal{atM: l.downM, fields: f, line: l.line, levelM: levelM})
	}
}

// pieces is what is left of a line without its gaps.
func pieces(line orb.LineString, gaps []works.RowGap) orb.Geometry {
	if len(gaps) == 0 {
		return line
	}
	var all orb.MultiLineString
	lengthM := geodesy.Length(line)
	fromM := 0.0
	for _, gap := range append(gaps[:len(gaps):len(gaps)], works.RowGap{FromM: lengthM, ToM: lengthM}) {
		all = append(all, part(line, fromM, gap.FromM))
		fromM = gap.ToM
	}
	return all
}

// part is a line from one chainage along it to another.
func part(line orb.LineString, fromM, toM float64) (piece orb.LineString) {
	lengthM, alongM := geodesy.Length(line), 0.0
	piece = orb.LineString{at(line, fromM/lengthM)}
	for i, m := range geodesy.Segments(line) {
		if alongM += m; alongM > fromM && alongM < toM {
			piece = append(piece, line[i+1])
		}
	}
	return append(piece, at(line, toM/lengthM))
}

// lineSays are where each planned line goes, and which lines that stand there it must mind.
func (d *Draft) lineSays(json.RawMessage) (says []string) {
	if len(d.works) > 0 {
		says = append(says, "Peg each planned line by level and staff at its level, not by its place on the map.")
	}
	for _, w := range d.works {
		says = append(says, "Peg one "+d.where(w.atM)+" at "+model.ToMillimetre(w.levelM)+" m.")
	}
	for _, e := range d.existing {
		if e.stands {
			is := "no closed level run checks its contour"
			if e.off {
				is = "is not on the contour by its pegs"
			}
			says = append(says, e.item.Called()+" is "+string(e.item.Status())+" "+d.where(e.atM)+" and "+is+": it stays as it is, and no line is planned there.")
		}
	}
	return says
}

// lines proposes planned lines.
func (a *adopting) lines(kind string) error {
	a.write(kind, recorded.KindOf(kind).Label+" ", a.d.works, a.d.existing, a.d.nearM)
	return nil
}
