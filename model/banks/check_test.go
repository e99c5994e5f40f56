package banks

import (
	"math"
	"strings"
	"testing"

	"headcut/model"
)

func checked(t *testing.T, c Check) Report {
	t.Helper()
	r, err := c.Run()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// found makes pegs every 20 m, from the outlet at 50 m up, from their levels in centimetres.
func found(cm ...float64) []Found {
	pegs := make([]Found, len(cm))
	for i, up := range cm {
		pegs[i] = Found{ChainageM: 20 * float64(i), LevelM: 50 + up/100}
	}
	return pegs
}

// crested gives pegs crests, in centimetres above the outlet's bed.
func crested(pegs []Found, cm ...float64) []Found {
	for i, up := range cm {
		pegs[i].CrestLevelM = new(50 + up/100)
	}
	return pegs
}

// turnedRound is the same bank booked from its top.
func turnedRound(pegs []Found) []Found {
	all := make([]Found, len(pegs))
	last := pegs[len(pegs)-1].ChainageM
	for i, p := range pegs {
		p.ChainageM = last - p.ChainageM
		all[len(pegs)-1-i] = p
	}
	return all
}

func graded(pegs []Found) Check {
	return Check{Pegs: pegs, OutletAt: Outfall, Reaches: []Reach{{80, 0.3}}, Basis: model.Levelled, PlusMinusM: 0.0028}
}

func TestCheck(t *testing.T) {
	channel := &Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: exactly(0.04)}
	for _, c := range []struct {
		name    string
		check   Check
		lengths []Fall
		worst   int // peg; 0: several are
		offM    float64
		pools   []Pool
		verdict model.Verdict
		reason  string
	}{
		{"on-grade", graded(found(0, 6, 12, 18, 24)), []Fall{FallOK, FallOK, FallOK, FallOK}, 0, 0, nil, model.OK, ""},
		{"at-half-and-twice", graded(found(0, 3, 15)), []Fall{FallOK, FallOK}, 0, 0.03, nil, model.OK, ""},
		{"too-flat", graded(found(0, 2.9, 9)), []Fall{TooFlat, FallOK}, 2, -0.031, nil, model.Fails, "From 20 to 0 m: It falls by 0.15 % and should by 0.30: silt"},
		{"too-steep", graded(found(0, 12.1, 18)), []Fall{TooSteep, FallOK}, 2, 0.061, nil, model.Fails, "may cut"},
		{"climbs", graded(found(0, 6, 4, 18)), []Fall{FallOK, Climbs, TooSteep}, 3, -0.08, []Pool{{FromM: 20, ToM: 20 + 20 + 20*2.0/14, DeepestM: 40, DepthM: 0.02, SpillM: 20}}, model.Fails, "From 40 to 20 m: It climbs by 0.10 %"},
		{"over-the-bank", graded(crested(found(0, 20, 4, 24), 50, 70, 12, 74)), []Fall{TooSteep, Climbs, TooSteep}, 2, 0.14,
			[]Pool{{FromM: 30, ToM: 40 + 20*8.0/20, DeepestM: 40, DepthM: 0.08, SpillM: 40, OverTheBank: true}}, model.Fails, "runs over the bank at 40 m"},
		{"low-top", graded(found(0, 6, 5.8)), []Fall{FallOK, Climbs}, 3, -0.062, []Pool{{FromM: 20, ToM: 40, DeepestM: 40, DepthM: 0.002, SpillM: 20}}, model.Fails, "climbs"},
		{"too-fast", Check{Pegs: found(0, 6, 17.9), OutletAt: Outfall, Reaches: []Reach{{80, 0.3}}, Basis: model.Levelled, Channel: channel, FlowM3S: new(exactly(0.5)), Bearing: Bearing{VelocityMS: 0.45}},
			[]Fall{FallOK, TooFast}, 3, 0.059, nil, model.Fails, "the peak runs faster than the 0.45 m/s"},
		{"gps", Check{Pegs: found(0, 6, 12), OutletAt: Outfall, Reaches: []Reach{{80, 0.3}}, Basis: model.GPS}, []Fall{NotLevelled, NotLevelled}, 0, 0, nil, model.NotLevelled, "These levels are GPS"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, end := range []End{Outfall, Top} {
				check := c.check
				n := len(check.Pegs)
				peg := func(k int) int { return k }
				if check.OutletAt = end; end == Top {
					check.Pegs = turnedRound(check.Pegs)
					peg = func(k int) int { return n + 1 - k }
				}
				r := checked(t, check)
				for i, want := range c.lengths {
					got := r.Lengths[i]
					if end == Top {
						got = r.Lengths[len(c.lengths)-1-i]
					}
					if got.Verdict != want {
						t.Errorf("outlet at the %s: length %d is %s at %v %%, want %s", end, i+1, got.Verdict, got.GradePct, want)
					}
				}
				if worst := r.Offs[0]; !near(math.Abs(worst.OffM), math.Abs(c.offM), 1e-9) || c.worst > 0 && (worst.Peg != peg(c.worst) || worst.OffM*c.offM < 0) {
					t.Errorf("outlet at the %s: worst is %+v, want peg %d off %v m", end, worst, peg(c.worst), c.offM)
				}
				if len(r.Pools) != len(c.pools) {
					t.Fatalf("outlet at the %s: pools %+v, want %+v", end, r.Pools, c.pools)
				}
				for i, want := range c.pools {
					got, last := r.Pools[i], 20*float64(n-1)
					if end == Top {
						got.FromM, got.ToM, got.DeepestM, got.SpillM = last-got.FromM, last-got.ToM, last-got.DeepestM, last-got.SpillM
					}
					if !near(got.FromM, want.FromM, 1e-6) || !near(got.ToM, want.ToM, 1e-6) || !near(got.DeepestM, want.DeepestM, 1e-6) ||
						!near(got.DepthM, want.DepthM, 1e-9) || !near(got.SpillM, want.SpillM, 1e-6) || got.OverTheBank != want.OverTheBank {
						t.Errorf("outlet at the %s: pool %+v, want %+v", end, got, want)
					}
				}
				if said := strings.Join(r.Reasons, " "); r.Verdict != c.verdict || (said == "") != (c.reason == "") || end == Outfall && !strings.Contains(said, c.reason) {
					t.Errorf("outlet at the %s: %s %q, want %s %q", end, r.Verdict, said, c.verdict, c.reason)
				}
			}
		})
	}
}

