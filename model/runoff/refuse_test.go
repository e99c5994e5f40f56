package runoff

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"headcut/model"
)

// refused tells whether err is a problem at this path that gives a reason.
func refused(err error, path string) bool {
	p, ok := errors.AsType[*model.Problem](err)
	return ok && p.Path == path && p.Reason != ""
}

var odd = []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300}

func TestNotchRefuses(t *testing.T) {
	good := Notch{CrestLengthM: exactly(1.5), FreeboardM: 0.15}
	with := func(f func(*Notch)) Notch { n := good; f(&n); return n }
	for _, c := range []struct {
		name string
		err  func() error
		path string
	}{
		{"length-in-millimetres", func() error {
			_, err := with(func(n *Notch) { n.CrestLengthM = exactly(1500) }).Head(exactly(0.5))
			return err
		}, "crestLengthM"},
		{"length-of-nought", func() error {
			_, err := with(func(n *Notch) { n.CrestLengthM = exactly(0) }).Head(exactly(0.5))
			return err
		}, "crestLengthM"},
		{"length-less-sure-than-long", func() error {
			_, err := with(func(n *Notch) { n.CrestLengthM = Quantity{1.5, 2} }).Head(exactly(0.5))
			return err
		}, "crestLengthPlusMinusM"},
		{"side-in-degrees", func() error {
			_, err := with(func(n *Notch) { n.SideRunPerRise = 45 }).Head(exactly(0.5))
			return err
		}, "sideRunPerRise"},
		{"freeboard-of-millimetres", func() error {
			_, err := with(func(n *Notch) { n.FreeboardM = 150 }).Head(exactly(0.5))
			return err
		}, "freeboardM"},
		{"coefficient-for-feet", func() error { _, err := with(func(n *Notch) { n.Weir = weirOf(3) }).Head(exactly(0.5)); return err }, "coefficient"},
		{"coefficient-of-nobody", func() error { _, err := with(func(n *Notch) { n.Weir = weirOf(0.6) }).Head(exactly(0.5)); return err }, "coefficient"},
		{"flow-in-litres", func() error { _, err := good.Head(exactly(500)); return err }, "flowM3S"},
		{"flow-not-a-number", func() error { _, err := good.Head(Quantity{math.NaN(), 0}); return err }, "flowM3S"},
		{"flow-of-unsound-plus-minus", func() error { _, err := good.Head(Quantity{0.5, math.NaN()}); return err }, "flowPlusMinusM3S"},
		{"too-deep-for-a-low-dam", func() error { _, err := good.Head(exactly(3)); return err }, "crestLengthM"},
		{"head-of-a-high-dam", func() error { _, err := good.Flow(exactly(0.61)); return err }, "headM"},
		{"trickle-over-a-deep-notch", func() error { _, err := good.Length(exactly(0.001), exactly(0.5)); return err }, "flowM3S"},
		{"river", func() error { _, err := good.Length(exactly(19), exactly(0.1)); return err }, "flowM3S"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if err := c.err(); !refused(err, c.path) {
				t.Errorf("got %v, want a problem at %q", err, c.path)
			}
		})
	}
}

