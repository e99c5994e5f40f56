package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

// found is where a dam stands, up the gully, and the best reading of its toe and of its crest, each
// nil when it is not known.
type found struct {
	at         *standing
	toe, crest *spot
}

// dam is what other figures need of a check dam.
type dam struct {
	id, name  string
	status    model.Status
	fix       orb.Point
	hasFix    bool
	accuracyM float64
	fixBasis  model.Basis
	thalweg   string   // id of the one it is said to stand in
	bookedM   *float64 // chainage as written down
	heightM   *float64 // crest above bed as typed in
	peggedM   *float64 // level of the toe when it was pegged
	targetM   *float64 // level that its crest was to be built to

	belowID string   // of the dam below, from whose toe to its own it is upFromM; "": not known
	upFromM *float64 // as written down

	bookedBasis, heightBasis, upFromBasis model.Basis // how those were measured

	in    *thalweg  // nil: not known, or it is not on the map
	stood *standing // as booked and drawn; nil: not known
	found
	upBefore   *standing // what at was last, kept while it holds
	high       height    // what its height is told from
	next       *pair     // with the next dam upstream
	below      *pair     // with the next dam downstream
	nextBefore *pair     // what next was last, kept while it holds
}

func newDam(f model.Feature) *dam {
	d := &dam{id: f.ID, name: f.Text("name"), status: f.Status(), accuracyM: accuracy(f), thalweg: f.Text("thalweg"),
		fixBasis: placeBasis(f), bookedBasis: f.Basis("chainageM"), heightBasis: f.Basis("crestHeightM"),
		belowID: f.Text("damBelow"), upFromBasis: f.Basis("fromBelowM")}
	if d.fix, d.hasFix = fixOf(f.Geometry); d.hasFix {
		d.hasFix = model.CheckPosition(d.fix) == nil
	}
	within := func(name string, least, most float64) *float64 {
		if m, ok := f.Number(name); ok && m >= least && m <= most {
			return &m
		}
		return nil
	}
	const aboveNought, most = math.SmallestNonzeroFloat64, math.MaxFloat64
	d.bookedM, d.upFromM = within("chainageM", 0, section.MaxChainageM), within("fromBelowM", aboveNought, section.MaxChainageM)
	d.heightM, d.peggedM, d.targetM = within("crestHeightM", aboveNought, most), within("toeLevelM", -most, most), within("targetCrestLevelM", -most, most)
	return d
}

// onPaper tells that the dam is where a plan puts it, and nothing is on the ground: it is drawn, and
// says nothing of where chainages lie nor of what water meets.
func (d *dam) onPaper() bool {
	return d.status == model.Proposed && d.bookedM != nil && d.bookedBasis == model.FromPlan
}

// called is how a sentence speaks of a dam.
func (d *dam) called() string { return cmp.Or(d.name, "the next dam upstream") }

// basis is what those of the dam's levels rest on that are known, Unproven when it has none.
func (d *dam) basis() model.Basis {
	switch {
	case d.toe != nil && d.crest != nil:
		return model.Weakest(d.toe.run.basis(), d.crest.run.basis())
	case d.toe != nil:
		return d.toe.run.basis()
	case d.crest != nil:
		return d.crest.run.basis()
	}
	return model.Unproven
}

// height is the toe and the crest of a dam, of one run where one went to both: what its levels
// err by together then cancels.
type height struct{ toe, crest *spot }

func (h height) known() bool { return h.toe != nil && h.crest != nil }

func (h height) m() float64 { return h.crest.levelM - h.toe.levelM }

func (h height) basis() model.Basis { return model.Weakest(h.toe.run.basis(), h.crest.run.basis()) }

// pair is a dam and the next one upstream.
type pair struct {
	lower, upper *dam
	spacingM     float64
	plusMinusM   float64 // of the spacing
	basis        model.Basis
	step         *works.DamPair // nil: not all levelled
	fault        string         // why the levels cannot be judged
	contradicts  string         // how the chainages contradict the distance taped between; "": they do not
	grounds      grounds
	bed          section.Bed // of the gully, between the two
}

// grounds are what a pair was judged from: the same grounds give the same pair.
type grounds struct {
	lower, upper *dam
	low, up      found
}

func (p *pair) verdict() works.Meeting {
	if p.step == nil {
		return works.NotLevelled
	}
	return p.step.Verdict
}

