package works

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model/geodesy"
)

// TestTurningMovingMirroringRips: a patch of a few hundred metres has the same figures
// wherever it lies, however it is turned, mirrored, and whichever way its lines are driven.
func TestTurningMovingMirroringRips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var patch [][][2]float64
		for i := range rapid.IntRange(1, 5).Draw(t, "lines") {
			var line [][2]float64
			x := rapid.Float64Range(-30, 30).Draw(t, "start")
			for range rapid.IntRange(2, 5).Draw(t, "positions") {
				line = append(line, [2]float64{x, 20*float64(i) + rapid.Float64Range(-5, 5).Draw(t, "north")})
				x += rapid.Float64Range(10, 40).Draw(t, "step")
			}
			patch = append(patch, line)
		}
		lay := func(origin orb.Point, turn float64, mirror, backwards bool) Ripped {
			frame := geodesy.Frame{Origin: origin}
			sin, cos := math.Sincos(turn)
			lines := make([]orb.LineString, len(patch))
			for i, line := range patch {
				for _, p := range line {
					x, y := p[0], p[1]
					if mirror {
						x = -x
					}
					lines[i] = append(lines[i], frame.Position(x*cos-y*sin, x*sin+y*cos))
				}
				if backwards {
					lines[i].Reverse()
				}
			}
			r, err := RipArea(lines, 0.5, nil)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		want := lay(orb.Point{146.26, -20.08}, 0, false, false)
		got := lay(orb.Point{rapid.Float64Range(-180, 180).Draw(t, "longitude"), rapid.Float64Range(-60, 60).Draw(t, "latitude")},
			rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn"), rapid.Bool().Draw(t, "mirror"), rapid.Bool().Draw(t, "backwards"))
		if len(got.Pairs) != len(want.Pairs) || (got.Spacing == nil) != (want.Spacing == nil) {
			return // two lines that face each other over just a tenth
		}
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-4*max(1, math.Abs(want)) {
				t.Fatalf("%s = %v, want %v", what, got, want)
			}
		}
		near("length", got.LengthM, want.LengthM)
		near("alone", got.AloneM, want.AloneM)
		near("area", got.AreaM2, want.AreaM2)
		if got.Spacing == nil {
			return
		}
		near("least spacing", got.Spacing.MinM, want.Spacing.MinM)
		near("mean spacing", got.Spacing.MeanM, want.Spacing.MeanM)
		near("widest spacing", got.Spacing.MaxM, want.Spacing.MaxM)
		for i, p := range want.Pairs {
			q := got.Pairs[i]
			near("pair's least", q.MinM, p.MinM)
			near("pair's mean", q.MeanM, p.MeanM)
			near("pair's widest", q.MaxM, p.MaxM)
			for k := range 2 {
				near("facing", q.FacesM[k], p.FacesM[k])
			}
		}
	})
}

// TestRipPlaces: what is told of the narrowest and widest place is there, on its line, and
// that far square to it from the other.
func TestRipPlaces(t *testing.T) {
	patch := [][][2]float64{{{0, 0}, {60, 4}, {120, 2}, {190, -3}}, {{-10, 27}, {55, 29}, {110, 31}, {180, 20}}, {{20, 49}, {90, 52}, {150, 60}}}
	r, err := RipArea(onGround(patch...), 0.2, nil)
	if err != nil {
		t.Fatal(err)
	}
	frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
	for _, place := range []RipPlace{r.Spacing.MinAt, r.Spacing.MaxAt} {
		x, y := frame.Offset(place.At)
		best := math.Inf(1)
		for _, side := range []float64{1, -1} {
			for k := range len(patch[place.Line-1]) - 1 {
				a, b := patch[place.Line-1][k], patch[place.Line-1][k+1]
				ux, uy := b[0]-a[0], b[1]-a[1]
				length := math.Hypot(ux, uy)
				ux, uy = ux/length, uy/length
				if off := math.Abs((x-a[0])*uy - (y-a[1])*ux); off > 1e-3 {
					continue // not on this segment
				}
				nx, ny := -uy*side, ux*side
				for m := range len(patch[place.Other-1]) - 1 {
					c, d := patch[place.Other-1][m], patch[place.Other-1][m+1]
					dx, dy := d[0]-c[0], d[1]-c[1]
					det := -nx*dy + ny*dx
					far := (-(c[0]-x)*dy + (c[1]-y)*dx) / det
					along := (nx*(c[1]-y) - ny*(c[0]-x)) / det
					if far > 0 && along > -1e-6 && along < 1+1e-6 {
						best = min(best, far)
					}
				}
			}
		}
		if math.Abs(best-place.SpacingM) > 1e-3 {
			t.Errorf("%+v at (%.2f, %.2f): square across it is %v m to line %d", place, x, y, best, place.Other)
		}
	}
	if r.Spacing.MinAt.SpacingM != r.Spacing.MinM || r.Spacing.MaxAt.SpacingM != r.Spacing.MaxM {
		t.Errorf("places %+v and %+v are not of %+v", r.Spacing.MinAt, r.Spacing.MaxAt, r.Spacing)
	}
}