// A peg says what to do where a staff tells it from the grade; the outlet's peg, which the grade
// goes up from, never does.
func TestMoves(t *testing.T) {
	r := checked(t, graded(found(0, 6.04, 12.1, 17.9, 23.96)))
	for _, off := range r.Offs {
		want := map[int]string{3: "clear 0.001 m out of the channel", 4: "fill 0.001 m"}[off.Peg]
		if off.Move != want {
			t.Errorf("peg %d, off %.4f m: %q, want %q", off.Peg, off.OffM, off.Move, want)
		}
	}
}

// Pools come by growing chainage, whichever end the outlet is at, and beside each other.
func TestTwoPools(t *testing.T) {
	pegs := found(0, 10, 4, 12, 6, 14)
	r := checked(t, graded(pegs))
	if len(r.Pools) != 2 || r.Pools[0].DeepestM != 40 || r.Pools[1].DeepestM != 80 || !near(r.Pools[0].DepthM, 0.06, 1e-9) || !near(r.Pools[1].DepthM, 0.06, 1e-9) {
		t.Errorf("pools %+v, want two 0.06 m deep at 40 and 80 m", r.Pools)
	}
	c := graded(turnedRound(pegs))
	c.OutletAt = Top
	if r := checked(t, c); len(r.Pools) != 2 || r.Pools[0].DeepestM != 20 || r.Pools[1].DeepestM != 60 {
		t.Errorf("turned round, pools %+v, want them at 20 and 60 m", r.Pools)
	}
}

// The lowest crest above its bed limits what passes: 0.3 m of water passes 0.396 m³/s at 0.2 %.
func TestLowestCrest(t *testing.T) {
	c := Check{Pegs: crested(found(0, 4, 8, 12), 60, 64, 53, 72), OutletAt: Outfall, Reaches: []Reach{{60, 0.2}}, Basis: model.Levelled, FreeboardM: 0.15,
		Channel: &Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: exactly(0.04)}, FlowM3S: new(exactly(0.39))}
	r := checked(t, c)
	if l := r.Limit; l.Peg != 3 || !near(l.HeightM.Value, 0.45, 1e-9) || !near(l.Flow.FlowM3S.Value, 0.396, 1e-3) || r.Verdict != model.OK {
		t.Errorf("limit %+v, %s %q", l, r.Verdict, r.Reasons)
	}
	c.FlowM3S = new(exactly(0.41))
	if r := checked(t, c); r.Verdict != model.Fails || !strings.Contains(r.Reasons[0], "The lowest crest, at 40 m") {
		t.Errorf("%s %q", r.Verdict, r.Reasons)
	}
	c.FreeboardM = 0.445
	if r := checked(t, c); r.Limit.Flow != nil || r.Verdict != model.Fails || !strings.Contains(r.Reasons[0], "no channel") {
		t.Errorf("all freeboard: %+v, %s %q", r.Limit, r.Verdict, r.Reasons)
	}
	c.Channel = nil
	if r := checked(t, c); r.Limit.Flow != nil || r.Verdict != model.OK {
		t.Errorf("without a channel: %+v, %s %q", r.Limit, r.Verdict, r.Reasons)
	}
}

