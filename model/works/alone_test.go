package works

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/section"
)

// A bill says each caution of its dams once, which items have no rate, and which dam is refused.
func TestWordsOfABill(t *testing.T) {
	l := DamLayout{Bed: ramp(), CrestHeightM: 0.5}
	dams := lay(t, l)
	hours, cost := new(2.0), new(10.0)
	for _, c := range []struct {
		rates    Rates
		unpriced string
		hours    bool
		cost     bool
	}{
		{nil, "rock", false, false}, {Rates{{Item: "rock", Unit: "m3", HoursPerUnit: hours}}, "", true, false}, {Rates{{Item: "rock", Unit: "m3", CostPerUnit: cost}}, "", false, true},
		{Rates{{Item: "dam", Unit: "each", HoursPerUnit: hours}}, "rock", true, false},
	} {
		b, err := l.Bill(dams, rockBuild(), c.rates)
		if err != nil || strings.Join(b.Unpriced, ", ") != c.unpriced || (b.Hours != nil) != c.hours || (b.Cost != nil) != c.cost {
			t.Errorf("at rates %+v: %q without one, hours %v, cost %v, %v; want %q, %t, %t", c.rates, b.Unpriced, b.Hours, b.Cost, err, c.unpriced, c.hours, c.cost)
		}
		for _, said := range append(slices.Clone(DamCautions), BuildCautions...) {
			n := 0
			for _, caution := range b.Cautions {
				if caution == said {
					n++
				}
			}
			if n != 1 {
				t.Errorf("%q is said %d times, want once", said.Text, n)
			}
		}
	}
	_, err := l.Bill(dams, DamBuild{}, nil)
	if p, ok := problemOf(err); !ok || !strings.HasSuffix(p.Reason, fmt.Sprintf(" (dam 1, at chainage %.1f m)", dams[0].ChainageM)) {
		t.Errorf("the refusal does not name the dam: %v", err)
	}
}

// Rock in the key is counted where the key is filled with rock; a key is dug for every kind.
func TestItemsOfEachKind(t *testing.T) {
	q := DamQuantities{RockM3: 1, KeyM3: 2, ApronM3: 3, WastageM3: 4, NetM2: 5, Posts: 6, TieWireM: 7, BrushM3: 8, Bundles: 9, Stakes: 10, Bales: 11, BulkTonnesPerM3: 1.6}
	for kind, key := range map[DamKind]bool{LooseRock: true, Netting: true, Brushwood: false, HayBales: false} {
		q.Kind = kind
		var got []string
		for _, one := range q.Items() {
			got = append(got, fmt.Sprintf("%s %v %s", one.Item, one.Amount, one.Unit))
			if weighs := strings.HasPrefix(one.Item, "rock"); (one.TonnesPerM3 == 1.6) != weighs {
				t.Errorf("%s: %s weighs %v t/m3", kind, one.Item, one.TonnesPerM3)
			}
		}
		want := []string{"rock 1 m3", "rock in key 2 m3", "rock in apron 3 m3", "rock wasted 4 m3", "key dug 2 m3", "netting 5 m2", "post 6 each", "tie wire 7 m", "brush 8 m3", "bundle 9 each", "stake 10 each", "bale 11 each"}
		if !key {
			want = slices.Delete(want, 1, 2)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s takes %q, want %q", kind, got, want)
		}
	}
	if none := (DamQuantities{Kind: LooseRock}).Items(); len(none) != 0 {
		t.Errorf("a dam of nothing takes %v", none)
	}
}

// What a row says of a rate that is not there.
func TestNotesOfRates(t *testing.T) {
	v := new(2.0)
	for _, c := range []struct {
		rates Rates
		want  string
	}{
		{nil, "no rate given for rock"}, {Rates{{Item: "rock", Unit: "m3", HoursPerUnit: v}}, "no cost given for rock"},
		{Rates{{Item: "rock", Unit: "m3", CostPerUnit: v}}, "no hours given for rock"}, {Rates{{Item: "rock", Unit: "m3", CostPerUnit: v, HoursPerUnit: v}}, ""},
	} {
		rows, err := c.rates.Price([]Quantity{{Item: "rock", Unit: "m3", Amount: 3, PlusMinus: -1}})
		if err != nil || rows[0].Note != c.want {
			t.Errorf("at %+v: %+v, %v; want %q", c.rates, rows, err, c.want)
		}
	}
}