func TestRainfallRefuses(t *testing.T) {
	for _, c := range []struct {
		name    string
		rain    Rainfall
		minutes float64
		path    string
	}{
		{"empty", nil, 10, "durations"},
		{"one-row", Rainfall{{5, 160}}, 5, "durations"},
		{"unsorted", Rainfall{{10, 125}, {5, 160}}, 7, "durations[1].minutes"},
		{"twice", Rainfall{{5, 160}, {5, 160}}, 5, "durations[1].minutes"},
		{"depths", Rainfall{{5, 13}, {10, 21}}, 7, "durations[1].intensityMmH"},
		{"less-rain-in-longer", Rainfall{{5, 160}, {30, 20}}, 7, "durations[1].intensityMmH"},
		{"nought", Rainfall{{5, 160}, {30, 0}}, 7, "durations[1].intensityMmH"},
		{"duration-of-seconds", Rainfall{{0.08, 160}, {30, 70}}, 7, "durations[0].minutes"},
		{"above-the-table", storms, 120.1, "timeOfConcentrationMin"},
		{"below-a-table-of-long-rain", Rainfall{{30, 74}, {60, 48}}, 29.9, "timeOfConcentrationMin"},
		{"no-time", storms, 0, "timeOfConcentrationMin"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, err := c.rain.At(exactly(c.minutes), LogLog, -1); !refused(err, c.path) {
				t.Errorf("At(%v) of %v = %+v, %v; want a problem at %q", c.minutes, c.rain, got, err, c.path)
			}
		})
	}
	for _, x := range odd {
		if got, err := storms.At(exactly(x), LogLog, -1); !refused(err, "timeOfConcentrationMin") {
			t.Errorf("At(%v) = %+v, %v", x, got, err)
		}
		if p := (Rainfall{{5, 160}, {10, x}}).check(); p == nil || p.Path != "[1].intensityMmH" {
			t.Errorf("a table with %v: %v", x, p)
		}
	}
}

// TestShortTimesTakeTheFirstDuration: a time below a table that starts at 5 minutes is
// read at those, and told so; it is not extrapolated.
func TestShortTimesTakeTheFirstDuration(t *testing.T) {
	got, err := storms.At(Quantity{2.443, 0.1}, LogLog, 10)
	if err != nil || got.IntensityMmH != (Quantity{160, 16}) || got.DurationMin != 5 {
		t.Errorf("At(2.443 min) = %+v, %v; want the 160 ± 16 mm/h of 5 min", got, err)
	}
}

func TestRationalRefuses(t *testing.T) {
	good := Part{exactly(5), exactly(0.36)}
	for _, c := range []struct {
		name      string
		catchment Catchment
		intensity float64
		limit     AreaLimit
		path      string
	}{
		{"no-part", nil, 80, AreaLimits[0], "parts"},
		{"per-cent-for-a-share", Catchment{good, {exactly(5), exactly(36)}}, 80, AreaLimits[1], "parts[1].coefficient"},
		{"no-runoff", Catchment{{exactly(5), exactly(0)}}, 80, AreaLimits[0], "parts[0].coefficient"},
		{"square-metres-for-hectares", Catchment{{exactly(50000), exactly(0.36)}}, 80, AreaLimits[2], "parts[0].areaHa"},
		{"beyond-20-acres", Catchment{good, good}, 80, AreaLimits[0], "parts"},
		{"beyond-12-km2", Catchment{{exactly(1201), exactly(0.36)}}, 80, AreaLimits[1], "parts"},
		{"inches-an-hour", Catchment{good}, 2.87, AreaLimits[0], "intensityMmH"},
		{"cloudburst-beyond-belief", Catchment{good}, 1500, AreaLimits[0], "intensityMmH"},
		{"coefficient-less-sure-than-large", Catchment{{exactly(5), Quantity{0.36, 0.5}}}, 80, AreaLimits[0], "parts[0].coefficientPlusMinus"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, err := c.catchment.Rational(exactly(c.intensity), c.limit); !refused(err, c.path) {
				t.Errorf("Rational = %+v, %v; want a problem at %q", got, err, c.path)
			}
		})
	}
	for _, x := range odd {
		if got, err := (Catchment{{exactly(x), exactly(0.36)}}).Rational(exactly(80), AreaLimits[2]); !refused(err, "parts[0].areaHa") {
			t.Errorf("%v ha: %+v, %v", x, got, err)
		}
	}
	if _, err := (Catchment{good}).Rational(exactly(80), AreaLimits[0]); err != nil {
		t.Errorf("5 ha within 20 acres: %v", err)
	}
}

