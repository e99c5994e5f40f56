package monitor

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
)

const draws = 10_000

// stated is a figure with the standard deviation it claims.
type stated struct {
	what      string
	plusMinus float64
}

// spread fails unless draws of the figures scatter by what they state, to within 5 %.
func spread(t *testing.T, draw func(*rand.Rand) []float64, figures ...stated) {
	t.Helper()
	r := rand.New(rand.NewPCG(20240930, 7))
	offset := draw(r) // so that the sums keep their digits
	sum, squares := make([]float64, len(figures)), make([]float64, len(figures))
	for range draws {
		for k, v := range draw(r) {
			v -= offset[k]
			sum[k], squares[k] = sum[k]+v, squares[k]+v*v
		}
	}
	for k, f := range figures {
		m := sum[k] / draws
		got := math.Sqrt((squares[k] - draws*m*m) / (draws - 1))
		t.Logf("%s: stated %.5g, drawn %.5g", f.what, f.plusMinus, got)
		if !(f.plusMinus > 0) || math.Abs(got/f.plusMinus-1) > 0.05 {
			t.Errorf("%s: %d draws scatter by %v, and %v is stated", f.what, draws, got, f.plusMinus)
		}
	}
}

// share fails unless so many of the draws, to within one hundredth, come out true.
func share(t *testing.T, what string, want float64, draw func(*rand.Rand) bool) {
	t.Helper()
	r := rand.New(rand.NewPCG(20240930, 11))
	count := 0
	for range draws {
		if draw(r) {
			count++
		}
	}
	got := float64(count) / draws
	t.Logf("%s: %.4f", what, got)
	if math.Abs(got-want) > 0.01 {
		t.Errorf("%s in %v of %d draws, want %v", what, got, draws, want)
	}
}

func gaussian(r *rand.Rand, at, sigma float64) float64 { return at + sigma*r.NormFloat64() }

// surveys of every sort of section, under every rule.
func surveys() map[string]VolumeSurvey {
	vee := [][2]float64{{0, 0}, {1, -1}, {2, -1.2}, {3, -1}, {4, 0}}
	wide := [][2]float64{{0, 312}, {0.5, 310}, {4, 309.6}, {4.5, 310.2}, {7, 312.2}}
	a := Accuracy{AcrossM: 0.08, HeightM: 0.05, ChainageM: 0.4}
	read := func(x float64, readings [][2]float64) CrossSection {
		return CrossSection{ChainageM: x, Offsets: readings}
	}
	middle := func(s CrossSection) CrossSection { s.Middle = true; return s }
	known := func(x, areaM2 float64) CrossSection {
		return CrossSection{ChainageM: x, AreaM2: &areaM2, AreaPlusMinusM2: new(0.3)}
	}
	return map[string]VolumeSurvey{
		"end-area": {Method: EndArea, RunOutUpM: 7, RunOutDownM: 5, Accuracy: a,
			Sections: []CrossSection{read(2, vee), cut(13, 1, 1, 1.4), known(20, 5), read(33, wide)}},
		"end-area-of-two": {Method: EndArea, Accuracy: a, Sections: []CrossSection{read(0, vee), read(9, wide)}},
		"pyramid-inside":  {Method: EndArea, Accuracy: a, Sections: []CrossSection{read(0, wide), ofArea(9, 0), read(20, vee)}},
		"by-middles": {Method: Prismoidal, Accuracy: Accuracy{AcrossM: 0.08, HeightM: 0.05, ChainageM: 0.15},
			Sections: []CrossSection{read(0, vee), middle(cut(10, 1, 1, 1.4)), read(20, wide), middle(known(30, 7)), cut(40, 2, 1, 1)}},
		"run-out-alone": {Method: EndArea, Accuracy: a, RunOutUpM: 7, Sections: []CrossSection{known(0, 5)}},
		"by-widths": {Method: Prismoidal, Accuracy: Accuracy{AcrossM: 0.2, HeightM: 0.01, ChainageM: 0.01},
			Sections: []CrossSection{cut(0, 2, 1, 0.5), cut(10, 2, 1, 2)}},
		"by-dimensions": {Method: Prismoidal, Accuracy: a, RunOutUpM: 6,
			Sections: []CrossSection{cut(0, 0.5, 0.5, 0.6), cut(10, 1, 1, 1.4), cut(25, 2, 0.3, 2), cut(40, 2, 1, 1)}},
	}
}

