package section

import (
	"fmt"
	"math"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"

	"pgregory.net/rapid"
)

// The profile of the worked walks SP14 and SP15: 4 m in 60 m, reaches of 5, 10, 10, 5 and
// 5 %.
func TestLongSectionOfWorkedProfile(t *testing.T) {
	c := modeltest.Named(t, "gully", "SP14")
	var bed Bed
	for _, s := range modeltest.Input[[][2]float64](t, c, "profile_upstream") {
		bed = append(bed, Station{ChainageM: s[0], LevelM: s[1]})
	}
	p, err := LongSection(bed, LevelledAndTaped)
	if err != nil || p.LengthM != 60 || p.FallM != 4 || math.Abs(p.MeanSlopePct-6.6667) > 1e-4 || len(p.Adverse) != 0 {
		t.Errorf("LongSection(%v) = %+v, %v; want 60 m, 4 m, 6.6667 %%, nothing adverse", bed, p, err)
	}
	for i, want := range []float64{5, 10, 10, 5, 5} {
		if got := p.Reaches[i]; math.Abs(got.SlopePct-want) > 1e-9 || got.FromM != bed[i].ChainageM || got.ToM != bed[i+1].ChainageM {
			t.Errorf("reach %d = %+v, want %v %%", i, got, want)
		}
	}
}

// A diversion bank at 1 in 300 falls 0.5 m in 150 m (WB09, NQ Dry Tropics).
func TestLongSectionGrade(t *testing.T) {
	c := modeltest.Named(t, "gully", "WB09")
	length := c.Number(t, "length")
	bed := bedOf(0, 100, length, 100+length/c.Number(t, "one_in"))
	p, err := LongSection(bed, LevelledAndTaped)
	if err != nil {
		t.Fatal(err)
	}
	c.Check(t, "fall", math.Round(p.FallM*1e9)/1e9)
	if want := 100 / c.Number(t, "one_in"); math.Abs(p.MeanSlopePct-want) > 1e-9 {
		t.Errorf("mean slope = %v %%, want %v", p.MeanSlopePct, want)
	}
}

func TestLongSectionAdverse(t *testing.T) {
	p, err := LongSection(bedOf(0, 100, 10, 100.4, 20, 100.1, 25, 100, 40, 101.1), Quality{Basis: model.GPS, LevelPlusMinusM: -1, ChainagePlusMinusM: 5})
	if err != nil || len(p.Adverse) != 2 || p.Adverse[0].FromM != 10 || p.Adverse[1].ToM != 25 {
		t.Fatalf("adverse = %+v, %v; want the two reaches from 10 to 25 m", p.Adverse, err)
	}
	if p.FallPlusMinusM != -1 || p.MeanSlopePlusMinusPct != -1 || math.Abs(p.LengthPlusMinusM-5*math.Sqrt2) > 1e-9 {
		t.Errorf("plus-minus of length %v, fall %v, slope %v; want 7.07, -1, -1", p.LengthPlusMinusM, p.FallPlusMinusM, p.MeanSlopePlusMinusPct)
	}
}

func TestLongSectionPlusMinus(t *testing.T) {
	// 1 m in 10 m, each level ± 5 mm, each chainage ± 50 mm:
	// 10 % · √2 · √(0.005²/1² + 0.05²/10²) = 0.1 %.
	p, _ := LongSection(bedOf(0, 100, 10, 101), LevelledAndTaped)
	if want := 10 * math.Sqrt2 * math.Hypot(0.005, 0.005); math.Abs(p.MeanSlopePlusMinusPct-want) > 1e-9 {
		t.Errorf("slope ± %v %%, want %v", p.MeanSlopePlusMinusPct, want)
	}
}

func TestLongSectionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var bed Bed
		x, z := 0, 100_000
		for range rapid.IntRange(2, 30).Draw(t, "stations") {
			bed = append(bed, Station{ChainageM: float64(x) / 100, LevelM: float64(z) / 1000})
			x += rapid.IntRange(1, 2000).Draw(t, "run cm")
			z += rapid.IntRange(-900, 900).Draw(t, "rise mm")
		}
		p, err := LongSection(bed, LevelledAndTaped)
		if err != nil {
			t.Fatal(err)
		}
		length, fall, adverse := 0.0, 0.0, 0
		for _, r := range p.Reaches {
			length += r.ToM - r.FromM
			fall += r.SlopePct / 100 * (r.ToM - r.FromM)
			if r.SlopePct < 0 {
				adverse++
			}
		}
		if math.Abs(length-p.LengthM) > 1e-6 || math.Abs(fall-p.FallM) > 1e-6 || adverse != len(p.Adverse) {
			t.Fatalf("reaches sum to %v m and %v m with %d adverse; want %v, %v, %d", length, fall, adverse, p.LengthM, p.FallM, len(p.Adverse))
		}
	})
}

// ExampleLongSection is a gully bed with a scour hole between 10 and 20 m.
func ExampleLongSection() {
	p, _ := LongSection(Bed{{0, 100}, {10, 100.4}, {20, 100.1}, {40, 101.1}}, LevelledAndTaped)
	fmt.Printf("%.0f m long, falls %.2f m, %.2f %%\n", p.LengthM, p.FallM, p.MeanSlopePct)
	for _, r := range p.Adverse {
		fmt.Printf("falls upstream from %.0f to %.0f m, %.0f %%\n", r.FromM, r.ToM, r.SlopePct)
	}
	// Output:
	// 40 m long, falls 1.10 m, 2.75 %
	// falls upstream from 10 to 20 m, -3 %
}

func BenchmarkLongSection(b *testing.B) {
	bed := make(Bed, 10_000)
	for i := range bed {
		bed[i] = Station{ChainageM: float64(i), LevelM: 100 + 0.04*float64(i)}
	}
	for b.Loop() {
		if p, err := LongSection(bed, LevelledAndTaped); err != nil || len(p.Reaches) != 9999 {
			b.Fatal(err)
		}
	}
}

// A level reach is not adverse, and what is taken as exact has a ± of nought.
func TestLevelBedTakenAsExact(t *testing.T) {
	p, err := LongSection(bedOf(0, 100, 10, 100, 30, 99.9), Quality{Basis: model.Levelled})
	if err != nil || len(p.Adverse) != 1 || p.Adverse[0].FromM != 10 || p.FallPlusMinusM != 0 || p.LengthPlusMinusM != 0 || p.MeanSlopePlusMinusPct != 0 {
		t.Errorf("LongSection = %+v, %v; want one adverse reach, from 10 m, and each ± nought", p, err)
	}
}

// Chainages of a profile need not begin at nought: a reach is as long as they differ.
func TestLongSectionOfAReachHigherUp(t *testing.T) {
	p, err := LongSection(bedOf(1240, 100, 1250, 101), LevelledAndTaped)
	if err != nil || p.LengthM != 10 || p.MeanSlopePct != 10 || math.Abs(p.FallPlusMinusM-0.005*math.Sqrt2) > 1e-12 {
		t.Errorf("LongSection = %+v, %v; want 10 m, 10 %%", p, err)
	}
}
