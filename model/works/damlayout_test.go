package works

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/section"
)

// uniform is a bed of one slope, surveyed every so many metres.
func uniform(lengthM, slope, everyM float64) section.Bed {
	var bed section.Bed
	for x := 0.0; x < lengthM; x += everyM {
		bed = append(bed, section.Station{ChainageM: x, LevelM: 100 + slope*x})
	}
	return append(bed, section.Station{ChainageM: lengthM, LevelM: 100 + slope*lengthM})
}

func lay(t *testing.T, l DamLayout) []DamSite {
	t.Helper()
	plan, err := l.Plan()
	if err != nil {
		t.Fatalf("Plan of %+v: %v", l, err)
	}
	return plan.Dams
}

func chainages(sites []DamSite) []float64 {
	var all []float64
	for _, s := range sites {
		all = append(all, s.ChainageM)
	}
	return all
}

// The printed spacings are for beds of one slope; the walk must find them there.
func TestDamLayoutMeetsPublishedSpacings(t *testing.T) {
	metres := map[string]float64{"ft": 0.3048, "m": 1}
	for _, c := range modeltest.Cases(t, "gully", "spacing_horizontal") {
		t.Run(c.ID, func(t *testing.T) {
			unit := metres[c.Text(t, "unit")]
			sites := lay(t, DamLayout{Bed: uniform(400, c.Number(t, "bed_gradient"), 7), Quality: section.LevelledAndTaped,
				CrestHeightM: c.Number(t, "height") * unit, DepositSlopePct: 100 * c.Number(t, "final_gradient")})
			for i := 1; i < len(sites); i++ {
				c.Check(t, "spacing", (sites[i].ChainageM-sites[i-1].ChainageM)/unit)
			}
			if len(sites) < 3 {
				t.Errorf("%s: %d dams in 400 m, want several", c.ID, len(sites))
			}
		})
	}
}

// Heede measures along the bed; the layout is horizontal, his deposit slope included.
func TestDamLayoutMeetsHeedeSpacing(t *testing.T) {
	heede := DepositRules[3]
	for _, c := range modeltest.Cases(t, "gully", "spacing_heede") {
		t.Run(c.ID, func(t *testing.T) {
			g := c.Number(t, "bed_gradient")
			sites := lay(t, DamLayout{Bed: uniform(100, g, 9), CrestHeightM: c.Number(t, "effective_height"), DepositSlopePct: heede.SlopePct(100 * g)})
			c.Check(t, "spacing_slope", (sites[1].ChainageM-sites[0].ChainageM)*math.Sqrt(1+g*g))
		})
	}
}

func TestDamLayoutMeetsPublishedCounts(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "dam_count_gradient", "dam_count_fao") {
		t.Run(c.ID, func(t *testing.T) {
			final := "final_gradient"
			if c.Topic == "dam_count_fao" {
				final = "compensation_gradient"
			}
			sites := lay(t, DamLayout{Bed: uniform(c.Number(t, "length"), c.Number(t, "bed_gradient"), 11),
				CrestHeightM: c.Number(t, "height"), DepositSlopePct: 100 * c.Number(t, final)})
			got := float64(len(sites))
			if c.Number(t, "bed_gradient") <= c.Number(t, final) {
				got-- // the first dam of a layout is where the officer put it, needed or not
			}
			c.Check(t, "count", got)
		})
	}
}

func TestDamLayoutWalksSurveyedBeds(t *testing.T) {
	worst := 0.0
	for _, c := range modeltest.Cases(t, "gully", "walk_profile") {
		t.Run(c.ID, func(t *testing.T) {
			var bed section.Bed
			for _, s := range modeltest.Input[[][2]float64](t, c, "profile_upstream") {
				bed = append(bed, section.Station{ChainageM: s[0], LevelM: s[1]})
			}
			from := c.Number(t, "start_chainage")
			got := chainages(lay(t, DamLayout{Bed: bed, CrestHeightM: c.Number(t, "effective_height"), FromM: &from, DepositSlopePct: 100 * c.Number(t, "final_gradient")}))
			c.CheckAll(t, "chainages", got)
			for i, want := range modeltest.Want[[]float64](t, c, "chainages") {
				worst = max(worst, math.Abs(got[i]-want))
			}
		})
	}
	if worst > 1e-4 { // the printed numbers end at the fourth decimal
		t.Errorf("worst difference from a worked walk is %v m, want under 0.1 mm", worst)
	}
}

