package banks

import (
	"math"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/runoff"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	channel := func(edit func(*Channel)) error {
		c := sound().Channel
		edit(&c)
		return c.Check().Err()
	}
	shape := func(edit func(*Shape)) error {
		s := sound().Shape
		edit(&s)
		return s.Check().Err()
	}
	line := func(reaches ...Reach) error { return Line{Reaches: reaches}.Check().Err() }
	check := func(edit func(*Check)) error {
		c := graded(crested(found(0, 6), 50, 56))
		edit(&c)
		_, err := c.Run()
		return err
	}
	running := func(flow, depth float64) error {
		c := sound().Channel
		if depth != 0 {
			_, err := c.At(exactly(depth), exactly(0.3))
			return err
		}
		_, err := c.For(exactly(flow), exactly(0.3))
		return err
	}
	local := func(perPct, constant float64, unit string) error {
		_, err := Local(perPct, constant, unit, "")
		return err
	}
	rows := func(all ...model.SpacingRow) error {
		_, err := LocalRows(all, "")
		return err
	}
	l := sound()
	limit := modeltest.Limits(t)
	nan := math.NaN()
	limit("landSlopePct", func(v float64) error { return CheckLandSlope(exactly(v)).Err() }, []float64{GentlestLandPct, SteepestLandPct}, []float64{0, 0.09, 61, nan})
	limit("landSlopePlusMinusPct", func(v float64) error { return CheckLandSlope(runoff.Quantity{Value: 3, PlusMinus: v}).Err() }, []float64{-1, 0, 2.9}, []float64{3, nan})
	limit("landSlopePct", func(v float64) error { _, err := named(t, "interceptor-dike").Space(exactly(v)); return err }, []float64{3, 49.9}, []float64{2.9, 50})
	limit("bedWidthM", func(v float64) error { return channel(func(c *Channel) { c.BedWidthM = v }) }, []float64{0, maxBedM}, []float64{-0.1, 31, nan})
	limit("bedWidthM", func(v float64) error {
		return channel(func(c *Channel) { c.BedWidthM, c.BankRunPerRise, c.UphillRunPerRise = v, 0, exactly(0) })
	}, []float64{0.1}, []float64{0})
	limit("bankRunPerRise", func(v float64) error { return channel(func(c *Channel) { c.BankRunPerRise = v }) }, []float64{0, maxBank}, []float64{-1, 21, nan})
	limit("uphillRunPerRise", func(v float64) error { return channel(func(c *Channel) { c.UphillRunPerRise = exactly(v) }) }, []float64{0, maxUphill}, []float64{-1, maxUphill + 1, nan})
	limit("manningN", func(v float64) error { return channel(func(c *Channel) { c.ManningN = exactly(v) }) }, []float64{leastN, mostN}, []float64{0, 0.41, nan})
	limit("manningNPlusMinus", func(v float64) error {
		return channel(func(c *Channel) { c.ManningN = runoff.Quantity{Value: 0.04, PlusMinus: v} })
	}, []float64{-1, 0, 0.039}, []float64{0.04, nan})
	limit("depthM", func(v float64) error { return running(0, v) }, []float64{leastDepth, MaxDepthM}, []float64{0.009, 3.01, nan})
	limit("flowM3S", func(v float64) error { return running(v, 0) }, []float64{leastFlow, 50}, []float64{-1, 101, nan})
	limit("flowM3S", func(v float64) error {
		_, err := Channel{BedWidthM: 0.1, ManningN: exactly(0.04)}.For(exactly(v), exactly(0.3))
		return err
	}, []float64{0.03}, []float64{5})
	limit("topWidthM", func(v float64) error { return shape(func(s *Shape) { s.TopWidthM = v }) }, []float64{0, 10}, []float64{-0.1, 10.1})
	limit("bankRunPerRise", func(v float64) error { return shape(func(s *Shape) { s.BankRunPerRise = v }) }, []float64{1, maxBank}, []float64{0.9, 21})
	limit("outerRunPerRise", func(v float64) error { return shape(func(s *Shape) { s.OuterRunPerRise = v }) }, []float64{1, maxBank}, []float64{0.9, 21})
	limit("freeboardM", func(v float64) error { return shape(func(s *Shape) { s.FreeboardM = v }) }, []float64{0, 1}, []float64{-0.1, 1.1})
	limit("settlementPct", func(v float64) error { return shape(func(s *Shape) { s.SettlePct = v }) }, []float64{0, 40}, []float64{-1, 41})
	limit("reaches[0].lengthM", func(v float64) error { return line(Reach{v, 0.3}) }, []float64{0.1, MaxLengthM}, []float64{0, MaxLengthM + 1, nan})
	limit("reaches[0].gradePct", func(v float64) error { return line(Reach{50, v}) }, []float64{LeastGradePct, MostGradePct}, []float64{0, 0.04, 5.1, nan})
	limit("reaches[1].gradePct", func(v float64) error { return line(Reach{50, 0.3}, Reach{50, v}) }, []float64{0.3, 0.4}, []float64{0.29})
	limit("reaches", func(v float64) error { return line(Reach{v, 0.3}, Reach{2500, 0.3}) }, []float64{2500}, []float64{2501})
	limit("pegSpacingM", func(v float64) error { _, err := sound().Line.Pegs(v, Top); return err }, []float64{1, 200}, []float64{0, 0.9, 201, nan})
	limit("pegSpacingM", func(v float64) error { _, err := Line{Reaches: []Reach{{5000, 0.3}}}.Pegs(v, Top); return err }, []float64{2.5}, []float64{2.4})
	limit("levelM", func(v float64) error { o := sound().Outlet; o.LevelM = v; return o.Check().Err() }, []float64{-highestM, highestM}, []float64{-highestM - 1, highestM + 1, nan})
	limit("areaHa", func(v float64) error { return CheckCatchment(v).Err() }, []float64{0.1, MostCatchmentHa}, []float64{0, -1, 131, nan})
	limit("slopeFactor", func(v float64) error { return local(v, 1, "m") }, []float64{0, 1000}, []float64{-0.1, 1001, nan})
	limit("constant", func(v float64) error { return local(1, v, "m") }, []float64{0, 1000}, []float64{-0.1, 1001, nan})
	limit("constant", func(v float64) error { return local(0, v, "m") }, []float64{0.1}, []float64{0})
	limit("[0].upToPct", func(v float64) error { return rows(model.SpacingRow{UpToPct: v, SpacingM: 50}) }, []float64{0.1, SteepestLandPct}, []float64{0, 61, nan})
	limit("[1].spacingM", func(v float64) error {
		return rows(model.SpacingRow{UpToPct: 2, SpacingM: 50}, model.SpacingRow{UpToPct: 4, SpacingM: v})
	}, []float64{0.1, 50}, []float64{0, 50.1, nan})
	limit("pegs[1].levelM", func(v float64) error {
		return check(func(c *Check) { c.Pegs[1].LevelM, c.Pegs[1].CrestLevelM = v, nil })
	}, []float64{-highestM, highestM}, []float64{-highestM - 1, highestM + 1, nan})
	limit("pegs[1].chainageM", func(v float64) error { return check(func(c *Check) { c.Pegs[1].ChainageM = v }) }, []float64{0.1, MaxLengthM}, []float64{0, 0.09, MaxLengthM + 1, nan})
	limit("pegs[2].chainageM", func(v float64) error {
		return check(func(c *Check) { c.Pegs = append(c.Pegs, Found{ChainageM: v, LevelM: 50}) })
	}, []float64{20.1, 30}, []float64{20, 19, 5})
	limit("pegs[1].crestLevelM", func(v float64) error { return check(func(c *Check) { c.Pegs[1].CrestLevelM = &v }) }, []float64{50.06, 60.06}, []float64{50.05, 60.07, nan})
	limit("shortManningN", func(v float64) error { l := sound(); l.ShortN = v; _, err := l.Lay(); return err }, []float64{0, leastN, 0.04}, []float64{0.009, 0.041, nan})
	limit("shortManningN", func(v float64) error { return check(func(c *Check) { c.Channel, c.ShortN = &l.Channel, v }) }, []float64{0, leastN, 0.04}, []float64{0.009, 0.041})
	limit("freeboardM", func(v float64) error { return check(func(c *Check) { c.FreeboardM = v }) }, []float64{0, 1}, []float64{-0.1, 1.1, nan})
	limit("flowM3S", func(v float64) error { return check(func(c *Check) { c.FlowM3S = new(exactly(v)) }) }, []float64{leastFlow, mostFlow}, []float64{0, mostFlow + 1, nan})
	for n, want := range map[int]string{1: "pegs", 2: "", 4999: "", 10_001: "pegs"} {
		pegs := make([]Found, n)
		for i := range pegs {
			pegs[i].ChainageM = float64(i)
		}
		if err := check(func(c *Check) { c.Pegs = pegs }); want == "" && err != nil || want != "" && !refused(err, want) {
			t.Errorf("%d pegs: %v", n, err)
		}
	}
	for name, c := range map[string]struct {
		err  error
		path string
	}{
		"no-reach": {line(), "reaches"}, "reaches": {line(slices.Repeat([]Reach{{1, 0.3}}, maxReaches+1)...), "reaches"},
		"local-unit": {local(1, 1, "chain"), "ruleUnit"}, "no-rows": {rows(), ""}, "rows-that-fall": {rows(model.SpacingRow{UpToPct: 4, SpacingM: 50}, model.SpacingRow{UpToPct: 4, SpacingM: 40}), "[1].upToPct"},
		"basis": {check(func(c *Check) { c.Basis = "guessed" }), "basis"}, "channel": {check(func(c *Check) { c.Channel = &Channel{} }), "bedWidthM"},
		"check-flattens": {check(func(c *Check) { c.Reaches = []Reach{{5, 0.4}, {5, 0.3}} }), "reaches[1].gradePct"},
	} {
		if !refused(c.err, c.path) {
			t.Errorf("%s: %v, want it refused at %q", name, c.err, c.path)
		}
	}
	if err := line(slices.Repeat([]Reach{{1, 0.3}}, maxReaches)...); err != nil {
		t.Errorf("%d reaches: %v", maxReaches, err)
	}
}

