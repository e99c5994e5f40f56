package works

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/section"
)

// ponds are banks on a plane that rises so many per cent over 100 m.
func ponds(slopePct float64) PondingBanks {
	return PondingBanks{Ground: section.Bed{{ChainageM: 0, LevelM: 50}, {ChainageM: 100, LevelM: 50 + slopePct}}, Quality: section.LevelledAndTaped,
		PondDepthM: 0.1, FreeboardM: 0.15, FaceRunPerRise: 3, CrestBreadthM: 0.5, LengthM: 80, LengthPlusMinM: 2}
}

func laidPonds(t rapid.TB, p PondingBanks) PondPlan {
	t.Helper()
	plan, err := p.Lay()
	if err != nil {
		t.Fatalf("Lay(%+v) = %v", p, err)
	}
	return plan
}

// On 0.5 % ponds of 0.1 m reach 20 m: five banks, each of which holds a wedge of 0.1 by 20 m and what lies on its face.
func TestPondingBanksByHand(t *testing.T) {
	plan := laidPonds(t, ponds(0.5))
	if len(plan.Banks) != 5 {
		t.Fatalf("banks %+v, want 5", plan.Banks)
	}
	for i, b := range plan.Banks {
		if want := 20 * float64(i); math.Abs(b.ChainageM-want) > 1e-9 || math.Abs(b.GroundLevelM-50-0.1*float64(i)) > 1e-9 || math.Abs(b.CrestLevelM-b.GroundLevelM-0.25) > 1e-9 || math.Abs(b.WaterM3PerM-(0.1*20/2+3*0.01/2)) > 1e-9 {
			t.Errorf("bank %d: %+v, want it at %v", i, b, want)
		}
	}
	if math.Abs(plan.WaterM3-5*80*1.015) > 1e-6 || plan.LengthM != 400 || math.Abs(plan.EarthM3-400*0.25*(0.5+3*0.25)) > 1e-9 {
		t.Errorf("together %+v", plan)
	}
	short := ponds(0.5)
	short.Ground[1] = section.Station{ChainageM: 89, LevelM: 50.445} // 9 m above the fifth toe: less than half a pond
	if n := len(laidPonds(t, short).Banks); n != 4 {
		t.Errorf("%d banks where the ground ends 9 m above the fourth pond, want 4", n)
	}
}

// Whatever the ground: each bank's toe is level with the full pond below or above it, never under; they stand in order on
// the ground, booked up or down alike; and no pond lies past the next bank.
func TestPondsMeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		up := section.Bed{{ChainageM: 0, LevelM: 100}}
		for i := range rapid.IntRange(1, 8).Draw(t, "levels") {
			up = append(up, section.Station{ChainageM: float64(30 * (i + 1)), LevelM: up[i].LevelM + 30*rapid.Float64Range(0.15, 1.4).Draw(t, "slope")/100})
		}
		depthM := rapid.Float64Range(LeastPondM, MostPondM).Draw(t, "depth")
		p := PondingBanks{Ground: up, Quality: section.LevelledAndTaped, PondDepthM: depthM, FreeboardM: 0.15, FaceRunPerRise: 2, LengthM: 50, LengthPlusMinM: -1}
		plan := laidPonds(t, p)
		top := up[len(up)-1]
		if len(plan.Banks) == 0 && top.LevelM-100 >= depthM/2 {
			t.Fatalf("no bank on ground that rises %v m", top.LevelM-100)
		}
		for i, b := range plan.Banks {
			if levelM, ok := up.LevelAt(b.ChainageM); !ok || math.Abs(levelM-b.GroundLevelM) > 1e-9 {
				t.Fatalf("bank %+v stands off the ground, at %v", b, levelM)
			}
			if i == 0 {
				continue
			}
			below := plan.Banks[i-1]
			if math.Abs(b.GroundLevelM-below.WaterLevelM) > 1e-9 || below.ChainageM+below.PondReachM > b.ChainageM+1e-9 {
				t.Fatalf("the pond of %+v does not end at %+v", below, b)
			}
		}
		down := make(section.Bed, 0, len(up))
		for i := len(up) - 1; i >= 0; i-- {
			down = append(down, section.Station{ChainageM: 7 + top.ChainageM - up[i].ChainageM, LevelM: up[i].LevelM})
		}
		p.Ground, p.TurnedAtM = Upwards(down)
		turned := laidPonds(t, p)
		if len(turned.Banks) != len(plan.Banks) {
			t.Fatalf("%d banks booked down, %d booked up", len(turned.Banks), len(plan.Banks))
		}
		for i, b := range turned.Banks {
			if m := 7 + top.ChainageM - plan.Banks[i].ChainageM; math.Abs(b.ChainageM-m) > 1e-6 || math.Abs(b.GroundLevelM-plan.Banks[i].GroundLevelM) > 1e-9 {
				t.Fatalf("booked down bank %d is %+v, want it at %v", i, b, m)
			}
		}
	})
}

