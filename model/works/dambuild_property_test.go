package works

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawnDam is a loose-rock dam in a surveyed gully of any shape on a sloping bed. What a tape and
// a staff measure is drawn in steps that stay exact on another datum, since the rounding of a
// level would else decide how wide a gully is where its ground lies flat at the notch.
func drawnDam(t *rapid.T) DamBuild {
	d := DamBuild{
		CrestHeightM: rapid.Float64Range(0.1, 1).Draw(t, "crest"), CrestBreadthM: rapid.Float64Range(0.2, 2).Draw(t, "breadth"),
		UpstreamRunPerRise: rapid.Float64Range(1.2, 4).Draw(t, "up"), DownstreamRunPerRise: rapid.Float64Range(1.2, 4).Draw(t, "down"),
		BedSlopePct: rapid.Float64Range(0, 18).Draw(t, "slope"),
	}
	x := 0.0
	d.Section = [][2]float64{{0, 3}}
	for range rapid.IntRange(1, 8).Draw(t, "points") {
		x += drawnM(t, 1.5, "step")
		d.Section = append(d.Section, [2]float64{x, drawnM(t, 1, "level")})
	}
	d.Section = append(d.Section, [2]float64{x + drawnM(t, 2, "bank"), 3})
	if left, right := d.gully().Banks(d.CrestHeightM); right-left > 0.5 && rapid.Bool().Draw(t, "notched") {
		d.NotchLengthM, d.NotchDepthM = 0.9*(right-left), 0.3
	}
	return d
}

// drawnM is a length up to maxM in steps of 1/1024 m.
func drawnM(t *rapid.T, maxM float64, label string) float64 {
	return float64(rapid.IntRange(0, int(maxM*1024)).Draw(t, label)) / 1024
}

// grid is the rock of a dam by the rule that needs no thought: columns on a fine net.
func grid(d DamBuild) (rockM3 float64) {
	a, b := d.gully(), d.body()
	from, to := math.Inf(1), math.Inf(1)
	if d.NotchDepthM > 0 {
		from, to = d.notch(a)
	}
	y1 := b.heightM * b.down
	y2 := y1 + b.breadthM
	const stepM = 0.01
	for i := 1; i < len(a); i++ {
		left, right := a[i-1], a[i]
		edges := []float64{left[0], min(max(from, left[0]), right[0]), min(max(to, left[0]), right[0]), right[0]} // a column lies in the notch or beside it
		for k := 1; k < len(edges); k++ {
			run := edges[k] - edges[k-1]
			n := math.Ceil(run/stepM) + 20
			for j := 0.0; j < n && run > 0; j++ {
				x := edges[k-1] + run*(j+0.5)/n
				h := left[1] + (right[1]-left[1])*(x-left[0])/(right[0]-left[0])
				top := b.heightM
				if x > from && x < to {
					top -= d.NotchDepthM
				}
				for y := stepM / 2; y < y2+b.heightM*b.upstream; y += stepM {
					roof := min(top, y/b.down, b.heightM-(y-y2)/b.upstream)
					rockM3 += max(roof-h-b.bed*y, 0) * stepM * run / n
				}
			}
		}
	}
	return rockM3
}

func TestDamBuildAgreesWithColumns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawnDam(t)
		q, err := d.Quantities()
		if err != nil {
			t.Fatalf("Quantities(%+v) = %v", d, err)
		}
		if want := grid(d); math.Abs(q.RockM3-want) > 0.01*want+0.003 {
			t.Fatalf("rock of %+v = %v m3, columns give %v", d, q.RockM3, want)
		}
	})
}

func TestDamBuildLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawnDam(t)
		want, err := d.Quantities()
		if err != nil {
			t.Fatal(err)
		}
		same := func(law string, other DamBuild, scale float64) {
			got, err := other.Quantities()
			if err != nil || math.Abs(got.RockM3-scale*want.RockM3) > 1e-9*(1+want.RockM3) {
				t.Fatalf("%s: %+v has %v m3, %v; want %v", law, other, got.RockM3, err, scale*want.RockM3)
			}
		}
		moved, mirrored, split := d, d, d
		moved.Section, mirrored.Section, split.Section = slices.Clone(d.Section), slices.Clone(d.Section), nil
		for i, p := range d.Section {
			moved.Section[i] = [2]float64{p[0] + 12, p[1] + 300}
			mirrored.Section[len(d.Section)-1-i] = [2]float64{-p[0], p[1]}
			if i > 0 {
				q := d.Section[i-1]
				split.Section = append(split.Section, [2]float64{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2})
			}
			split.Section = append(split.Section, p)
		}
		same("another datum", moved, 1)
		same("from the other bank", mirrored, 1)
		same("more points on the same ground", split, 1)

		longer := d
		longer.CrestBreadthM += 0.1
		if got, err := longer.Quantities(); err != nil || got.RockM3 < want.RockM3-1e-9 {
			t.Fatalf("a broader crest takes %v m3, %v; less than %v", got.RockM3, err, want.RockM3)
		}
		steeper := d
		steeper.BedSlopePct += 1
		if got, err := steeper.Quantities(); err != nil || got.FillM3 > want.FillM3+1e-12 {
			t.Fatalf("on a steeper bed the body is %v m3, %v; more than %v", got.FillM3, err, want.FillM3)
		}
	})
}

func TestBedAndBanksAreASection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := cased()
		d.BedWidthM = rapid.Float64Range(1.2, 5).Draw(t, "bed")
		d.LeftRunPerRise, d.RightRunPerRise = rapid.Float64Range(0, 3).Draw(t, "left"), rapid.Float64Range(0, 3).Draw(t, "right")
		d.BedSlopePct = rapid.Float64Range(0, 20).Draw(t, "slope")
		surveyed := d
		surveyed.BedWidthM = 0
		surveyed.Section = [][2]float64{{100 - 2*d.LeftRunPerRise, 52}, {100, 50}, {100 + d.BedWidthM, 50}, {100 + d.BedWidthM + 2*d.RightRunPerRise, 52}}
		a, err1 := d.Quantities()
		b, err2 := surveyed.Quantities()
		if err1 != nil || err2 != nil || math.Abs(a.RockM3-b.RockM3) > 1e-9 || math.Abs(a.KeyM3-b.KeyM3) > 1e-9 || math.Abs(a.CrestLengthM-b.CrestLengthM) > 1e-9 {
			t.Fatalf("bed and banks give %+v, %v; as a section %+v, %v", a, err1, b, err2)
		}
	})
}
