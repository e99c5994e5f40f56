package compute

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/grazing"
	"headcut/model/modeltest"
	"headcut/model/monitor"
)

// TestForageBudgetAnswers meets the published lesson, its ratings and its intake by name.
func TestForageBudgetAnswers(t *testing.T) {
	supply, demand := modeltest.Named(t, "grazing", "FB01"), modeltest.Named(t, "grazing", "FB03")
	var out forageBudgetOut
	run(t, "forage-budget", fmt.Sprintf(`{"landTypes":[{"areaHa":%v,"photosKgHa":[%v]}],"detachmentPct":%v,"unpalatablePct":%v,"residualKgHa":%v,"ratings":"ae-low","mobs":[{"head":%v,"class":"steers 1-2"}],"days":214}`,
		demand.Number(t, "ha"), supply.Number(t, "yield"), 100*supply.Number(t, "detach"), 100*supply.Number(t, "unpal"), supply.Number(t, "residual"), demand.Number(t, "head")), &out)
	supply.Check(t, "available", out.Eat.EatKgHa.Value)
	demand.Check(t, "kg_ha", out.Herd.Over.EatsKgHa.Value)
	if out.Eat.EatKgHa.PlusMinus != -1 || out.Eat.CautiousKgHa != nil || out.Herd.Over.Enough != "cannot tell" {
		t.Errorf("eat %+v, enough: %s; want no plus-minus of what has none", out.Eat, out.Herd.Over.Enough)
	}
	if !strings.Contains(out.IntakeSource, "intake for each AE (looked up)") || *out.Fits.Head.Value != 771 || out.Cover != nil {
		t.Errorf("intake from %q, %v head, cover %v", out.IntakeSource, *out.Fits.Head.Value, out.Cover)
	}
	if out.Unit != "adult equivalent" || len(out.Classes) != len(grazing.AllRatings[0].Classes) || out.Classes[6] != (grazing.Class{Name: "steers 1-2", UnitsPerHead: 0.78}) {
		t.Errorf("classes in %s: %v", out.Unit, out.Classes)
	}
	if len(out.Proposals) != len(grazing.Proposed()) || len(out.Proposals) < 20 {
		t.Errorf("%d proposals, want all", len(out.Proposals))
	}
	for _, p := range out.Proposals {
		if !slices.ContainsFunc(model.Hows, func(h model.How) bool { return strings.HasSuffix(p.Source, "("+string(h)+")") }) {
			t.Errorf("%+v does not say how far its source was read", p)
		}
	}
}

// The names that the reader lets through are those of the tables, and every input that something
// is proposed for is one.
func TestForageBudgetChoicesAreWhole(t *testing.T) {
	want := map[string][]string{
		"ratings":     model.Each(grazing.AllRatings, func(r grazing.Ratings) string { return r.Name }),
		"coverTarget": model.Each(monitor.CoverTargets, func(c monitor.CoverTarget) string { return c.Name }),
	}
	var inputs []string
	for _, p := range forageBudget.Inputs() {
		inputs = append(inputs, p.Name)
		if names, ok := want[p.Name]; ok && !slices.Equal(p.Choices, names) {
			t.Errorf("%s may be %q, want %q", p.Name, p.Choices, names)
		}
	}
	for _, p := range grazing.Proposed() {
		if !slices.Contains(inputs, p.Input) {
			t.Errorf("something is proposed for %s, which is no input", p.Input)
		}
	}
}

// A cover that was fed has the limits and the local target of its answer, unless others are given.
func TestForageBudgetTakesCover(t *testing.T) {
	const paddock = `"landTypes":[{"areaHa":300,"photosKgHa":[2900]}],"detachmentPct":15,"unpalatablePct":10,"residualKgHa":1000,"intakeKgDay":8`
	answered := func(target string) string {
		text, err := Run("cover", []byte(`{"points":{"hits":92,"total":200}`+target+`}`))
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSuffix(string(text), "}") + "," + paddock
	}
	for _, c := range []struct{ name, in, meets string }{
		{"local-target", answered(`,"targetPct":55`) + `}`, "no"},
		{"other-target", answered(`,"targetPct":55`) + `,"coverTargetPct":50}`, "cannot tell"},
		{"named-target", answered(`,"targetPct":30`) + `,"coverTarget":"soil-loss-70"}`, "no"},
		{"other-limits", answered(`,"targetPct":55`) + `,"coverLowPct":45,"coverHighPct":60}`, "cannot tell"},
		{"limits-not-known", `{"coverPct":80,"coverTargetPct":50,` + paddock + `}`, "cannot tell"},
	} {
		var out forageBudgetOut
		run(t, "forage-budget", c.in, &out)
		if out.Cover == nil || out.Cover.Meets != c.meets || out.Cover.RestFirst != (c.meets != "yes") || (out.Cover.LeastRestDays != nil) != out.Cover.RestFirst || out.Cautions[0].About != "cover" {
			t.Errorf("%s: %+v, want %s", c.name, out.Cover, c.meets)
		}
	}
	if p := problemOf(t, "forage-budget", []byte(answered("")+`}`)); p == nil || p.Path != "coverTargetPct" {
		t.Errorf("cover without a target: %v, want it asked for", p)
	}
}

