package geodesy

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// TestHeadingIsTheAzimuths: over 10 m to 1 km, apart from the rounding of the chord's 2 nm.
func TestHeadingIsTheAzimuths(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := orb.Point{rapid.Float64Range(-180, 180).Draw(rt, "lon"), rapid.Float64Range(-85, 85).Draw(rt, "lat")}
		lengthM := rapid.Float64Range(10, 1000).Draw(rt, "lengthM")
		b := Destination(a, rapid.Float64Range(0, 360).Draw(rt, "azimuthDeg"), lengthM)
		sin, cos := math.Sincos(radians(Azimuth(a, b)))
		u, ok := Heading(a, b)
		if off := math.Hypot(u[0]-sin, u[1]-cos); !ok || off > 1e-9+4e-9/lengthM {
			rt.Errorf("Heading(%v, %v) = %v, %v, off by %g", a, b, u, ok, off)
		}
	})
	if _, ok := Heading(orb.Point{146, -20}, orb.Point{146, -20}); ok {
		t.Error("two equal positions have a heading")
	}
}

func TestAzimuthsOfPlainDirections(t *testing.T) {
	at := orb.Point{146, -20}
	tests := []struct {
		name string
		to   orb.Point
		want float64
	}{
		{"north", orb.Point{146, -19.99}, 0},
		{"south", orb.Point{146, -20.01}, 180},
		{"east", Destination(at, 90, 10), 90},
		{"west", Destination(at, 270, 10), 270},
		{"just-west-of-north", Destination(at, -1e-13, 1000), 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := Azimuth(at, test.to)
			if math.Abs(math.Remainder(got-test.want, 360)) > 1e-6 || got < 0 || got >= 360 {
				t.Errorf("Azimuth(%v, %v) = %v, want %v", at, test.to, got, test.want)
			}
		})
	}
}

// TestFrames lays offsets off and reads them back, to 2 nm and across the antimeridian, and
// compares distances between two places near the origin with their true ones.
func TestFrames(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 6))
	for range 1000 {
		origin := orb.Point{180 - 0.01*random.Float64(), 170*random.Float64() - 85}
		frame := Frame{origin}
		eastM, northM := 200*random.NormFloat64(), 200*random.NormFloat64()
		p := frame.Position(eastM, northM)
		if math.Abs(p[0]) > 180 {
			t.Fatalf("Position(%v, %v) from %v = %v is beyond 180", eastM, northM, origin, p)
		}
		gotE, gotN := frame.Offset(p)
		if !(math.Hypot(gotE-eastM, gotN-northM) <= 2e-8) {
			t.Errorf("Offset(Position(%v, %v)) from %v = %v, %v", eastM, northM, origin, gotE, gotN)
		}
		q := Destination(p, 360*random.Float64(), 100*random.Float64())
		e, n := frame.Offset(q)
		if got, want := math.Hypot(e-gotE, n-gotN), Distance(p, q); !(math.Abs(got-want) <= 1e-6) {
			t.Errorf("offsets from %v put %v and %v %v apart, want %v", origin, p, q, got, want)
		}
	}
}

// positions draws places anywhere, with a liking for the awkward ones.
func positions() *rapid.Generator[orb.Point] {
	lon := rapid.OneOf(rapid.Float64Range(-180, 180), rapid.SampledFrom([]float64{-180, -179.9999, 0, 179.9999, 180}))
	lat := rapid.OneOf(rapid.Float64Range(-90, 90), rapid.SampledFrom([]float64{-90, -89.9999, 0, 89.9999, 90}))
	return rapid.Custom(func(t *rapid.T) orb.Point {
		return orb.Point{lon.Draw(t, "lon"), lat.Draw(t, "lat")}
	})
}

func TestLawsOfDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := positions().Draw(t, "a"), positions().Draw(t, "b"), positions().Draw(t, "c")
		ab, ba, bc, ac := Distance(a, b), Distance(b, a), Distance(b, c), Distance(a, c)
		if !(math.Abs(ab-ba) <= 1e-8) {
			t.Fatalf("Distance(%v, %v) = %v but %v the other way", a, b, ab, ba)
		}
		if !(ac <= ab+bc+2e-8) {
			t.Fatalf("from %v to %v is %v, longer than by %v: %v", a, c, ac, b, ab+bc)
		}
		if !(ab >= 0 && ab <= math.Pi*EquatorialRadiusM) {
			t.Fatalf("Distance(%v, %v) = %v", a, b, ab)
		}
		if back := Destination(a, Azimuth(a, b), ab); !(Distance(back, b) <= 1e-7) {
			t.Fatalf("from %v by %v degrees and %v m to %v, not %v", a, Azimuth(a, b), ab, back, b)
		}
		// A full turn of longitude changes nothing.
		if a[0] == 180 {
			if got := Distance(orb.Point{-180, a[1]}, b); !(math.Abs(got-ab) <= 1e-8) {
				t.Fatalf("Distance from -180 = %v, from 180 = %v", got, ab)
			}
		}
	})
}

func TestLawsOfArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		centre := positions().Draw(t, "centre")
		radiusM := rapid.Float64Range(1, 20e3).Draw(t, "radius")
		n := rapid.IntRange(3, 20).Draw(t, "positions")
		ring := make(orb.Ring, n)
		for i := range ring {
			ring[i] = Destination(centre, -360*float64(i)/float64(n), radiusM*rapid.Float64Range(0.2, 1).Draw(t, "radius"))
		}
		area := SignedRingArea(ring)
		// Sums over the earth are rounded to about 0.05 m²; only a ring round a pole needs them.
		tol := max(1e-4, 1e-9*area)
		if math.Abs(centre[1]) > 89 {
			tol += 0.3
		}
		if !(area > 0 && area <= math.Pi*radiusM*radiusM*1.001+tol) {
			t.Fatalf("a counterclockwise ring within %v m of %v has %v m2: %v", radiusM, centre, area, ring)
		}
		turned := append(append(orb.Ring{}, ring[n/2:]...), ring[:n/2]...)
		if got := SignedRingArea(turned); !(math.Abs(got-area) <= tol) {
			t.Fatalf("started elsewhere the ring %v has %v m2, not %v", ring, got, area)
		}
		backwards := make(orb.Ring, n)
		for i, p := range ring {
			backwards[n-1-i] = p
		}
		if got := SignedRingArea(backwards); !(math.Abs(got+area) <= tol) {
			t.Fatalf("backwards the ring %v has %v m2, not %v", ring, got, -area)
		}
		// Cut in two along a diagonal, the parts sum to the whole.
		k := n / 2
		if k >= 2 {
			one := SignedRingArea(ring[:k+1])
			two := SignedRingArea(append(orb.Ring{ring[0]}, ring[k:]...))
			if !(math.Abs(one+two-area) <= 2*tol) {
				t.Fatalf("parts of %v m2 and %v m2 make %v m2: %v", one, two, area, ring)
			}
		}
	})
}

// FuzzAnyNumbers feeds any numbers, also those no position has: nothing may panic or hang,
// and positions on the earth must give finite results.
func FuzzAnyNumbers(f *testing.F) {
	f.Add(146.26, -20.08, 146.2603, -20.0801, 146.27, -20.07, 5.0)
	f.Add(179.999, -16.8, -179.999, -16.801, 180.0, -16.8, 3.0)
	f.Add(0.0, 90.0, 120.0, 89.0, -120.0, 89.0, 1.0)
	f.Add(0.0, 0.0, 180.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(math.NaN(), math.Inf(1), 1e300, -1e300, 361.0, 91.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, x1, y1, x2, y2, x3, y3, accuracyM float64) {
		a, b, c := orb.Point{x1, y1}, orb.Point{x2, y2}, orb.Point{x3, y3}
		line, polygon := []orb.Point{a, b, c}, orb.Polygon{{a, b, c}, {c, a, b, c}}
		numbers := []float64{
			Length(line), Area(polygon), Perimeter(polygon), Azimuth(a, b),
			LengthPlusMinus(line, 5), AreaPlusMinus(polygon, 5), PerimeterPlusMinus(polygon, 5),
		}
		LengthPlusMinus(line, accuracyM)
		AreaPlusMinus(polygon, accuracyM)
		frame := Frame{a}
		eastM, northM := frame.Offset(b)
		frame.Position(eastM, northM)
		for _, p := range line {
			if !(math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90) {
				return
			}
		}
		for i, v := range append(numbers, eastM, northM) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("result %d of %v is %v", i, line, v)
			}
		}
	})
}