// A level crest line owes nothing to the spacing: its step is as sure as the levels, though nobody
// knows how good the spacing is. With a deposit slope it is not.
func TestStepWithoutADepositSlope(t *testing.T) {
	a, b := dam("a", 0, 100, 100.4), dam("b", 8, 100.4, 100.8)
	b.ChainagePlusMinusM = -1
	if p := (DamCheck{ToleranceM: 0.05}).Pair(a, b); math.Abs(p.StepPlusMinusM-0.005*math.Sqrt2) > 1e-12 || p.SpacingPlusMinusM != -1 {
		t.Errorf("level: step ± %v, spacing ± %v", p.StepPlusMinusM, p.SpacingPlusMinusM)
	}
	if p := (DamCheck{ToleranceM: 0.05, DepositSlopePct: 2}).Pair(a, b); p.StepPlusMinusM != -1 {
		t.Errorf("on a deposit slope: step ± %v, want it unknown", p.StepPlusMinusM)
	}
}

// A hump counts by more than the tolerance above the silt and above the upper toe, between the two
// dams, and the highest above the silt is told.
func TestHumpsAtTheTolerance(t *testing.T) {
	lower, upper := dam("a", 0, 100, 100.5), dam("b", 10, 100.5, 101)
	for _, c := range []struct {
		levels []float64 // of the bed every 2 m
		aboveM float64   // 0: no hump
		atM    float64
	}{
		{[]float64{100, 100, 100.75, 100, 100, 100.5}, 0.25, 4}, {[]float64{100, 100, 100.625, 100, 100, 100.5}, 0, 0}, {[]float64{100, 101, 100.75, 101.25, 100, 100.5}, 0.75, 6},
		{[]float64{101, 100, 100, 100, 100, 101}, 0, 0}, {[]float64{100, 100.75, 100, 100.75, 100, 100.5}, 0.25, 2},
	} {
		var bed section.Bed
		for i, z := range c.levels {
			bed = append(bed, section.Station{ChainageM: 2 * float64(i), LevelM: z})
		}
		p := DamCheck{Bed: bed, BedBasis: model.Levelled, ToleranceM: 0.125}.Pair(lower, upper)
		if (p.Hump != nil) != (c.aboveM > 0) || p.Hump != nil && *p.Hump != (Hump{c.atM, c.aboveM}) {
			t.Errorf("%v: %+v, want %v m at %v m", c.levels, p.Hump, c.aboveM, c.atM)
		}
	}
}

// What a layout is cautioned of at each limit, and just past it.
func TestCautionsOfLayoutsAtTheirLimits(t *testing.T) {
	bed := bedOf(0, 100, 20, 101)
	two := func(apartM float64) DamPlan {
		return DamPlan{Dams: []DamSite{{ChainageM: 1}, {ChainageM: 1 + apartM}}}
	}
	quality := section.LevelledAndTaped
	for _, c := range []struct {
		words string
		l     DamLayout
		plan  DamPlan
		want  bool
	}{
		{"are kept", DamLayout{Bed: bed, Quality: quality, CrestHeightM: HighCrestM}, DamPlan{}, false}, {"are kept", DamLayout{Bed: bed, Quality: quality, CrestHeightM: HighCrestM + 0.01}, DamPlan{}, true},
		{"settle steeper", DamLayout{Bed: bed, Quality: quality, DepositSlopePct: 3}, DamPlan{}, false}, {"settle steeper", DamLayout{Bed: bed, Quality: quality, DepositSlopePct: 3.1}, DamPlan{}, true},
		{"nearer than twice", DamLayout{Bed: bed, Quality: quality, CrestHeightM: 0.5}, two(1), false}, {"nearer than twice", DamLayout{Bed: bed, Quality: quality, CrestHeightM: 0.5}, two(0.75), true},
		{"steeper than the limit", DamLayout{Bed: bed, Quality: quality, MaxBedSlopePct: 5}, DamPlan{}, false}, {"steeper than the limit", DamLayout{Bed: bed, Quality: quality, MaxBedSlopePct: 4.9}, DamPlan{}, true},
		{"steeper than the limit", DamLayout{Bed: bed, Quality: quality}, DamPlan{}, false},
		{"a sketch", DamLayout{Bed: bed, Quality: quality}, DamPlan{}, false}, {"a sketch", DamLayout{Bed: bed, Quality: section.Quality{Basis: model.GPS}}, DamPlan{}, true},
		{"stay bare", DamLayout{Bed: bed, Quality: quality}, DamPlan{}, false}, {"9.0 m of bed", DamLayout{Bed: bed, Quality: quality}, DamPlan{Bare: []BareReach{{FromM: 2, ToM: 5}, {FromM: 6, ToM: 12}}}, true},
		{"Dam 2 would be buried", DamLayout{Bed: bed, Quality: quality, CrestHeightM: 0.5}, DamPlan{Dams: []DamSite{{ChainageM: 1, BuriedM: 0.49}, {ChainageM: 9, BuriedM: 0.5}}}, true},
		{"Dam 1 would be buried", DamLayout{Bed: bed, Quality: quality, CrestHeightM: 0.5}, DamPlan{Dams: []DamSite{{ChainageM: 1, BuriedM: 0.49}}}, false},
	} {
		got := slices.ContainsFunc(c.l.Cautions(c.plan), func(said model.Caution) bool { return strings.Contains(said.Text, c.words) })
		if got != c.want {
			t.Errorf("%q of %+v, %+v: %t, want %t", c.words, c.l, c.plan, got, c.want)
		}
	}
}

