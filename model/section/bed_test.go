package section

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

func bedOf(pairs ...float64) (bed Bed) {
	for i := 0; i < len(pairs); i += 2 {
		bed = append(bed, Station{ChainageM: pairs[i], LevelM: pairs[i+1]})
	}
	return bed
}

func TestBedRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		bed  Bed
		path string
	}{
		{"none", nil, ""},
		{"one-point", bedOf(0, 100), ""},
		{"unsorted", bedOf(0, 100, 20, 101, 10, 102), "[2].chainageM"},
		{"twice", bedOf(0, 100, 10, 101, 10, 102), "[2].chainageM"},
		{"half-a-millimetre-apart", bedOf(0, 100, 10, 101, 10.0005, 102), "[2].chainageM"},
		{"chainage-not-a-number", bedOf(0, 100, nan, 101), "[1].chainageM"},
		{"chainage-infinite", bedOf(0, 100, inf, 101), "[1].chainageM"},
		{"chainage-below-nought", bedOf(-1, 100, 10, 101), "[0].chainageM"},
		{"chainage-absurd", bedOf(0, 100, 1e6, 101), "[1].chainageM"},
		{"level-not-a-number", bedOf(0, nan, 10, 101), "[0].levelM"},
		{"level-infinite", bedOf(0, 100, 10, -inf), "[1].levelM"},
		{"level-absurd", bedOf(0, 100, 10, 12001), "[1].levelM"},
		{"slipped-decimal-point", bedOf(0, 100.5, 10, 1010, 20, 101.5), "[1].levelM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, ok := errors.AsType[*model.Problem](c.bed.Check())
			if !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Check(%v) = %v, want a problem at %q", c.bed, p, c.path)
			}
		})
	}
	for _, bed := range []Bed{bedOf(0, 100, 10, 99), bedOf(5, -3, 5.001, -1.5), bedOf(0, 0, 1000, 400),
		bedOf(0, MaxLevelM, MaxChainageM, MaxLevelM), bedOf(0, -MaxLevelM, LeastApartM, -MaxLevelM), bedOf(0, 0, 10, MaxStepM), bedOf(0, 60, 60, 0)} {
		if err := bed.Check(); err != nil {
			t.Errorf("Check(%v) = %v, want none", bed, err)
		}
	}
}

// A bed that ends as much lower as a level stretch may was not booked from the head down.
func TestBookedDown(t *testing.T) {
	for _, c := range []struct {
		bed  Bed
		down bool
	}{{nil, false}, {bedOf(0, 1), false}, {bedOf(0, 0.05, 10, 0), false}, {bedOf(0, 0.051, 10, 0), true}, {bedOf(0, 0, 5, 9, 10, 0.051), false}} {
		if got := c.bed.BookedDown(); got != c.down {
			t.Errorf("%v was booked down: %t, want %t", c.bed, got, c.down)
		}
	}
}

func TestBedLevelAt(t *testing.T) {
	bed := bedOf(10, 100, 20, 101, 40, 100.5)
	for _, c := range []struct {
		at, want float64
		ok       bool
	}{{10, 100, true}, {15, 100.5, true}, {20, 101, true}, {30, 100.75, true}, {40, 100.5, true},
		{9.99, 0, false}, {40.01, 0, false}, {math.NaN(), 0, false}} {
		if got, ok := bed.LevelAt(c.at); ok != c.ok || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("LevelAt(%v) = %v, %v; want %v, %v", c.at, got, ok, c.want, c.ok)
		}
	}
	if _, ok := Bed(nil).LevelAt(0); ok {
		t.Error("no bed has a level at 0, want none")
	}
}

func TestNewBedByPosition(t *testing.T) {
	at := func(lon, lat float64) *orb.Point { return &orb.Point{lon, lat} }
	// One second of latitude on the equator's meridian is 30.7155 m on WGS84: the meridian
	// radius there is a(1-e²) = 6,335,439.327 m (derived).
	second := 1.0 / 3600
	bed, byPosition, err := NewBed([]Point{{Position: at(0, 0), LevelM: 100}, {Position: at(0, second), LevelM: 101}, {Position: at(0, 2*second), LevelM: 102}})
	want := 6335439.327 * math.Pi / 180 / 3600
	if err != nil || !byPosition || math.Abs(bed[1].ChainageM-want) > 1e-4 || math.Abs(bed[2].ChainageM-2*want) > 1e-4 {
		t.Errorf("NewBed = %v, %v, %v; want chainages 0, %v and %v", bed, byPosition, err, want, 2*want)
	}
}

