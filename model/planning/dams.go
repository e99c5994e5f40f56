package planning

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
	"headcut/model/works"
)

// roughM is how far a bed may stand off the straight line between two of its levels: stones and
// pools between them. Common practice, no source; model/figures goes by the same.
const roughM = 0.1

// pastM is how far past an end of the levels a reach without dams goes on where nobody knows how far: any
// length keeps the end itself, which would be a place for a dam if the reach ended there.
const pastM = 1

// dams drafts a layout of check dams along a thalweg.
func (d *drafting) dams() {
	d.refuseUnsettled(d.item, "geometry", "chainageZero")
	section, _ := d.p.figures.LongSection(d.item.ID)
	runs := d.alikeRuns((*drafting).bedRuns)
	used := d.choose(runs, "the bed")
	if used == nil {
		return
	}
	used.put(d, "bed")
	d.compare(used, runs)
	g := &gully{drafting: d, used: used, section: section, sameFrame: sameM(used.fromM, section.BookedFromM)}
	g.place()
	g.rules()
	skip := g.gaps()
	g.standing()
	kept, sites := g.kept()
	heads := g.heads()
	if skip = append(skip, kept...); len(skip) > 0 {
		d.in.putJoined("skip", skip, d.request.Given["skip"])
	}
	if len(sites) > 0 {
		d.in.putJoined("sites", sites, d.request.Given["sites"])
	}
	if len(heads) > 0 {
		d.in.put("heads", heads)
	}
	g.notch()
	if d.request.Given["build"] != nil { // else there is nothing to price
		d.rates()
	}
}

// bedRuns are the level runs along the bed, up the gully.
func (d *drafting) bedRuns() []*levelled {
	section, _ := d.p.figures.LongSection(d.item.ID)
	runs := d.runsAlong(model.BedSpot)
	for _, l := range runs {
		l.upGully(section)
	}
	return runs
}

