package monitor

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// TestVolumeSensitivities holds the ± of volumes to what moving each measured value alone does to
// them (JCGM 100:2008, 5.1.2): two widths and a depth of each section, areas, chainages, run-outs.
func TestVolumeSensitivities(t *testing.T) {
	a := Accuracy{AcrossM: 0.03, HeightM: 0.02, ChainageM: 0.05}
	dims := func(x, bed, top, depth float64) CrossSection {
		return CrossSection{ChainageM: x, Dimensions: &Dimensions{BedWidthM: bed, TopWidthM: top, DepthM: depth}}
	}
	area := func(x, m2 float64) CrossSection {
		return CrossSection{ChainageM: x, AreaM2: &m2, AreaPlusMinusM2: new(0.2)}
	}
	middle := area(16, 5)
	middle.Middle = true
	for name, v := range map[string]VolumeSurvey{
		"end areas of dimensions":  {Method: EndArea, Sections: []CrossSection{dims(5, 1, 2, 0.8), dims(17, 1.5, 3, 1.1), dims(30, 0.5, 2.5, 1.4)}},
		"dimensions":               {Method: Prismoidal, Sections: []CrossSection{dims(5, 1, 2, 0.8), dims(17, 1.5, 3, 1.1), dims(30, 0.5, 2.5, 1.4)}},
		"areas with run-outs":      {Method: EndArea, Sections: []CrossSection{area(10, 3), area(22, 5), area(40, 4)}, RunOutDownM: 6, RunOutUpM: 9},
		"areas and a measured mid": {Method: Prismoidal, Sections: []CrossSection{area(10, 3), middle, area(22, 6)}, RunOutUpM: 4},
		"mixed":                    {Method: EndArea, Sections: []CrossSection{dims(5, 1, 2, 0.8), area(17, 3), dims(30, 0.5, 2.5, 1.4)}, RunOutDownM: 2},
	} {
		v.Accuracy, v.MethodErrorPct = a, -1
		variance := 0.0
		at := func(v VolumeSurvey) float64 {
			out, err := v.Volume()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			return out.VolumeM3
		}
		move := func(plusMinus float64, edit func(v *VolumeSurvey, by float64)) {
			var ends [2]float64
			for k, by := range []float64{-1e-4, 1e-4} {
				moved := v
				moved.Sections = slices.Clone(v.Sections)
				for i, s := range moved.Sections {
					if s.Dimensions != nil {
						d := *s.Dimensions
						moved.Sections[i].Dimensions = &d
					} else {
						m2 := *s.AreaM2
						moved.Sections[i].AreaM2 = &m2
					}
				}
				edit(&moved, by)
				ends[k] = at(moved)
			}
			variance += sq(plusMinus * (ends[1] - ends[0]) / 2e-4)
		}
		for i, s := range v.Sections {
			move(a.ChainageM, func(v *VolumeSurvey, by float64) { v.Sections[i].ChainageM += by })
			if s.Dimensions != nil {
				move(a.AcrossM, func(v *VolumeSurvey, by float64) { v.Sections[i].Dimensions.BedWidthM += by })
				move(a.AcrossM, func(v *VolumeSurvey, by float64) { v.Sections[i].Dimensions.TopWidthM += by })
				move(a.HeightM, func(v *VolumeSurvey, by float64) { v.Sections[i].Dimensions.DepthM += by })
			} else {
				move(0.2, func(v *VolumeSurvey, by float64) { *v.Sections[i].AreaM2 += by })
			}
		}
		if v.RunOutDownM > 0 {
			move(a.ChainageM, func(v *VolumeSurvey, by float64) { v.RunOutDownM += by })
		}
		if v.RunOutUpM > 0 {
			move(a.ChainageM, func(v *VolumeSurvey, by float64) { v.RunOutUpM += by })
		}
		out, err := v.Volume()
		if want := math.Sqrt(variance); err != nil || math.Abs(out.ReadingPlusMinusM3/want-1) > 1e-6 || out.PlusMinusM3 != out.ReadingPlusMinusM3 {
			t.Errorf("%s: ± %v and %v, %v; by its sensitivities %v", name, out.ReadingPlusMinusM3, out.PlusMinusM3, err, want)
		}
	}
}

