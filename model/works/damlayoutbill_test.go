package works

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"headcut/model/modeltest"
	"headcut/model/section"
)

// rockBuild is the dam of RK05: a gully 2 m wide at the bottom with banks of 1 to 1.
func rockBuild() DamBuild {
	return DamBuild{BedWidthM: 2, LeftRunPerRise: 1, RightRunPerRise: 1, CrestBreadthM: 0.6,
		UpstreamRunPerRise: 1.25, DownstreamRunPerRise: 1.25, ApronRule: "none"}
}

// Two dams of the worked volume, on a bed that is level under each and steps up between.
func TestDamBillAddsWorkedVolumes(t *testing.T) {
	c := modeltest.Named(t, "gully", "RK05")
	l := DamLayout{Bed: bedOf(0, 100, 10, 100, 10.1, 100.9, 20, 100.9), CrestHeightM: c.Number(t, "height")}
	dams := lay(t, l)
	if len(dams) != 2 {
		t.Fatalf("%d dams, want 2", len(dams))
	}
	b, err := l.Bill(dams, rockBuild(), Rates{{Item: "rock", Unit: "m3", CostPerUnit: new(10.0), HoursPerUnit: new(2.0)}, {Item: "dam", Unit: "each", HoursPerUnit: new(3.0)}})
	if err != nil {
		t.Fatal(err)
	}
	c.Check(t, "volume", b.Dams[0].RockM3)
	c.Check(t, "volume", b.RockM3/2)
	if math.Abs(*b.Cost-10*b.RockM3) > 1e-9 || math.Abs(*b.Hours-2*b.RockM3-6) > 1e-9 || b.RockPlusMinusM3 != -1 || len(b.Unpriced) != 0 {
		t.Errorf("bill %+v, want 10 and 2 h for each of %v m3 and 3 h for each dam", b, b.RockM3)
	}
}

// Apron lengths by bed slope (RK10, RK11), each dam on its own bed.
func TestDamBillGivesEachDamItsApron(t *testing.T) {
	for _, id := range []string{"RK10", "RK11"} {
		c := modeltest.Named(t, "gully", id)
		l := DamLayout{Bed: uniform(30, c.Number(t, "bed_gradient"), 30), CrestHeightM: c.Number(t, "height")}
		build := rockBuild()
		build.ApronRule = "Heede"
		b, err := l.Bill(lay(t, l), build, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range b.Dams {
			c.Check(t, "length", q.ApronLengthM)
		}
		if b.Hours != nil || b.Cost != nil || !slices.Contains(b.Unpriced, "rock") {
			t.Errorf("without rates: hours %v, cost %v, unpriced %q; want none, and rock among them", b.Hours, b.Cost, b.Unpriced)
		}
	}
}

func TestDamBillTakesTheSiteWidth(t *testing.T) {
	l := DamLayout{Bed: ramp(), CrestHeightM: 0.5, Sites: []GoodSite{{ChainageM: 8, Quality: "narrow", WidthM: 1}}}
	b, err := l.Bill(lay(t, l), rockBuild(), nil)
	if err != nil {
		t.Fatal(err)
	}
	narrow := rockBuild()
	narrow.BedWidthM, narrow.BedSlopePct, narrow.CrestHeightM = 1, 5, 0.5
	want, err := narrow.Quantities()
	if err != nil || b.Dams[1].RockM3 != want.RockM3 || b.Dams[0].RockM3 <= want.RockM3 {
		t.Errorf("dams take %v and on the site 1 m wide %v m3, want %v there (%v)", b.Dams[0].RockM3, b.Dams[1].RockM3, want.RockM3, err)
	}
}

func TestDamBillRefuses(t *testing.T) {
	l := DamLayout{Bed: ramp(), CrestHeightM: 0.5}
	for _, c := range []struct {
		name  string
		build DamBuild
		rates Rates
		path  string
	}{
		{"no-width", DamBuild{}, nil, "build.bedWidthM"},
		{"width-in-millimetres", DamBuild{BedWidthM: 1800, CrestBreadthM: 0.5}, nil, "build.bedWidthM"},
		{"rate-below-nought", rockBuild(), Rates{{Item: "rock", Unit: "m3", CostPerUnit: new(-1.0)}}, "rates[0].costPerUnit"},
		{"rate-in-another-kind-of-unit", rockBuild(), Rates{{Item: "rock", Unit: "m2", CostPerUnit: new(1.0)}}, "rates[0].unit"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := l.Bill(lay(t, l), c.build, c.rates)
			if p, ok := problemOf(err); !ok || p.Path != c.path {
				t.Errorf("Bill = %v, want a problem at %q", err, c.path)
			}
		})
	}
}