// A slope at the end of a local row is in it; on the border of two printed rows in the steeper.
func TestRowsOfSpacings(t *testing.T) {
	local, err := LocalRows([]model.SpacingRow{{UpToPct: 2, SpacingM: 60}, {UpToPct: 5, SpacingM: 40}}, "district table")
	if err != nil {
		t.Fatal(err)
	}
	for slopePct, want := range map[float64]float64{0.5: 60, 2: 60, 2.01: 40, 5: 40} {
		if got := spaced(t, local, slopePct).HorizontalM.Value; got != want {
			t.Errorf("at %v %%: %v m, want %v", slopePct, got, want)
		}
	}
	if _, err := local.Space(exactly(5.1)); !refused(err, "landSlopePct") {
		t.Errorf("beyond its rows: %v", err)
	}
	for slopePct, want := range map[float64]float64{11.9: 40, 12: 35, 25: 25, 40: 20, 60: 20} {
		if got := spaced(t, named(t, "hillside-ditch"), slopePct).HorizontalM.Value / footM; !near(got, want, 1e-9) {
			t.Errorf("hillside ditches at %v %%: %v ft, want %v", slopePct, got, want)
		}
	}
}

func TestPermissible(t *testing.T) {
	for _, c := range []struct {
		cover              string
		eroded, dispersive bool
		gradePct, feet     float64
	}{
		{"couch", false, false, 4.9, 8}, {"couch", false, false, 5, 7}, {"couch", false, false, 10, 7}, {"couch", false, false, 10.1, 6},
		{"couch", false, true, 0.3, 0.98}, {"bare loess", true, false, 0.3, 2.6}, {"", false, true, 0.3, 0.98},
	} {
		if b, err := Permissible(c.cover, c.eroded, c.dispersive, c.gradePct); err != nil || !near(b.VelocityMS/footM, c.feet, 1e-9) {
			t.Errorf("%+v bears %v ft/s (%v)", c, b.VelocityMS/footM, err)
		}
	}
	if _, err := Permissible("moss", false, false, 0.3); !refused(err, "cover") {
		t.Errorf("moss: %v", err)
	}
	least := Covers[len(Covers)-1]
	for _, c := range Covers {
		for _, v := range slices.Concat(c.Resistant[:], c.Eroded[:]) {
			if v != 0 && v < least.Eroded[0] {
				t.Errorf("%s bears less than %s, which dispersive soil is given", c.Name, least.Name)
			}
		}
	}
}