// The parts of a volume with run-outs, worked by hand: 6·3/3, 12·(3+5)/2, 18·(5+0)/3 and nothing beyond.
func TestPartsOfAVolume(t *testing.T) {
	v := VolumeSurvey{Method: EndArea, MethodErrorPct: 0, RunOutDownM: 6, Accuracy: Accuracy{ChainageM: -1},
		Sections: []CrossSection{{ChainageM: 10, AreaM2: new(3.0)}, {ChainageM: 22, AreaM2: new(5.0)}, {ChainageM: 40, AreaM2: new(0.0)}}}
	out, err := v.Volume()
	want := []Interval{{4, 10, 6, Pyramid}, {10, 22, 48, EndArea}, {22, 40, 30, Pyramid}}
	if err != nil || !slices.Equal(out.Intervals, want) || out.VolumeM3 != 84 || !slices.Equal(out.AreasM2, []float64{3, 5, 0}) ||
		out.PlusMinusM3 != -1 || math.Abs(out.ReadsHighM3-2*sq(math.Sqrt(5)-math.Sqrt(3))) > 1e-12 {
		t.Errorf("%+v, %v; want the parts %v", out, err, want)
	}
	// Nothing at both ends is nothing between, by either rule.
	for _, method := range []VolumeRule{EndArea, Prismoidal} {
		none, err := VolumeSurvey{Method: method, MethodErrorPct: -1, Sections: []CrossSection{{AreaM2: new(0.0)}, {ChainageM: 9, AreaM2: new(0.0)}}}.Volume()
		if err != nil || none.VolumeM3 != 0 || len(none.Intervals) != 1 || none.Intervals[0].Rule != EndArea {
			t.Errorf("nothing by %s: %+v, %v", method, none, err)
		}
	}
	// The error of the way of surveying adds to the readings' even where it is 0.
	v.Accuracy.ChainageM, v.Sections[0].AreaPlusMinusM2, v.Sections[1].AreaPlusMinusM2 = 0, new(0.0), new(0.0)
	v.Sections[2].AreaPlusMinusM2 = new(0.0)
	if out, err := v.Volume(); err != nil || out.PlusMinusM3 != 0 || out.ReadingPlusMinusM3 != 0 {
		t.Errorf("all taken as exact: ± %v and %v, %v", out.PlusMinusM3, out.ReadingPlusMinusM3, err)
	}
	v.MethodErrorPct = 10
	if out, err := v.Volume(); err != nil || math.Abs(out.PlusMinusM3-8.4) > 1e-12 {
		t.Errorf("10 %% of 84 m3: ± %v, %v", out.PlusMinusM3, err)
	}
}

// Silt of 0.3 m at the dam, 0.2 m 4 m upstream, in a bed 2 m wide between banks of 1 to 1, 5 % steeper
// than the silt. The solid to the last probe is 4·(2·0.25 + (0.09+0.06+0.04)/3), the rest a wedge.
func TestProbedSilt(t *testing.T) {
	s := SiltTrap{CrestHeightM: 0.5, BedWidthM: 2, WidthAtCrestM: 3, BedSlopePct: 6, DepositSlopePct: 1, Probes: []Probe{{0, 0.3}, {4, 0.2}}}
	c, err := s.Caught(TrapAccuracy{0.02, 0.05, 0.05, 0.2})
	wedgeOf := func(h float64) float64 { return 2*h*h/(2*0.05) + h*h*h/(3*0.05) }
	caught := 4*(2*0.25+(0.09+0.06+0.04)/3) + wedgeOf(0.2)
	for name, v := range map[string][2]float64{
		"caught": {c.CaughtM3, caught}, "capacity": {c.CapacityM3, wedgeOf(0.5)}, "wedge": {c.WedgeM3, wedgeOf(0.3)}, "silt": {c.SiltHeightM, 0.3},
		"reach": {c.ReachM, 4 + 0.2/0.05}, "filled": {c.FilledPct, 100 * caught / wedgeOf(0.5)},
	} {
		if math.Abs(v[0]-v[1]) > 1e-9 {
			t.Errorf("%s: %v, want %v (%v)", name, v[0], v[1], err)
		}
	}
	if c.State != Partly || c.CaughtPlusMinusM3 <= 0 {
		t.Errorf("%s, ± %v", c.State, c.CaughtPlusMinusM3)
	}
	// The first probe stands at the dam and has no error along; a depth of none is seen.
	s.Probes = []Probe{{0, 0}}
	if c, err := s.Caught(TrapAccuracy{0.02, 0.05, 0.05, 0.2}); err != nil || c.CaughtM3 != 0 || c.CaughtPlusMinusM3 != 0 || c.State != Empty {
		t.Errorf("no silt: %+v, %v", c, err)
	}
	s.Probes = []Probe{{0, 0.3}}
	for _, distanceM := range []float64{0.05, -1} { // how well a distance is taped is no matter where there is none
		if c, err := s.Caught(TrapAccuracy{0.02, 0.05, distanceM, 0.2}); err != nil || c.CaughtPlusMinusM3 <= 0 {
			t.Errorf("one probe at the dam, distances ± %v: ± %v, %v", distanceM, c.CaughtPlusMinusM3, err)
		}
	}
	// A bed that may be no steeper than the silt has a wedge that may have no end.
	for slopePct, known := range map[float64]bool{4.9: true, 5: false} {
		if c, err := s.Caught(TrapAccuracy{0.02, 0.05, 0.05, slopePct}); err != nil || (c.CaughtPlusMinusM3 >= 0) != known || (c.CapacityPlusMinusM3 >= 0) != known {
			t.Errorf("slope ± %v: %+v, %v; want its ± known: %t", slopePct, c, err, known)
		}
	}
}