// On a face of 10 % the equation of the gentler ones holds (Robinson, Rice and Kadavy 1998): with
// q = 1 cfs a foot d50 = (0.1^1.5 / 0.00475)^(1/1.89) = 2.708 in, by the other 2.745.
func TestChuteStoneAtTheBorder(t *testing.T) {
	const foot = 0.3048
	got, p := ChuteStoneM(foot*foot, 10)
	if want := math.Pow(math.Pow(0.1, 1.5)/0.00475, 1/1.89) * foot / 12; p != nil || math.Abs(got-want) > 1e-9 {
		t.Errorf("%v m, %v; want %v", got, p, want)
	}
}

// The fall taken square to the rows is as sure as the ends of the rows make it: a turn of
// √(2n) times the accuracy over the rows' chords laid head to tail.
func TestFallFromRowsIsAsSureAsTheirEnds(t *testing.T) {
	w := Windrows{Rows: []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{22, 30})}, FallBearingDeg: math.NaN(), AccuracyM: 2}
	from, err := w.Stagger(nil)
	if err != nil {
		t.Fatal(err)
	}
	w.FallBearingDeg, w.BearingPlusMinusDeg = from.FallBearingDeg, 2*math.Sqrt(4)/200*180/math.Pi
	given, err := w.Stagger(nil)
	if err != nil {
		t.Fatal(err)
	}
	a, b := from.Pairs[0], given.Pairs[0]
	if math.Abs(a.OverlapPlusMinusM/b.OverlapPlusMinusM-1) > 1e-4 || math.Abs(a.ShiftPlusMinusM/b.ShiftPlusMinusM-1) > 1e-4 || !from.FallFromRows || given.FallFromRows {
		t.Errorf("from the rows %+v, with that fall given %+v", a, b)
	}
	w.BearingPlusMinusDeg = 0
	if sure, err := w.Stagger(nil); err != nil || sure.Pairs[0].ShiftPlusMinusM >= 0.999*a.ShiftPlusMinusM {
		t.Errorf("with a fall taken as right the shift is ± %v, want less than %v (%v)", sure.Pairs[0].ShiftPlusMinusM, a.ShiftPlusMinusM, err)
	}
}

// Why each dam stands where it does.
func TestWhyADamStandsThere(t *testing.T) {
	for _, c := range []struct {
		stands Stands
		of     string
		want   string
	}{
		{StandsFirst, "", "The lowest dam, where the layout begins."}, {StandsLevel, "", "Its toe is level with the crest below, or as much higher as silt climbs to it."},
		{StandsSite, "", "A good site (good), a little below where the silt from the dam downstream would end."}, {StandsSite, "narrow", "A good site (narrow), a little below where the silt from the dam downstream would end."},
		{StandsHead, "", "It guards the gully head upstream from below its plunge."}, {StandsHead, "narrow", "It guards the gully head upstream from below its plunge, on a good site (narrow)."},
		{"", "rock", "The first place above a reach without dams (rock)."},
	} {
		if got := (DamSite{Stands: c.stands}).because(c.of); got != c.want {
			t.Errorf("%s of %q: %q, want %q", c.stands, c.of, got, c.want)
		}
	}
}

