package track

import (
	"math"
	"strings"
	"testing"

	"headcut/model/geodesy"
	"headcut/model/section"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func drawnOutlets(t *rapid.T) Outlets {
	o := Outlets{Side: rapid.SampledFrom(Sides[:3]).Draw(t, "side"), ClearanceM: float64(rapid.IntRange(0, 60).Draw(t, "clearance"))}
	x := 0
	for range rapid.IntRange(0, 4).Draw(t, "reaches") {
		from := x + rapid.IntRange(0, 100).Draw(t, "from")
		x = from + rapid.IntRange(1, 150).Draw(t, "long")
		o.Reaches = append(o.Reaches, SideReach{FromM: float64(from), ToM: float64(x), Side: rapid.SampledFrom(Sides).Draw(t, "reach side")})
	}
	for range rapid.IntRange(0, 3).Draw(t, "heads") {
		o.Heads = append(o.Heads, Head{ChainageM: rapid.Float64Range(0, 500).Draw(t, "head"), OffsetM: rapid.Float64Range(0, 60).Draw(t, "off"),
			Side: rapid.SampledFrom(Sides[:3]).Draw(t, "head side"), LipLevelM: rapid.SampledFrom([]float64{math.NaN(), 199, 300}).Draw(t, "lip"), PlusMinusM: -1})
	}
	for range rapid.IntRange(0, 2).Draw(t, "barred") {
		from := float64(rapid.IntRange(0, 400).Draw(t, "bar from"))
		o.NoOutlet = append(o.NoOutlet, SideReach{FromM: from, ToM: from + float64(rapid.IntRange(1, 80).Draw(t, "bar long")), Side: rapid.SampledFrom(Sides[:3]).Draw(t, "bar side")})
	}
	return o
}

// TestOutletsMoveBanks: 100 m at 8 %, Packer general: 25 m are allowed.
func TestOutletsMoveBanks(t *testing.T) {
	nan := math.NaN()
	reaches := func(values ...any) []SideReach {
		var all []SideReach
		for i := 0; i < len(values); i += 3 {
			all = append(all, SideReach{FromM: float64(values[i].(int)), ToM: float64(values[i+1].(int)), Side: values[i+2].(Side), Why: "shed"})
		}
		return all
	}
	for _, c := range []struct {
		name     string
		o        Outlets
		want     []float64
		sides    []Side
		unserved [][2]float64
	}{
		{"either", Outlets{Side: Either}, []float64{25, 50, 75}, []Side{Either, Either, Either}, nil},
		{"right", Outlets{Side: Right}, []float64{25, 50, 75}, []Side{Right, Right, Right}, nil},
		{"nowhere", Outlets{Side: None}, nil, nil, [][2]float64{{0, 100}}},
		{"left-then-right", Outlets{Side: None, Reaches: reaches(0, 40, Left, 40, 100, Right)}, []float64{25, 50, 75}, []Side{Left, Right, Right}, nil},
		{"moved-up-to-the-end-of-the-safe-reach", Outlets{Side: Left, Reaches: reaches(20, 30, None)}, []float64{20, 45, 70, 95}, []Side{Left, Left, Left, Left}, nil},
		{"barred-side-only", Outlets{Side: Either, NoOutlet: reaches(20, 30, Left)}, []float64{25, 50, 75}, []Side{Right, Either, Either}, nil},
		{"barred-side-is-the-only-one", Outlets{Side: Left, NoOutlet: reaches(20, 30, Left)}, []float64{20, 45, 70, 95}, []Side{Left, Left, Left, Left}, nil},
		{"nothing-within-reach", Outlets{Side: Left, Reaches: reaches(26, 60, None)}, []float64{25, 60, 85}, []Side{Left, Left, Left}, [][2]float64{{25, 60}}},
		{"nothing-down-to-the-foot", Outlets{Side: Left, Reaches: reaches(26, 100, None)}, []float64{25}, []Side{Left}, [][2]float64{{25, 100}}},
		// A head on the track's line, 10 m to the left of 50 m, 26 m clear: √(26² - 10²) = 24,
		// so that 26 to 74 m are barred on the left.
		{"head", Outlets{Side: Left, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 10, Side: Left, LipLevelM: nan}}}, []float64{25, 74, 99}, []Side{Left, Left, Left}, [][2]float64{{25, 74}}},
		{"head-and-another-side", Outlets{Side: Either, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 10, Side: Left, LipLevelM: nan}}}, []float64{25, 50, 75}, []Side{Either, Right, Either}, nil},
		{"head-on-the-other-side", Outlets{Side: Left, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 10, Side: Right, LipLevelM: nan}}}, []float64{25, 50, 75}, []Side{Left, Left, Left}, nil},
		{"head-far-off", Outlets{Side: Left, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 26, Side: Left, LipLevelM: nan}}}, []float64{25, 50, 75}, []Side{Left, Left, Left}, nil},
		{"head-above-the-track", Outlets{Side: Left, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 10, Side: Left, LipLevelM: 98}}}, []float64{25, 50, 75}, []Side{Left, Left, Left}, nil},
		{"head-below-the-upper-end", Outlets{Side: Left, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 10, Side: Left, LipLevelM: 97.9}}}, []float64{25, 74, 99}, []Side{Left, Left, Left}, [][2]float64{{25, 74}}},
		{"head-of-unknown-side", Outlets{Side: Right, ClearanceM: 26, Heads: []Head{{ChainageM: 50, OffsetM: 10, Side: Either, LipLevelM: nan}}}, []float64{25, 74, 99}, []Side{Right, Right, Right}, [][2]float64{{25, 74}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			// The level at 26 m is 97.92.
			p := lay(t, Layout{Track: profile(0, 100, 100, 92), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: c.o, HumpM: HumpM})
			if got := chainages(p); !near(got, c.want, 1e-6) {
				t.Fatalf("banks at %v, want %v", got, c.want)
			}
			for i, s := range p.Sites {
				if s.Side != c.sides[i] {
					t.Errorf("bank at %v m drains %s, want %s", s.ChainageM, s.Side, c.sides[i])
				}
				if (s.MovedM > 1e-6) && s.Why == "" {
					t.Errorf("bank at %v m was moved %v m and nobody says why", s.ChainageM, s.MovedM)
				}
			}
			var got [][2]float64
			for _, u := range p.Unserved {
				got = append(got, [2]float64{u.FromM, u.ToM})
				if u.Why == "" || math.Abs(u.AllowedM-25) > 1e-6 || u.LengthM != math.Abs(u.ToM-u.FromM) {
					t.Errorf("unserved %+v", u)
				}
			}
			if len(got) != len(c.unserved) {
				t.Fatalf("unserved %v, want %v", got, c.unserved)
			}
			for i := range got {
				if !near(got[i][:], c.unserved[i][:], 1e-6) {
					t.Errorf("unserved %v, want %v", got, c.unserved)
				}
			}
		})
	}
}