// TestPondingBanksSpread draws levels, tape and the length of a bank 10,000 times. The plus-minus of several banks is never less
// than their spread: errors that share a level are added.
func TestPondingBanksSpread(t *testing.T) {
	one := ponds(0.5)
	one.PondDepthM, one.Ground = 0.3, section.Bed{{ChainageM: 0, LevelM: 50}, {ChainageM: 60, LevelM: 50.3}}
	plan := laidPonds(t, one)
	b := plan.Banks[0]
	q := one.Quality
	got := spreadOf(10_000, func(r *rand.Rand) []float64 {
		run := 60 + q.ChainagePlusMinusM*(r.NormFloat64()+r.NormFloat64())
		rise := 0.3 + q.LevelPlusMinusM*(r.NormFloat64()+r.NormFloat64())
		pond, err := Lip{HeightM: 0.3, FaceRunPerRise: 3, GroundSlopePct: 100 * rise / run}.Hold(math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		lengthM := one.LengthM + one.LengthPlusMinM*r.NormFloat64()
		return []float64{100 * rise / run, pond.M3PerM, pond.M3PerM * lengthM, lengthM * 0.45 * (0.5 + 3*0.45)}
	})
	for i, stated := range []float64{b.SlopePlusMin, b.PlusMinM3PerM, plan.WaterPlusMinusM3, plan.EarthPlusMinusM3} {
		if len(plan.Banks) != 1 || !(math.Abs(got[i]/stated-1) <= 0.05) {
			t.Errorf("figure %d of %d banks: stated ± %v, 10,000 draws spread by %v", i, len(plan.Banks), stated, got[i])
		}
	}
	five := ponds(0.5)
	stated := laidPonds(t, five).WaterPlusMinusM3
	all := spreadOf(10_000, func(r *rand.Rand) []float64 {
		perM, levels := 0.0, make([]float64, 6)
		for i := range levels {
			levels[i] = 0.1*float64(i) + q.LevelPlusMinusM*r.NormFloat64()
		}
		for i := range 5 {
			s := (levels[i+1] - levels[i]) / 20
			perM += 0.01/(2*s) + 3*0.01/2
		}
		return []float64{perM * (80 + 2*r.NormFloat64())}
	})
	if all[0] > stated*1.02 {
		t.Errorf("five banks: stated ± %v, and draws spread by %v", stated, all[0])
	}
}

func TestPondingBanksRefuse(t *testing.T) {
	for _, c := range []struct {
		name, path, part string
		edit             func(*PondingBanks)
	}{
		{"a-dam", "pondDepthM", "too deep for a ponding bank", func(p *PondingBanks) { p.PondDepthM = 0.31 }},
		{"a-film", "pondDepthM", "0.02", func(p *PondingBanks) { p.PondDepthM = 0.02 }},
		{"not-a-number", "pondDepthM", "NaN", func(p *PondingBanks) { p.PondDepthM = math.NaN() }},
		{"no-freeboard", "freeboardM", "0.05", func(p *PondingBanks) { p.FreeboardM = 0.05 }},
		{"upright", "faceRunPerRise", "0.5", func(p *PondingBanks) { p.FaceRunPerRise = 0.5 }},
		{"wide", "crestBreadthM", "11", func(p *PondingBanks) { p.CrestBreadthM = 11 }},
		{"short", "bankLengthM", "0.5", func(p *PondingBanks) { p.LengthM, p.LengthPlusMinM = 0.5, -1 }},
		{"unsure", "bankLengthPlusMinusM", "81", func(p *PondingBanks) { p.LengthPlusMinM = 81 }},
		{"flat", "ground", "cannot be calculated", func(p *PondingBanks) { p.Ground[1].LevelM = 50.05 }},
		{"steep", "ground", "no more than 1.5 %", func(p *PondingBanks) { p.Ground[1].LevelM = 51.6 }},
		{"steep-part", "ground", "no more than 1.5 %", func(p *PondingBanks) {
			p.Ground = append(p.Ground, section.Station{ChainageM: 120, LevelM: p.Ground[1].LevelM + 0.5})
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := ponds(0.5)
			c.edit(&p)
			_, err := p.Lay()
			if wrong, ok := err.(*model.Problem); !ok || wrong.Path != c.path || !strings.Contains(wrong.Reason, c.part) {
				t.Errorf("%v, want a problem at %s that says %q", err, c.path, c.part)
			}
		})
	}
}

// Pits of 1.5 by 1 m stand 2,666 on 4,000 m²; the ± is that of the area.
func TestPits(t *testing.T) {
	p := Pits{LengthM: 0.8, WidthM: 0.4, DepthM: 0.12, ApartM: 1.5, RowsApartM: 1}
	count, off, waterM3, waterOff, err := p.On(4000, 120)
	each := math.Pi / 6 * 0.8 * 0.4 * 0.12
	if err != nil || count != 2666 || off != 80 || math.Abs(waterM3-4000/1.5*each) > 1e-9 || math.Abs(waterOff-80*each) > 1e-9 {
		t.Errorf("%v ± %v pits, %v ± %v m³, %v", count, off, waterM3, waterOff, err)
	}
	if _, off, _, waterOff, _ := p.On(4000, -1); off != -1 || waterOff != -1 {
		t.Errorf("± %v and %v of an area of no known ±", off, waterOff)
	}
	spread := spreadOf(10_000, func(r *rand.Rand) []float64 {
		_, _, waterM3, _, _ := p.On(4000+120*r.NormFloat64(), -1)
		return []float64{waterM3}
	})
	if math.Abs(spread[0]/waterOff-1) > 0.05 {
		t.Errorf("stated ± %v m³, 10,000 draws spread by %v", waterOff, spread[0])
	}
	for path, edit := range map[string]func(*Pits){
		"depthM": func(p *Pits) { p.DepthM = 0.51 }, "lengthM": func(p *Pits) { p.LengthM = 0 }, "widthM": func(p *Pits) { p.WidthM = math.NaN() },
		"apartM": func(p *Pits) { p.ApartM = 0.8 }, "rowsApartM": func(p *Pits) { p.RowsApartM = 0.4 },
	} {
		wrong := p
		edit(&wrong)
		if _, _, _, _, err := wrong.On(4000, 120); err == nil || err.(*model.Problem).Path != path {
			t.Errorf("%s: %v", path, err)
		}
	}
}