// Each dam has a peg at its toe and at its crest, and one at its ends where their height is known.
func TestPegsOfDams(t *testing.T) {
	dams := []DamSite{{BedLevelM: 100, CrestLevelM: 100.5}, {BedLevelM: 101, CrestLevelM: 101.5}}
	for heightM, want := range map[float64][]Peg{
		0:    {{1, DamToe, 100}, {1, DamCrest, 100.5}, {2, DamToe, 101}, {2, DamCrest, 101.5}},
		0.25: {{1, DamToe, 100}, {1, DamCrest, 100.5}, {1, DamAbutment, 100.75}, {2, DamToe, 101}, {2, DamCrest, 101.5}, {2, DamAbutment, 101.75}},
	} {
		if got := Pegs(dams, heightM); !slices.Equal(got, want) {
			t.Errorf("ends %v m high: %v, want %v", heightM, got, want)
		}
	}
	sights, err := SetOut([]Peg{{1, DamToe, 100}, {2, DamToe, 90}}, 101, 5, nil)
	if err != nil || sights[0].ReadingM == nil || *sights[0].ReadingM != 1 || sights[0].Cannot != "" || sights[1].ReadingM != nil || sights[1].Cannot == "" {
		t.Errorf("%+v, %v; want 1 m on the first and none on the second", sights, err)
	}
}

// Lines side by side face each other over as long as both run, at their distance; each pair is named by its lines.
func TestPairsOfRipLines(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines [][][2]float64
		pairs []RipSpacing // numbers alone
	}{
		{"alike", [][][2]float64{level(0, 100, 0, 2), level(0, 100, 20, 2)}, []RipSpacing{{Lines: [2]int{1, 2}, MinM: 20, MeanM: 20, MaxM: 20, FacesM: [2]float64{100, 100}, SharePct: [2]float64{100, 100}}}},
		{"half as long", [][][2]float64{level(0, 100, 0, 2), level(50, 100, 10, 3)}, []RipSpacing{{Lines: [2]int{1, 2}, MinM: 10, MeanM: 10, MaxM: 10, FacesM: [2]float64{50, 50}, SharePct: [2]float64{50, 100}}}},
		{"three, listed out of order", [][][2]float64{level(0, 100, 40, 2), level(0, 100, 0, 2), level(100, 0, 15, 4)}, []RipSpacing{
			{Lines: [2]int{1, 3}, MinM: 25, MeanM: 25, MaxM: 25, FacesM: [2]float64{100, 100}, SharePct: [2]float64{100, 100}},
			{Lines: [2]int{2, 3}, MinM: 15, MeanM: 15, MaxM: 15, FacesM: [2]float64{100, 100}, SharePct: [2]float64{100, 100}}}},
		{"drawing together", [][][2]float64{level(0, 100, 0, 2), {{0, 20}, {100, 10}}}, nil},
	} {
		r, err := RipArea(onGround(c.lines...), -1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if c.pairs == nil { // from 10 to 20 m, but for the slant
			p := r.Pairs[0]
			if math.Abs(p.MinM-10) > 0.2 || math.Abs(p.MaxM-20) > 0.2 || math.Abs(p.MeanM-15) > 0.2 || math.Abs(p.FacesM[0]-100) > 2 {
				t.Errorf("%s: %+v", c.name, p)
			}
			continue
		}
		if len(r.Pairs) != len(c.pairs) {
			t.Errorf("%s: %+v, want %d pairs", c.name, r.Pairs, len(c.pairs))
			continue
		}
		for i, want := range c.pairs {
			got, off := r.Pairs[i], 0.0
			for _, d := range []float64{got.MinM - want.MinM, got.MeanM - want.MeanM, got.MaxM - want.MaxM, got.FacesM[0] - want.FacesM[0], got.FacesM[1] - want.FacesM[1], got.SharePct[0] - want.SharePct[0], got.SharePct[1] - want.SharePct[1]} {
				off = max(off, math.Abs(d))
			}
			if got.Lines != want.Lines || off > 1e-3 || got.MeanPlusMinusM != -1 || got.MinAt.PlusMinusM != -1 {
				t.Errorf("%s: %+v, want %+v", c.name, got, want)
			}
		}
	}
}

