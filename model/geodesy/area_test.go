package geodesy

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/modeltest"
)

func ringOf(t *testing.T, latLons [][2]float64) orb.Ring {
	t.Helper()
	var ring orb.Ring
	for _, p := range latLons {
		ring = append(ring, orb.Point{p[1], p[0]})
	}
	return append(ring, ring[0])
}

// TestPublishedAreas meets the plots of testdata/reference/survey.csv (Planimeter 2.1.2).
func TestPublishedAreas(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "polygon_area") {
		ring := ringOf(t, modeltest.Input[[][2]float64](t, c, "ring"))
		c.Check(t, "area_m2", Area(orb.Polygon{ring}))
		c.Check(t, "signed_area_m2_ccw_positive", SignedRingArea(ring))
		if got, want := Perimeter(orb.Polygon{ring}), modeltest.Want[float64](t, c, "perimeter_m"); math.Abs(got-want) > 1e-3 {
			t.Errorf("%s: Perimeter = %v, want %v within 0.001 m", c.ID, got, want)
		}
	}
	for _, c := range modeltest.Cases(t, "survey", "polygon_area_hole") {
		p := orb.Polygon{ringOf(t, modeltest.Input[[][2]float64](t, c, "outer"))}
		for _, hole := range modeltest.Input[[][][2]float64](t, c, "holes") {
			p = append(p, ringOf(t, hole))
		}
		c.Check(t, "outer_m2", RingArea(p[0]))
		c.Check(t, "hole_m2", RingArea(p[1]))
		c.Check(t, "area_m2", Area(p))
		slices.Reverse(p[1])
		c.Check(t, "area_m2", Area(p))
	}
}

// star is a ring round centre that winds once and does not cross itself.
func star(random *rand.Rand, centre orb.Point, radiusM float64, positions int) orb.Ring {
	ring := make(orb.Ring, 0, positions+1)
	clockwise := random.IntN(2) == 0
	for i := range positions {
		bearingDeg := 360 * float64(i) / float64(positions)
		if !clockwise {
			bearingDeg = -bearingDeg
		}
		ring = append(ring, Destination(centre, bearingDeg, radiusM*(0.3+0.7*random.Float64())))
	}
	return append(ring, ring[0])
}