func TestCheckOutlets(t *testing.T) {
	heads := []Head{{Name: "lantern head", ChainageM: 50, OffsetM: 10, Side: Left, LipLevelM: math.NaN(), PlusMinusM: 3}}
	for _, c := range []struct {
		name    string
		bank    Built
		verdict Outfall
		reason  string
		headM   float64
	}{
		{"safe", Built{ChainageM: 10, Side: Left}, Safe, "", math.Hypot(40, 10)},
		{"into-the-head", Built{ChainageM: 45, Side: Left}, Unsafe, "lantern head; the right is safe", math.Hypot(5, 10)},
		{"away-from-it", Built{ChainageM: 45, Side: Right}, Safe, "", -1},
		{"perhaps-into-it", Built{ChainageM: 25, Side: Left}, Safe, "lantern head may be nearer", math.Hypot(25, 10)}, // 26.9 ± 3 m, 26 m wanted
		{"barred", Built{ChainageM: 85, Side: Right}, Unsafe, "neighbour", -1},
		{"nobody-said", Built{ChainageM: 45}, NotKnown, "nobody said", math.Hypot(5, 10)},
		{"none", Built{ChainageM: 10, Side: None}, Unsafe, "no outlet", -1},
		{"both-ends-one-into-the-head", Built{ChainageM: 45, Side: Either}, Unsafe, "the right is safe", math.Hypot(5, 10)},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := check(t, Check{Track: profile(0, 100, 100, 92), Rule: rule(t, "water-bars-two-soils", "general"), HumpM: HumpM, Banks: []Built{c.bank},
				Outlets: Outlets{Side: Either, ClearanceM: 26, Heads: heads, NoOutlet: []SideReach{{FromM: 80, ToM: 90, Side: Right, Why: "neighbour"}}}})
			o, headM := r.Outlets[0], -1.0
			if o.HeadM != nil {
				headM = *o.HeadM
			}
			if o.Verdict != c.verdict || !strings.Contains(o.Reason, c.reason) || (c.reason == "") != (o.Reason == "") || math.Abs(headM-c.headM) > 1e-9 {
				t.Errorf("%+v, want %s, %q, head at %v m", o, c.verdict, c.reason, c.headM)
			}
		})
	}
}

// hairpin is a track that runs 100 m east, turns, and comes back 12 m to the south, that is
// on its right, falling all the way.
func hairpin(t testing.TB) Track { return hairpinTowards(t, 90) }