// A toe that moves forward by less than the bed is wide leaves bed for the water.
func TestBatterLeavesBed(t *testing.T) {
	for _, c := range []struct {
		bedM *float64
		m    float64
		want bool
	}{{nil, 9, true}, {new(2.0), 1.9, true}, {new(2.0), 2, false}, {new(2.0), 2.1, false}} {
		if got := (Batter{BedWidthM: c.bedM}).leavesBed(c.m); got != c.want {
			t.Errorf("%v m on a bed of %v: %t", c.m, c.bedM, got)
		}
	}
}

// A refusal at one path is told at another; others stay where they are.
func TestRename(t *testing.T) {
	for path, want := range map[string]string{"crestHeightM": "heightsM[1]", "bed": "bed", "": ""} {
		if p, ok := problemOf(rename(&model.Problem{Path: path, Reason: "is odd"}, "crestHeightM", "heightsM[1]")); !ok || p.Path != want || p.Reason != "is odd" {
			t.Errorf("%q is told at %v, want %q", path, p, want)
		}
	}
}

// What is said of gaps above gaps, of those too close to tell, and of open ground, with numbers and names.
func TestCautionsOfWindrows(t *testing.T) {
	w := Windrows{Rows: []Windrow{{}, {Name: "Low row"}}, AccuracyM: 2}
	at := func(meets Meets, below, belowGap int) Staggering {
		return Staggering{FallBearingDeg: 175, Pairs: []GapPair{{Row: 0, Gap: 1, Below: below, BelowGap: belowGap, Meets: meets, OverlapM: 3, ShiftM: -1.5, ShiftPlusMinusM: 2.5}}}
	}
	for _, c := range []struct {
		s    Staggering
		want string
	}{
		{at(MeetsTimber, 1, 2), ""}, {at(MeetsOpen, -1, -1), ""},
		{at(MeetsOpen, 1, -1), "Gap 2 of row 1 looks past the end of Low row over 3.0 m: see where that water goes."}, {at(MeetsOpen, 0, -1), "Gap 2 of row 1 looks past the end of row 1 over 3.0 m: see where that water goes."},
		{at(TooClose, 1, 2), "Gap 2 of row 1 and gap 3 of Low row are 1.5 m from standing clear, good to 2.5 m: stand in the one, look straight down the fall, and tape."},
		{at(MeetsGap, 1, 2), "Gap 2 of row 1 lies above gap 3 of Low row: close one of them, or move it -1.5 m or more along the row."},
	} {
		all := w.Cautions(c.s)[len(WindrowCautions):]
		got := ""
		for _, said := range all {
			got += said.Text
		}
		if got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for accuracyM, told := range map[float64]bool{0: true, -1: true, 0.1: false} {
		w.AccuracyM = accuracyM
		if got := len(w.Cautions(Staggering{})) > len(WindrowCautions); got != told {
			t.Errorf("an accuracy of %v is told as missing: %t", accuracyM, got)
		}
	}
	w.AccuracyM = 1
	if all := w.Cautions(Staggering{FallFromRows: true, FallBearingDeg: 175}); !strings.Contains(all[len(all)-1].Text, "The fall, 175°, is taken square to the rows.") {
		t.Errorf("%q", all[len(all)-1].Text)
	}
}

// What the stone of a flow calls for, at each limit and just past it: a thicker apron, a longer notch, care in the pit.
func TestCautionsOfStone(t *testing.T) {
	own := model.Caution{Text: "of the stone itself"}
	dam := func(edit func(d *DamBuild)) DamBuild {
		d := DamBuild{Kind: LooseRock, CrestHeightM: 0.3, BedWidthM: 2, UpstreamRunPerRise: 2, DownstreamRunPerRise: 2, ApronLengthM: 1, ApronThicknessM: 0.6, KeyDepthM: 0.3, KeyWidthM: 0.3,
			stone: &FlowStone{ApronM: 0.3, Cautions: []model.Caution{own}}}
		edit(&d)
		return d
	}
	for _, c := range []struct {
		words string
		edit  func(d *DamBuild)
		want  bool
	}{
		{own.Text, func(d *DamBuild) {}, true}, {own.Text, func(d *DamBuild) { d.stone = nil }, false},
		{"The apron is 0.59 m thick: twice its median stone of 300 mm is 0.60 m", func(d *DamBuild) { d.ApronThicknessM = 0.59 }, true}, {"The apron is", func(d *DamBuild) {}, false},
		{"The apron is", func(d *DamBuild) { d.ApronThicknessM, d.ApronLengthM = 0.1, 0 }, false}, {"Without rock below it", func(d *DamBuild) { d.ApronLengthM = 0 }, true}, {"Without rock below it", func(d *DamBuild) {}, false},
		{"The flow asks", func(d *DamBuild) { d.stone.ApronM = 0.45 }, false}, {"The flow asks for stone of 460 mm at the median, larger than any that handbooks of low dams name: lengthen the notch, lower the dam, or ask", func(d *DamBuild) { d.stone.ApronM = 0.46 }, true},
		{"The flow asks", func(d *DamBuild) { d.stone.FaceM = new(0.45) }, false}, {"The flow asks for stone of 500 mm at the median, larger than any that handbooks of low dams name: lengthen the notch, lay its face back, or ask", func(d *DamBuild) { d.stone.FaceM = new(0.5) }, true},
		{"The pit for apron or key", func(d *DamBuild) { d.KeyDepthM = 0.79 }, false}, {"The pit for apron or key is 0.8 m deep", func(d *DamBuild) { d.KeyDepthM = 0.8 }, true}, {"The pit for apron or key is 0.9 m deep", func(d *DamBuild) { d.ApronThicknessM = 0.9 }, true},
		{"No key was given", func(d *DamBuild) {}, false}, {"No key was given", func(d *DamBuild) { d.KeyDepthM = 0 }, true}, {"No key was given", func(d *DamBuild) { d.KeyWidthM = 0 }, true},
		{"notch is longer than the bed", func(d *DamBuild) { d.NotchLengthM = 2 }, false}, {"notch is longer than the bed", func(d *DamBuild) { d.NotchLengthM = 2.1 }, true},
		{"No stone was named", func(d *DamBuild) { d.DownstreamRunPerRise = 1.9 }, true}, {"No stone was named", func(d *DamBuild) {}, false}, {"No stone was named", func(d *DamBuild) { d.DownstreamRunPerRise, d.Stone = 1.9, "very angular" }, false},
		{"No stone was named", func(d *DamBuild) { d.UpstreamRunPerRise = 1.9 }, true}, {"No stone was named", func(d *DamBuild) { d.UpstreamRunPerRise, d.Kind = 1.9, Netting }, false},
	} {
		got := slices.ContainsFunc(dam(c.edit).cautions(), func(said model.Caution) bool { return strings.Contains(said.Text, c.words) })
		if got != c.want {
			t.Errorf("%q: %t, want %t", c.words, got, c.want)
		}
	}
}

// Brushwood stands in gullies up to 3 m wide, and nothing of these in one wider than 50 m.
func TestWidestGullies(t *testing.T) {
	for widthM, taken := range map[float64]bool{MaxBrushWidthM: true, MaxBrushWidthM + 0.01: false} {
		d := DamBuild{Kind: Brushwood, CrestHeightM: 0.3, BedWidthM: widthM, CrestBreadthM: 0.3}
		if p := d.checkShape(); (p == nil) != taken {
			t.Errorf("brushwood %v m wide: %v", widthM, p)
		}
	}
	for halfM, taken := range map[float64]bool{25: true, 25.1: false} {
		d := DamBuild{Kind: LooseRock, CrestHeightM: 0.5, Section: [][2]float64{{-halfM, 1}, {-halfM, 0}, {halfM, 0}, {halfM, 1}}}
		if p := d.checkSection(); (p == nil) != taken {
			t.Errorf("a gully %v m wide: %v", 2*halfM, p)
		}
	}
}

// What is sown, and not planted: whoever names a way to sow, a purity or a germination.
func TestWhatIsSeed(t *testing.T) {
	for _, c := range []struct {
		s    Sowing
		want bool
	}{{Sowing{}, false}, {Sowing{Method: Drilled}, true}, {Sowing{PurityPct: new(90.0)}, true}, {Sowing{GerminationPct: new(50.0)}, true}} {
		if c.s.isSeed() != c.want {
			t.Errorf("%+v is seed: %t", c.s, !c.want)
		}
	}
}