// drawn is the survey with every measurement off by its accuracy.
func (v VolumeSurvey) drawn(r *rand.Rand) VolumeSurvey {
	out := v
	out.Sections = make([]CrossSection, len(v.Sections))
	for i, s := range v.Sections {
		s.ChainageM = gaussian(r, s.ChainageM, v.Accuracy.ChainageM)
		switch {
		case s.Offsets != nil:
			readings := make([][2]float64, len(s.Offsets))
			for j, at := range s.Offsets {
				readings[j] = [2]float64{gaussian(r, at[0], v.Accuracy.AcrossM), gaussian(r, at[1], v.Accuracy.HeightM)}
			}
			s.Offsets = readings
		case s.Dimensions != nil:
			s.Dimensions = &Dimensions{BedWidthM: gaussian(r, s.Dimensions.BedWidthM, v.Accuracy.AcrossM),
				TopWidthM: gaussian(r, s.Dimensions.TopWidthM, v.Accuracy.AcrossM), DepthM: gaussian(r, s.Dimensions.DepthM, v.Accuracy.HeightM)}
		case *s.AreaM2 > 0:
			area := gaussian(r, *s.AreaM2, *s.AreaPlusMinusM2)
			s.AreaM2 = &area
		}
		out.Sections[i] = s
	}
	if v.RunOutDownM > 0 {
		out.RunOutDownM = gaussian(r, v.RunOutDownM, v.Accuracy.ChainageM)
	}
	if v.RunOutUpM > 0 {
		out.RunOutUpM = gaussian(r, v.RunOutUpM, v.Accuracy.ChainageM)
	}
	return out
}

func TestVolumeSpread(t *testing.T) {
	for name, v := range surveys() {
		t.Run(name, func(t *testing.T) {
			for i := range v.Sections { // drawn chainages may not fall below nought
				v.Sections[i].ChainageM += 10
			}
			v.MethodErrorPct = -1
			sure, err := v.Volume()
			if err != nil {
				t.Fatal(err)
			}
			readings := sure.PlusMinusM3
			v.MethodErrorPct = 4 // alike for all sections: a factor
			sure, _ = v.Volume()
			density := BulkDensity{TM3: 1.4, PlusMinusTM3: 0.12}
			_, tonnes := density.Mass(sure.VolumeM3, sure.PlusMinusM3)
			spread(t, func(r *rand.Rand) []float64 {
				out, err := v.drawn(r).Volume()
				if err != nil {
					t.Fatal(err)
				}
				return []float64{out.VolumeM3, gaussian(r, 1, 0.04) * out.VolumeM3 * gaussian(r, density.TM3, density.PlusMinusTM3)}
			}, stated{"volume", readings}, stated{"tonnes", tonnes})
		})
	}
}