// hairpinTowards is one whose upper limb runs in another direction.
func hairpinTowards(t testing.TB, bearingDeg float64) Track {
	t.Helper()
	start := orb.Point{146.26, -20.08}
	turn := geodesy.Destination(start, bearingDeg, 100)
	over := geodesy.Destination(turn, bearingDeg+90, 12)
	var points []section.Point
	for i, p := range []orb.Point{start, turn, over, geodesy.Destination(over, bearingDeg+180, 100)} {
		points = append(points, section.Point{Position: &p, LevelM: 100 - []float64{0, 8, 9, 17}[i]})
	}
	track, err := New(points)
	if err != nil {
		t.Fatal(err)
	}
	track.Quality = section.LevelledAndTaped
	return track
}

// TestHairpin: water let out of the upper limb to the inside runs on to the lower one,
// water of the lower limb does not run up.
func TestHairpin(t *testing.T) {
	track := hairpin(t)
	r := check(t, Check{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM,
		Banks: []Built{{Name: "upper-in", ChainageM: 40, Side: Right}, {Name: "upper-out", ChainageM: 45, Side: Left}, {Name: "lower-in", ChainageM: 170, Side: Right}, {Name: "lower-out", ChainageM: 175, Side: Left}}})
	for i, want := range []Outfall{Unsafe, Safe, Safe, Safe} {
		if o := r.Outlets[i]; o.Verdict != want {
			t.Errorf("%+v, want %s", o, want)
		}
	}
	// 40 m along the upper limb is square to 100 + 12 + 60 m.
	if got := r.Outlets[0].Reason; !strings.Contains(got, "back on to the track at chainage 172 m") {
		t.Errorf("reason %q, want chainage 172 m", got)
	}
	p := lay(t, Layout{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), Outlets: Outlets{Side: Right, ClearanceM: 30}, HumpM: HumpM})
	for _, s := range p.Sites {
		if s.ChainageM < 75 {
			t.Errorf("a bank at %v m drains %s on to the lower limb", s.ChainageM, s.Side)
		}
	}
	if len(p.Unserved) == 0 {
		t.Error("nothing is unserved on the inside of a hairpin")
	}
	p = lay(t, Layout{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), Outlets: Outlets{Side: Right, ClearanceM: 10}, HumpM: HumpM})
	if len(p.Unserved) != 0 || p.Sites[0].ChainageM != 25 {
		t.Errorf("with 10 m clear of a limb 12 m off: %+v, want all served", p)
	}
}

// TestHairpinTurnedRound: where water comes back does not depend on where the track runs.
func TestHairpinTurnedRound(t *testing.T) {
	for bearing := 0.0; bearing < 360; bearing += 15 {
		r := check(t, Check{Track: hairpinTowards(t, bearing), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM,
			Banks: []Built{{ChainageM: 40, Side: Right}, {ChainageM: 45, Side: Left}}})
		if o := r.Outlets[0]; o.Verdict != Unsafe || !strings.Contains(o.Reason, "back on to the track at chainage 172 m") {
			t.Errorf("towards %v°: to the inside %+v, want it unsafe at chainage 172 m", bearing, o)
		}
		if o := r.Outlets[1]; o.Verdict != Safe {
			t.Errorf("towards %v°: to the outside %+v, want it safe", bearing, o)
		}
	}
}

func TestBeside(t *testing.T) {
	track := hairpin(t)
	at := geodesy.Destination(geodesy.Destination(track.Positions[0], 90, 60), 0, 15) // north: left of a track to the east
	h, err := track.Beside(Head{Name: "a"}, at, HumpM)
	if err != nil || math.Abs(h.ChainageM-60) > 1e-3 || math.Abs(h.OffsetM-15) > 1e-3 || h.Side != Left || h.Name != "a" {
		t.Errorf("Beside = %+v, %v; want 15 m to the left of 60 m", h, err)
	}
	south := geodesy.Destination(geodesy.Destination(track.Positions[0], 90, 30), 180, 4)
	if h, err := track.Beside(Head{}, south, HumpM); err != nil || h.Side != Right || math.Abs(h.OffsetM-4) > 1e-3 {
		t.Errorf("Beside = %+v, %v; want 4 m to the right", h, err)
	}
	if x, err := track.Along(at); err != nil || math.Abs(x-60) > 1e-3 {
		t.Errorf("Along = %v, %v; want 60", x, err)
	}
	if _, err := track.Along(geodesy.Destination(at, 0, 60)); err == nil {
		t.Error("a bank 75 m off the track is taken for one on it")
	}
	if _, err := profile(0, 100, 10, 99).Along(at); err == nil {
		t.Error("a position is placed on a track of chainages")
	}
}
