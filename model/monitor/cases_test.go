package monitor

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
	"headcut/model/modeltest"
)

var nobodySaid = Accuracy{AcrossM: -1, HeightM: -1, ChainageM: -1}

func ofArea(chainageM, areaM2 float64) CrossSection {
	return CrossSection{ChainageM: chainageM, AreaM2: &areaM2}
}

// cut is a trapezoid of the railway examples.
func cut(chainageM, base, run, depth float64) CrossSection {
	return CrossSection{ChainageM: chainageM, Dimensions: &Dimensions{BedWidthM: base, TopWidthM: base + 2*run*depth, DepthM: depth}}
}

func volumeOf(t *testing.T, v VolumeSurvey) float64 {
	t.Helper()
	v.Accuracy, v.MethodErrorPct = nobodySaid, -1
	out, err := v.Volume()
	if err != nil {
		t.Fatalf("Volume(%+v) = %v", v, err)
	}
	return out.VolumeM3
}

// The units of the railway examples are feet; a volume does not mind.
func TestVolumeCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "earthwork_mixed") {
		areas := modeltest.Input[[]float64](t, c, "areas")
		var sections []CrossSection
		for i, x := range modeltest.Input[[]float64](t, c, "stations") {
			sections = append(sections, ofArea(x, areas[i]))
		}
		c.Check(t, "volume", volumeOf(t, VolumeSurvey{Sections: sections, Method: EndArea}))
	}
	for _, c := range modeltest.Cases(t, "gully", "sum_mean_area") {
		// Mean areas 69, 244, 493, 318 are those of the end areas 0, 138, 350, 636, 0.
		area, sections := 0.0, []CrossSection{ofArea(0, 0)}
		for i, m := range modeltest.Input[[]float64](t, c, "mean_areas") {
			area = 2*m - area
			sections = append(sections, ofArea(c.Number(t, "spacing")*float64(i+1), area))
		}
		c.Check(t, "volume", volumeOf(t, VolumeSurvey{Sections: sections, Method: EndArea, AverageZeroEnds: true}))
	}
	for _, c := range modeltest.Cases(t, "gully", "prismoidal_cuts") {
		var sections []CrossSection
		for i, depth := range modeltest.Input[[]float64](t, c, "cuts") {
			sections = append(sections, cut(c.Number(t, "spacing")*float64(i), c.Number(t, "base"), c.Number(t, "h_per_v"), depth))
		}
		c.Check(t, "average_end", volumeOf(t, VolumeSurvey{Sections: sections, Method: EndArea, AverageZeroEnds: true}))
		c.Check(t, "prismoidal", volumeOf(t, VolumeSurvey{Sections: sections, Method: Prismoidal}))
	}
	for _, c := range modeltest.Cases(t, "gully", "taper") {
		ends := []CrossSection{ofArea(0, c.Number(t, "area_end")), ofArea(c.Number(t, "length"), 0)}
		c.Check(t, "average_end", volumeOf(t, VolumeSurvey{Sections: ends, Method: EndArea, AverageZeroEnds: true}))
		c.Check(t, "pyramid", volumeOf(t, VolumeSurvey{Sections: ends, Method: EndArea}))
		c.Check(t, "pyramid", volumeOf(t, VolumeSurvey{Sections: ends, Method: Prismoidal}))
		c.Check(t, "pyramid", volumeOf(t, VolumeSurvey{Sections: ends[:1], Method: EndArea, RunOutUpM: c.Number(t, "length")}))
	}
}

func TestSectionCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "section_area") {
		readings := modeltest.Input[[][2]float64](t, c, "points")
		for name, r := range map[string][][2]float64{"as-given": readings, "mirrored": mirrored(readings), "on-a-datum": raised(readings, 312.4)} {
			a, p := ofOffsets(r, nobodySaid)
			if p != nil {
				t.Fatalf("%s %s: %v", c.ID, name, p)
			}
			c.Check(t, "area", a.areaM2)
		}
	}
	for _, c := range modeltest.Cases(t, "gully", "cut_section_area") {
		a, p := cut(0, c.Number(t, "base"), c.Number(t, "h_per_v"), c.Number(t, "cut")).measure(nobodySaid)
		if p != nil {
			t.Fatal(p)
		}
		c.Check(t, "area", a.areaM2)
	}
}

func mirrored(readings [][2]float64) (out [][2]float64) {
	for _, r := range readings {
		out = append(out, [2]float64{-r[0], r[1]})
	}
	return out
}

func raised(readings [][2]float64, by float64) (out [][2]float64) {
	for _, r := range readings {
		out = append(out, [2]float64{r[0], r[1] + by})
	}
	return out
}