func TestTotalOfDams(t *testing.T) {
	caught, plusMinus, capacity := Total([]Caught{{CaughtM3: 3, CaughtPlusMinusM3: 0.3, CapacityM3: 10}, {CaughtM3: 5, CaughtPlusMinusM3: 0.4, CapacityM3: 7}, {}})
	if caught != 8 || math.Abs(plusMinus-0.5) > 1e-12 || capacity != 17 {
		t.Errorf("%v ± %v of %v, want 8 ± 0.5 of 17", caught, plusMinus, capacity)
	}
	if _, plusMinus, _ := Total([]Caught{{CaughtPlusMinusM3: 0.3}, {CaughtPlusMinusM3: -1}}); plusMinus != -1 {
		t.Errorf("± %v, want it unknown", plusMinus)
	}
}

func TestMassTakenAsExact(t *testing.T) {
	for _, c := range [][4]float64{{0, 0, 15, 0}, {2, 0, 15, 3}, {0, 0.1, 15, 1}, {-1, 0, 15, -1}, {0, -1, 15, -1}} {
		if tonnes, plusMinus := (BulkDensity{1.5, c[1]}).Mass(10, c[0]); tonnes != c[2] || math.Abs(plusMinus-c[3]) > 1e-12 {
			t.Errorf("10 ± %v m3 of ± %v t/m3: %v ± %v, want %v ± %v", c[0], c[1], tonnes, plusMinus, c[2], c[3])
		}
	}
}

// A straight line through 0, 1, 5 m at 0, 1, 2 years rises by 2.5 m a year; its residuals are ½, −1, ½,
// so that the standard error is √(1.5/1/2) = 0.866 (least squares by hand).
func TestTrendByHand(t *testing.T) {
	visits := func(plusMinusM ...float64) (all []placed) {
		for i, pm := range plusMinusM {
			day, _ := ParseDay(fmt.Sprintf("%d-05-01", 2021+i))
			all = append(all, placed{Visit{Day: day, PlusMinusM: pm}, i})
		}
		return all
	}
	for _, c := range []struct {
		plusMinusM []float64
		want       float64
		says       Answer
	}{
		{[]float64{0.1, 0.3, 0.1}, 0.1 / math.Sqrt2, Yes}, {[]float64{0, 0, 0}, 0, Yes}, {[]float64{3, 0.3, 3}, 3 / math.Sqrt2, No},
		{[]float64{0.1, -1, 0.1}, -1, No}, // by the scatter: 12.7 times 0.866 on one degree of freedom
	} {
		trend := trendOf(visits(c.plusMinusM...), []float64{0, 1, 5})
		if math.Abs(trend.RateMPerYear-2.5) > 1e-9 || math.Abs(trend.ScatterMPerYear-math.Sqrt(0.75)) > 1e-9 || math.Abs(trend.PlusMinusMPerYear-c.want) > 1e-9 || trend.MoreThanNoise != c.says {
			t.Errorf("with ± %v: %+v, want 2.5 ± %v, %s", c.plusMinusM, trend, c.want, c.says)
		}
	}
	limit := 2.0
	for change, want := range map[float64]Answer{2: No, -2: No, 2.001: Yes, -2.001: Yes} {
		if got := moreThanNoise(change, &limit); got != want {
			t.Errorf("a change of %v is more than %v: %s, want %s", change, limit, got, want)
		}
	}
}