// pair makes two dams neighbours; a pair that was judged from the same grounds is kept.
func (l *PropertyFigures) pair(lower, upper *dam, bed section.Bed) {
	at, p := grounds{lower, upper, lower.found, upper.found}, lower.nextBefore
	if p == nil || p.grounds != at || !slices.Equal(p.bed, bed) {
		p = newPair(lower, upper, bed)
		p.grounds = at
		l.did.Pairs++
	}
	lower.next, upper.below = p, p
}

// settle picks the levels of toe and crest, each by itself from the best run that went there:
// in which run a dam was pegged, and what else that run read, tells nothing of a level. The
// crest counts where it is lowest. A dam that is pegged and not yet built has a toe alone.
func (d *dam) settle(spots []*spot) {
	toes, crests := runsAt(spots, model.ToeSpot), runsAt(spots, model.CrestSpot)
	in := func(runs []*run, place model.Spot) *spot {
		if len(runs) == 0 {
			return nil
		}
		return lowest(spots, runs[0], place)
	}
	d.toe, d.crest = in(toes, model.ToeSpot), in(crests, model.CrestSpot)
	d.high = height{d.toe, d.crest}
	if !d.high.known() {
		return
	}
	for _, r := range toes {
		if slices.Contains(crests, r) && (r.proven || d.high.basis() != model.Levelled) {
			d.high = height{lowest(spots, r, model.ToeSpot), lowest(spots, r, model.CrestSpot)}
			return
		}
	}
}

// between is the bed of a closed run from below one dam to above the next, for a pair whose
// chainages are taped as those of the bed are, or found by level on it: a fix may be metres off.
func (t *thalweg) between(lower, upper *dam) section.Bed {
	if by := model.Weakest(lower.at.basis, upper.at.basis); t.bed.quality.Basis != model.Levelled || by != model.Taped && by != model.Levelled || !t.bed.sound {
		return nil
	}
	at := func(m float64) int {
		return sort.Search(len(t.bed.bed), func(i int) bool { return t.bed.bed[i].ChainageM >= m })
	}
	return t.bed.bed[max(0, at(lower.at.chainageM)-1):min(len(t.bed.bed), at(upper.at.chainageM)+1)]
}

// newPair judges a dam's crest against the toe of the next dam upstream: these two levels, and
// no others. The upper one may be pegged and not built yet, and have no crest.
func newPair(lower, upper *dam, bed section.Bed) *pair {
	p := &pair{lower: lower, upper: upper, bed: bed}
	p.space()
	crest, toe := lower.crest, upper.toe
	if crest == nil || toe == nil {
		return p
	}
	if p.spacingM < section.LeastApartM {
		p.fault = "both stand at one chainage: tape the two again"
		return p
	}
	if upper.high.known() && upper.high.m() <= 0 {
		p.fault = fmt.Sprintf("its crest at %.2f m is not above its toe at %.2f m: check that the two were not swapped in the book", upper.high.crest.levelM, upper.high.toe.levelM)
		return p
	}
	check := works.DamCheck{ToleranceM: works.DamToleranceM}
	if len(bed) > 1 {
		check.Bed, check.BedBasis = bed, model.Levelled
	}
	below := works.Dam{Name: lower.id, CrestLevelM: crest.levelM, LevelPlusMinusM: section.StaffPlusMinusM, LevelBasis: crest.run.basis()}
	above := works.Dam{Name: upper.id, ChainageM: p.spacingM, ChainagePlusMinusM: p.plusMinusM,
		ToeLevelM: toe.levelM, LevelPlusMinusM: section.StaffPlusMinusM, LevelBasis: toe.run.basis()}
	if lower.at != nil && upper.at != nil {
		below.ChainageM, above.ChainageM = lower.at.chainageM, upper.at.chainageM
	}
	if crest.run != toe.run { // then the errors carried from the benchmark do not cancel
		below.LevelPlusMinusM, above.LevelPlusMinusM = crest.plusMinusM, toe.plusMinusM
	}
	step := check.Pair(below, above)
	p.step = &step
	return p
}

