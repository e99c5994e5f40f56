package planning

import (
	"math"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/section"
	"headcut/model/works"
)

// roughM is how far a bed may stand off the straight line between two of its levels: stones and
// pools between them. Common practice, no source; model/figures goes by the same.
const roughM = 0.1

// dams drafts a layout of check dams along a thalweg.
func (d *drafting) dams() {
	d.refuseUnsettled(d.item, "geometry", "chainageZero")
	runs := d.runsAlong(model.BedSpot)
	section, _ := d.p.figures.LongSection(d.item.ID)
	for _, l := range runs {
		l.upGully(section)
	}
	used := d.choose(runs, "the bed")
	if used == nil {
		return
	}
	used.put(d, "bed")
	d.compare(used, runs)
	g := &gully{drafting: d, used: used, section: section, sameFrame: sameM(used.fromM, section.BookedFromM)}
	g.place()
	skip := append(g.gaps(), g.standing()...)
	heads := g.heads()
	if len(skip) > 0 {
		d.in.putJoined("skip", skip, d.request.Given["skip"])
	}
	if len(heads) > 0 {
		d.in.put("heads", heads)
	}
	d.number("crestHeightM", "damCrestHeightM", "the height of crests")
	if _, named := d.request.Given["depositRule"]; !named {
		d.number("depositSlopePct", "damDepositSlopePct", "the slope of deposits")
	}
}

// upGully turns a bed that was booked from the head down. Its chainages are taken from what those of
// the gully's dams are, where the two were booked alike.
func (l *levelled) upGully(s figures.LongSection) {
	if l.unfit != "" || !l.bed.BookedDown() {
		return
	}
	fromM := l.bed[len(l.bed)-1].ChainageM
	if s.BookedFromM != nil {
		fromM = max(fromM, *s.BookedFromM)
	}
	l.fromM = &fromM
	slices.Reverse(l.bed)
	for i := range l.bed {
		l.bed[i].ChainageM = fromM - l.bed[i].ChainageM
	}
}