// The level rule is steepness factor 1 (SP20), and fixes the height that a printed
// spacing stands for (SP23).
func TestDamLayoutSteepness(t *testing.T) {
	c := modeltest.Named(t, "gully", "SP20")
	sites := lay(t, DamLayout{Bed: uniform(100, c.Number(t, "bed_gradient"), 100), CrestHeightM: c.Number(t, "height")})
	c.Check(t, "c", c.Number(t, "height")/(sites[1].ChainageM-sites[0].ChainageM)/c.Number(t, "bed_gradient"))

	c = modeltest.Named(t, "gully", "SP23")
	sites = lay(t, DamLayout{Bed: uniform(100, c.Number(t, "bed_gradient"), 100), CrestHeightM: modeltest.Want[float64](t, c, "height")})
	if got, want := sites[1].ChainageM, c.Number(t, "spacing"); math.Abs(got-want) > 1e-9 {
		t.Errorf("SP23: dams %v m apart, want %v (%s)", got, want, c.Source)
	}
}

func TestDepositRules(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "deposit_gradient_heede") {
		c.Check(t, "deposit_gradient", DepositRules[3].SlopePct(100*c.Number(t, "bed_gradient"))/100)
	}
	c := modeltest.Named(t, "gully", "SP21")
	c.Check(t, "deposit_gradient", DepositRules[2].SlopePct(100*c.Number(t, "bed_gradient"))/100)
	for _, r := range DepositRules {
		for _, bed := range []float64{-5, 0, math.NaN()} {
			if got := r.SlopePct(bed); got != 0 {
				t.Errorf("%s on a bed of %v %% = %v, want 0", r.Name, bed, got)
			}
		}
		if got := r.SlopePct(2); got < 0 || got > 2 {
			t.Errorf("%s on a bed of 2 %% = %v, want no steeper than the bed", r.Name, got)
		}
	}
}

func bedOf(pairs ...float64) (bed section.Bed) {
	for i := 0; i < len(pairs); i += 2 {
		bed = append(bed, section.Station{ChainageM: pairs[i], LevelM: pairs[i+1]})
	}
	return bed
}