func TestInside(t *testing.T) {
	for _, c := range []struct {
		advice    Advice
		low, high float64
		want      bool
	}{
		{Advice{Low: 0.2, High: 0.5}, 0.2, 0.5, true}, {Advice{Low: 0.2, High: 0.5}, 0.19, 0.5, false}, {Advice{Low: 0.2, High: 0.5}, 0.2, 0.51, false},
		{Advice{Low: 0.2, High: -1}, 0.2, 9, true}, {Advice{Low: 0.2, High: -1}, 0.19, 9, false}, {Advice{High: 10}, 0, 10, true}, {Advice{High: 10}, 0, 10.1, false},
		{Advice{Low: 100.0 / 300, High: 100.0 / 300}, 0.33, 0.33, true}, {Advice{Low: 100.0 / 300, High: 100.0 / 300}, 0.33, 0.35, false}, {Advice{Low: 3, High: 3}, 2.9, 2.9, false},
	} {
		if got := c.advice.Inside(c.low, c.high); got != c.want {
			t.Errorf("%v to %v is inside %+v: %t", c.low, c.high, c.advice, got)
		}
	}
}

// Sizes grow, and the last ends.
func TestSizes(t *testing.T) {
	for ha, toHa := range map[float64]float64{1: 4, 4: 4, 4.1: 10, 100: 100} {
		if s, ok := SizeFor(ha); !ok || s.ToHa != toHa {
			t.Errorf("for %v ha %+v, want the one to %v ha", ha, s, toHa)
		}
	}
	if s, ok := SizeFor(101); ok {
		t.Errorf("for 101 ha %+v", s)
	}
}
