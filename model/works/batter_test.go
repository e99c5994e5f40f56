package works

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/modeltest"
)

func battered(t testing.TB, b Batter) Laid {
	t.Helper()
	l, err := b.Lay()
	if err != nil {
		t.Fatalf("Lay(%+v) = %v", b, err)
	}
	return l
}

func TestBattersOfTheCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "batter_cut_volume", "batter_balanced_volume", "head_batter_volume", "head_batter_area", "batter_face_length") {
		t.Run(c.ID, func(t *testing.T) {
			b := Batter{HeightM: c.Number(t, "depth"), TargetRunPerRise: c.Number(t, "n_new"), LengthM: 1}
			if c.Has("n_old") {
				b.PresentRunPerRise, b.LengthM = c.Number(t, "n_old"), c.Number(t, "length")
			}
			if c.Has("radius") {
				radius := c.Number(t, "radius")
				b.HeadRadiusM, b.LengthM = &radius, 0
			}
			l := battered(t, b)
			switch c.Topic {
			case "batter_cut_volume", "head_batter_volume":
				c.Check(t, "volume", l.CutM3)
			case "batter_balanced_volume":
				c.Check(t, "volume", l.Balanced.CutM3)
			case "head_batter_area":
				c.Check(t, "area", l.AreaM2)
			case "batter_face_length":
				c.Check(t, "length", l.FaceLengthM)
				c.Check(t, "deg", l.FaceDeg)
			}
		})
	}
}

// Topsoil of the case's depth over a face of its area.
func TestTopsoilOfTheCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "grazing", "layer_volume") {
		b := Batter{HeightM: 3, TargetRunPerRise: 4, TopsoilDepthM: c.Number(t, "depth_m")}
		b.LengthM = c.Number(t, "area_m2") / (3 * math.Hypot(1, 4))
		l := battered(t, b)
		c.Check(t, "m3", l.TopsoilM3)
	}
}

func TestBatterFigures(t *testing.T) {
	l := battered(t, Batter{HeightM: 1.5, PresentRunPerRise: 0.5, TargetRunPerRise: 3, LengthM: 10, TopsoilDepthM: 0.1, Soil: "loam"})
	slope := 1.5 * math.Sqrt(10)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"brink back", l.WidthM, 3.75}, {"area in plan", l.AreaM2, 45}, {"land", l.LandM2, 37.5}, {"face", l.FaceM2, 10 * slope},
		{"topsoil", l.TopsoilM3, slope}, {"balanced width", l.Balanced.WidthM, 1.875}, {"no accuracy", l.CutPlusMinusM3, -1}, {"nor for the balance", l.Balanced.WidthPlusMinusM, -1},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
	narrow := 1.8
	if l := battered(t, Batter{HeightM: 1.5, PresentRunPerRise: 0.5, TargetRunPerRise: 3, LengthM: 10, BedWidthM: &narrow}); l.Balanced != nil {
		t.Errorf("a toe 1.9 m forward in a bed of 1.8 m: %+v, want no balance", l.Balanced)
	}
}

// TestHeadAgreesWithRings sums thin level slices of a half-round head, by no formula for
// cones: between the present wall and the new one at each height.
func TestHeadAgreesWithRings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(0, 10).Draw(t, "radius")
		b := Batter{HeightM: rapid.Float64Range(0.2, 3).Draw(t, "height"), PresentRunPerRise: rapid.Float64Range(0, 0.9).Draw(t, "present"),
			TargetRunPerRise: rapid.Float64Range(1, 5).Draw(t, "target"), HeadRadiusM: &radius}
		l, err := b.Lay()
		if err != nil {
			t.Fatal(err)
		}
		const slices = 2000
		cut, thick := 0.0, b.HeightM/slices
		face, outward := 0.0, 0.0
		for i := range slices {
			z := (float64(i) + 0.5) * thick
			inner, outer := radius+b.PresentRunPerRise*z, radius+b.TargetRunPerRise*z
			cut += math.Pi / 2 * (outer*outer - inner*inner) * thick
			face += math.Pi * outer * thick * math.Hypot(1, b.TargetRunPerRise)
			outward = outer
		}
		if math.Abs(l.CutM3-cut) > 1e-5*(1+cut) || math.Abs(l.FaceM2-face) > 1e-5*(1+face) || l.LandM2 > math.Pi/2*outward*outward*1.01 {
			t.Fatalf("Lay(%+v) = %+v, slices give %v m3 and %v m2", b, l, cut, face)
		}
	})
}

func TestBatterLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Batter{HeightM: rapid.Float64Range(0.2, 1.5).Draw(t, "height"), PresentRunPerRise: rapid.Float64Range(0, 0.9).Draw(t, "present"),
			TargetRunPerRise: rapid.Float64Range(2, 5).Draw(t, "target"), LengthM: rapid.Float64Range(1, 500).Draw(t, "length")}
		one, err1 := b.Lay()
		first, second, double := b, b, b
		middle := (b.PresentRunPerRise + b.TargetRunPerRise) / 2
		first.TargetRunPerRise, second.PresentRunPerRise, double.HeightM = middle, middle, 2*b.HeightM
		two, err2 := first.Lay()
		three, err3 := second.Lay()
		four, err4 := double.Lay()
		if err := errors.Join(err1, err2, err3, err4); err != nil {
			t.Fatal(err)
		}
		if math.Abs(two.CutM3+three.CutM3-one.CutM3) > 1e-9*one.CutM3 {
			t.Fatalf("in two steps %v and %v m3, at once %v", two.CutM3, three.CutM3, one.CutM3)
		}
		if math.Abs(four.CutM3-4*one.CutM3) > 1e-9*four.CutM3 {
			t.Fatalf("twice as high cuts %v m3, want four times %v", four.CutM3, one.CutM3)
		}
	})
}

func TestBatterSpread(t *testing.T) {
	const accuracyM = 0.03
	radius := 1.5
	for _, c := range []struct {
		name   string
		batter Batter
	}{
		{"wall", Batter{HeightM: 1.5, PresentRunPerRise: 0.5, TargetRunPerRise: 3, LengthM: 10, TopsoilDepthM: 0.1}},
		{"head", Batter{HeightM: 1.5, TargetRunPerRise: 3, HeadRadiusM: &radius}},
		{"wall-that-was-walked", Batter{HeightM: 1.5, TargetRunPerRise: 3, LengthM: 40, LengthPlusMinusM: 4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			exact := c.batter
			exact.AccuracyM = accuracyM
			l := battered(t, exact)
			if l.Balanced != nil && (math.Abs(l.Balanced.WidthPlusMinusM-l.WidthPlusMinusM/2) > 1e-12 || math.Abs(l.Balanced.CutPlusMinusM3-l.CutPlusMinusM3/4) > 1e-9) {
				t.Errorf("balanced %+v, want half and a quarter of the plus-minuses of %+v", l.Balanced, l)
			}
			stated := []float64{l.CutPlusMinusM3, l.WidthPlusMinusM, l.AreaPlusMinusM2, l.LandPlusMinusM2, l.FacePlusMinusM2, l.TopsoilPlusMinusM3}
			got := spreadOf(10_000, func(r *rand.Rand) []float64 {
				b := exact
				run := b.PresentRunPerRise*b.HeightM + accuracyM*r.NormFloat64()
				b.HeightM += accuracyM * r.NormFloat64()
				at := 0.0
				if b.HeadRadiusM != nil {
					at = *b.HeadRadiusM + accuracyM*r.NormFloat64()
				} else {
					b.LengthM += cmp.Or(b.LengthPlusMinusM, accuracyM) * r.NormFloat64()
				}
				return b.taken(run, at)
			})
			for i := range stated {
				if stated[i] == 0 && got[i] == 0 {
					continue
				}
				if !(math.Abs(got[i]/stated[i]-1) <= 0.05) {
					t.Errorf("figure %d: stated ± %v, 10,000 draws spread by %v", i, stated[i], got[i])
				}
			}
		})
	}
}

func TestBatterRefuses(t *testing.T) {
	nan, wide := math.NaN(), 60.0
	good := Batter{HeightM: 1.5, PresentRunPerRise: 0.5, TargetRunPerRise: 3, LengthM: 10, Soil: "loam"}
	for _, c := range []struct {
		name string
		edit func(*Batter)
		path string
	}{
		{"too-high", func(b *Batter) { b.HeightM = 3.01 }, "heightM"},
		{"millimetres", func(b *Batter) { b.HeightM = 1500 }, "heightM"},
		{"height-not-a-number", func(b *Batter) { b.HeightM = nan }, "heightM"},
		{"leaning-out", func(b *Batter) { b.PresentRunPerRise = -0.2 }, "presentRunPerRise"},
		{"degrees", func(b *Batter) { b.TargetRunPerRise = 18 }, "targetRunPerRise"},
		{"no-flatter", func(b *Batter) { b.PresentRunPerRise = 3 }, "targetRunPerRise"},
		{"steeper-than-loam", func(b *Batter) { b.TargetRunPerRise = 1.9 }, "targetRunPerRise"},
		{"steeper-than-sand", func(b *Batter) { b.Soil, b.TargetRunPerRise = "sandy or dispersive", 2.9 }, "targetRunPerRise"},
		{"steeper-than-the-local-table", func(b *Batter) {
			b.Grades = []BatterGrade{{"loam", 3.5, 0, model.Source{Title: "district table"}}}
		}, "targetRunPerRise"},
		{"unknown-soil", func(b *Batter) { b.Soil = "cheese" }, "soil"},
		{"grade-without-source", func(b *Batter) { b.Grades = []BatterGrade{{Soil: "marl", LeastRunPerRise: 2}} }, "grades[0].source"},
		{"grade-twice", func(b *Batter) {
			b.Grades = []BatterGrade{{"marl", 2, 0, model.Source{Title: "a"}}, {"marl", 3, 0, model.Source{Title: "b"}}}
		}, "grades[1].soil"},
		{"no-length", func(b *Batter) { b.LengthM = 0 }, "lengthM"},
		{"endless", func(b *Batter) { b.LengthM = math.Inf(1) }, "lengthM"},
		{"radius", func(b *Batter) { b.HeadRadiusM = &wide }, "headRadiusM"},
		{"bed", func(b *Batter) { b.BedWidthM = &nan }, "bedWidthM"},
		{"topsoil-in-millimetres", func(b *Batter) { b.TopsoilDepthM = 100 }, "topsoilDepthM"},
		{"accuracy", func(b *Batter) { b.AccuracyM = nan }, "accuracyM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := good
			c.edit(&b)
			l, err := b.Lay()
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Lay(%+v) = %+v, %v; want a problem at %q", b, l, err, c.path)
			}
		})
	}
}

