package treatment

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model/modeltest"
)

// at is a site for tests: numbers by field, then answers.
func at(w What, numbers map[Field]float64, answers map[Field]bool) Site {
	s := Site{What: w}
	for f, v := range numbers {
		s.Measure(f, v, -1)
	}
	for f, v := range answers {
		s.Answer(f, v)
	}
	return s
}

func TestSizeAgainstCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "gully_class_fao") {
		byDepth, byCatchment := SizeOf(c.Number(t, "depth"), c.Number(t, "drainage_ha"))
		if want := modeltest.Want[string](t, c, "class"); string(byDepth) != want || string(byCatchment) != want {
			t.Errorf("%s: SizeOf = %s and %s, want %s", c.ID, byDepth, byCatchment, want)
		}
	}
	if d, c := SizeOf(0.8, 25); d != Small || c != Large {
		t.Errorf("SizeOf(0.8, 25) = %s, %s, want small by depth and large by catchment", d, c)
	}
}

// TestRulesAgainstCases: the limits that handbooks print decide as their rows say.
func TestRulesAgainstCases(t *testing.T) {
	const acreHa = 0.40468564224
	for _, c := range modeltest.Cases(t, "gully", "is_gully", "brush_fill_ok", "earth_plug_ok", "bale_dam_ok") {
		numbers := map[Field]float64{WidthM: 0.5, CatchmentHa: 0.1, DepthM: 0.5, BedSlopePct: 3}
		of, answer := map[string]Treatment{"is_gully": LooseRockDams, "brush_fill_ok": BrushFill, "earth_plug_ok": EarthPlug, "bale_dam_ok": BaleDams}[c.Topic], "ok"
		if c.Topic == "is_gully" {
			answer = "gully"
		}
		for name, f := range map[string]Field{"depth": DepthM, "width": WidthM} {
			if c.Has(name) {
				numbers[f] = c.Number(t, name)
			}
		}
		for _, name := range []string{"bed_gradient", "slope"} {
			if c.Has(name) {
				numbers[BedSlopePct] = 100 * c.Number(t, name)
			}
		}
		if c.Has("drainage_acres") {
			numbers[CatchmentHa] = acreHa * c.Number(t, "drainage_acres")
		}
		got := outcome(t, at(Gully, numbers, map[Field]bool{Humid: false, Dispersive: false, TimberAtHand: true}), of)
		if want := modeltest.Want[bool](t, c, answer); (got.Verdict == Fitting) != want || got.Verdict == Undecided {
			t.Errorf("%s: %s is %q at %v, want fitting %t (%s)", c.ID, of, got.Verdict, numbers, want, c.Source)
		}
	}
}