// TestAreasAgainstPlanimeter compares 2400 seeded polygons with the program itself, ring by
// ring, and those with holes as shell less holes. The limit is 1e-9 of the area, or the
// noise of Planimeter itself, which sums areas down to the equator, some 1e-5 m² a side.
// TestSmallPlots looks closer at plots so small that this noise counts.
func TestAreasAgainstPlanimeter(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 3))
	type plot struct {
		name    string
		polygon orb.Polygon
	}
	var plots []plot
	var rings []orb.Ring
	for _, sort := range []struct {
		name                  string
		leastLat, mostLat     float64
		lonDeg                float64
		leastM, mostM         float64
		leastCount, mostCount int
		holes                 int
	}{
		{"plot", -60, 60, 180, 2, 100, 3, 12, 0},
		{"paddock", -60, 60, 180, 100, 5e3, 4, 400, 0},
		{"with-holes", -60, 60, 180, 100, 5e3, 4, 60, 3},
		{"district", -75, 75, 180, 5e3, 100e3, 3, 40, 0},
		{"continent", -60, 60, 180, 100e3, 2e6, 3, 30, 0},
		{"antimeridian", -70, 70, 0.002, 50, 5e3, 3, 60, 1},
		{"hand-over", 79.9, 80.1, 180, 100, 5e3, 3, 200, 0},
		{"pole", 89.99, 90, 180, 1500, 50e3, 4, 60, 0},
	} {
		for range 300 {
			centre := orb.Point{(2*random.Float64() - 1) * sort.lonDeg, sort.leastLat + random.Float64()*(sort.mostLat-sort.leastLat)}
			if sort.name == "antimeridian" {
				centre[0] = math.Remainder(180+centre[0], 360)
			}
			if sort.leastLat > 0 && random.IntN(2) == 0 {
				centre[1] = -centre[1]
			}
			radiusM := sort.leastM * math.Pow(sort.mostM/sort.leastM, random.Float64())
			count := func() int { return sort.leastCount + random.IntN(sort.mostCount-sort.leastCount+1) }
			p := orb.Polygon{star(random, centre, radiusM, count())}
			for i := range sort.holes {
				middle := Destination(centre, 360*float64(i)/float64(sort.holes), radiusM*0.15)
				p = append(p, star(random, middle, radiusM*0.1, count()))
			}
			plots = append(plots, plot{sort.name, p})
			for _, ring := range p {
				rings = append(rings, ring[:len(ring)-1])
			}
		}
	}
	measured := planimeter(t, rings)
	worstArea, worstShare, worstPerimeter := map[string]float64{}, map[string]float64{}, map[string]float64{}
	next := 0
	for i, plot := range plots {
		want, wantM := 0.0, 0.0
		for j, ring := range plot.polygon {
			m := measured[next]
			next++
			if j == 0 {
				want += math.Abs(m.areaM2)
			} else {
				want -= math.Abs(m.areaM2)
			}
			wantM += m.perimeterM
			if got := SignedRingArea(ring); math.Signbit(got) != math.Signbit(m.areaM2) {
				t.Errorf("%s %d: SignedRingArea = %v, want the sign of %v", plot.name, i, got, m.areaM2)
			}
		}
		noiseM2 := 5e-4
		if plot.name == "pole" {
			noiseM2 = 0.25 // a few times the rounding of half the earth
		}
		got, gotM := Area(plot.polygon), Perimeter(plot.polygon)
		worstArea[plot.name] = max(worstArea[plot.name], math.Abs(got-want))
		worstShare[plot.name] = max(worstShare[plot.name], math.Abs(got-want)/want)
		worstPerimeter[plot.name] = max(worstPerimeter[plot.name], math.Abs(gotM-wantM))
		if !(math.Abs(got-want) <= max(noiseM2, 1e-9*want)) {
			t.Errorf("%s %d: Area = %v m2, want %v", plot.name, i, got, want)
		}
		if !(math.Abs(gotM-wantM) <= max(1e-6, 1e-11*wantM)) {
			t.Errorf("%s %d: Perimeter = %v m, want %v", plot.name, i, gotM, wantM)
		}
	}
	t.Logf("worst difference from Planimeter: areas %v m2, areas %v of the area, perimeters %v m", worstArea, worstShare, worstPerimeter)
}

// TestSmallPlots compares plots below a hectare with the shoelace sum of their offsets from
// their middle, which Karney's geodesics give: at 50 m the projection is right to 1e-11.
func TestSmallPlots(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 5))
	worst := 0.0
	for range 1000 {
		centre := orb.Point{360*random.Float64() - 180, 160*random.Float64() - 80}
		ring := star(random, centre, 1+49*random.Float64(), 3+random.IntN(20))
		want, frame := 0.0, Frame{centre}
		for i := range ring[1:] {
			x1, y1 := frame.Offset(ring[i])
			x2, y2 := frame.Offset(ring[i+1])
			want += (x1*y2 - x2*y1) / 2
		}
		got := SignedRingArea(ring)
		worst = max(worst, math.Abs(got/want-1))
		if !(math.Abs(got/want-1) <= 1e-7) {
			t.Errorf("SignedRingArea(%v) = %v, want %v", ring, got, want)
		}
	}
	t.Logf("worst difference from the shoelace sum: %v of the area", worst)
}