// rules are how high the dams are to be and how their silt will lie.
func (g *gully) rules() {
	g.heightM = works.DefaultCrestM
	if m, ok := g.number("crestHeightM", "damCrestHeightM", "the height of crests"); ok {
		g.heightM = max(m, works.LeastCrestM) // what is no height the computation refuses
	}
	if name, named := g.request.Given["depositRule"]; named {
		if rule, ok := model.Find(works.DepositRules, func(r works.DepositRule) bool { return r.Key == model.TextOf(name) }); ok {
			g.grade = rule.SlopePct(works.DamLayout{Bed: g.used.bed}.MeanBedSlopePct()) / 100
		}
	} else {
		pct, _ := g.number("depositSlopePct", "damDepositSlopePct", "the slope of deposits")
		g.grade = max(pct, 0) / 100
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

	heightM float64 // of the crests that are planned
	grade   float64 // at which silt climbs behind them, rise over run
}

func (g *gully) lowM() float64 { return g.used.bed[0].ChainageM }
func (g *gully) topM() float64 { return g.used.bed[len(g.used.bed)-1].ChainageM }

// place settles where along the line chainages lie.
func (g *gully) place() {
	g.frame = frame{bookedFromM: g.used.fromM}
	g.frame.take(g.item.Geometry)
	g.otherBeds()
	switch {
	case g.frame.line == nil:
		g.noLine("dams")
	case g.section.Line == nil:
		g.miss("which end of the line is chainage 0: say so on %s, and planned dams get a position.", g.item.Called())
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
	model.Sort(sorted)
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

// standing finds the dams of the gully that are pegged or built.
func (g *gully) standing() {
	var off []existing // the levels
	for _, id := range g.p.figures.DamsIn(g.item.ID) {
		dam := g.p.items[id]
		switch dam.Status() {
		case model.Failed, model.Removed:
			continue
		case model.Proposed:
			g.leaveOut(dam, "it is proposed, and nothing of it is on the ground: the layout goes by the bed")
			if dam.Unsettled("thalweg", "chainageM", "status") == "" {
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
			g.refuse("%s stands in this gully and nobody knows where along it: tape its chainage.", dam.Called())
			continue
		}
		if atM < g.lowM() || atM > g.topM() {
			off = append(off, existing{item: dam, atM: atM})
			continue
		}
		toeM := g.toeOf(dam, atM)
		crestM, by := g.crestOf(dam, toeM)
		g.existing = append(g.existing, existing{item: dam, atM: atM, crestM: crestM, crestBy: by, toeM: toeM, stands: true})
	}
	model.SortStable(g.existing, func(a, b existing) int { return cmp.Compare(a.atM, b.atM) })
	for _, dam := range off {
		if dam.atM > g.topM() && g.reaches(dam) {
			g.refuse("%s stands at chainage %s and the last level is at %s: a new crest below could stand over its toe. Level the bed on to %s, or end the layout farther below it by toM.", dam.item.Called(), metres(dam.atM), metres(g.topM()), dam.item.Called())
		} else {
			g.leaveOut(dam.item, "its toe is at chainage %s, where the bed of the run used was not levelled", metres(dam.atM))
		}
	}
}

// reaches tells whether the silt of a new dam, above all that stand on the levels, could lie above the toe of one
// beyond the last level. Where its toe was not levelled, the bed is taken to go on as it climbs on the whole.
func (g *gully) reaches(dam existing) bool {
	bed, lowM, toM := g.used.bed, g.lowM(), g.topM()
	toeM := bed[len(bed)-1].LevelM + works.DamLayout{Bed: bed}.MeanBedSlopePct()/100*(dam.atM-toM)
	if at, ok := g.sectionDam(dam.item.ID); ok && at.ToeLevelM != nil && at.Basis == model.Levelled {
		toeM = *at.ToeLevelM
	}
	for _, below := range g.existing {
		if below.stands {
			lowM = max(lowM, g.siltEnd(below.atM, below.crestM))
		}
	}
	var endM float64
	if jsonvalue.Unmarshal(g.request.Given["toM"], &endM) == nil {
		toM = min(toM, endM)
	}
	places := append(slices.Clone(bed), section.Station{ChainageM: lowM}, section.Station{ChainageM: toM})
	return slices.ContainsFunc(places, func(s section.Station) bool {
		levelM, ok := bed.LevelAt(s.ChainageM)
		return ok && s.ChainageM >= lowM && s.ChainageM <= toM && levelM+g.heightM+g.grade*(dam.atM-s.ChainageM) > toeM
	})
}

// kept are the reaches in which no dam may be planned for the sake of those that stand: above each to where its
// silt will end, and below it wherever a new crest, or the silt behind it, would stand above its toe.
// The highest place below where the two just meet is a good one: sites has it.
func (g *gully) kept() (skip []works.NoDams, sites []works.GoodSite) {
	lowM := g.lowM()
	for _, dam := range g.existing {
		if !dam.stands {
			continue
		}
		below := g.drowning(dam, lowM)
		met := below[0].FromM > lowM
		lowM = dam.atM
		reach := works.NoDams{FromM: below[0].FromM, ToM: g.siltEnd(dam.atM, dam.crestM), Why: "other"}
		below[0] = reach
		for _, r := range below {
			if r.FromM < r.ToM {
				skip = append(skip, r)
			}
		}
		end := "to chainage " + metres(reach.ToM)
		if reach.ToM > g.topM() {
			end = "past the last level, at chainage " + metres(g.topM())
		}
		what := fmt.Sprintf("its toe is at chainage %s and its crest at %s m %s: its silt will lie %s, and no dam is planned there", metres(dam.atM), metres2(dam.crestM), dam.crestBy, end)
		if met {
			sites = append(sites, works.GoodSite{ChainageM: reach.FromM})
			what += fmt.Sprintf(", nor from chainage %s on, where the crest of a new one meets its toe", metres(reach.FromM))
		}
		g.use(dam.item, "%s", what)
	}
	return skip, sites
}

// drowning are the reaches below a dam that stands, from it down to lowM, in which the silt of a new
// dam would lie above its toe; the first one ends at the toe. One that comes to the end of the bed goes on
// past it.
func (g *gully) drowning(dam existing, lowM float64) (all []works.NoDams) {
	const roundM = 1e-6 // of sums

	over := func(s section.Station) float64 { // of the silt there, over the toe
		return s.LevelM + g.heightM + g.grade*(dam.atM-s.ChainageM) - dam.toeM
	}
	bedM, _ := g.used.bed.LevelAt(dam.atM)
	above := section.Station{ChainageM: dam.atM, LevelM: bedM}
	all = []works.NoDams{{FromM: lowM, ToM: dam.atM, Why: "other"}}
	open := true // the last reach goes on downstream
	i, _ := slices.BinarySearchFunc(g.used.bed, dam.atM, func(s section.Station, m float64) int { return cmp.Compare(s.ChainageM, m) })
	for i--; i >= 0 && above.ChainageM > lowM; i-- {
		s := g.used.bed[i]
		if a, b := over(s), over(above); a > 0 != open {
			m := s.ChainageM + (above.ChainageM-s.ChainageM)*a/(a-b)
			if open {
				all[len(all)-1].FromM = max(m, lowM)
			} else if m > lowM {
				all = append(all, works.NoDams{FromM: lowM, ToM: m, Why: "other"})
			}
			open = !open
		}
		above = s
	}
	if first := g.used.bed[0]; open && lowM == first.ChainageM && over(first) > roundM {
		all[len(all)-1].FromM = lowM - pastM
	}
	return all
}

// chainageOf is where a dam stands along the bed: as the run used has its toe, else as the gully's
// figures have it.
func (g *gully) chainageOf(dam *recorded.Item) (m float64, ok bool) {
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

// toeOf is the level of a dam's toe: as levelled, else that of the bed. One that stands higher than the
// bed, by more than counts as level, was read beside it.
func (g *gully) toeOf(dam *recorded.Item, atM float64) float64 {
	bedM, _ := g.used.bed.LevelAt(atM)
	at, _ := g.sectionDam(dam.ID)
	if at.ToeLevelM == nil || at.Basis != model.Levelled {
		return bedM
	}
	if math.Abs(*at.ToeLevelM-bedM) > roughM+0.05 {
		g.miss("the toe of %s is levelled at %s m and the bed there at %s m: check its reading and its chainage.", dam.Called(), metres2(*at.ToeLevelM), metres2(bedM))
	}
	return min(*at.ToeLevelM, bedM+works.DamToleranceM)
}

// crestOf is the level of a dam's crest: as levelled, else as it was pegged for, else by its height.
func (g *gully) crestOf(dam *recorded.Item, toeM float64) (m float64, by string) {
	if at, _ := g.sectionDam(dam.ID); at.CrestLevelM != nil && at.Basis == model.Levelled {
		return *at.CrestLevelM, "as levelled"
	}
	if m, ok := dam.Number("targetCrestLevelM"); ok {
		return m, "as pegged"
	}
	if m, ok := dam.Number("crestHeightM"); ok && m > 0 {
		return toeM + m, "by its height"
	}
	return toeM + works.LeastCrestM, "at the least, as its height is not recorded"
}

// siltEnd is where the silt behind a crest meets the bed; at the least just past the toe.
func (g *gully) siltEnd(atM, crestM float64) float64 {
	bed := g.used.bed
	least := atM + section.TapePlusMinusM
	over := func(s section.Station) float64 { return s.LevelM - crestM - g.grade*(s.ChainageM-atM) } // of the bed, over the silt
	first, _ := slices.BinarySearchFunc(bed, atM, func(s section.Station, m float64) int { return cmp.Compare(s.ChainageM, m) })
	for i := max(1, first); i < len(bed); i++ {
		b := over(bed[i])
		if b < 0 {
			continue
		}
		a := over(bed[i-1])
		if a >= 0 {
			return max(least, bed[i-1].ChainageM)
		}
		return max(least, bed[i-1].ChainageM+(bed[i].ChainageM-bed[i-1].ChainageM)*-a/(b-a))
	}
	return max(least, g.topM()+pastM)
}