func TestChoose(t *testing.T) {
	deepHead := map[Field]float64{DepthM: 1.6, HeadDepthM: 1.6, WallRunPerRise: 0.2, CatchmentHa: 6, BedSlopePct: 4}
	for _, c := range []struct {
		name string
		site Site
		want map[Treatment]Verdict
		rank []Treatment // of those that fit, first to last
	}{
		{"active-deep-head", at(GullyHead, deepHead, map[Field]bool{Active: true, StockOut: true, StableOutlet: true, OutletOnOwnLand: true, RockAtHand: true,
			TimberAtHand: false, TrackWater: false, Dispersive: false, MachineAccess: true, LevelAtHand: true, Springs: false}),
			map[Treatment]Verdict{WhoaBoys: RuledOff, BrushDams: RuledOff, BaleDams: RuledOff, Ripping: NotFor, EarthPlug: NotFor},
			[]Treatment{StockControl, Diversion, Revegetation, Batter, RockHead, LooseRockDams, NettingDams, Engineer}},
		{"no-outlet", at(GullyHead, deepHead, map[Field]bool{StableOutlet: false}), map[Treatment]Verdict{Diversion: RuledOff, StockControl: Fitting}, nil},
		{"neighbour-below", at(GullyHead, deepHead, map[Field]bool{StableOutlet: true, OutletOnOwnLand: false}), map[Treatment]Verdict{Diversion: RuledOff}, nil},
		{"outlet-not-looked-for", at(GullyHead, deepHead, nil), map[Treatment]Verdict{Diversion: Undecided, WhoaBoys: Undecided}, nil},
		{"scald", at(Scald, map[Field]float64{SlopePct: 2, CoverPct: 5}, map[Field]bool{Dispersive: false, MachineAccess: true, TimberAtHand: true, LevelAtHand: true, StockOut: true}),
			map[Treatment]Verdict{LooseRockDams: NotFor, WhoaBoys: NotFor, Gypsum: RuledOff, PondingBanks: RuledOff}, []Treatment{StockControl, Revegetation, Ripping, Windrows, Pitting}},
		{"scald-no-level", at(Scald, map[Field]float64{SlopePct: 2}, map[Field]bool{Dispersive: false, MachineAccess: true, TimberAtHand: true, LevelAtHand: false}),
			nil, []Treatment{StockControl, Revegetation, Ripping, Pitting, Windrows}},
		{"dispersive-scald", at(Scald, map[Field]float64{SlopePct: 2}, map[Field]bool{Dispersive: true}), map[Treatment]Verdict{Ripping: RuledOff, Windrows: Undecided, Gypsum: Fitting, Pitting: Fitting, PondingBanks: RuledOff}, nil},
		{"flat-dispersive-scald", at(Scald, map[Field]float64{SlopePct: 0.3, CoverPct: 0}, map[Field]bool{Dispersive: true, MachineAccess: true, LevelAtHand: true, StockOut: true, TimberAtHand: false}),
			map[Treatment]Verdict{Ripping: RuledOff, Windrows: RuledOff}, []Treatment{StockControl, Revegetation, Gypsum, PondingBanks, Pitting}},
		{"scald-soil-not-tested", at(Scald, map[Field]float64{SlopePct: 0.3}, nil), map[Treatment]Verdict{Gypsum: Undecided, PondingBanks: Undecided}, nil},
		{"dispersive-tunnel", at(Tunnel, map[Field]float64{SlopePct: 5, CatchmentHa: 0.2}, map[Field]bool{Dispersive: true, MachineAccess: true}),
			map[Treatment]Verdict{Diversion: RuledOff}, []Treatment{StockControl, Revegetation, Ripping, Engineer}},
		{"rutted-track", at(Track, map[Field]float64{LengthM: 30, SlopePct: 6}, map[Field]bool{Rutted: true, OnContour: false, Springs: false, StableOutlet: true}),
			map[Treatment]Verdict{StockControl: NotFor}, []Treatment{WhoaBoys}},
		// A track that falls by 6 % is not on the contour, and nobody need be asked.
		{"sloping-track-not-asked", at(Track, map[Field]float64{LengthM: 120, SlopePct: 6}, map[Field]bool{Springs: false}), nil, []Treatment{WhoaBoys}},
		{"all-but-level-track", at(Track, map[Field]float64{LengthM: 120, SlopePct: 1}, map[Field]bool{Springs: false}), map[Treatment]Verdict{WhoaBoys: Undecided}, nil},
		{"short-track", at(Track, map[Field]float64{LengthM: 30, SlopePct: 6}, map[Field]bool{Rutted: false, OnContour: false, Springs: false}), map[Treatment]Verdict{WhoaBoys: RuledOff}, nil},
		{"track-on-contour", at(Fence, map[Field]float64{LengthM: 300, SlopePct: 1}, map[Field]bool{OnContour: true}), map[Treatment]Verdict{WhoaBoys: RuledOff}, nil},
		{"bare-edge", at(BareEdge, map[Field]float64{DepthM: 0.6, WallRunPerRise: 0.1}, map[Field]bool{StockOut: true, MachineAccess: true, Dispersive: false}), nil, []Treatment{StockControl, Revegetation, Batter}},
		{"large-gully", at(Gully, map[Field]float64{DepthM: 6, CatchmentHa: 40, BedSlopePct: 3}, map[Field]bool{TrackWater: false, StableOutlet: false, RockAtHand: true, TimberAtHand: false}),
			map[Treatment]Verdict{BaleDams: RuledOff, Batter: RuledOff, EarthPlug: RuledOff}, []Treatment{StockControl, Revegetation, LooseRockDams, NettingDams, Engineer}},
	} {
		t.Run(c.name, func(t *testing.T) {
			all, err := Choose(c.site)
			if err != nil {
				t.Fatal(err)
			}
			var fitting []Treatment
			for i, o := range all {
				if want, ok := c.want[o.Treatment]; ok && o.Verdict != want {
					t.Errorf("%s is %q, want %q", o.Treatment, o.Verdict, want)
				}
				if o.Verdict == Fitting {
					if fitting = append(fitting, o.Treatment); o.Rank != i+1 {
						t.Errorf("%s has rank %d at place %d", o.Treatment, o.Rank, i)
					}
				}
				if o.Verdict == RuledOff && len(o.RulesOut)+len(o.Failed) == 0 || o.Verdict == Undecided && len(o.Lacks) == 0 || o.Verdict == Fitting && len(o.Fits) == 0 {
					t.Errorf("%s is %q without a reason", o.Treatment, o.Verdict)
				}
			}
			if c.rank != nil && !slices.Equal(fitting, c.rank) {
				t.Errorf("those that fit: %q, want %q", fitting, c.rank)
			}
		})
	}
}

// On dispersive ground no water is ponded before gypsum, and nothing is sown before topsoil.
func TestDispersiveGroundComesFirst(t *testing.T) {
	needs := func(s Site, of Treatment) (ids []string) {
		for _, r := range outcome(t, s, of).Needs {
			ids = append(ids, r.ID)
		}
		return ids
	}
	for _, disperses := range []bool{true, false} {
		s := at(Scald, map[Field]float64{SlopePct: 0.3}, map[Field]bool{Dispersive: disperses, MachineAccess: true, LevelAtHand: true, StockOut: true, Tunnels: false})
		if got := needs(s, PondingBanks); slices.Contains(got, "pond-dispersive") != disperses {
			t.Errorf("dispersive %v: ponding banks need %q", disperses, got)
		}
		if got := needs(s, Revegetation); slices.Contains(got, "sow-dispersive") != disperses {
			t.Errorf("dispersive %v: sowing needs %q", disperses, got)
		}
		s.Answer(Tunnels, true)
		if got := needs(s, PondingBanks); !slices.Contains(got, "pond-tunnels") {
			t.Errorf("ponding banks on tunnels need %q", got)
		}
	}
}