func TestRetreatSpread(t *testing.T) {
	start := day("2020-06-01")
	days := []Day{start, start + 340, start + 800, start + 1100}
	along := []float64{0, 0.8, 1.1, 2.4}
	sigmas := []float64{0.05, 0.2, 0.05, 0.1}
	taped := func(r *rand.Rand) HeadRecord {
		var h HeadRecord
		for i, d := range days {
			offset := 20 - along[i]
			if r != nil {
				offset = gaussian(r, offset, sigmas[i])
			}
			h.Visits = append(h.Visits, Visit{Day: d, OffsetM: &offset, PlusMinusM: sigmas[i]})
		}
		return h
	}
	at, bearing := orb.Point{146.26, -20.08}, 63.0
	frame := geodesy.Frame{Origin: at}
	line := []orb.Point{geodesy.Destination(at, bearing, -200), geodesy.Destination(at, bearing, 200)}
	fixed := func(h HeadRecord) func(*rand.Rand) HeadRecord {
		return func(r *rand.Rand) HeadRecord {
			h.Visits = nil
			sin, cos := math.Sincos(bearing * math.Pi / 180)
			for i, d := range days {
				e, n := 10*along[i]*sin, 10*along[i]*cos
				if r != nil {
					e, n = gaussian(r, e, 20*sigmas[i]), gaussian(r, n, 20*sigmas[i])
				}
				p := frame.Position(e, n)
				h.Visits = append(h.Visits, Visit{Day: d, Position: &p, PlusMinusM: 20 * sigmas[i]})
			}
			return h
		}
	}
	for name, record := range map[string]func(*rand.Rand) HeadRecord{
		"taped": taped, "fixes-by-bearing": fixed(HeadRecord{BearingDeg: &bearing}), "fixes-by-thalweg": fixed(HeadRecord{Thalweg: line}),
	} {
		t.Run(name, func(t *testing.T) {
			work := func(r *rand.Rand) Retreat {
				out, err := record(r).Retreat()
				if err != nil {
					t.Fatal(err)
				}
				return out
			}
			sure := work(nil)
			spread(t, func(r *rand.Rand) []float64 {
				out := work(r)
				return []float64{out.Overall.RetreatM, out.Steps[1].RateMPerYear, out.Trend.RateMPerYear}
			}, stated{"retreat", sure.Overall.PlusMinusM}, stated{"rate of the second step", sure.Steps[1].RatePlusMinusMPerYear}, stated{"trend", sure.Trend.PlusMinusMPerYear})
		})
	}
}