// A bed keeps the levels, and the chainages where they were taped.
func TestNewBedKeepsWhatWasBooked(t *testing.T) {
	low, up, at, north := 5.0, 12.5, orb.Point{148, -25}, orb.Point{148, -24.9999}
	taped, byPosition, err := NewBed([]Point{{ChainageM: &low, LevelM: 100}, {ChainageM: &up, LevelM: 101.5}})
	if err != nil || byPosition || !slices.Equal(taped, bedOf(5, 100, 12.5, 101.5)) {
		t.Errorf("NewBed = %v, %t, %v; want what was booked", taped, byPosition, err)
	}
	placed, byPosition, err := NewBed([]Point{{Position: &at, LevelM: -3}, {Position: &north, LevelM: 0.25}})
	if err != nil || !byPosition || placed[0] != (Station{0, -3}) || placed[1].LevelM != 0.25 {
		t.Errorf("NewBed = %v, %t, %v; want levels -3 and 0.25", placed, byPosition, err)
	}
}

func TestNewBedRefuses(t *testing.T) {
	m := func(v float64) *float64 { return &v }
	at := func(lon, lat float64) *orb.Point { return &orb.Point{lon, lat} }
	for _, c := range []struct {
		name   string
		points []Point
		path   string
	}{
		{"none", nil, ""},
		{"neither", []Point{{LevelM: 1}, {LevelM: 2}}, "[0].chainageM"},
		{"both", []Point{{ChainageM: m(0), Position: at(0, 0)}, {ChainageM: m(1)}}, "[0].position"},
		{"position-among-chainages", []Point{{ChainageM: m(0)}, {Position: at(0, 0)}}, "[1].position"},
		{"chainage-among-positions", []Point{{Position: at(0, 0)}, {ChainageM: m(0)}}, "[1].chainageM"},
		{"axes-swapped", []Point{{Position: at(0, 0)}, {Position: at(-25, 148)}}, "[1].position"},
		{"too-long", []Point{{Position: at(148, -25)}, {Position: at(149, -25)}}, "[1].position"}, // 100.9 km
		{"same-place-twice", []Point{{Position: at(148, -25)}, {Position: at(148, -25)}}, "[1].position"},
		{"other-side-of-the-earth", []Point{{Position: at(148, -25)}, {Position: at(-32, 25)}}, "[1].position"},
		{"chainage-not-a-number", []Point{{ChainageM: m(math.NaN())}, {ChainageM: m(1)}}, "[0].chainageM"},
		{"unsorted", []Point{{ChainageM: m(9)}, {ChainageM: m(1)}}, "[1].chainageM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			bed, _, err := NewBed(c.points)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("NewBed = %v, %v; want a problem at %q", bed, err, c.path)
			}
		})
	}
}

func FuzzNewBed(f *testing.F) {
	f.Add(true, 148.0, -25.0, 100.0, 148.001, -25.0, 101.0)
	f.Add(false, 0.0, 0.0, 100.0, 10.0, 0.0, 101.0)
	f.Add(true, math.NaN(), 91.0, math.Inf(1), 181.0, -91.0, 0.0)
	f.Fuzz(func(t *testing.T, byPosition bool, a, b, z0, c, d, z1 float64) {
		points := []Point{{ChainageM: &a, LevelM: z0}, {ChainageM: &c, LevelM: z1}}
		if byPosition {
			points = []Point{{Position: &orb.Point{a, b}, LevelM: z0}, {Position: &orb.Point{c, d}, LevelM: z1}}
		}
		bed, _, err := NewBed(points)
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Reason == "" {
				t.Fatalf("NewBed = %v, want a problem", err)
			}
			return
		}
		profile, err := LongSection(bed, LevelledAndTaped)
		for _, v := range []float64{profile.LengthM, profile.FallM, profile.MeanSlopePct, profile.MeanSlopePlusMinusPct} {
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("LongSection(%v) = %+v, %v; want finite numbers", bed, profile, err)
			}
		}
	})
}
