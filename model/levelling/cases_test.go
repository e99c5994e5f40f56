package levelling

import (
	"math"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// comparison counts what was compared with published cases and the worst difference.
type comparison struct {
	t     *testing.T
	cases int
	worst float64
}

func (a *comparison) check(c modeltest.Case, name string, got float64) {
	a.t.Helper()
	c.Check(a.t, name, got)
	a.see(got - modeltest.Want[float64](a.t, c, name))
}

func (a *comparison) see(difference float64) { a.worst = max(a.worst, math.Abs(difference)) }

func (a *comparison) report(what string, want int) {
	a.t.Helper()
	if a.cases != want {
		a.t.Errorf("%s: %d cases, want %d", what, a.cases, want)
	}
	a.t.Logf("%s: %d cases, worst difference %.2g", what, a.cases, a.worst)
}

type caseRow struct {
	Pt         string
	BS, IS, FS *float64
}

type caseLevels struct {
	Pt         string
	Rise, Fall float64
	RL         float64
	HOC        *float64
	Adj        *float64 `json:"adj_rl"`
}

func TestPublishedBooks(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "survey", "level_book", "level_book_inverted") {
		seen.cases++
		var rows []model.LevelRow
		for _, r := range modeltest.Input[[]caseRow](t, c, "rows") {
			rows = append(rows, model.LevelRow{Point: r.Pt, BS: r.BS, IS: r.IS, FS: r.FS})
		}
		start := c.Number(t, "start_rl")
		rows[0].KnownLevelM = &start
		last := &rows[len(rows)-1]
		if c.Has("closing_known_rl") {
			known := c.Number(t, "closing_known_rl")
			last.KnownLevelM = &known
		}
		if c.Has("cumulative_m") {
			for i, m := range modeltest.Input[[]float64](t, c, "cumulative_m") {
				rows[i].DistanceM = &m
			}
		}
		if c.Has("loop_length_m") {
			m := c.Number(t, "loop_length_m")
			last.DistanceM = &m
		}
		o := Options{Adjust: AdjustAlways, StaffLengthM: 20} // some of these books are in feet
		if last.DistanceM != nil {
			o.PerRootKmMm = 12
		}
		run := reduce(t, rows, o)
		for i, want := range modeltest.Want[[]caseLevels](t, c, "rows") {
			row := run.Rows[i]
			near := func(column string, got, want float64) {
				seen.see(got - want)
				// Adjusted levels of LB1 and LB2 are printed to the millimetre, which is what was spread.
				if math.Abs(got-want) > 1e-9 {
					t.Errorf("%s row %d (%s): %s = %v, want %v (%s)", c.ID, i+1, row.Point, column, got, want, c.Source)
				}
			}
			near("level", row.LevelM, want.RL)
			near("rise", value(row.RiseM), want.Rise)
			near("fall", value(row.FallM), want.Fall)
			near("line of sight", value(row.InstrumentLevelM), value(want.HOC))
			if want.Adj != nil {
				near("adjusted", value(row.AdjustedLevelM), *want.Adj)
			}
		}
		seen.check(c, "sum_bs", run.SumBSM)
		seen.check(c, "sum_fs", run.SumFSM)
		seen.check(c, "sum_rise", run.SumRiseM)
		seen.check(c, "sum_fall", run.SumFallM)
		seen.check(c, "sum_bs_minus_fs", run.SumBSM-run.SumFSM)
		seen.check(c, "sum_rise_minus_fall", run.SumRiseM-run.SumFallM)
		seen.check(c, "last_minus_first", run.Rows[len(rows)-1].LevelM-run.Rows[0].LevelM)
		if c.Expects("misclosure") {
			seen.check(c, "misclosure", *run.MisclosureM)
		}
		if c.Expects("setups") {
			seen.check(c, "setups", float64(run.SetUps))
		}
		if c.Expects("correction_per_setup") {
			seen.check(c, "correction_per_setup", -*run.MisclosureM/float64(run.SetUps))
		}
		if c.Expects("within_12") && run.Closed != modeltest.Want[bool](t, c, "within_12") {
			t.Errorf("%s: closed %t within 12 mm a root kilometre, want the opposite", c.ID, run.Closed)
		}
		if c.Expects("allowable_12mm_sqrtK") && math.Abs(*run.AllowableM*1000-7.59) > 0.005 {
			t.Errorf("%s: allowable %v m, want 7.59 mm", c.ID, *run.AllowableM)
		}
		if c.Expects("k_mm_per_sqrt_km") {
			k := math.Abs(*run.MisclosureM) / AllowableM(1, value(last.DistanceM)/1000)
			if want := modeltest.Want[float64](t, c, "k_mm_per_sqrt_km"); math.Abs(k-want) > 0.01 {
				t.Errorf("%s: misclosure is %v mm a root kilometre, want %v", c.ID, k, want)
			}
		}
		if !run.ArithmeticOK {
			t.Errorf("%s: %q", c.ID, run.Reasons)
		}
	}
	seen.report("level books", 6)
}