func (l *PropertyFigures) judgeDam(s *Sheet, f model.Feature) {
	d := l.dams[f.ID]
	if d == nil { // newer than the survey: only what it tells of itself
		d = newDam(f)
	}
	d.addHeight(s)
	d.addLevels(s)
	if d.at != nil {
		d.at.addTo(s, d.in, d.accuracyM, d.fixBasis)
	} else if d.stood != nil {
		s.caution(chainage.name, "Its chainage is not known: say on the thalweg which end of its line is chainage 0, or tape its chainage.")
	} else if d.bookedM != nil {
		s.Figures = append(s.Figures, chainage.figure(*d.bookedM, handPlusMinusM(d.bookedBasis), d.bookedBasis))
	}
	if d.next != nil {
		d.next.addTo(s)
	}
	d.cautionFit(s)
	s.Checks = append(s.Checks, d.checks()...)
}

// addHeight prefers a levelled crest to a typed one, and a typed one to levels of a run
// that does not close.
func (d *dam) addHeight(s *Sheet) {
	h := d.high
	switch {
	case h.known() && h.m() > 0 && (h.basis() == model.Levelled || d.heightM == nil):
		plusMinus := section.LevelledAndTaped.StepPlusMinusM()
		if h.toe.run != h.crest.run { // then the errors carried from the benchmark do not cancel
			plusMinus = model.JointPlusMinus(h.toe.plusMinusM, h.crest.plusMinusM)
		}
		s.Figures = append(s.Figures, crestHeight.figure(h.m(), plusMinus, h.basis()))
		if d.heightM != nil && math.Abs(h.m()-*d.heightM) > 0.1 {
			s.caution(crestHeight.name, fmt.Sprintf("The level run makes it %.2f m high; %.2f m was typed in.", h.m(), *d.heightM))
		}
		d.cautionHeight(s, h.m())
	case d.heightM != nil:
		s.Figures = append(s.Figures, crestHeight.figure(*d.heightM, handPlusMinusM(d.heightBasis), d.heightBasis))
		d.cautionHeight(s, *d.heightM)
	}
}

// addLevels tells the level of the toe, best from a run, and what the crest is built to.
func (d *dam) addLevels(s *Sheet) {
	basis, plusMinusM := model.Unproven, -1.0
	switch {
	case d.toe != nil:
		basis, plusMinusM = d.toe.run.basis(), d.toe.plusMinusM
		s.Figures = append(s.Figures, toeLevel.figure(d.toe.levelM, plusMinusM, basis))
	case d.peggedM != nil:
		s.Figures = append(s.Figures, toeLevel.figure(*d.peggedM, plusMinusM, basis))
	}
	if d.targetM == nil {
		return
	}
	s.Figures = append(s.Figures, targetCrest.figure(*d.targetM, plusMinusM, model.FromPlan))
	if d.crest == nil {
		return
	}
	if off := d.crest.levelM - *d.targetM; math.Abs(off) > works.DamToleranceM {
		word := "above"
		if off < 0 {
			word = "below"
		}
		s.caution(targetCrest.name, fmt.Sprintf("Its crest stands %.2f m %s the level it was pegged for, %.2f m.", math.Abs(off), word, *d.targetM))
	}
}

// cautionFit says where a dam does not fit the bed or the dams beside it as they are pegged.
func (d *dam) cautionFit(s *Sheet) {
	if bedM, off := d.offBed(); off {
		s.caution(toeLevel.name, d.offBedWords("Its", bedM))
	}
	if d.drawnOff() {
		s.caution(chainage.name, d.drawnOffWords("Its"))
	}
	if d.in != nil && slices.Contains(d.in.odd, d) {
		s.caution(toeLevel.name, d.oddWords())
	}
	for _, p := range []*pair{d.below, d.next} {
		if p == nil {
			continue
		}
		if m, ok := p.plannedStep(); ok && math.Abs(m) > works.DamToleranceM {
			other := p.upper
			if p.upper == d {
				other = p.lower
			}
			s.caution(toeLevel.name, fmt.Sprintf("Beside %s as pegged: %s", cmp.Or(other.name, "the next dam"), plannedWords(m)))
		}
	}
}

func (d *dam) cautionHeight(s *Sheet, heightM float64) {
	if heightM > works.MaxCrestM {
		s.caution(crestHeight.name, fmt.Sprintf("At %.2f m it is higher than a porous dam should be: have an engineer look at it.", heightM))
	}
}