func sameM(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

// gully is a thalweg whose bed is chosen.
type gully struct {
	*drafting
	used      *levelled
	section   figures.LongSection
	sameFrame bool // dams and line have their chainages from the end that the used run was booked from
}

func (g *gully) lowM() float64 { return g.used.bed[0].ChainageM }
func (g *gully) topM() float64 { return g.used.bed[len(g.used.bed)-1].ChainageM }

// place settles where along the line chainages lie.
func (g *gully) place() {
	g.frame = frame{bookedFromM: g.used.fromM}
	g.frame.take(g.item.Geometry)
	switch {
	case g.frame.line == nil:
		g.miss("%s has no line of one piece: walk or draw it, and planned dams get a position.", g.item.called())
	case g.section.Line == nil:
		g.miss("which end of the line is chainage 0: say so on %s, and planned dams get a position.", g.item.called())
	case !g.sameFrame:
		g.miss("the run used was booked from the other end than the gully's other chainages, so planned dams get no position: tape two dams along the bed again.")
	default:
		g.frame.atFirstM, g.frame.down, g.frame.known = g.section.Line.AtFirstM, g.section.Line.Down, true
		g.use(g.item, "where its chainages lie along the line")
		return
	}
	g.use(g.item, "the gully that is planned")
}

// gapM and gapTimes say when two neighbouring levels of a bed are so far apart that nobody knows what
// lies between: farther than gapM, and gapTimes as far as most of the others. Common practice, no
// source: an even reach may have few levels, and a bed that was levelled every 10 m and then not for
// 50 was not levelled there.
const (
	gapM     = 30
	gapTimes = 4
)

// gaps are the reaches without levels, in which no dams are planned, and what to book.
func (g *gully) gaps() (skip []works.NoDams) {
	bed := g.used.bed
	spacings := make([]float64, len(bed)-1)
	for i := range spacings {
		spacings[i] = bed[i+1].ChainageM - bed[i].ChainageM
	}
	sorted := slices.Clone(spacings)
	slices.Sort(sorted)
	most := max(gapM, gapTimes*sorted[len(sorted)/2])
	for i, m := range spacings {
		if m <= most || len(bed) < 3 {
			continue
		}
		low, high := bed[i].ChainageM, bed[i+1].ChainageM
		g.miss("no levels between chainage %s and %s: book the bed there. No dams are planned in that reach.", metres(low), metres(high))
		skip = append(skip, works.NoDams{FromM: low, ToM: high, Why: "other"})
	}
	if !g.frame.known {
		return skip
	}
	low, high := g.frame.ends()
	if g.lowM()-low > most {
		g.miss("no levels below chainage %s, where the line goes on for %.0f m: book the bed there.", metres(g.lowM()), g.lowM()-low)
	}
	if high-g.topM() > most {
		g.miss("no levels above chainage %s, where the line goes on for %.0f m: book the bed there.", metres(g.topM()), high-g.topM())
	}
	return skip
}

// standing are the reaches of dams that are pegged or built: from the toe of each to where its silt
// will end. A new dam stands below it, with its crest at
// that toe or above, or past its silt.
func (g *gully) standing() (skip []works.NoDams) {
	for _, id := range g.p.figures.DamsIn(g.item.ID) {
		dam := g.p.items[id]
		switch dam.Status() {
		case model.Failed, model.Removed:
			continue
		case model.Proposed:
			g.leaveOut(dam, "it is proposed, and nothing of it is on the ground: the layout goes by the bed")
			if !dam.unsettled("thalweg", "chainageM", "status") {
				if atM, ok := g.chainageOf(dam); ok {
					g.existing = append(g.existing, existing{item: dam, atM: atM})
				}
			}
			continue
		}
		if g.refuseUnsettled(dam, "thalweg", "chainageM", "status", "geometry", "crestHeightM", "targetCrestLevelM", "damBelow", "fromBelowM") {
			continue
		}
		atM, ok := g.chainageOf(dam)
		if !ok {
			g.refuse("%s stands in this gully and nobody knows where along it: tape its chainage.", dam.called())
			continue
		}
		if atM < g.lowM() || atM > g.topM() {
			g.leaveOut(dam, "its toe is at chainage %s, where the bed of the run used was not levelled", metres(atM))
			continue
		}
		crestM, by := g.crestOf(dam, atM)
		toeM, _ := g.used.bed.LevelAt(atM)
		g.existing = append(g.existing, existing{item: dam, atM: atM, crestM: crestM, toeM: toeM, stands: true})
		reach := works.NoDams{FromM: g.levelBelow(atM), ToM: g.siltEnd(atM, crestM), Why: "other"}
		if reach.FromM >= reach.ToM {
			continue
		}
		skip = append(skip, reach)
		g.use(dam, "its toe is at chainage %s and its crest at %s m %s: its silt will lie to chainage %s, and no dam is planned there", metres(atM), metres2(crestM), by, metres(reach.ToM))
	}
	return skip
}

// chainageOf is where a dam stands along the bed: as the run used has its toe, else as the gully's
// figures have it.
func (g *gully) chainageOf(dam *Item) (m float64, ok bool) {
	for _, run := range g.p.figures.LevelledRuns(dam.ID) {
		if run.ID != g.used.ID {
			continue
		}
		for _, s := range run.Spots {
			if s.Place == model.ToeSpot && s.ChainageM != nil {
				return g.frame.up(*s.ChainageM), true
			}
		}
	}
	at, ok := g.sectionDam(dam.ID)
	return at.ChainageM, ok && g.sameFrame
}

func (g *gully) sectionDam(id string) (figures.SectionDam, bool) {
	return model.Find(g.section.Dams, func(s figures.SectionDam) bool { return s.ID == id })
}

// crestOf is the level of a dam's crest: as levelled, else as it was pegged for, else by its height.
func (g *gully) crestOf(dam *Item, atM float64) (m float64, by string) {
	at, _ := g.sectionDam(dam.ID)
	bedM, _ := g.used.bed.LevelAt(atM)
	if at.ToeLevelM != nil && at.Basis == model.Levelled && math.Abs(*at.ToeLevelM-bedM) > roughM+0.05 {
		g.miss("the toe of %s is levelled at %s m and the bed there at %s m: check its reading and its chainage.", dam.called(), metres2(*at.ToeLevelM), metres2(bedM))
	}
	if at.CrestLevelM != nil && at.Basis == model.Levelled {
		return *at.CrestLevelM, "as levelled"
	}
	if m, ok := dam.Number("targetCrestLevelM"); ok {
		return m, "as pegged"
	}
	if at.ToeLevelM != nil && at.Basis == model.Levelled {
		bedM = *at.ToeLevelM
	}
	if m, ok := dam.Number("crestHeightM"); ok && m > 0 {
		return bedM + m, "by its height"
	}
	return bedM + works.LeastCrestM, "at the least, as its height is not recorded"
}

// levelBelow is how far down from a toe the bed still counts as level with it, at the most sameDamM: a
// dam there would be the same.
func (g *gully) levelBelow(atM float64) float64 {
	toeM, _ := g.used.bed.LevelAt(atM)
	wantM, least := toeM-works.DamToleranceM, max(g.lowM(), atM-sameDamM)
	above := section.Station{ChainageM: atM, LevelM: toeM}
	for i := len(g.used.bed) - 1; i >= 0 && above.ChainageM > least; i-- {
		s := g.used.bed[i]
		switch {
		case s.ChainageM >= atM:
			continue
		case s.LevelM < wantM:
			return max(least, s.ChainageM+(above.ChainageM-s.ChainageM)*(wantM-s.LevelM)/(above.LevelM-s.LevelM))
		}
		above = s
	}
	return least
}

// siltEnd is where level silt behind a crest meets the bed; at the least just past the toe.
func (g *gully) siltEnd(atM, crestM float64) float64 {
	bed := g.used.bed
	least := min(g.topM(), atM+section.TapePlusMinusM)
	for i := 1; i < len(bed); i++ {
		a, b := bed[i-1], bed[i]
		if b.ChainageM <= atM || b.LevelM < crestM {
			continue
		}
		if a.LevelM >= crestM {
			return max(least, a.ChainageM)
		}
		return max(least, a.ChainageM+(b.ChainageM-a.ChainageM)*(crestM-a.LevelM)/(b.LevelM-a.LevelM))
	}
	return g.topM()
}