func TestPublishedClearanceUnderARoof(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "survey", "inverted_clearance") {
		seen.cases++
		floor, reading, roof := c.Number(t, "floor_rl"), c.Number(t, "floor_reading"), c.Number(t, "inverted_roof_reading")
		run := reduce(t, []model.LevelRow{{BS: &reading, KnownLevelM: &floor}, {FS: &roof, Inverted: true}}, Options{})
		seen.check(c, "hoc", *run.Rows[0].InstrumentLevelM)
		seen.check(c, "roof_rl", run.Rows[1].LevelM)
		seen.check(c, "clear_height", *run.Rows[1].RiseM)
	}
	seen.report("inverted staff", 1)
}

func TestPublishedArithmeticChecks(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "survey", "level_book_arithmetic_check") {
		seen.cases++
		in := func(name string) tenths {
			v, fault := exact(c.Number(t, name))
			if fault != nil {
				t.Fatal(name, fault)
			}
			return v
		}
		s := sums{bs: in("sum_bs"), fs: in("sum_fs"), first: in("first_rl"), last: in("last_rl")}
		s.rise = s.bs // the example by height of collimation has no rises and falls
		s.fall = s.fs
		if c.Has("sum_rise") {
			s.rise, s.fall = in("sum_rise"), in("sum_fall")
			seen.check(c, "rise_minus_fall", (s.rise - s.fall).metres())
		}
		seen.check(c, "bs_minus_fs", (s.bs - s.fs).metres())
		seen.check(c, "last_minus_first", (s.last - s.first).metres())
		if want := modeltest.Want[bool](t, c, "passes"); s.agree() != want {
			t.Errorf("%s: sums agree: %t, want %t", c.ID, s.agree(), want)
		}
	}
	seen.report("arithmetic checks", 2)
}

func TestPublishedAllowables(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "survey", "allowable_misclosure", "allowable_misclosure_setups") {
		seen.cases++
		n := "length_km"
		if c.Has("setups") {
			n = "setups"
		}
		seen.check(c, "allow_mm", 1000*AllowableM(c.Number(t, "k_mm"), c.Number(t, n)))
	}
	seen.report("allowable misclosures, mm", 6)
}

func TestPublishedCurvature(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "survey", "curvature_refraction") {
		seen.cases++
		seen.check(c, "combined_m", CurvatureRefractionM(c.Number(t, "distance_m")))
	}
	for _, c := range modeltest.Cases(t, "survey", "curvature_refraction_inverse") {
		// The sight that is read 3 mm too high, found back by halving.
		seen.cases++
		short, long := 0.0, 10_000.0
		for range 60 {
			if middle := (short + long) / 2; CurvatureRefractionM(middle) < c.Number(t, "combined_m") {
				short = middle
			} else {
				long = middle
			}
		}
		c.Check(t, "distance_m", short)
	}
	seen.report("curvature and refraction", 5)
}

func TestPublishedSettingOut(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "survey", "set_out_reading") {
		seen.cases++
		sight := c.Number(t, "bm_rl") + c.Number(t, "bs")
		if c.Has("target_rl") {
			set, err := SetOut(sight, c.Number(t, "target_rl"), StaffLengthM)
			if err != nil {
				t.Fatalf("%s: %v", c.ID, err)
			}
			seen.check(c, "staff_reading", set.ReadingM)
			continue
		}
		wants := modeltest.Want[[]float64](t, c, "staff_readings")
		for i, x := range modeltest.Input[[]float64](t, c, "chainages_m") {
			set, err := SetOut(sight, c.Number(t, "start_rl")+c.Number(t, "grade")*x, StaffLengthM)
			if err != nil || math.Abs(set.ReadingM-wants[i]) > 1e-9 {
				t.Errorf("%s at %v m: reading %v, %v, want %v", c.ID, x, set.ReadingM, err, wants[i])
			}
			seen.see(set.ReadingM - wants[i])
		}
	}
	for _, c := range modeltest.Cases(t, "survey", "laser_staff") {
		// A rotating laser is one line of sight for every point, so it is one set-up.
		seen.cases++
		bench, beam := c.Number(t, "bench_rl"), c.Number(t, "beam_height_on_staff_at_bench")
		rows := []model.LevelRow{{BS: &beam, KnownLevelM: &bench}}
		for _, reading := range modeltest.Input[[]float64](t, c, "ground_readings") {
			rows = append(rows, model.LevelRow{IS: &reading})
		}
		end := &rows[len(rows)-1]
		end.FS, end.IS = end.IS, nil
		run := reduce(t, rows, Options{})
		seen.check(c, "laser_plane_rl", *run.Rows[0].InstrumentLevelM)
		for i, want := range modeltest.Want[[]float64](t, c, "ground_rls") {
			if got := run.Rows[i+1].LevelM; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: ground %d at %v m, want %v", c.ID, i+1, got, want)
			}
		}
	}
	seen.report("setting out", 3)
}

func value(m *float64) float64 {
	if m == nil {
		return 0
	}
	return *m
}