// TestEachGradeIsHeldTo lays every soil of the table as steep as it may be, and a little
// steeper.
func TestEachGradeIsHeldTo(t *testing.T) {
	for _, g := range BatterGrades {
		b := Batter{HeightM: 1, TargetRunPerRise: g.LeastRunPerRise, LengthM: 5, Soil: g.Soil}
		battered(t, b)
		b.TargetRunPerRise -= 0.01
		if _, err := b.Lay(); err == nil {
			t.Errorf("%s at %v to 1 passes, want a refusal", g.Soil, b.TargetRunPerRise)
		}
	}
}

func TestBatterCautions(t *testing.T) {
	has := func(b Batter, words string) bool {
		return slices.ContainsFunc(b.Cautions(), func(c model.Caution) bool { return strings.Contains(c.Text, words) })
	}
	bed := 1.0
	b := Batter{HeightM: 1.5, TargetRunPerRise: 3, LengthM: 10}
	if !has(b, "undercut") || !has(b, "soil was not named") || has(b, "cart it away") || !has(b, "washed out by the first flow") {
		t.Errorf("Cautions() = %v", b.Cautions())
	}
	b.Soil, b.BedWidthM = "loam", &bed
	if has(b, "soil was not named") || !has(b, "cart it away") {
		t.Errorf("Cautions() of a narrow bed = %v", b.Cautions())
	}
}

// ExampleBatter_Lay is the wall of BT02 and BT03 (geometry, derived): 1.5 m high, from half
// to 1 back to 3 to 1 over 10 m.
func ExampleBatter_Lay() {
	l, _ := Batter{HeightM: 1.5, PresentRunPerRise: 0.5, TargetRunPerRise: 3, LengthM: 10, Soil: "loam", AccuracyM: 0.05}.Lay()
	fmt.Printf("cut %.3f ± %.1f m3, brink back %.2f m; or balanced %.3f m3\n", l.CutM3, l.CutPlusMinusM3, l.WidthM, l.Balanced.CutM3)
	// Output: cut 28.125 ± 2.1 m3, brink back 3.75 m; or balanced 7.031 m3
}

func FuzzBatter(f *testing.F) {
	f.Add(1.5, 0.5, 3.0, 10.0, -1.0, 4.0, 0.1, 0.05, "loam")
	f.Add(1.5, 0.0, 3.0, 0.0, 1.5, 0.0, 0.0, -1.0, "")
	f.Add(math.NaN(), math.Inf(1), -1.0, 1e300, 1e300, 0.0, 0.0, 0.0, "sandy or dispersive")
	f.Fuzz(func(t *testing.T, height, present, target, length, radius, bed, topsoil, accuracy float64, soil string) {
		b := Batter{HeightM: height, PresentRunPerRise: present, TargetRunPerRise: target, LengthM: length, BedWidthM: &bed, TopsoilDepthM: topsoil, AccuracyM: accuracy, Soil: soil}
		if radius >= 0 {
			b.HeadRadiusM = &radius
		}
		l, err := b.Lay()
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("Lay(%+v) = %v, want a problem that names its place", b, err)
			}
			return
		}
		for _, v := range []float64{l.CutM3, l.WidthM, l.AreaM2, l.LandM2, l.FaceM2, l.TopsoilM3} {
			if !(v >= 0) || math.IsInf(v, 0) {
				t.Fatalf("Lay(%+v) = %+v", b, l)
			}
		}
		b.Cautions()
	})
}
