package treatment

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

// witness is a site at which all the conditions hold, and no other field is known; false
// when they cannot hold together.
func witness(conditions ...Condition) (Site, bool) {
	var s Site
	whats := slices.Clone(Whats)
	low, high := [fieldCount]float64{}, [fieldCount]float64{}
	for f := range high {
		high[f] = aboutFields[f].most
	}
	const apart = 0.001
	for _, c := range conditions {
		f := c.Field
		switch c.Is {
		case OneOf:
			whats = slices.DeleteFunc(whats, func(w What) bool { return !slices.Contains(c.Whats, w) })
			continue
		case AtMost:
			high[f] = min(high[f], c.Value)
		case Below:
			high[f] = min(high[f], c.Value-apart)
		case AtLeast:
			low[f] = max(low[f], c.Value)
		case Above:
			low[f] = max(low[f], c.Value+apart)
		case Yes, No:
			if s.values[f].known && (s.values[f].value == 1) != (c.Is == Yes) {
				return s, false
			}
			s.Answer(f, c.Is == Yes)
			continue
		}
		if low[f] > high[f] {
			return s, false
		}
		s.Measure(f, (low[f]+min(high[f], low[f]+2))/2, -1)
	}
	if len(whats) == 0 {
		return s, false
	}
	s.What = whats[0]
	return s, true
}

func outcome(t *testing.T, s Site, of Treatment) Outcome {
	t.Helper()
	all, err := Choose(s)
	if err != nil {
		t.Fatalf("Choose(%+v) = %v", s, err)
	}
	i := slices.IndexFunc(all, func(o Outcome) bool { return o.Treatment == of })
	return all[i]
}

func has(rules []Rule, id string) bool {
	return slices.ContainsFunc(rules, func(r Rule) bool { return r.ID == id })
}

// TestEveryRuleFires builds, from the table alone, a place at which each rule has its say.
func TestEveryRuleFires(t *testing.T) {
	for _, r := range Rules {
		for _, of := range r.For {
			fired := false
			for _, f := range Rules {
				if f.Then != Fits || !slices.Contains(f.For, of) {
					continue
				}
				s, ok := witness(append(slices.Clone(f.When), r.When...)...)
				if !ok && r.Then == RulesOut { // of a place where the treatment is thought of at all
					s, ok = witness(append(slices.Clone(f.When[:1]), r.When...)...)
				}
				if !ok {
					continue
				}
				o := outcome(t, s, of)
				switch r.Then {
				case Fits:
					fired = fired || has(o.Fits, r.ID) && o.Verdict != RuledOff
				case RulesOut:
					fired = fired || has(o.RulesOut, r.ID) && o.Verdict == RuledOff
				case Needs:
					fired = fired || has(o.Needs, r.ID) && o.Verdict != RuledOff
				}
			}
			if !fired {
				t.Errorf("%s never has a say about %s", r.ID, of)
			}
		}
	}
}

// TestNoRuleContradictsAnother: what a fitting rule asks for never rules the treatment out
// by itself, and each leads to a place where, all else known, the treatment does fit.
func TestNoRuleContradictsAnother(t *testing.T) {
	candidates := []float64{0, 0.1, 0.35, 0.5, 1, 2.5, 5, 20, 50}
	for _, r := range Rules {
		if r.Then != Fits {
			continue
		}
		for _, of := range r.For {
			s, ok := witness(r.When...)
			if !ok {
				t.Fatalf("%s can never hold", r.ID)
			}
			o := outcome(t, s, of)
			if o.Verdict == RuledOff {
				t.Fatalf("%s says that %s fits, and %v rule it out", r.ID, of, o.RulesOut)
			}
			for len(o.Lacks) > 0 {
				f, better := o.Lacks[0].Field, false
				for _, v := range candidates {
					next := s
					if next.Measure(f, v, -1); !f.Measured() {
						next.Answer(f, v > 0)
					}
					if n := outcome(t, next, of); n.Verdict != RuledOff && len(n.Lacks) < len(o.Lacks) && has(n.Fits, r.ID) {
						s, o, better = next, n, true
						break
					}
				}
				if !better {
					t.Fatalf("%s: no %s lets %s fit", r.ID, f, of)
				}
			}
			if o.Verdict != Fitting || o.Rank == 0 {
				t.Errorf("%s: %s is %q with rank %d, want it to fit", r.ID, of, o.Verdict, o.Rank)
			}
		}
	}
}

