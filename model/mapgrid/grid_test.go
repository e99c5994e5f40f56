package mapgrid

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model/geodesy"
	"headcut/model/modeltest"
)

// TestPublishedCoordinates meets every UTM row of testdata/reference/survey.csv.
func TestPublishedCoordinates(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "utm") {
		zone := 0
		if c.Has("forced_zone") {
			zone = int(c.Number(t, "forced_zone"))
		}
		got, shift, err := UTM.Of(orb.Point{c.Number(t, "lon"), c.Number(t, "lat")}, zone, Sight{})
		if err != nil {
			t.Errorf("%s: %v", c.ID, err)
			continue
		}
		c.Check(t, "easting_m", got.EastingM)
		c.Check(t, "northing_m", got.NorthingM)
		if want := modeltest.Want[float64](t, c, "convergence_deg"); math.Abs(got.ConvergenceDeg-want) > 1e-8 {
			t.Errorf("%s: convergence %v, want %v", c.ID, got.ConvergenceDeg, want)
		}
		if want := modeltest.Want[float64](t, c, "scale"); math.Abs(got.Scale-want) > 1e-9 {
			t.Errorf("%s: scale %v, want %v", c.ID, got.Scale, want)
		}
		want := modeltest.Want[string](t, c, "zone")
		hemisphere := map[bool]string{true: "s", false: "n"}[got.South]
		if name := strings.TrimLeft(want, "0"); strconv.Itoa(got.Zone)+hemisphere != name {
			t.Errorf("%s: zone %d%s, want %s", c.ID, got.Zone, hemisphere, want)
		}
		if shift != (Shift{}) {
			t.Errorf("%s: UTM shifted by %v, want nothing", c.ID, shift)
		}
	}
}

// dms reads degrees, minutes and seconds.
func dms(t *testing.T, text string) float64 {
	t.Helper()
	var v [3]float64
	for i, word := range strings.Fields(text) {
		f, err := strconv.ParseFloat(word, 64)
		if err != nil {
			t.Fatal(err)
		}
		v[i] = f
	}
	return math.Copysign(math.Abs(v[0])+v[1]/60+v[2]/3600, v[0])
}

// The worked example of the Map Grid of Australia is given on its own datum, so the datum
// shift is left out here.
func TestFlindersPeak(t *testing.T) {
	c := modeltest.Named(t, "survey", "UT13")
	got, err := grs80.at(orb.Point{dms(t, c.Text(t, "lon_dms")), dms(t, c.Text(t, "lat_dms"))}, int(c.Number(t, "zone")))
	if err != nil {
		t.Fatal(err)
	}
	c.Check(t, "easting_m", got.EastingM)
	c.Check(t, "northing_m", got.NorthingM)
}

// The published shifts are for points at their height, and are met at height 0 too.
func TestPublishedDatumShifts(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "gda94_to_gda2020") {
		from := orb.Point{c.Number(t, "lon"), c.Number(t, "lat")}
		want := orb.Point{modeltest.Want[float64](t, c, "lon"), modeltest.Want[float64](t, c, "lat")}
		got := gda94To2020.move(from, 1)
		if off := geodesy.Distance(got, want); !(off <= 0.003) {
			t.Errorf("%s: %v, want %v, off by %.4f m (%s)", c.ID, got, want, off, c.Source)
		}
		if back := gda94To2020.move(got, -1); geodesy.Distance(back, from) > 1e-6 {
			t.Errorf("%s: there and back is %.2g m away", c.ID, geodesy.Distance(back, from))
		}
	}
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom(Grids).Draw(t, "grid")
		p := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(MinLatDeg, MaxLatDeg).Draw(t, "lat")}
		if g != UTM {
			p = orb.Point{rapid.Float64Range(94, 173).Draw(t, "lon"), rapid.Float64Range(-55, -9).Draw(t, "lat")}
		}
		s := Sight{Year: rapid.SampledFrom([]float64{0, 2020, 2026.9}).Draw(t, "year")}
		c, _, err := g.Of(p, 0, s)
		if err != nil {
			t.Fatalf("%v of %s: %v", p, g, err)
		}
		back, _, err := g.Position(c, s)
		if err != nil {
			t.Fatalf("back from %+v: %v", c, err)
		}
		if off := geodesy.Distance(p, back); off > 2e-6 {
			t.Errorf("%s there and back: %v and %v, %.2g m apart", g, p, back, off)
		}
		if c.EastingM < 100_000 || c.EastingM > 900_000 || c.NorthingM < 0 || c.NorthingM > falseNorthingM {
			t.Errorf("%s of %v is %+v, which is no coordinate", g, p, c)
		}
	})
}