// TestNoiseIsSeldomTakenForRetreat: a head that stands still is said to move in 5 of 100
// records, whichever way it is measured, and its trend too.
func TestNoiseIsSeldomTakenForRetreat(t *testing.T) {
	start, bearing := day("2020-06-01"), 200.0
	at := orb.Point{146.26, -20.08}
	frame := geodesy.Frame{Origin: at}
	still := func(h HeadRecord, r *rand.Rand, visits int, sigma float64) HeadRecord {
		for i := range visits {
			p := frame.Position(gaussian(r, 0, 3), gaussian(r, 0, 3))
			h.Visits = append(h.Visits, Visit{Day: start + Day(200*i), Position: &p, PlusMinusM: sigma})
		}
		return h
	}
	work := func(h HeadRecord) Retreat {
		out, err := h.Retreat()
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	share(t, "a still head moves by bearing", 0.05, func(r *rand.Rand) bool {
		return work(still(HeadRecord{BearingDeg: &bearing}, r, 2, 3)).Overall.MoreThanNoise == Yes
	})
	share(t, "a still head moves without a bearing", 0.05, func(r *rand.Rand) bool {
		return work(still(HeadRecord{}, r, 2, 3)).Overall.MoreThanNoise == Yes
	})
	share(t, "a still head has a trend", 0.05, func(r *rand.Rand) bool {
		return work(still(HeadRecord{BearingDeg: &bearing}, r, 5, 3)).Trend.MoreThanNoise == Yes
	})
	share(t, "a still head has a trend by its scatter", 0.05, func(r *rand.Rand) bool {
		return work(still(HeadRecord{BearingDeg: &bearing}, r, 5, -1)).Trend.MoreThanNoise == Yes
	})
}

func TestGrowthSpread(t *testing.T) {
	frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
	walked := func(r *rand.Rand, d Day, corners [][2]float64, sigma float64) Outline {
		o := Outline{Day: d, AccuracyM: sigma}
		for _, c := range corners {
			if r != nil {
				c[0], c[1] = gaussian(r, c[0], sigma), gaussian(r, c[1], sigma)
			}
			o.Ring = append(o.Ring, frame.Position(c[0], c[1]))
		}
		o.Ring = append(o.Ring, o.Ring[0])
		return o
	}
	growth := func(r *rand.Rand) Growth {
		overall, _, err := GrowthOf([]Outline{
			walked(r, day("2024-03-01"), [][2]float64{{0, 0}, {14, 0}, {15, 12}, {7, 18}, {0, 11}}, 0.7),
			walked(r, day("2022-03-01"), [][2]float64{{0, 0}, {12, 0}, {12, 10}, {6, 14}, {0, 10}}, 0.4),
		}, nil)
		if err != nil {
			t.Fatal(err)
		}
		return overall
	}
	sure := growth(nil)
	spread(t, func(r *rand.Rand) []float64 {
		g := growth(r)
		return []float64{g.GrowthM2, g.RateM2PerYear}
	}, stated{"growth", sure.PlusMinusM2}, stated{"rate of growth", sure.RatePlusMinusM2PerYear})
}

func TestCaughtSpread(t *testing.T) {
	a := TrapAccuracy{HeightM: 0.03, WidthM: 0.05, DistanceM: 0.05, SlopePct: 0.3}
	trap := func(r *rand.Rand, probed bool) (SiltTrap, TrapAccuracy) {
		at := func(v, sigma float64) float64 {
			if r != nil {
				return gaussian(r, v, sigma)
			}
			return v
		}
		s := SiltTrap{CrestHeightM: at(0.6, a.HeightM), BedWidthM: at(1, a.WidthM), WidthAtCrestM: at(3.4, a.WidthM), BedSlopePct: at(5, a.SlopePct), DepositSlopePct: 1}
		if !probed {
			h := at(0.45, a.HeightM)
			s.SiltHeightM = &h
			return s, a
		}
		s.Probes = []Probe{{0, at(0.5, a.HeightM)}, {at(3, a.DistanceM), at(0.35, a.HeightM)}, {at(7, a.DistanceM), at(0.25, a.HeightM)}}
		return s, a
	}
	caught := func(r *rand.Rand, probed bool) Caught {
		s, a := trap(r, probed)
		c, err := s.Caught(a)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	wedge, probed := caught(nil, false), caught(nil, true)
	_, both, _ := Total([]Caught{wedge, probed})
	spread(t, func(r *rand.Rand) []float64 {
		wedge, probed := caught(r, false), caught(r, true)
		sum, _, _ := Total([]Caught{wedge, probed})
		return []float64{wedge.CaughtM3, probed.CaughtM3, wedge.CapacityM3, sum}
	}, stated{"caught by the wedge", wedge.CaughtPlusMinusM3}, stated{"caught by probes", probed.CaughtPlusMinusM3},
		stated{"capacity", wedge.CapacityPlusMinusM3}, stated{"both together", both})
}

func TestCoverSpread(t *testing.T) {
	const truePct, points = 60.0, 200
	read := func(r *rand.Rand) Cover {
		hits := 0
		for range points {
			if r.Float64() < truePct/100 {
				hits++
			}
		}
		c, err := OfPoints(hits, points)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	sure, _ := OfPoints(truePct/100*points, points)
	spread(t, func(r *rand.Rand) []float64 { return []float64{read(r).CoverPct} }, stated{"cover by points", sure.PlusMinusPct})
	share(t, "the limits of points hold the truth", 0.95, func(r *rand.Rand) bool {
		c := read(r)
		return c.LowPct <= truePct && truePct <= c.HighPct
	})
	judge := func(r *rand.Rand, observer float64) (c Cover, err error) {
		bias := gaussian(r, 0, observer)
		plots := make([]float64, 8)
		for i := range plots {
			plots[i] = gaussian(r, truePct, 7) + bias
		}
		return OfPlots(plots, observer)
	}
	// Stated for plots that scatter by just their standard deviation of 7: 7/√8, and the eye's 4.
	even, err := OfPlots([]float64{60 - 7*math.Sqrt(7.0/8), 60 + 7*math.Sqrt(7.0/8), 60 - 7*math.Sqrt(7.0/8), 60 + 7*math.Sqrt(7.0/8),
		60 - 7*math.Sqrt(7.0/8), 60 + 7*math.Sqrt(7.0/8), 60 - 7*math.Sqrt(7.0/8), 60 + 7*math.Sqrt(7.0/8)}, 4)
	if err != nil {
		t.Fatal(err)
	}
	spread(t, func(r *rand.Rand) []float64 {
		c, err := judge(r, 4)
		if err != nil {
			t.Fatal(err)
		}
		return []float64{c.CoverPct}
	}, stated{"cover by plots", even.PlusMinusPct})
	share(t, "the limits of plots hold the truth", 0.95, func(r *rand.Rand) bool {
		c, err := judge(r, 0)
		if err != nil {
			t.Fatal(err)
		}
		return c.LowPct <= truePct && truePct <= c.HighPct
	})
}