func TestRulesAreWhole(t *testing.T) {
	ids, used, fits := map[string]bool{}, map[Field]bool{}, map[Treatment]bool{}
	for _, r := range Rules {
		if ids[r.ID] || r.ID == "" || strings.Trim(r.ID, "abcdefghijklmnopqrstuvwxyz-") != "" {
			t.Errorf("rule id %q is there twice, or not of small letters and dashes", r.ID)
		}
		ids[r.ID] = true
		if r.Why == "" || !strings.HasSuffix(r.Why, ".") || r.Source.Title == "" || !slices.Contains(model.Hows, r.Source.How) || len(r.When) == 0 || len(r.For) == 0 || !slices.Contains(Effects, r.Then) {
			t.Errorf("rule %s is not whole: %+v", r.ID, r)
		}
		if r.Then == RulesOut && r.Source.How == model.FromMemory {
			t.Errorf("rule %s rules out by what nobody has looked up", r.ID)
		}
		if r.Then == Fits && r.When[0].Is != OneOf {
			t.Errorf("rule %s does not say for what sort of place", r.ID)
		}
		for _, of := range r.For {
			if !isTreatment(of) {
				t.Errorf("rule %s is for %q, which is no treatment", r.ID, of)
			}
			fits[of] = fits[of] || r.Then == Fits
		}
		for _, c := range r.When {
			if c.Is != OneOf {
				used[c.Field] = true
				if (c.Is == Yes || c.Is == No) == c.Field.Measured() || c.Field.Measured() && !(c.Value >= 0 && c.Value <= aboutFields[c.Field].most) {
					t.Errorf("rule %s has a condition that no field can meet: %v", r.ID, c)
				}
			}
		}
	}
	for _, f := range Fields() {
		if !used[f] {
			t.Errorf("no rule looks at %s", f)
		}
	}
	for _, a := range Treatments {
		if !fits[a.Treatment] {
			t.Errorf("no rule says where %s fits", a.Treatment)
		}
		if a.Label == "" || a.Labour == "" || a.Material == "" || a.Caution == "" || a.Step.String() == "" {
			t.Errorf("%s is not told of whole: %+v", a.Treatment, a)
		}
	}
	if !slices.IsSortedFunc(Treatments, func(a, b About) int { return int(a.Step - b.Step) }) {
		t.Error("Treatments are not in the order of their steps")
	}
}

func isTreatment(t Treatment) bool {
	return slices.ContainsFunc(Treatments, func(a About) bool { return a.Treatment == t })
}

func TestFieldsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Fields() {
		about := aboutFields[f]
		if about.name == "" || about.reads == "" || seen[about.name] || f.Measured() != (about.most > 0) || f.Measured() == (about.not != "") {
			t.Errorf("field %d is not told of whole: %+v", f, about)
		}
		seen[about.name] = true
		if f.Measured() && f.PlusMinusName() == "" {
			t.Errorf("%s has no name for its plus-minus", f)
		}
	}
}