// In short grass the same peak runs faster, and the crest still limits what passes in long grass.
func TestShortGrass(t *testing.T) {
	c := Check{Pegs: crested(found(0, 4, 8, 12), 60, 64, 68, 72), OutletAt: Outfall, Reaches: []Reach{{60, 0.2}}, Basis: model.Levelled,
		Channel: &Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: exactly(0.04)}, FlowM3S: new(exactly(0.39))}
	long := checked(t, c)
	c.ShortN = 0.03
	short := checked(t, c)
	if !(*short.Lengths[0].VelocityMS > *long.Lengths[0].VelocityMS) || short.Limit.Flow.FlowM3S != long.Limit.Flow.FlowM3S {
		t.Errorf("short %v m/s %+v, long %v m/s %+v", *short.Lengths[0].VelocityMS, short.Limit.Flow, *long.Lengths[0].VelocityMS, long.Limit.Flow)
	}
	l := sound()
	long2 := laid(t, l)
	l.ShortN = 0.03
	short2 := laid(t, l)
	if !(short2.Steepest.VelocityMS > long2.Steepest.VelocityMS && short2.SteepestPct < long2.SteepestPct) || short2.Heights != long2.Heights {
		t.Errorf("planned in short grass %+v, in long %+v", short2, long2)
	}
}

// Where the grade steepens a lower crest may pass more water than a higher one above it.
func TestCrestOfAFlatReach(t *testing.T) {
	c := Check{Pegs: crested(found(0, 8, 16, 20, 24), 60, 54, 62, 67, 72), OutletAt: Outfall, Reaches: []Reach{{40, 0.2}, {40, 0.4}}, Basis: model.Levelled,
		Channel: &Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: exactly(0.04)}}
	for crest, want := range map[float64]struct {
		peg      int
		gradePct float64
	}{0.54: {4, 0.2}, 0.43: {2, 0.3}} { // the mean, 0.3 %, is flatter than the 0.4 wanted at peg 2
		c.Pegs[1].CrestLevelM = new(50 + crest)
		if l := checked(t, c).Limit; l.Peg != want.peg || !near(l.Flow.GradePct, want.gradePct, 1e-9) {
			t.Errorf("with a crest at %v m: %+v %+v, want peg %d at %v %%", crest, l, l.Flow, want.peg, want.gradePct)
		}
		turned := c
		turned.Pegs, turned.OutletAt = turnedRound(c.Pegs), Top
		if l := checked(t, turned).Limit; l.Peg != 6-want.peg || !near(l.Flow.GradePct, want.gradePct, 1e-9) {
			t.Errorf("turned round, with a crest at %v m: %+v %+v, want peg %d at %v %%", crest, l, l.Flow, 6-want.peg, want.gradePct)
		}
	}
	c.Channel = nil
	if l := checked(t, c).Limit; l.Peg != 2 {
		t.Errorf("without a channel: %+v, want the lowest crest", l)
	}
}

// Beyond the length of the plan the grade of its top goes on.
func TestLongerThanPlanned(t *testing.T) {
	c := graded(found(0, 8, 16, 20, 24, 28))
	c.Reaches = []Reach{{20, 0.2}, {40, 0.4}}
	r := checked(t, c)
	for i, want := range []float64{0.4, 0.4, 0.2, 0.2, 0.2} {
		if n := r.Lengths[i]; !near(n.WantedPct, want, 1e-9) || n.Verdict != FallOK {
			t.Errorf("length %d: %+v, want %v %%", i+1, n, want)
		}
	}
	if !near(r.MeanGradePct.Value, 0.28, 1e-9) {
		t.Errorf("mean %v %%", r.MeanGradePct.Value)
	}
}

func TestClose(t *testing.T) {
	c := graded(found(0, 3.2, 9.2))
	if r := checked(t, c); !r.Lengths[0].Close || r.Lengths[1].Close { // 2.8 mm in each level, 0.02 % over 20 m
		t.Errorf("lengths %+v, want the first close", r.Lengths)
	}
	for _, plusMinusM := range []float64{0, 0.0001, -1} {
		c.PlusMinusM = plusMinusM
		if r := checked(t, c); r.Lengths[0].Close {
			t.Errorf("of levels sure to %v m %+v is close", plusMinusM, r.Lengths[0])
		}
	}
}

func TestCheckCautions(t *testing.T) {
	whole := Check{Pegs: crested(found(0, 4, 8, 12), 60, 64, 68, 72), OutletAt: Outfall, Reaches: []Reach{{60, 0.2}}, Basis: model.Levelled,
		Channel: &Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: exactly(0.04)}, FlowM3S: new(exactly(0.39)), Bearing: Bearing{VelocityMS: 1}}
	for _, c := range []struct {
		name string
		edit func(*Check)
		want string
	}{
		{"whole", func(*Check) {}, ""},
		{"no-crest", func(c *Check) { c.Pegs = found(0, 4, 8, 12) }, "crestLevelM"},
		{"no-peak", func(c *Check) { c.FlowM3S = nil }, "flowM3S"},
		{"no-velocity", func(c *Check) { c.Bearing = Bearing{} }, "permissibleMS"},
		{"barely", func(c *Check) { c.PlusMinusM, c.FreeboardM = 0.01, 0.295 }, "lowest"},
		{"unknown", func(c *Check) { c.PlusMinusM = -1 }, "lowest"},
		{"amply", func(c *Check) { c.PlusMinusM, c.FreeboardM = 0.01, 0.15 }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			check := whole
			c.edit(&check)
			got := ""
			for _, caution := range check.Cautions(checked(t, check)) {
				got += caution.About
			}
			if got != c.want {
				t.Errorf("cautions about %q, want %q", got, c.want)
			}
		})
	}
}