// TestShortSidesAreas halves sides of every length and direction three times: what the
// closed formula leaves out falls with the fifth power of the length, and so shows as the
// difference between a side and its eight parts. Karney's number is also met, to its noise.
func TestShortSidesAreas(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 4))
	worst, worstExact := 0.0, 0.0
	for range 5000 {
		a := orb.Point{360*random.Float64() - 180, steepestLatDeg * (2*random.Float64() - 1)}
		bearingDeg, lengthM := 360*random.Float64(), ShortM*random.Float64()
		b := Destination(a, bearingDeg, lengthM)
		if math.Abs(b[1]) > steepestLatDeg {
			continue
		}
		q0 := equatorArea(vertexAt(a).sinLat)
		one := func(a, b orb.Point) float64 {
			return under(a, b, stripAt(a, q0), stripAt(b, q0), eastward(a, b), q0)
		}
		parts, from := 0.0, a
		for i := range 8 {
			to := b
			if i < 7 {
				to = Destination(a, bearingDeg, lengthM*float64(i+1)/8)
			}
			parts += one(from, to)
			from = to
		}
		got := one(a, b)
		worst = max(worst, math.Abs(got-parts))
		if !(math.Abs(got-parts) <= 2e-5) {
			t.Errorf("under(%v, %v) = %v, but its parts sum to %v", a, b, got, parts)
		}
		exact := exactUnder(a, b) - q0*radians(eastward(a, b))
		worstExact = max(worstExact, math.Abs(got-exact))
		if !(math.Abs(got-exact) <= 2e-4) {
			t.Errorf("under(%v, %v) = %v, want %v", a, b, got, exact)
		}
	}
	t.Logf("worst difference of one side: %v m2 from its parts, %v m2 from Karney's", worst, worstExact)
}

func TestAreasOfOddRings(t *testing.T) {
	square := orb.Ring{{146, -20}, {146.01, -20}, {146.01, -19.99}, {146, -19.99}, {146, -20}}
	area := RingArea(square)
	backwards := slices.Clone(square)
	slices.Reverse(backwards)
	half := earthM2 / 2
	tests := []struct {
		name      string
		polygon   orb.Polygon
		want, tol float64
	}{
		{"none", nil, 0, 0},
		{"empty-ring", orb.Polygon{{}}, 0, 0},
		{"two-positions", orb.Polygon{{{146, -20}, {146.01, -20}, {146, -20}}}, 0, 0},
		{"unclosed", orb.Polygon{square[:4]}, area, 1e-6},
		{"backwards", orb.Polygon{backwards}, area, 1e-6},
		{"turned-start", orb.Polygon{{square[2], square[3], square[0], square[1]}}, area, 1e-6},
		{"hole-as-large", orb.Polygon{square, square}, 0, 0},
		{"there-and-back", orb.Polygon{{square[0], square[1], square[2], square[1]}}, 0, 1e-6},
		{"bowtie", orb.Polygon{{{10, -1}, {11, 1}, {11, -1}, {10, 1}}}, 0, 1},
		{"hemisphere", orb.Polygon{{{0, 0}, {120, 0}, {-120, 0}}}, half, 1},
		{"octant", orb.Polygon{{{0, 0}, {90, 0}, {90, 90}}}, earthM2 / 8, 1},
		{"octant-south", orb.Polygon{{{0, 0}, {90, 0}, {90, -90}}}, earthM2 / 8, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := Area(test.polygon); !(math.Abs(got-test.want) <= test.tol) {
				t.Errorf("Area(%v) = %v, want %v within %v", test.polygon, got, test.want, test.tol)
			}
		})
	}
	// The surface of WGS84 (NIMA TR8350.2, from memory; 510 065 621.7 km² in GeographicLib).
	if want := 510065621.7e6; math.Abs(earthM2-want) > 0.1e6 {
		t.Errorf("the earth has %v m2, want %v", earthM2, want)
	}
}

func BenchmarkArea(b *testing.B) {
	for _, n := range []int{100, 100_000} {
		ring := boundary(n, 20)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				Area(orb.Polygon{ring})
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/vertex")
		})
	}
}

// boundary is a ring of n positions about stepM apart.
func boundary(n int, stepM float64) orb.Ring {
	random := rand.New(rand.NewPCG(8, uint64(n)))
	radiusM := float64(n) * stepM / (2 * math.Pi)
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		off := 1 + 0.2*stepM/radiusM*random.NormFloat64()
		ring = append(ring, Destination(orb.Point{146.26, -20.08}, -360*float64(i)/float64(n), radiusM*off))
	}
	return append(ring, ring[0])
}