// A limit takes in the figure that its refusal prints: 20 acres were told as 8.094 ha, and
// 8.094 ha refused.
func TestLimitsTakeWhatTheyPrint(t *testing.T) {
	for _, l := range AreaLimits {
		_, err := Catchment{{exactly(l.Ha * 1.01), exactly(0.36)}}.Rational(exactly(80), AreaLimits[0])
		p, ok := errors.AsType[*model.Problem](err)
		if !ok {
			t.Fatalf("%v ha: %v, want a refusal", l.Ha*1.01, err)
		}
		if _, err := (Catchment{{exactly(l.Ha), exactly(0.36)}}).Rational(exactly(80), l); err != nil || !strings.Contains(p.Reason, " ha") {
			t.Errorf("%s: %v ha are refused: %v", l.Name, l.Ha, err)
		}
		third := Part{exactly(l.Ha / 3), exactly(0.36)}
		if _, err := (Catchment{third, third, third}).Rational(exactly(80), l); err != nil {
			t.Errorf("%s in three parts: %v", l.Name, err)
		}
	}
	printed := regexp.MustCompile(`limit of ([0-9.]+) ha`)
	_, err := Catchment{{exactly(9), exactly(0.36)}}.Rational(exactly(80), AreaLimits[0])
	found := printed.FindStringSubmatch(fmt.Sprint(err))
	if found == nil {
		t.Fatalf("%v names no limit", err)
	}
	ha, _ := strconv.ParseFloat(found[1], 64)
	if _, err := (Catchment{{exactly(ha), exactly(0.36)}}).Rational(exactly(80), AreaLimits[0]); err != nil {
		t.Errorf("the printed %s ha are refused: %v", found[1], err)
	}
}

func TestStricterLimitsAreNamed(t *testing.T) {
	for ha, want := range map[float64]int{8.1: 0, 8.2: 1, 14: 1, 1200: 1, 1201: 2, 2500: 2} {
		if got := Stricter(ha); len(got) != want {
			t.Errorf("Stricter(%v) = %v, want %d", ha, got, want)
		}
	}
}

func TestTimesRefuse(t *testing.T) {
	full := Ground{LengthM: measured(120), SlopePct: measured(4), AreaHa: measured(2), HortonN: measured(0.045), ManningN: measured(0.25), Rain: storms}
	with := func(f func(*Ground)) Ground { g := full; f(&g); return g }
	for _, c := range []struct {
		name    string
		ground  Ground
		methods []Method
		path    string
	}{
		{"no-length", with(func(g *Ground) { g.LengthM = nil }), []Method{Kirpich, BransbyWilliams, Friend, Kinematic}, "lengthM"},
		{"kilometres", with(func(g *Ground) { g.LengthM = measured(1.2) }), []Method{Kirpich, BransbyWilliams, Friend, Kinematic}, "lengthM"},
		{"too-long-for-sheet-flow", with(func(g *Ground) { g.LengthM = measured(201) }), []Method{Friend, Kinematic}, "lengthM"},
		{"no-slope", with(func(g *Ground) { g.SlopePct = nil }), []Method{Kirpich, BransbyWilliams, Friend, Kinematic}, "slopePct"},
		{"rise-over-run", with(func(g *Ground) { g.SlopePct = measured(0.04) }), []Method{Kirpich, BransbyWilliams, Friend, Kinematic}, "slopePct"},
		{"cliff", with(func(g *Ground) { g.SlopePct = measured(400) }), []Method{Kirpich, BransbyWilliams, Friend, Kinematic}, "slopePct"},
		{"no-area", with(func(g *Ground) { g.AreaHa = nil }), []Method{BransbyWilliams, PilgrimMcDermott}, "areaHa"},
		{"larger-than-the-path-can-drain", with(func(g *Ground) { g.AreaHa = measured(5) }), []Method{BransbyWilliams, PilgrimMcDermott}, "areaHa"},
		{"no-surface", with(func(g *Ground) { g.HortonN = nil }), []Method{Friend}, "surface"},
		{"manning-for-horton", with(func(g *Ground) { g.HortonN = measured(0.25) }), []Method{Friend}, "hortonN"},
		{"no-roughness", with(func(g *Ground) { g.ManningN = nil }), []Method{Kinematic}, "manningN"},
		{"no-rain", with(func(g *Ground) { g.Rain = nil }), []Method{Kinematic}, "durations"},
		{"unsorted-rain", with(func(g *Ground) { g.Rain = Rainfall{{9, 90}, {5, 100}} }), []Method{Kinematic}, "durations[1].minutes"},
		{"rain-too-short", with(func(g *Ground) { g.Rain = storms[:2] }), []Method{Kinematic}, "durations"},
		{"rain-too-long", with(func(g *Ground) { g.Rain = storms[5:] }), []Method{Kinematic}, "durations"},
		{"not-a-method", full, []Method{"", "guess"}, "method"},
	} {
		for _, m := range c.methods {
			t.Run(c.name+"-"+string(m), func(t *testing.T) {
				if got, err := c.ground.Concentration(m); !refused(err, c.path) {
					t.Errorf("%s = %+v, %v; want a problem at %q", m, got, err, c.path)
				}
			})
		}
	}
	others, unfit := full.Others(Kirpich)
	if len(others) != 4 || len(unfit) != 0 {
		t.Errorf("Others of a ground with everything = %d and %d unfit, want 4 and none", len(others), len(unfit))
	}
	others, unfit = Ground{AreaHa: measured(2)}.Others(PilgrimMcDermott)
	if len(others) != 0 || len(unfit) != 4 {
		t.Errorf("Others of an area alone = %d and %d unfit, want none and 4", len(others), len(unfit))
	}
}