// The last parallel, the edge of a zone's reach and the equator come back too, though
// their coordinates are rounded.
func TestThereAndBackOnTheEdge(t *testing.T) {
	for _, p := range []orb.Point{{0.5000267028808594, MaxLatDeg}, {179.9, MaxLatDeg}, {-180, MinLatDeg}, {3, MinLatDeg}, {140.7, 0}, {180, -20}} {
		for zone := range 61 {
			c, _, err := UTM.Of(p, zone, Sight{})
			if err != nil {
				continue // too far from that zone
			}
			back, _, err := UTM.Position(c, Sight{})
			if err != nil {
				t.Errorf("%v in zone %d: back from %+v: %v", p, zone, c, err)
			} else if _, _, err := UTM.Of(back, zone, Sight{}); err != nil {
				t.Errorf("%v in zone %d: came back as %v: %v", p, zone, back, err)
			}
		}
	}
}

func TestRefusedPlaces(t *testing.T) {
	for _, test := range []struct {
		name string
		grid Grid
		at   orb.Point
		zone int
		want string
	}{
		{"pole", UTM, orb.Point{10, 85}, 0, "latitude 85"},
		{"wrong-zone", UTM, orb.Point{147, -20}, 50, "zone 55"},
		{"no-zone", UTM, orb.Point{147, -20}, 61, "61 is not a zone"},
		{"abroad", MGA2020, orb.Point{37, -1}, 0, "not in Australia"},
		{"abroad-1994", MGA94, orb.Point{-108, 39}, 0, "use UTM"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, _, err := test.grid.Of(test.at, test.zone, Sight{})
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%v on %s: %v, want an error about %q", test.at, test.grid, err, test.want)
			}
		})
	}
	// The box of EPSG 8048 and 8049, its edges within.
	for _, test := range []struct {
		at orb.Point
		in bool
	}{
		{orb.Point{93.41, -20}, true}, {orb.Point{93.40, -20}, false}, {orb.Point{173.34, -20}, true}, {orb.Point{173.35, -20}, false},
		{orb.Point{147, -60.55}, true}, {orb.Point{147, -60.56}, false}, {orb.Point{147, -8.47}, true}, {orb.Point{147, -8.46}, false},
	} {
		if err := MGA2020.covers(test.at); (err == nil) != test.in {
			t.Errorf("%v: %v, want it in Australia: %t", test.at, err, test.in)
		}
		if err := UTM.covers(test.at); err != nil {
			t.Errorf("%v on UTM: %v", test.at, err)
		}
	}
	for _, c := range []Coordinate{{Zone: 0, EastingM: 5e5}, {Zone: 55, EastingM: 7_788_518, NorthingM: 500_000}, {Zone: 55, EastingM: math.NaN()}, {Zone: 55, EastingM: 5e5, NorthingM: -1}} {
		if p, _, err := UTM.Position(c, Sight{}); err == nil {
			t.Errorf("%+v is at %v, want an error", c, p)
		}
	}
}

// The ends of UTM in latitude are in it, and places past its reach are of no zone, however good
// the other coordinate.
func TestEndsOfUTM(t *testing.T) {
	for lat, taken := range map[float64]bool{MinLatDeg: true, MinLatDeg - 1e-6: false, MaxLatDeg: true, MaxLatDeg + 1e-6: false} {
		if _, _, err := UTM.Of(orb.Point{147, lat}, 0, Sight{}); (err == nil) != taken {
			t.Errorf("latitude %v: %v", lat, err)
		}
	}
	for _, c := range []struct {
		eastM, northM float64
		south, taken  bool
	}{
		{500_000, 7_000_000, false, true}, {1_400_000, 7_000_000, false, false}, {-400_000, 7_000_000, false, false}, {500_000, 9_400_000, false, false}, {500_000, 9_328_000, false, true},
		{500_000, 1_000_000, true, false}, {500_000, 1_118_500, true, true}, {1_500_000, 5_000_000, true, false},
	} {
		if _, _, err := UTM.Position(Coordinate{Zone: 55, South: c.south, EastingM: c.eastM, NorthingM: c.northM}, Sight{}); (err == nil) != c.taken {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// The coefficients of the series for WGS84 (Karney 2011, Transverse Mercator with an accuracy of a few
// nanometres, equations 35 and 36, evaluated; the figures from memory).
func TestCoefficientsOfTheSeries(t *testing.T) {
	e := newEllipsoid(6378137, 1/298.257223563)
	for name, c := range map[string][2][6]float64{
		"alpha": {e.alpha, {8.3773182062446994e-4, 7.608527773572307e-7, 1.197645503329453e-9, 2.429170607201359e-12, 5.711757677865804e-15, 1.4911177312583895e-17}},
		"beta":  {e.beta, {8.377321640579488e-4, 5.905870152220203e-8, 1.6734826652839968e-10, 2.1647980400627059e-13, 3.7879780461686053e-16, 7.2487488906941545e-19}},
	} {
		for k, got := range c[0] {
			if math.Abs(got/c[1][k]-1) > 1e-14 {
				t.Errorf("%s %d is %v, want %v", name, k+1, got, c[1][k])
			}
		}
	}
}