// Geometry anyone can repeat on paper; the bed with a hole is drawn in each comment.
func TestDamLayoutOddBeds(t *testing.T) {
	at := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name string
		l    DamLayout
		want []float64
	}{
		// 100 ─ rises to 100.4 at 10, falls to 100.1 at 20, rises to 101.1 at 40: crest 100.5 is met at 28.
		{"adverse-reach-passed-over", DamLayout{Bed: bedOf(0, 100, 10, 100.4, 20, 100.1, 40, 101.1), CrestHeightM: 0.5}, []float64{0, 28, 38}},
		// The hump at 10 just touches the crest line and is the first place that does.
		{"hump-that-touches", DamLayout{Bed: bedOf(0, 100, 10, 100.5, 20, 100.2, 40, 101.2), CrestHeightM: 0.5}, []float64{0, 10, 36}},
		// 0.1 + 0.2 is a little more than 0.3 in binary: the hump at 10 is still reached.
		{"hump-that-touches-in-tenths", DamLayout{Bed: bedOf(0, 0.1, 10, 0.3, 20, 0.2, 40, 0.6), CrestHeightM: 0.2}, []float64{0, 10, 35}},
		{"hump-a-millimetre-short", DamLayout{Bed: bedOf(0, 100, 10, 100.499, 20, 100.2, 40, 101.2), CrestHeightM: 0.5}, []float64{0, 26, 36}},
		{"downhill-all-the-way", DamLayout{Bed: bedOf(0, 100, 50, 98), CrestHeightM: 0.4}, []float64{0}},
		{"from-inside-a-reach", DamLayout{Bed: bedOf(0, 100, 40, 104), CrestHeightM: 0.5, FromM: at(3), ToM: at(13)}, []float64{3, 8, 13}},
		{"from-at-a-station", DamLayout{Bed: bedOf(0, 100, 10, 101, 40, 104), CrestHeightM: 1, FromM: at(10)}, []float64{10, 20, 30, 40}},
		{"from-at-the-top", DamLayout{Bed: bedOf(0, 100, 10, 101), CrestHeightM: 0.4, FromM: at(10)}, []float64{10}},
		{"to-cuts-off", DamLayout{Bed: bedOf(0, 100, 40, 104), CrestHeightM: 0.5, ToM: at(9.99)}, []float64{0, 5}},
		{"deposit-as-steep-as-bed", DamLayout{Bed: bedOf(0, 100, 40, 101.2), CrestHeightM: 0.5, DepositSlopePct: 3}, []float64{0}},
		{"vertical-head-in-one-reach", DamLayout{Bed: bedOf(0, 100, 10, 100, 10.01, 101.6, 20, 101.6), CrestHeightM: 0.4}, []float64{0, 10.0025, 10.005, 10.0075, 10.01}},
		{"datum-below-nought", DamLayout{Bed: bedOf(5, -3, 25, -1), CrestHeightM: 0.5}, []float64{5, 10, 15, 20, 25}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := chainages(lay(t, c.l))
			if !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }) {
				t.Errorf("dams at %v, want %v", got, c.want)
			}
		})
	}
}

func TestDamLayoutRefuses(t *testing.T) {
	at := func(v float64) *float64 { return &v }
	good := bedOf(0, 100, 40, 104)
	for _, c := range []struct {
		name string
		l    DamLayout
		path string
	}{
		{"no-bed", DamLayout{CrestHeightM: 0.4}, "bed"},
		{"bed-turned-round", DamLayout{Bed: bedOf(40, 104, 0, 100), CrestHeightM: 0.4}, "bed[1].chainageM"},
		{"level-not-a-number", DamLayout{Bed: bedOf(0, 100, 40, math.NaN()), CrestHeightM: 0.4}, "bed[1].levelM"},
		{"too-high", DamLayout{Bed: good, CrestHeightM: 1.01}, "crestHeightM"},
		{"no-height", DamLayout{Bed: good}, "crestHeightM"},
		{"height-not-a-number", DamLayout{Bed: good, CrestHeightM: math.NaN()}, "crestHeightM"},
		{"height-below-nought", DamLayout{Bed: good, CrestHeightM: -0.4}, "crestHeightM"},
		{"deposit-falls", DamLayout{Bed: good, CrestHeightM: 0.4, DepositSlopePct: -1}, "depositSlopePct"},
		{"deposit-too-steep", DamLayout{Bed: good, CrestHeightM: 0.4, DepositSlopePct: 21}, "depositSlopePct"},
		{"from-outside", DamLayout{Bed: good, CrestHeightM: 0.4, FromM: at(-1)}, "fromM"},
		{"to-outside", DamLayout{Bed: good, CrestHeightM: 0.4, ToM: at(41)}, "toM"},
		{"to-not-a-number", DamLayout{Bed: good, CrestHeightM: 0.4, ToM: at(math.NaN())}, "toM"},
		{"to-below-from", DamLayout{Bed: good, CrestHeightM: 0.4, FromM: at(20), ToM: at(10)}, "toM"},
		{"too-many", DamLayout{Bed: bedOf(0, 0, 90000, 12000), CrestHeightM: 0.1}, "crestHeightM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			plan, err := c.l.Plan()
			p, ok := errors.AsType[*model.Problem](err)
			if !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Plan of %+v: %+v, %v; want a problem at %q", c.l, plan, err, c.path)
			}
		})
	}
}