// A measurement nearer a threshold than its plus-minus leaves the treatment undecided.
func TestTooCloseToTell(t *testing.T) {
	s := at(Gully, map[Field]float64{BedSlopePct: 3, CatchmentHa: 1}, nil)
	s.Measure(DepthM, 0.33, 0.05)
	o := outcome(t, s, LooseRockDams)
	if o.Verdict != Undecided || len(o.Lacks) != 1 || o.Lacks[0].Field != DepthM || o.Lacks[0].Truth != TooClose || !slices.Contains(o.Lacks[0].Rules, "dam-silt") {
		t.Errorf("0.33 ± 0.05 m deep: %q for want of %+v, want undecided by the depth, too close to 0.30", o.Verdict, o.Lacks)
	}
	s.Measure(DepthM, 0.33, 0.02)
	if o := outcome(t, s, LooseRockDams); o.Verdict != Fitting {
		t.Errorf("0.33 ± 0.02 m deep: %q, want it to fit", o.Verdict)
	}
}

// Where nothing is measured, all that could decide is asked for, what rules out as well.
func TestEverythingLackingIsTold(t *testing.T) {
	var fields []Field
	for _, l := range outcome(t, Site{What: Gully}, EarthPlug).Lacks {
		fields = append(fields, l.Field)
	}
	if want := []Field{DepthM, BedSlopePct, Dispersive}; !slices.Equal(fields, want) {
		t.Errorf("an earth plug is undecided for want of %v, want %v", fields, want)
	}
}

// anySite draws a place of which anything may be known.
func anySite(t *rapid.T) Site {
	s := Site{What: rapid.SampledFrom(Whats).Draw(t, "what")}
	for _, f := range Fields() {
		if !rapid.Bool().Draw(t, "know "+f.String()) {
			continue
		}
		if !f.Measured() {
			s.Answer(f, rapid.Bool().Draw(t, f.String()))
			continue
		}
		thresholds := []float64{0, aboutFields[f].most}
		for _, r := range Rules {
			for _, c := range r.When {
				if c.Is != OneOf && c.Field == f {
					thresholds = append(thresholds, c.Value, c.Value*0.9, min(c.Value*1.1, aboutFields[f].most))
				}
			}
		}
		v := rapid.SampledFrom(thresholds).Draw(t, f.String())
		if f == CoverPct && v < 1 {
			v = 0
		}
		s.Measure(f, v, rapid.SampledFrom([]float64{-1, 0, 0.02, 0.2}).Draw(t, "plus-minus of "+f.String()))
	}
	return s
}

// Laws: every treatment is told of once; ranks follow the stated order; what is decided
// stays so when more is measured; the same site gives the same answer.
func TestChooseLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySite(t)
		outcomes, err := Choose(s)
		if err != nil {
			t.Fatal(err)
		}
		if again, _ := Choose(s); !reflect.DeepEqual(outcomes, again) {
			t.Fatal("the same site gave two answers")
		}
		seen := map[Treatment]Verdict{}
		for i, o := range outcomes {
			seen[o.Treatment] = o.Verdict
			if i > 0 && o.Rank > 1 {
				b := outcomes[i-1]
				if o.Rank != b.Rank+1 || b.Step > o.Step || b.Step == o.Step && len(b.Needs) > len(o.Needs) {
					t.Fatalf("%s (step %d, %d needs) stands after %s (step %d, %d needs)", o.Treatment, o.Step, len(o.Needs), b.Treatment, b.Step, len(b.Needs))
				}
			}
		}
		if len(seen) != len(Treatments) {
			t.Fatalf("%d treatments are told of, want %d", len(seen), len(Treatments))
		}
		more := anySite(t)
		for f, v := range s.values {
			if v.known {
				more.values[f] = v
			}
		}
		more.What = s.What
		later, err := Choose(more)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range later {
			if was := seen[o.Treatment]; was != Undecided && was != o.Verdict && !(was == RuledOff && o.Verdict == RuledOff) {
				t.Fatalf("%s was %q and is %q once more is known", o.Treatment, was, o.Verdict)
			}
		}
	})
}

func TestLinesTellEverything(t *testing.T) {
	lines := Lines()
	if len(lines) != len(Rules) {
		t.Fatalf("%d lines for %d rules", len(lines), len(Rules))
	}
	for i, r := range Rules {
		for _, part := range []string{r.ID + ": ", string(r.Then), string(r.For[0]), r.Why, r.Source.Title, r.When[len(r.When)-1].String()} {
			if !strings.Contains(lines[i], part) {
				t.Errorf("line %q lacks %q", lines[i], part)
			}
		}
	}
}