func TestConditions(t *testing.T) {
	at := func(v, plusMinus float64) Site {
		var s Site
		s.Measure(DepthM, v, plusMinus)
		return s
	}
	for _, c := range []struct {
		name string
		c    Condition
		s    Site
		want Truth
		text string
	}{
		{"at-most-on", atMost(DepthM, 0.5), at(0.5, -1), True, "depth at most 0.5 m"},
		{"at-most-over", atMost(DepthM, 0.5), at(0.51, 0), False, "depth at most 0.5 m"},
		{"below-on", below(DepthM, 0.5), at(0.5, -1), False, "depth below 0.5 m"},
		{"at-least-on", atLeast(DepthM, 0.5), at(0.5, 0), True, "depth at least 0.5 m"},
		{"above-on", above(DepthM, 0.5), at(0.5, 0), False, "depth above 0.5 m"},
		{"too-close", above(DepthM, 0.5), at(0.55, 0.06), TooClose, "depth above 0.5 m"},
		{"too-close-beneath", above(DepthM, 0.5), at(0.45, 0.06), TooClose, "depth above 0.5 m"},
		{"just-a-deviation-off", above(DepthM, 0.5), at(0.75, 0.25), True, "depth above 0.5 m"},
		{"not-measured", above(DepthM, 0.5), Site{}, NotMeasured, "depth above 0.5 m"},
		{"no-answer", no(StockOut), Site{}, NotMeasured, "stock cannot be kept out"},
		{"place", place(Gully, Scald), Site{What: Scald}, True, "gully or scald"},
		{"other-place", place(Gully), Site{What: Scald}, False, "gully"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.c.At(c.s); got != c.want || c.c.String() != c.text {
				t.Errorf("%q at %+v: %q, want %q of %q", c.c, c.s.values[DepthM], got, c.want, c.text)
			}
		})
	}
}

func TestSiteRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Field
		v    float64
		pm   float64
		path string
	}{
		{"millimetres", DepthM, 800, -1, "depthM"},
		{"negative", HeadDepthM, -0.1, -1, "headDepthM"},
		{"not-a-number", WallRunPerRise, math.NaN(), -1, "wallRunPerRise"},
		{"wall-in-degrees", WallRunPerRise, 45, -1, "wallRunPerRise"},
		{"square-metres", CatchmentHa, 15_000, -1, "catchmentHa"},
		{"overhanging", WallRunPerRise, -0.2, -1, "wallRunPerRise"},
		{"cover-part-of-one", CoverPct, 0.4, -1, "coverPct"},
		{"plus-minus-not-a-number", DepthM, 1, math.NaN(), "depthPlusMinusM"},
		{"plus-minus-in-millimetres", BedSlopePct, 1, 500, "bedSlopePlusMinusPct"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Site{What: Gully}
			s.Measure(c.f, c.v, c.pm)
			_, err := Choose(s)
			if p, ok := err.(*model.Problem); !ok || p.Path != c.path || p.Fix == "" {
				t.Errorf("%s = %v ± %v: %v, want a problem at %s with a fix", c.f, c.v, c.pm, err, c.path)
			}
		})
	}
	if _, err := Choose(Site{What: "crater"}); err == nil {
		t.Error("Choose of a crater = no error")
	}
}

// TestRulesTakeWhatTheySay: where the words of a rule against a treatment name the figure of
// one of its conditions, they and the condition agree about the figure itself.
func TestRulesTakeWhatTheySay(t *testing.T) {
	tried := 0
	for _, r := range Rules {
		for _, c := range r.When {
			if r.Then != RulesOut && r.Then != Needs || c.Is == OneOf || c.Is == Yes || c.Is == No {
				continue
			}
			for words, is := range map[string]Comparison{"under": AtLeast, "below": AtLeast, "past": Above, "above": Above, "over": Above, "deeper than": Above, "hold to": Above, "limit of": AtLeast} {
				if strings.Contains(strings.ToLower(r.Why)+" ", fmt.Sprintf(" %s %v ", words, c.Value)) {
					if tried++; c.Is != is {
						t.Errorf("%s says %q, and its condition is %q", r.ID, r.Why, c)
					}
				}
			}
		}
	}
	if tried < 8 {
		t.Errorf("only %d rules name a figure: the words are wrong", tried)
	}
}