func TestForageBudgetNamesTheFault(t *testing.T) {
	base := map[string]string{
		"landTypes": `[{"areaHa":300,"photosKgHa":[2900]}]`, "detachmentPct": "15", "unpalatablePct": "10", "residualKgHa": "1000", "intakeKgDay": "8",
	}
	for _, c := range []struct {
		name, path string
		set        map[string]string // empty: left out
	}{
		{"two-detachments", "detachmentPct", map[string]string{"detachmentPer30DaysPct": "7"}},
		{"plus-minus-alone", "detachmentPer30DaysPlusMinusPct", map[string]string{"detachmentPer30DaysPlusMinusPct": "2"}},
		{"negative-plus-minus", "unpalatablePlusMinusPct", map[string]string{"unpalatablePlusMinusPct": "-1"}},
		{"negative-eye", "eyePlusMinusPct", map[string]string{"eyePlusMinusPct": "-1"}},
		{"no-days", "days", map[string]string{"days": "0"}},
		{"share-of-nothing", "utilisationPct", map[string]string{"utilisationOf": `"growth"`}},
		{"growth-without-its-share", "utilisationPct", map[string]string{"yearGrowthKgHa": "1800"}},
		{"share-of-growth-without-it", "yearGrowthKgHa", map[string]string{"utilisationPct": "25", "utilisationOf": `"growth"`}},
		{"growth-of-standing-feed", "yearGrowthKgHa", map[string]string{"utilisationPct": "25", "utilisationOf": `"standing feed"`, "yearGrowthKgHa": "1800"}},
		{"intake-plus-minus-alone", "intakePlusMinusKgDay", map[string]string{"intakeKgDay": "", "intakePlusMinusKgDay": "0.4"}},
		{"class-without-ratings", "mobs[0].class", map[string]string{"mobs": `[{"head":3,"class":"goat"}]`}},
		{"class-and-units", "mobs[0].unitsPerHead", map[string]string{"ratings": `"dse"`, "mobs": `[{"head":3,"class":"goat","unitsPerHead":1}]`}},
		{"neither-class-nor-units", "mobs[0].unitsPerHead", map[string]string{"ratings": `"dse"`, "mobs": `[{"head":3}]`}},
		{"no-head", "mobs[0].head", map[string]string{"mobs": `[{"head":0,"unitsPerHead":1}]`}},
		{"dried-with-a-share", "landTypes[0].quadrats.dried", map[string]string{"landTypes": `[{"areaHa":3,"quadrats":{"frameM2":0.25,"cutsG":[100],"dried":true,"dryMatterPct":40}}]`}},
		{"share-and-samples", "landTypes[0].quadrats.drySamples", map[string]string{"landTypes": `[{"areaHa":3,"quadrats":{"frameM2":0.25,"cutsG":[100],"drySamples":[{"freshG":100,"dryG":40,"plateG":10}],"dryMatterPct":40}}]`}},
		{"sample-of-all", "drySamples[0].dryG", map[string]string{"drySamples": `[{"freshG":100,"dryG":140,"plateG":10}]`}},
		{"area-plus-minus", "landTypes[0].areaPlusMinusHa", map[string]string{"landTypes": `[{"areaHa":3,"areaPlusMinusHa":-1,"photosKgHa":[2900]}]`}},
		{"two-targets", "coverTargetPct", map[string]string{"coverPct": "50", "coverTargetPct": "50", "coverTarget": `"runoff-50"`}},
		{"target-alone", "coverPct", map[string]string{"coverTarget": `"runoff-50"`}},
		{"limit-alone", "coverPct", map[string]string{"coverLowPct": `40`}},
		{"one-limit", "coverLowPct", map[string]string{"coverPct": "50", "coverTargetPct": "50", "coverLowPct": `40`}},
		{"cover-plus-minus", "coverPlusMinusPct", map[string]string{"coverPct": "50", "coverPlusMinusPct": "-4", "coverTargetPct": "50"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var parts []string
			for name, value := range base {
				if set, ok := c.set[name]; ok {
					value = set
				}
				if value != "" {
					parts = append(parts, fmt.Sprintf("%q:%s", name, value))
				}
			}
			for name, value := range c.set {
				if _, ok := base[name]; !ok {
					parts = append(parts, fmt.Sprintf("%q:%s", name, value))
				}
			}
			in := "{" + strings.Join(parts, ",") + "}"
			if p := problemOf(t, "forage-budget", []byte(in)); p == nil || p.Path != c.path {
				t.Errorf("%s: %v, want a problem at %s", in, p, c.path)
			}
		})
	}
}

// The warning that an intake is of other ratings comes for another one alone.
func TestIntakeOfItsRatings(t *testing.T) {
	for intake, mixed := range map[string]bool{``: false, `,"intakeKgDay":8.5`: false, `,"intakeKgDay":10`: true} {
		var out forageBudgetOut
		run(t, "forage-budget", `{"landTypes":[{"areaHa":300,"photosKgHa":[2900]}],"detachmentPct":15,"unpalatablePct":10,"residualKgHa":1000,"ratings":"ae-low"`+intake+`}`, &out)
		if got := slices.ContainsFunc(out.Cautions, func(c model.Caution) bool { return strings.HasPrefix(c.Text, "Ratings go with") }); got != mixed {
			t.Errorf("intake %q: warned of another: %t, want %t", intake, got, mixed)
		}
	}
}
