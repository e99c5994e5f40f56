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

	in         *thalweg  // nil: not known, or it is not on the map
	stood      *standing // as booked and drawn; nil: not known
	at         *standing // the same, up the gully
	upBefore   *standing // what at was last, kept while it holds
	toe, crest *spot     // nil: not levelled
	next       *pair     // with the next dam upstream
	below      *pair     // with the next dam downstream
	nextBefore *pair     // what next was last, kept while it holds
}

func newDam(f model.Feature) *dam {
	d := &dam{id: f.ID, name: f.Text("name"), status: f.Status(), accuracyM: accuracy(f), thalweg: f.Text("thalweg"),
		fixBasis: placeBasis(f), bookedBasis: f.Basis("chainageM"), heightBasis: f.Basis("crestHeightM"),
		belowID: f.Text("damBelow"), upFromBasis: f.Basis("fromBelowM")}
	if d.fix, d.hasFix = fixOf(f.Geometry); d.hasFix {
		_, err := model.CheckPosition(d.fix[0], d.fix[1])
		d.hasFix = err == nil
	}
	if m, ok := f.Number("chainageM"); ok && m >= 0 && m <= section.MaxChainageM {
		d.bookedM = &m
	}
	if m, ok := f.Number("fromBelowM"); ok && m > 0 && m <= section.MaxChainageM {
		d.upFromM = &m
	}
	if m, ok := f.Number("crestHeightM"); ok && m > 0 {
		d.heightM = &m
	}
	if m, ok := f.Number("toeLevelM"); ok {
		d.peggedM = &m
	}
	if m, ok := f.Number("targetCrestLevelM"); ok {
		d.targetM = &m
	}
	return d
}

// called is how a sentence speaks of a dam.
func (d *dam) called() string { return cmp.Or(d.name, "the next dam upstream") }

// basis is what the dam's levels rest on, Unproven when it has none.
func (d *dam) basis() model.Basis {
	if d.toe == nil || d.crest == nil {
		return model.Unproven
	}
	return model.Weakest(d.toe.run.basis(), d.crest.run.basis())
}

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
	lower, upper         *dam
	lowerAt, upperAt     *standing
	lowerToe, lowerCrest *spot
	upperToe, upperCrest *spot
}

func groundsOf(lower, upper *dam) grounds {
	return grounds{lower: lower, upper: upper, lowerAt: lower.at, upperAt: upper.at,
		lowerToe: lower.toe, lowerCrest: lower.crest, upperToe: upper.toe, upperCrest: upper.crest}
}

func (p *pair) verdict() works.Meeting {
	if p.step == nil {
		return works.NotLevelled
	}
	return p.step.Verdict
}

// pair makes two dams neighbours; a pair that was judged from the same grounds is kept.
func (l *PropertyFigures) pair(lower, upper *dam, bed section.Bed) {
	at, p := groundsOf(lower, upper), lower.nextBefore
	if p == nil || p.grounds != at || !slices.Equal(p.bed, bed) {
		p = newPair(lower, upper, bed)
		p.grounds = at
		l.did.Pairs++
	}
	lower.next, upper.below = p, p
}

// settle picks the levels of toe and crest: from the best run that went to both, else
// each from the best that went there. The crest counts where it is lowest. A dam that is
// pegged and not yet built has a toe alone.
func (d *dam) settle(spots []*spot) {
	d.toe, d.crest = nil, nil
	toes, crests := runsAt(spots, model.ToeSpot), runsAt(spots, model.CrestSpot)
	if len(toes) == 0 || len(crests) == 0 {
		if len(toes) > 0 {
			d.toe = lowest(spots, toes[0], model.ToeSpot)
		}
		if len(crests) > 0 {
			d.crest = lowest(spots, crests[0], model.CrestSpot)
		}
		return
	}
	toeRun, crestRun := toes[0], crests[0]
	for _, r := range toes {
		if slices.Contains(crests, r) && (r.proven || !toeRun.proven || !crestRun.proven) {
			toeRun, crestRun = r, r
			break
		}
	}
	d.toe, d.crest = lowest(spots, toeRun, model.ToeSpot), lowest(spots, crestRun, model.CrestSpot)
}

// between is the bed of a closed run from below one dam to above the next, for a pair whose
// chainages are taped as those of the bed are: a fix may be metres off.
func (t *thalweg) between(lower, upper *dam) section.Bed {
	if t.bed.quality.Basis != model.Levelled || model.Weakest(lower.at.basis, upper.at.basis) != model.Taped || t.bed.bed.Check() != nil {
		return nil
	}
	at := func(m float64) int {
		return sort.Search(len(t.bed.bed), func(i int) bool { return t.bed.bed[i].ChainageM >= m })
	}
	return t.bed.bed[max(0, at(lower.at.chainageM)-1):min(len(t.bed.bed), at(upper.at.chainageM)+1)]
}