// TestDamBillSpread tapes the shared sizes 10,000 times: the rock of all dams spreads as stated.
func TestDamBillSpread(t *testing.T) {
	l := DamLayout{Bed: uniform(60, 0.05, 20), Quality: section.LevelledAndTaped, CrestHeightM: 0.5}
	dams := lay(t, l)
	build := rockBuild()
	build.AccuracyM, build.UpstreamRunPerRise, build.DownstreamRunPerRise = 0.02, 2, 2
	want, err := l.Bill(dams, build, nil)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(3, 5))
	var rock deviation
	heightM := l.CrestHeightM
	for range 10_000 {
		again, by := build, func() float64 { return r.NormFloat64() * build.AccuracyM }
		again.AccuracyM = 0
		again.BedWidthM += by()
		again.CrestBreadthM += by()
		for _, run := range []*float64{&again.LeftRunPerRise, &again.RightRunPerRise, &again.UpstreamRunPerRise, &again.DownstreamRunPerRise} {
			*run += by() * math.Hypot(1, *run) / heightM
		}
		other := l
		other.CrestHeightM += by()
		got, err := other.Bill(dams[:1], again, nil) // all dams are alike here
		if err != nil {
			t.Fatal(err)
		}
		rock.add(got.RockM3 * float64(len(dams)))
	}
	if got := rock.value(); math.Abs(got/want.RockPlusMinusM3-1) > 0.05 {
		t.Errorf("rock of %d dams spreads by %.3f m3, stated %.3f", len(dams), got, want.RockPlusMinusM3)
	}
}

func TestDamAlternatives(t *testing.T) {
	l := DamLayout{Bed: uniform(60, 0.05, 60), CrestHeightM: 0.4}
	build := rockBuild()
	all, err := l.Alternatives(ComparedHeightsM, &build, Rates{{Item: "rock", Unit: "m3", HoursPerUnit: new(2.0)}})
	if err != nil {
		t.Fatal(err)
	}
	// 3 m of fall in steps of 0.3, 0.4 and 0.5 m.
	for i, want := range []int{11, 8, 7} {
		if a := all[i]; len(a.Dams) != want || a.CrestHeightM != ComparedHeightsM[i] || math.Abs(a.GuardedM-60) > 1e-9 || a.Bill == nil {
			t.Errorf("%v m high: %d dams guard %v m, want %d and 60", a.CrestHeightM, len(a.Dams), a.GuardedM, want)
		}
	}
	text := strings.Join(Compare(all), "\n")
	for _, want := range []string{"0.3 m high: 11 dams, 6.0 m apart", "60 m of bed guarded", "Fewest dams to set out, key in and look after: 0.5 m high (7)", "Least rock: "} {
		if !strings.Contains(text, want) {
			t.Errorf("the comparison lacks %q:\n%s", want, text)
		}
	}
	least := 0
	for i, a := range all {
		if a.Bill.RockM3 < all[least].Bill.RockM3 {
			least = i
		}
	}
	if want := strings.Split(Compare(all[least : least+1])[0], " m high")[0]; !strings.Contains(text, "Least rock: "+want+" m high") {
		t.Errorf("least rock is %v m high, and the comparison says\n%s", want, text)
	}
}

func TestDamAlternativesRefuse(t *testing.T) {
	l := DamLayout{Bed: ramp(), CrestHeightM: 0.4}
	for _, c := range []struct {
		name    string
		heights []float64
		path    string
	}{
		{"for-an-engineer", []float64{0.3, 1.2}, "heightsM[1]"},
		{"millimetres", []float64{300}, "heightsM[0]"},
		{"not-a-number", []float64{math.NaN()}, "heightsM[0]"},
		{"twice", []float64{0.3, 0.3}, "heightsM[1]"},
		{"too-many", make([]float64, 9), "heightsM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := l.Alternatives(c.heights, nil, nil)
			if p, ok := problemOf(err); !ok || p.Path != c.path {
				t.Errorf("Alternatives(%v) = %v, %v; want a problem at %q", c.heights, got, err, c.path)
			}
		})
	}
}

// TestCompareNamesWhatHasLess: what is alike, or not known of one, is passed over; of several with
// the least the first is named.
func TestCompareNamesWhatHasLess(t *testing.T) {
	of := func(heightM float64, dams int, bill *DamBill) Alternative {
		return Alternative{CrestHeightM: heightM, DamPlan: DamPlan{Dams: make([]DamSite, dams)}, Bill: bill}
	}
	hours := func(h float64) *DamBill { return &DamBill{Hours: &h, RockM3: 3} }
	for _, c := range []struct {
		name string
		all  []Alternative
		want []string // beginnings of the lines between those of the alternatives and the last
	}{
		{"one", []Alternative{of(0.3, 4, nil)}, nil},
		{"alike", []Alternative{of(0.3, 4, nil), of(0.3, 4, nil)}, nil},
		{"lower", []Alternative{of(0.4, 4, nil), of(0.3, 4, nil)}, []string{"Lowest fall over each crest, so least scour below it: 0.3 m"}},
		{"fewer", []Alternative{of(0.3, 5, nil), of(0.3, 4, nil), of(0.3, 4, nil)}, []string{"Fewest dams to set out, key in and look after: 0.3 m high (4)"}},
		{"hours", []Alternative{of(0.3, 4, hours(8)), of(0.3, 4, hours(7))}, []string{"Fewest hours, of what has a rate: 0.3 m high (7.0 h)"}},
		{"hours-of-one", []Alternative{of(0.3, 4, hours(8)), of(0.3, 4, nil)}, nil},
	} {
		lines := Compare(c.all)[len(c.all):]
		if len(c.all) > 1 {
			lines = lines[:len(lines)-1]
		}
		if len(lines) != len(c.want) || len(lines) == 1 && !strings.HasPrefix(lines[0], c.want[0]) {
			t.Errorf("%s: %q, want %q", c.name, lines, c.want)
		}
	}
}
