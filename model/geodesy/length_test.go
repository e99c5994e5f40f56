package geodesy

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/modeltest"
)

// latLon reads an input of a reference case, which writes latitude first.
func latLon(t *testing.T, c modeltest.Case, name string) orb.Point {
	t.Helper()
	if c.Has(name + "_dms") {
		lat, lon, _ := strings.Cut(c.Text(t, name+"_dms"), ", ")
		return orb.Point{dms(t, lon), dms(t, lat)}
	}
	v := modeltest.Input[[2]float64](t, c, name)
	return orb.Point{v[1], v[0]}
}

func dms(t *testing.T, text string) float64 {
	t.Helper()
	v := fields(t, text, 3)
	return math.Copysign(math.Abs(v[0])+v[1]/60+v[2]/3600, v[0])
}

// TestPublishedLengths meets the lines of testdata/reference/survey.csv: GeodSolve 2.1.2,
// and the worked line Flinders Peak to Buninyong of the GDA Technical Manual.
func TestPublishedLengths(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "geodesic_length") {
		from, to := latLon(t, c, "from"), latLon(t, c, "to")
		c.Check(t, "distance_m", Distance(from, to))
		c.Check(t, "distance_m", Distance(to, from))
		c.Check(t, "distance_m", Length([]orb.Point{from, to}))
		wantDeg := 0.0
		if c.Expects("azi1_deg") {
			wantDeg = modeltest.Want[float64](t, c, "azi1_deg")
		} else {
			wantDeg = dms(t, modeltest.Want[string](t, c, "azi1_dms"))
		}
		if gotDeg := Azimuth(from, to); math.Abs(math.Remainder(gotDeg-wantDeg, 360)) > 2e-5 {
			t.Errorf("%s: Azimuth(%v, %v) = %v, want %v", c.ID, from, to, gotDeg, wantDeg)
		}
	}
}

// TestLengthsAgainstGeodSolve compares 6000 seeded lines of all lengths and places with
// the program itself. A millimetre in 100 km would do for any work on the land; the limits
// here are 50 nm for short sides and 1 µm anywhere, to see a fault long before it matters.
func TestLengthsAgainstGeodSolve(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 1))
	var pairs [][2]orb.Point
	var names []string
	for _, sort := range []struct {
		name                          string
		latDeg, lonDeg, leastM, mostM float64
	}{
		{"paddock", 60, 180, 0.01, ShortM},
		{"at-hand-over", 85, 180, 0.99 * ShortM, 1.01 * ShortM},
		{"to-100-km", 85, 180, ShortM, 100e3},
		{"long", 90, 180, 100e3, 19e6},
		{"antimeridian", 80, 0.001, 1, 5e3},
		{"polar", 0.01, 180, 0.1, 3e3},
	} {
		for range 1000 {
			p := orb.Point{(2*random.Float64() - 1) * sort.lonDeg, (2*random.Float64() - 1) * sort.latDeg}
			switch sort.name {
			case "antimeridian":
				p[0] = math.Remainder(180+p[0], 360)
			case "polar":
				p[1] = math.Copysign(90-math.Abs(p[1]), p[1])
			}
			lengthM := sort.leastM * math.Pow(sort.mostM/sort.leastM, random.Float64())
			pairs = append(pairs, [2]orb.Point{p, Destination(p, 360*random.Float64(), lengthM)})
			names = append(names, sort.name)
		}
	}
	worst := map[string]float64{}
	for i, want := range geodSolve(t, pairs) {
		a, b := pairs[i][0], pairs[i][1]
		got := Distance(a, b)
		off := math.Abs(got - want.lengthM)
		worst[names[i]] = max(worst[names[i]], off)
		limit := 1e-6
		if want.lengthM < ShortM {
			limit = 5e-8
		}
		if !(off <= limit) {
			t.Errorf("%s: Distance(%v, %v) = %v, want %v", names[i], a, b, got, want.lengthM)
		}
		if across := math.Abs(math.Sin(radians(Azimuth(a, b)-want.azimuthDeg))) * want.lengthM; !(across <= 1e-6) {
			t.Errorf("%s: Azimuth(%v, %v) = %v, want %v", names[i], a, b, Azimuth(a, b), want.azimuthDeg)
		}
	}
	t.Logf("worst difference from GeodSolve, metres: %v", worst)
}

// TestSumsAgainstPlanimeter compares walked lines of many positions with Planimeter -l.
func TestSumsAgainstPlanimeter(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 2))
	var lines []orb.Ring
	for range 100 {
		p := orb.Point{360*random.Float64() - 180, 150*random.Float64() - 75}
		line, headingDeg := orb.Ring{p}, 360*random.Float64()
		for range 200 {
			headingDeg += 30 * random.NormFloat64()
			p = Destination(p, headingDeg, 50*random.ExpFloat64())
			line = append(line, p)
		}
		lines = append(lines, line)
	}
	worst := 0.0
	for i, want := range planimeter(t, lines, "-l") {
		got := Length(lines[i])
		worst = max(worst, math.Abs(got-want.perimeterM))
		if !(math.Abs(got-want.perimeterM) <= 1e-6) {
			t.Errorf("line %d: Length = %v, want %v", i, got, want.perimeterM)
		}
	}
	t.Logf("worst difference from Planimeter -l: %v m in 10 km", worst)
}

func TestLengthsOfFewPositions(t *testing.T) {
	p := orb.Point{146.26, -20.08}
	for n, line := range [][]orb.Point{nil, {p}, {p, p}, {p, p, p}} {
		if got := Length(line); got != 0 {
			t.Errorf("Length of %d positions in one place = %v, want 0", n, got)
		}
		if got := len(Segments(line)); got != max(0, n-1) {
			t.Errorf("Segments of %d positions has %d lengths", n, got)
		}
	}
	line := orb.LineString{{146, -20}, {146.001, -20}, {146.001, -20.002}}
	parts := Segments(line)
	if sum := parts[0] + parts[1]; sum != Length(line) || parts[0] != Distance(line[0], line[1]) {
		t.Errorf("Segments(%v) = %v, want them to sum to %v", line, parts, Length(line))
	}
}

func BenchmarkLength(b *testing.B) {
	for _, n := range []int{100, 100_000} {
		line := walk(n, 20)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				Length(line)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/vertex")
		})
	}
}

// walk is a seeded line of n positions about stepM apart that turns as a gully does.
func walk(n int, stepM float64) orb.LineString {
	random := rand.New(rand.NewPCG(7, uint64(n)))
	p, headingDeg := orb.Point{146.26, -20.08}, 40.0
	line := make(orb.LineString, n)
	for i := range line {
		line[i] = p
		headingDeg += 25 * random.NormFloat64()
		p = Destination(p, headingDeg, stepM*(0.5+random.Float64()))
	}
	return line
}

// TestNextToTheEquator holds the guard against a fault of the library, which takes latitudes
// that round to minus zero for somewhere else. Lengths are GeodSolve's for the equator.
func TestNextToTheEquator(t *testing.T) {
	for _, lat := range []float64{0, 1e-300, -1e-300, 3.5e-18, -3.5e-18, 1e-13, -1e-13} {
		for lon, want := range map[float64]float64{180: 20003931.458625, 90: 10018754.171395} {
			if got := Distance(orb.Point{0, lat}, orb.Point{lon, lat}); !(math.Abs(got-want) <= 1e-5) {
				t.Errorf("Distance along latitude %v to longitude %v = %v, want %v", lat, lon, got, want)
			}
		}
	}
}
