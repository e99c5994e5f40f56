package treatment

import (
	"cmp"
	"slices"

	"headcut/model"
)

// Verdict is what became of a treatment at a site.
type Verdict string

const (
	Fitting   Verdict = "fits"
	Undecided Verdict = "not decided" // something has to be measured first, or better
	RuledOff  Verdict = "ruled out"
	NotFor    Verdict = "not for such a place"
)

// Verdicts lists every verdict.
var Verdicts = []Verdict{Fitting, Undecided, RuledOff, NotFor}

// Lack is a field that keeps rules from telling.
type Lack struct {
	Field Field
	Truth Truth    // NotMeasured or TooClose
	Rules []string // the ids of the rules it would settle
}

// Outcome is one treatment at a site, with every rule that had a say.
type Outcome struct {
	About
	Verdict  Verdict
	Rank     int // from 1 among those that fit; 0 for the others
	Fits     []Rule
	RulesOut []Rule
	Needs    []Rule // what is unmet
	Failed   []Rule // where no rule for it holds: those that could have
	Lacks    []Lack // what decides between fitting and not
	Unsure   []Lack // what would tell whether more is needed
}

// Choose judges every treatment at a site by Rules. The answer has those that fit first,
// ranked by the step of the trade's order, within a step by how many needs are unmet, then
// by the order of Treatments; then those not decided, those ruled out and those that are
// not for such a place, each in the order of Treatments. It returns a *model.Problem whose
// path is the name of the field at fault.
func Choose(s Site) ([]Outcome, error) {
	if !slices.Contains(Whats, s.What) {
		return nil, &model.Problem{Path: "what", Reason: "is not a sort of place that is known"}
	}
	if err := s.Check(); err != nil {
		return nil, err
	}
	all := make([]Outcome, len(Treatments))
	for i, about := range Treatments {
		all[i] = judge(about, s)
	}
	model.SortStable(all, func(a, b Outcome) int {
		order := cmp.Compare(slices.Index(Verdicts, a.Verdict), slices.Index(Verdicts, b.Verdict))
		if order == 0 && a.Verdict == Fitting {
			order = cmp.Or(cmp.Compare(a.Step, b.Step), cmp.Compare(len(a.Needs), len(b.Needs)))
		}
		return order
	})
	for i := range all {
		if all[i].Verdict == Fitting {
			all[i].Rank = i + 1
		}
	}
	return all, nil
}

func judge(about About, s Site) Outcome {
	o := Outcome{About: about}
	var couldFit, couldRuleOut, couldNeed []Rule // undecided
	met := map[Effect]*[]Rule{Fits: &o.Fits, RulesOut: &o.RulesOut, Needs: &o.Needs}
	could := map[Effect]*[]Rule{Fits: &couldFit, RulesOut: &couldRuleOut, Needs: &couldNeed}
	for _, r := range Rules {
		if !slices.Contains(r.For, about.Treatment) {
			continue
		}
		into := could[r.Then]
		switch allAt(r.When, s) {
		case True:
			into = met[r.Then]
		case False:
			into = &o.Failed
			if r.Then != Fits || !r.isFor(s.What) {
				continue
			}
		}
		*into = append(*into, r)
	}
	for _, r := range couldNeed {
		o.Unsure = lacking(o.Unsure, r, s)
	}
	switch {
	case len(o.Fits)+len(couldFit)+len(o.Failed) == 0:
		return Outcome{About: about, Verdict: NotFor}
	case len(o.RulesOut) > 0:
		o.Verdict, o.Failed, o.Needs, o.Unsure = RuledOff, nil, nil, nil
		return o
	case len(o.Fits)+len(couldFit) == 0:
		o.Verdict, o.Needs, o.Unsure = RuledOff, nil, nil
		return o
	case len(o.Fits) > 0:
		couldFit = nil // one that fits is enough
	}
	o.Failed = nil
	for _, r := range slices.Concat(couldFit, couldRuleOut) {
		o.Lacks = lacking(o.Lacks, r, s)
	}
	if o.Verdict = Fitting; len(o.Lacks) > 0 {
		o.Verdict = Undecided
	}
	return o
}

// isFor tells whether the rule's sort of place is this one.
func (r Rule) isFor(w What) bool {
	for _, c := range r.When {
		if c.Is == OneOf && !slices.Contains(c.Whats, w) {
			return false
		}
	}
	return true
}

// lacking adds the conditions of r that cannot be told at s to the list.
func lacking(lacks []Lack, r Rule, s Site) []Lack {
	for _, c := range r.When {
		truth := c.At(s)
		if truth != NotMeasured && truth != TooClose {
			continue
		}
		i := slices.IndexFunc(lacks, func(l Lack) bool { return l.Field == c.Field })
		if i < 0 {
			lacks, i = append(lacks, Lack{Field: c.Field, Truth: truth}), len(lacks)
		}
		if !slices.Contains(lacks[i].Rules, r.ID) {
			lacks[i].Rules = append(lacks[i].Rules, r.ID)
		}
	}
	return lacks
}