func TestDamLayoutPlusMinus(t *testing.T) {
	// On a bed of 10 % a level error of e moves the toe by 10 e: two levels of 5 mm meet
	// there, so 0.05 √2 m, with the chainage's own 0.05 m 0.087 m.
	l := DamLayout{Bed: uniform(40, 0.1, 5), Quality: section.LevelledAndTaped, CrestHeightM: 0.5}
	sites := lay(t, l)
	for i, want := range []float64{0.05, math.Sqrt(0.0075), math.Sqrt(0.0075)} {
		if got := sites[i].ChainagePlusMinusM; math.Abs(got-want) > 1e-9 {
			t.Errorf("toe %d is known to ± %v m, want %v", i, got, want)
		}
	}
	l.Quality.LevelPlusMinusM = -1
	if got := lay(t, l)[1].ChainagePlusMinusM; got != -1 {
		t.Errorf("levels of unknown error give a toe ± %v, want -1", got)
	}
}

func TestDamLayoutCautions(t *testing.T) {
	about := func(l DamLayout) (all []string) {
		for _, c := range l.Cautions(DamPlan{Dams: lay(t, l)}) {
			all = append(all, c.About)
		}
		return all
	}
	bed := uniform(40, 0.1, 40)
	for _, c := range []struct {
		name string
		l    DamLayout
		want string
		not  string
	}{
		{"levelled-and-low", DamLayout{Bed: bed, Quality: section.LevelledAndTaped, CrestHeightM: 0.4}, "dams", "bed"},
		{"high", DamLayout{Bed: bed, Quality: section.LevelledAndTaped, CrestHeightM: 0.6}, "crestHeightM", "bed"},
		{"steep-deposit", DamLayout{Bed: bed, Quality: section.LevelledAndTaped, CrestHeightM: 0.4, DepositSlopePct: 4}, "depositSlopePct", "crestHeightM"},
		{"as-high-as-is-usual", DamLayout{Bed: bed, Quality: section.LevelledAndTaped, CrestHeightM: HighCrestM}, "dams", "crestHeightM"},
		{"as-steep-as-silt-settles", DamLayout{Bed: bed, Quality: section.LevelledAndTaped, CrestHeightM: 0.4, DepositSlopePct: 3}, "dams", "depositSlopePct"},
		{"twice-the-height-apart", DamLayout{Bed: uniform(40, 0.5, 40), Quality: section.LevelledAndTaped, CrestHeightM: 0.5}, "dams", "spacingsM"},
		{"gps-levels", DamLayout{Bed: bed, Quality: section.Quality{Basis: model.GPS}, CrestHeightM: 0.4}, "bed", "crestHeightM"},
		{"nobody-said-how", DamLayout{Bed: bed, CrestHeightM: 0.4}, "bed", "crestHeightM"},
		{"head-in-the-bed", DamLayout{Bed: bedOf(0, 100, 10, 100, 10.01, 101.6), Quality: section.LevelledAndTaped, CrestHeightM: 0.4}, "spacingsM", "bed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := about(c.l)
			if !slices.Contains(got, c.want) || slices.Contains(got, c.not) {
				t.Errorf("cautions are about %q, want %q among them and not %q", got, c.want, c.not)
			}
		})
	}
}

// ExampleDamLayout lays 0.6 m dams on the 42 m swale at 6 % of the Toronto and Region
// conservation authority's design guide, silt settling at 0.5 %: four dams, as printed there.
func ExampleDamLayout() {
	plan, _ := DamLayout{Bed: bedOf(0, 100, 42, 102.52), CrestHeightM: 0.6, DepositSlopePct: 0.5}.Plan()
	for _, s := range plan.Dams {
		fmt.Printf("toe at %.2f m, bed %.2f, crest %.2f\n", s.ChainageM, s.BedLevelM, s.CrestLevelM)
	}
	// Output:
	// toe at 0.00 m, bed 100.00, crest 100.60
	// toe at 10.91 m, bed 100.65, crest 101.25
	// toe at 21.82 m, bed 101.31, crest 101.91
	// toe at 32.73 m, bed 101.96, crest 102.56
}

func problemOf(err error) (*model.Problem, bool) { return errors.AsType[*model.Problem](err) }