func newPair(lower, upper *dam, bed section.Bed) *pair {
	p := &pair{lower: lower, upper: upper, bed: bed}
	p.space()
	if lower.crest == nil || lower.toe == nil || upper.crest == nil || upper.toe == nil {
		return p
	}
	check := works.DamCheck{ToleranceM: works.DamToleranceM}
	if len(bed) > 1 {
		check.Bed, check.BedBasis = bed, model.Levelled
	}
	for i, d := range []*dam{lower, upper} {
		atM := float64(i) * p.spacingM
		if lower.at != nil && upper.at != nil {
			atM = d.at.chainageM
		}
		check.Dams = append(check.Dams, works.Dam{Name: d.id, ChainageM: atM, ChainagePlusMinusM: float64(i) * p.plusMinusM,
			ToeLevelM: d.toe.levelM, CrestLevelM: d.crest.levelM, LevelPlusMinusM: section.StaffPlusMinusM, LevelBasis: d.basis()})
	}
	pairs, _, err := check.Pairs()
	if err != nil {
		p.fault = err.Error()
		if fault, ok := err.(*model.Problem); ok {
			p.fault = fault.Reason
		}
		return p
	}
	p.step = &pairs[0]
	return p
}

func (l *PropertyFigures) judgeDam(s *Sheet, f model.Feature) {
	d := l.dams[f.ID]
	if d == nil { // newer than the survey: only what it tells of itself
		d = newDam(f)
	}
	d.tellHeight(s)
	d.tellLevels(s)
	if d.at != nil {
		d.at.tell(s, d.in, d.accuracyM, d.fixBasis)
	} else if d.stood != nil {
		s.caution(chainage.name, "Its chainage is not known: say on the thalweg which end of its line is chainage 0, or tape its chainage.")
	} else if d.bookedM != nil {
		s.Figures = append(s.Figures, chainage.figure(*d.bookedM, handPlusMinusM(d.bookedBasis), d.bookedBasis))
	}
	if d.next != nil {
		d.next.tell(s)
	}
	d.tellFit(s)
	s.Checks = append(s.Checks, d.checks()...)
}

// tellHeight prefers a levelled crest to a typed one, and a typed one to levels of a run
// that does not close.
func (d *dam) tellHeight(s *Sheet) {
	levelled := d.toe != nil && d.crest != nil && d.crest.levelM > d.toe.levelM
	switch {
	case levelled && (d.basis() == model.Levelled || d.heightM == nil):
		height := d.crest.levelM - d.toe.levelM
		plusMinus := section.LevelledAndTaped.StepPlusMinusM()
		if d.toe.run != d.crest.run { // then the errors carried from the benchmark do not cancel
			plusMinus = model.JointPlusMinus(d.toe.plusMinusM, d.crest.plusMinusM)
		}
		s.Figures = append(s.Figures, crestHeight.figure(height, plusMinus, d.basis()))
		if d.heightM != nil && math.Abs(height-*d.heightM) > 0.1 {
			s.caution(crestHeight.name, fmt.Sprintf("The level run makes it %.2f m high; %.2f m was typed in.", height, *d.heightM))
		}
		d.tellHigh(s, height)
	case d.heightM != nil:
		s.Figures = append(s.Figures, crestHeight.figure(*d.heightM, handPlusMinusM(d.heightBasis), d.heightBasis))
		d.tellHigh(s, *d.heightM)
	}
}

// tellLevels tells the level of the toe, best from a run, and what the crest is built to.
func (d *dam) tellLevels(s *Sheet) {
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

// tellFit says where a dam does not fit the bed or the dams beside it as they are pegged.
func (d *dam) tellFit(s *Sheet) {
	if bedM, off := d.offBed(); off {
		s.caution(toeLevel.name, d.offBedWords("Its", bedM))
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

func (d *dam) tellHigh(s *Sheet, heightM float64) {
	if heightM > works.MaxCrestM {
		s.caution(crestHeight.name, fmt.Sprintf("At %.2f m it is higher than a porous dam should be: have an engineer look at it.", heightM))
	}
}

// spacingFrom is how a sentence names what a spacing rests on that was not taped.
var spacingFrom = map[model.Basis]string{model.GPS: "from GPS fixes", model.Drawn: "from positions drawn on the map", model.Estimated: "estimated",
	model.FromPlan: "from the plan", model.NotRecorded: "from positions of unknown origin", model.Levelled: "levelled", model.Unproven: "not checked by a closed run"}

// tell adds the figures of a pair to the sheet of its lower dam.
func (p *pair) tell(s *Sheet) {
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
	case d.toe == nil:
		check.Text = fmt.Sprintf("Its crest is levelled, at %.2f m; its toe is not.", d.crest.levelM)
	case d.crest.levelM <= d.toe.levelM:
		check.Text = fmt.Sprintf("Its crest is booked at %.2f m, not above its toe at %.2f m: level it again.", d.crest.levelM, d.toe.levelM)
	case d.basis() != model.Levelled:
		bad := d.toe.run
		if bad.proven {
			bad = d.crest.run
		}
		check.Text = fmt.Sprintf("Its levels come from %s, %s.", bad.called(), bad.unclosed())
	case d.next == nil:
		return nil // nothing stands upstream
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
		check.Text = fmt.Sprintf("The toe of %s has not been levelled.", upper)
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
		check.Text = fmt.Sprintf("The levels of %s are not from a closed run.", upper)
	}
	return check
}