// All points on cover, or none, are exactly at the end; so many plots, and no more, are taken.
func TestCoverAtItsEnds(t *testing.T) {
	for total := 1; total < 60; total++ {
		none, err1 := OfPoints(0, total)
		all, err2 := OfPoints(total, total)
		if err1 != nil || err2 != nil || none.LowPct != 0 || all.HighPct != 100 || none.CoverPct != 0 || all.CoverPct != 100 {
			t.Errorf("none and all of %d points: %+v, %+v", total, none, all)
		}
	}
	for n, taken := range map[int]bool{0: false, 1: true, MaxPlots: true, MaxPlots + 1: false} {
		plots := make([]float64, n)
		for i := range plots {
			plots[i] = 50 + float64(i%2)
		}
		if _, err := OfPlots(plots, -1); (err == nil) != taken {
			t.Errorf("%d plots: %v", n, err)
		}
	}
	if c, err := OfPlots([]float64{0.5}, -1); err != nil || c.CoverPct != 0.5 { // one bare plot is no list of fractions
		t.Errorf("one plot of 0.5 %%: %+v, %v", c, err)
	}
	if _, err := OfPlots([]float64{0.5, 1}, -1); err == nil {
		t.Error("fractions are taken for per cent")
	}
	if c, err := OfPlots([]float64{0.5, 1.01}, -1); err != nil || math.Abs(c.CoverPct-0.755) > 1e-9 {
		t.Errorf("0.5 and 1.01 %%: %+v, %v", c, err)
	}
	for _, c := range []struct {
		low, high, target float64
		want              Answer
	}{{50, 60, 50, Yes}, {49.9, 60, 50, CannotTell}, {40, 50, 50, CannotTell}, {40, 49.9, 50, No}} {
		if got := (Cover{LowPct: c.low, HighPct: c.high}).Meets(c.target); got != c.want {
			t.Errorf("%v to %v %% meets %v: %s, want %s", c.low, c.high, c.target, got, c.want)
		}
	}
}

func TestYearsOfDates(t *testing.T) {
	for text, taken := range map[string]bool{"1899-12-31": false, "1900-01-01": true, "2199-12-31": true, "2200-01-01": false} {
		if _, err := ParseDay(text); (err == nil) != taken {
			t.Errorf("%s: %v", text, err)
		}
	}
	for n, shown := range map[int]int{19: 19, 20: 20, 21: 20, 300: 20} {
		_, err := ParseDay(strings.Repeat("x", n))
		if p, ok := err.(*model.Problem); !ok || p.Reason != `"`+strings.Repeat("x", shown)+`" is not a date` {
			t.Errorf("%d letters are refused as %v", n, err)
		}
	}
}

// A position that is not on the earth is refused where it stands; so is one on another head.
func TestPositionsOfVisits(t *testing.T) {
	at := func(lon, lat float64) *orb.Point { return &orb.Point{lon, lat} }
	day := func(n int) Day { return Day(19000 + 400*n) }
	for _, c := range []struct {
		second *orb.Point
		path   string
	}{{at(148, -25.0001), ""}, {at(148, -95), "visits[1].position"}, {at(200, -25), "visits[1].position"}, {at(148, -25.1), "visits[1].position"}} {
		_, err := HeadRecord{Visits: []Visit{{Day: day(0), Position: at(148, -25), PlusMinusM: 1}, {Day: day(1), Position: c.second, PlusMinusM: 1}}}.Retreat()
		p, _ := err.(*model.Problem)
		if c.path == "" && err != nil || c.path != "" && (p == nil || p.Path != c.path) {
			t.Errorf("%v: %v, want a problem at %q", *c.second, err, c.path)
		}
	}
}

func TestLastEndedAndTheEndOfSeasons(t *testing.T) {
	wet, dry, year := Season{11, 4}, Season{5, 10}, Season{1, 12}
	for _, c := range []struct {
		season       Season
		on           string
		ended, began string
	}{
		{wet, "2026-11-25", "2026-05-01", ""}, {wet, "2026-05-01", "2026-05-01", ""}, {wet, "2026-04-30", "2025-05-01", "2026-03-01"}, {wet, "2026-03-01", "2025-05-01", "2026-03-01"}, {wet, "2026-02-28", "2025-05-01", ""},
		{dry, "2026-10-31", "2025-11-01", "2026-09-01"}, {dry, "2026-11-01", "2026-11-01", ""},
		{year, "2026-12-31", "2026-01-01", "2026-11-01"}, {Season{1, 1}, "2026-01-15", "2025-02-01", "2026-01-01"}, {Season{12, 1}, "2026-01-15", "2025-02-01", "2025-12-01"},
	} {
		began, in := c.season.EndBegan(day(c.on))
		if ended := c.season.LastEnded(day(c.on)); ended.String() != c.ended || in != (c.began != "") || in && began.String() != c.began {
			t.Errorf("%+v on %s: last ended before %v, its end began %v %v; want %s, %q", c.season, c.on, ended, began, in, c.ended, c.began)
		}
	}
}

func TestChanged(t *testing.T) {
	for _, c := range []struct {
		change, plusMinus float64
		want              Answer
	}{{0.1, 0.05, Yes}, {-0.1, 0.05, Yes}, {0.09, 0.05, No}, {5, -1, CannotTell}, {0, 0, No}} {
		if got := Changed(c.change, c.plusMinus); got != c.want {
			t.Errorf("a change of %v ± %v is more than noise: %s, want %s", c.change, c.plusMinus, got, c.want)
		}
	}
}