func TestTimesCaution(t *testing.T) {
	says := func(slopePct float64) bool {
		c, err := Ground{LengthM: measured(300), SlopePct: measured(slopePct)}.Concentration(Kirpich)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Contains(c.Cautions[0].Text, "outside")
	}
	if !says(2.9) || says(3) || says(10) || !says(10.1) {
		t.Error("Kirpich cautions on other slopes than those outside 3 to 10 %")
	}
}

func TestNotchCautions(t *testing.T) {
	about := func(n Notch, headM, gullyBottomM float64, field string) bool {
		for _, c := range over(t, n, headM).Cautions(gullyBottomM) {
			if c.About == field {
				return true
			}
		}
		return false
	}
	n := Notch{CrestLengthM: exactly(1.5), FreeboardM: 0.15}
	if about(n, 0.2, 1.5, "crestLengthM") || !about(n, 0.2, 1.4, "crestLengthM") || about(n, 0.2, 0, "crestLengthM") {
		t.Error("the notch longer than the gully's bottom is not told, or one that is not is")
	}
	if about(n, 0.2, 0, "freeboardM") || !about(Notch{CrestLengthM: exactly(1.5), FreeboardM: 0.14}, 0.2, 0, "freeboardM") {
		t.Error("little freeboard is not told, or enough is")
	}
	if !about(n, 0.2, 0, "velocityMS") || about(n, 0.02, 0, "velocityMS") {
		t.Error("fast water is not told, or slow water is")
	}
}

// Each method says what it is for, on ground that every one of them takes.
func TestMethodsSayWhatTheyAreFor(t *testing.T) {
	ground := Ground{LengthM: measured(100), SlopePct: measured(5), AreaHa: measured(1), HortonN: measured(0.035), ManningN: measured(0.2), Rain: Rainfall{{6, 120}, {30, 60}, {120, 25}}}
	for method, want := range map[Method]string{
		Kirpich: "doubles Kirpich's time on grass", BransbyWilliams: "slope by equal areas", PilgrimMcDermott: "not elsewhere",
		Friend: "add the time in the channel below it", Kinematic: "add the time in the channel below it",
	} {
		c, err := ground.Concentration(method)
		if err != nil || len(c.Cautions) != 1 || !strings.Contains(c.Cautions[0].Text, want) {
			t.Errorf("%s: %q, %v; want one caution with %q", method, c.Cautions, err, want)
		}
	}
}