// spacingFrom is how a sentence names what a spacing rests on that was not taped.
var spacingFrom = map[model.Basis]string{model.GPS: "from GPS fixes", model.Drawn: "from positions drawn on the map", model.Estimated: "estimated",
	model.FromPlan: "from the plan", model.NotRecorded: "from positions of unknown origin", model.Levelled: "from the levelled bed", model.Unproven: "not checked by a closed run"}

// addTo adds the figures of a pair to the sheet of its lower dam.
func (p *pair) addTo(s *Sheet) {
	s.Figures = append(s.Figures, spacing.figure(p.spacingM, p.plusMinusM, p.basis))
	if p.contradicts != "" {
		s.caution(spacing.name, p.contradicts)
	}
	if p.basis != model.Taped {
		text := fmt.Sprintf("The spacing is %s, of unknown accuracy: tape it before building on it.", spacingFrom[p.basis])
		if p.plusMinusM >= 0 {
			text = fmt.Sprintf("The spacing is %s, %.0f ± %.0f m: tape it before building on it.", spacingFrom[p.basis], p.spacingM, p.plusMinusM)
		}
		s.caution(spacing.name, text)
	}
	if p.step != nil {
		s.Figures = append(s.Figures, step.figure(p.step.StepM, p.step.StepPlusMinusM, p.step.Basis))
		if p.lower.crest.run.id != p.upper.toe.run.id {
			s.caution(step.name, fmt.Sprintf("Its crest and the toe of %s were levelled in two runs, taken to be on one datum.", p.upper.called()))
		}
	}
}

func (d *dam) checks() []model.Check {
	check := model.Check{Name: "dam-check", Verdict: model.NotLevelled, Rule: step.rule}
	switch {
	case d.toe == nil && d.crest == nil:
		check.Text = "Its toe and crest have not been levelled."
	case d.crest == nil && d.toe.run.proven:
		check.Text = fmt.Sprintf("Its toe is levelled, at %.2f m; its crest is not: level it once it is built.", d.toe.levelM)
	case d.crest == nil:
		check.Text = fmt.Sprintf("Its toe is levelled, at %.2f m, by %s, %s. Its crest is not levelled.", d.toe.levelM, d.toe.run.called(), d.toe.run.unclosed())
	case d.toe != nil && d.high.m() <= 0:
		check.Text = fmt.Sprintf("Its crest is booked at %.2f m, not above its toe at %.2f m: level it again.", d.high.crest.levelM, d.high.toe.levelM)
	case !d.crest.run.proven:
		check.Text = fmt.Sprintf("Its levels come from %s, %s.", d.crest.run.called(), d.crest.run.unclosed())
	case d.next == nil && d.toe != nil:
		return nil // nothing stands upstream
	case d.next == nil:
		check.Text = fmt.Sprintf("Its crest is levelled, at %.2f m; its toe is not.", d.crest.levelM)
	default:
		return []model.Check{d.next.check(check)}
	}
	return []model.Check{check}
}

// check judges a pair whose lower dam is levelled.
func (p *pair) check(check model.Check) model.Check {
	upper := p.upper.called()
	switch {
	case p.fault != "":
		check.Text = fmt.Sprintf("It cannot be judged against %s: %s.", upper, p.fault)
	case p.step == nil:
		check.Text = fmt.Sprintf("The toe of %s has not been levelled: read it in a level run that closes.", upper)
	case p.step.Verdict == works.Level:
		check.Verdict = model.OK
		check.Text = fmt.Sprintf("Its crest is level with the toe of %s, within %.2f m.", upper, works.DamToleranceM)
	case p.step.Verdict == works.Gap:
		check.Verdict = model.Fails
		check.Text = fmt.Sprintf("Its crest is %.2f m below the toe of %s: a gap.", p.step.StepM, upper)
	case p.step.Verdict == works.Humped:
		check.Verdict = model.Fails
		check.Text = fmt.Sprintf("Between it and %s the bed rises %.2f m above its crest, at chainage %.1f m: a hump, from which water falls onto bare bed.", upper, p.step.Hump.AboveM, p.step.Hump.ChainageM)
	case p.step.Verdict == works.Drowned:
		check.Verdict = model.Fails
		check.Text = fmt.Sprintf("Its crest is %.2f m above the toe of %s: that toe will drown in silt.", -p.step.StepM, upper)
	default:
		check.Text = fmt.Sprintf("The toe of %s comes from %s, %s.", upper, p.upper.toe.run.called(), p.upper.toe.run.unclosed())
	}
	return check
}