func TestMassCases(t *testing.T) {
	c := modeltest.Named(t, "gully", "VO09")
	tonnes, plusMinus := BulkDensity{TM3: c.Number(t, "bulk_t_per_m3"), PlusMinusTM3: -1}.Mass(c.Number(t, "volume"), 1)
	c.Check(t, "t", tonnes)
	if plusMinus != -1 {
		t.Errorf("mass of a density of unknown plus-minus is ± %v, want -1", plusMinus)
	}
	c = modeltest.Named(t, "gully", "VO11")
	for _, m := range SurveyMethods {
		if m.Name == "pole" || m.Name == "profile-meter" {
			c.Check(t, "error", -m.ErrorPct/100)
		}
	}
}

func TestRetreatCases(t *testing.T) {
	c := modeltest.Named(t, "gully", "RT09")
	first, second := c.Number(t, "d1"), c.Number(t, "d2")
	start := day("2022-03-01") // the year from here has the 365 days that the case counts
	r, err := HeadRecord{Visits: []Visit{{Day: start, OffsetM: &first}, {Day: start + Day(c.Number(t, "days")), OffsetM: &second}}}.Retreat()
	if err != nil {
		t.Fatal(err)
	}
	c.Check(t, "rate", r.Overall.RateMPerYear)

	c = modeltest.Named(t, "gully", "RT02") // 26 months
	nought, distance := 0.0, c.Number(t, "distance")
	r, err = HeadRecord{StakeDownstream: true, Visits: []Visit{{Day: day("2015-06-15"), OffsetM: &nought}, {Day: day("2017-08-15"), OffsetM: &distance}}}.Retreat()
	if err != nil {
		t.Fatal(err)
	}
	c.Check(t, "rate", r.Overall.RateMPerYear)

	c = modeltest.Named(t, "gully", "RT10")
	sigma, north := c.Number(t, "sigma"), 0.0
	at := orb.Point{146.26, -20.08}
	for _, moved := range []struct {
		m    float64
		want Answer
	}{{8.3, No}, {8.33, Yes}, {-8.33, Yes}} {
		up := geodesy.Destination(at, north, moved.m)
		r, err = HeadRecord{BearingDeg: &north, Visits: []Visit{{Day: start, Position: &at, PlusMinusM: sigma}, {Day: start + 365, Position: &up, PlusMinusM: sigma}}}.Retreat()
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "limit", *r.Overall.LeastProvableM)
		if r.Overall.MoreThanNoise != moved.want || math.Abs(r.Overall.RetreatM-moved.m) > 1e-6 {
			t.Errorf("%v m between fixes of 3 m: retreat %v, more than noise: %s, want %s", moved.m, r.Overall.RetreatM, r.Overall.MoreThanNoise, moved.want)
		}
	}
}

func TestWedgeCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "pond_volume_exact") {
		h, bed := c.Number(t, "height"), c.Number(t, "bottom")
		out, err := SiltTrap{CrestHeightM: h, BedWidthM: bed, WidthAtCrestM: bed + 2*c.Number(t, "side_h_per_v")*h,
			BedSlopePct: 100 * c.Number(t, "bed_gradient"), SiltHeightM: &h}.Caught(TrapAccuracy{-1, -1, -1, -1})
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "volume", out.CapacityM3)
		c.Check(t, "volume", out.CaughtM3)
		if printed := modeltest.Named(t, "gully", "RK13"); printed.Tolerance.Allows("volume", out.CapacityM3, modeltest.Want[float64](t, printed, "volume")) {
			t.Errorf("capacity %v m3 is that of the printed formula, which reads high", out.CapacityM3)
		}
	}
}

func TestWilsonCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "monitor", "wilson_95") {
		out, err := OfPoints(int(c.Number(t, "hits")), int(c.Number(t, "total")))
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "low", out.LowPct/100)
		c.Check(t, "high", out.HighPct/100)
	}
}

func TestCoverChangeCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "monitor", "proportion_difference_95") {
		cover := func(when string) Cover {
			out, err := OfPoints(int(c.Number(t, when+"_hits")), int(c.Number(t, when+"_total")))
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		change := CoverChangeOf(cover("before"), cover("after"))
		c.Check(t, "low", change.LowPct/100)
		c.Check(t, "high", change.HighPct/100)
		want := No
		if change.LowPct > 0 {
			want = Yes
		}
		if change.MoreThanNoise != want {
			t.Errorf("%s: more than noise: %s, want %s", c.ID, change.MoreThanNoise, want)
		}
	}
	if c := CoverChangeOf(UnknownCover(10), UnknownCover(90)); c.MoreThanNoise != CannotTell || c.PlusMinusPct >= 0 || c.ChangePct != 80 {
		t.Errorf("of covers without a count: %+v", c)
	}
}

func TestLineCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "monitor", "line_fit") {
		l := leastSquares(modeltest.Input[[]float64](t, c, "x"), modeltest.Input[[]float64](t, c, "y"))
		c.Check(t, "slope", l.slope)
		c.Check(t, "slope_error", l.slopeError)
	}
}

func day(text string) Day {
	d, err := ParseDay(text)
	if err != nil {
		panic(err)
	}
	return d
}
