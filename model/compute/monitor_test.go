package compute

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// toJSON writes a value of a test's own.
func toJSON(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestGullyVolumeAnswers(t *testing.T) {
	vee := modeltest.Named(t, "gully", "VO08")
	mass := modeltest.Named(t, "gully", "VO09")
	section := `"offsets": ` + toJSON(t, modeltest.Input[[][2]float64](t, vee, "points"))
	var out gullyVolumeOut
	run(t, "gully-volume", `{"method": "end-area", "bulkDensityTM3": 1.5, "sections": [{"chainageM": 0, `+section+`}, {"chainageM": 20, `+section+`}]}`, &out)
	vee.Check(t, "area", out.AreasM2[0])
	mass.Check(t, "t", *out.ErodedTonnes.Value)
	if *out.ErodedTonnes.PlusMinus != -1 || !(out.VolumeM3.PlusMinus > 0) || out.Basis != "taped" {
		t.Errorf("gully-volume = %+v, want a volume with a plus-minus and a mass without", out)
	}

	railway := modeltest.Named(t, "gully", "VO06")
	var sections []string
	for i, depth := range modeltest.Input[[]float64](t, railway, "cuts") {
		base, run := railway.Number(t, "base"), railway.Number(t, "h_per_v")
		sections = append(sections, toJSON(t, map[string]any{"chainageM": railway.Number(t, "spacing") * float64(i),
			"dimensions": map[string]float64{"bedWidthM": base, "topWidthM": base + 2*run*depth, "depthM": depth}}))
	}
	all := "[" + strings.Join(sections, ",") + "]"
	run(t, "gully-volume", `{"method": "prismoidal", "sections": `+all+`}`, &out)
	railway.Check(t, "prismoidal", out.VolumeM3.Value)
	run(t, "gully-volume", `{"method": "end-area", "zeroEnds": "average", "surveyMethod": "pole", "sections": `+all+`}`, &out)
	railway.Check(t, "average_end", out.VolumeM3.Value)
	if want := math.Sqrt(out.ReadingPlusMinusM3*out.ReadingPlusMinusM3 + 0.13*0.13*out.VolumeM3.Value*out.VolumeM3.Value); math.Abs(out.VolumeM3.PlusMinus-want) > 1e-6 {
		t.Errorf("by pole ± %v, want ± %v: the readings' %v and 13 %%", out.VolumeM3.PlusMinus, want, out.ReadingPlusMinusM3)
	}
	run(t, "gully-volume", `{"method": "end-area", "basis": "GPS", "sections": `+all+`}`, &out)
	if out.VolumeM3.PlusMinus != -1 || out.Basis != "GPS" {
		t.Errorf("by GPS: ± %v from %s, want not known", out.VolumeM3.PlusMinus, out.Basis)
	}
}

func TestRetreatAnswers(t *testing.T) {
	c := modeltest.Named(t, "gully", "RT09")
	var out retreatOut
	run(t, "retreat", `{"wetSeason": {"firstMonth": 11, "lastMonth": 4}, "visits": [{"date": "2022-03-01", "offsetM": `+toJSON(t, c.Number(t, "d1"))+`}, {"date": "2022-10-30", "offsetM": `+toJSON(t, c.Number(t, "d2"))+`}]}`, &out)
	c.Check(t, "rate", out.RateMPerYear)
	// March and April, 61 days less none, of a wet that ran from November 2021: 61/181.
	if out.MoreThanNoise != "yes" || out.Seasons == nil || math.Abs(*out.Seasons-61.0/181) > 1e-12 || out.Basis != "taped" || out.Trend != nil {
		t.Errorf("retreat = %+v", out)
	}
	limit := modeltest.Named(t, "gully", "RT10")
	run(t, "retreat", `{"bearingDeg": 0, "visits": [{"date": "2023-03-01", "position": [146.26, -20.08], "accuracyM": 3}, {"date": "2024-03-01", "position": [146.26, -20.07995], "accuracyM": 3}]}`, &out)
	limit.Check(t, "limit", *out.LeastProvableM)
	if out.MoreThanNoise != "no" || out.Basis != "GPS" { // 5.5 m
		t.Errorf("retreat by fixes = %+v, want no more than noise", out)
	}
}

func TestHeadGrowthAnswers(t *testing.T) {
	c := modeltest.Named(t, "survey", "PA1") // a plot of 50 m2 by Planimeter
	var ring [][2]float64
	for _, p := range modeltest.Input[[][2]float64](t, c, "ring") {
		ring = append(ring, [2]float64{p[1], p[0]})
	}
	ring = append(ring, ring[0])
	var out headGrowthOut
	run(t, "head-growth", `{"outlines": [{"date": "2024-03-01", "accuracyM": 0.2, "ring": `+toJSON(t, ring)+`}, {"date": "2023-03-01", "accuracyM": 0.2, "ring": `+toJSON(t, [][2]float64{ring[0], ring[1], ring[2], ring[0]})+`}]}`, &out)
	c.Check(t, "area_m2", out.ToM2)
	if out.MoreThanNoise != "yes" || math.Abs(out.GrowthM2-(out.ToM2-out.FromM2)) > 1e-9 || len(out.Steps) != 1 {
		t.Errorf("head-growth = %+v", out)
	}
}

func TestSedimentAnswers(t *testing.T) {
	c := modeltest.Named(t, "gully", "RK14")
	dam := `{"crestHeightM": 0.6, "bedWidthM": 1, "widthAtCrestM": 3.4, "bedSlopePct": 5, "bedSlopePlusMinusPct": 0.2, "siltHeightM": 0.6}`
	var out sedimentOut
	run(t, "sediment", `{"bulkDensityTM3": 1.2, "bulkDensityPlusMinusTM3": 0.1, "dams": [`+dam+`, `+dam+`]}`, &out)
	c.Check(t, "volume", out.Dams[0].CaughtM3)
	c.Check(t, "volume", out.CaughtM3.Value/2)
	if out.FilledDams != 2 || out.Dams[1].Name != "dam 2" || out.Dams[0].State != "filled" || math.Abs(*out.CaughtTonnes.Value-1.2*out.CaughtM3.Value) > 1e-9 || !(*out.CaughtTonnes.PlusMinus > 1.2*out.CaughtM3.PlusMinus) {
		t.Errorf("sediment = %+v", out)
	}
}

func TestCoverAnswers(t *testing.T) {
	c := modeltest.Named(t, "monitor", "WI03")
	var out groundCoverOut
	run(t, "cover", `{"points": {"hits": `+toJSON(t, c.Number(t, "hits"))+`, "total": `+toJSON(t, c.Number(t, "total"))+`}, "target": "runoff-50"}`, &out)
	c.Check(t, "low", out.LowPct/100)
	c.Check(t, "high", out.HighPct/100)
	if out.MeetsTarget != "no" || out.Limits != "Wilson" || len(out.Targets) != 3 {
		t.Errorf("cover = %+v", out)
	}
	out = groundCoverOut{}
	run(t, "cover", `{"plots": [{"coverPct": 40}, {"coverPct": 55}], "targetPct": 30}`, &out)
	if out.MeetsTarget != "cannot tell" || out.Limits != "t" || len(out.Targets) != 4 || out.Targets[3].Target != "local" {
		t.Errorf("cover of two plots = %+v", out)
	}
}

func TestMonitorRefusalsNameTheFault(t *testing.T) {
	visits := `"visits": [{"date": "2023-03-01", "offsetM": 4}, {"date": "2024-03-01", "offsetM": 3}]`
	areas := `"sections": [{"chainageM": 0, "areaM2": 6}, {"chainageM": 10, "areaM2": 3}]`
	dam := `"crestHeightM": 0.6, "bedWidthM": 1, "widthAtCrestM": 3.4, "bedSlopePct": 5`
	for _, c := range []struct{ name, compute, in, path string }{
		{"no-method", "gully-volume", `{` + areas + `}`, "method"},
		{"no-middle", "gully-volume", `{"method": "prismoidal", ` + areas + `}`, "sections[1]"},
		{"two-errors-of-method", "gully-volume", `{"method": "end-area", "surveyMethod": "pole", "methodErrorPct": 4, ` + areas + `}`, "methodErrorPct"},
		{"accuracy-below-nought", "gully-volume", `{"method": "end-area", "heightPlusMinusM": -1, ` + areas + `}`, "heightPlusMinusM"},
		{"density-in-kilograms", "gully-volume", `{"method": "end-area", "bulkDensityTM3": 1500, ` + areas + `}`, "bulkDensityTM3"},
		{"density-plus-minus-alone", "gully-volume", `{"method": "end-area", "bulkDensityPlusMinusTM3": 0.1, ` + areas + `}`, "bulkDensityTM3"},
		{"no-date", "retreat", `{"visits": [{"offsetM": 4}]}`, "visits[0].date"},
		{"bad-date", "retreat", `{"visits": [{"date": "1/3/2023", "offsetM": 4}]}`, "visits[0].date"},
		{"accuracy-of-nought", "retreat", `{"visits": [{"date": "2023-03-01", "offsetM": 4, "accuracyM": 0}]}`, "visits[0].accuracyM"},
		{"no-such-month", "retreat", `{"wetSeason": {"firstMonth": 0, "lastMonth": 4}, ` + visits + `}`, "wetSeason.firstMonth"},
		{"stake-of-fixes", "retreat", `{"stake": "upstream", "visits": [{"date": "2023-03-01", "position": [146, -20]}]}`, "stake"},
		{"thalweg-off-the-earth", "retreat", `{"thalweg": [[146, -91]], ` + visits + `}`, "thalweg[0]"},
		{"one-outline", "head-growth", `{"outlines": []}`, "outlines"},
		{"outline-off-the-earth", "head-growth", `{"outlines": [{"date": "2023-03-01", "ring": [[200, 1]]}]}`, "outlines[0].ring[0]"},
		{"no-dams", "sediment", `{"dams": []}`, "dams"},
		{"no-silt", "sediment", `{"dams": [{` + dam + `}]}`, "dams[0]"},
		{"silt-in-millimetres", "sediment", `{"dams": [{` + dam + `, "siltHeightM": 400}]}`, "dams[0].siltHeightM"},
		{"accuracy-of-all-dams", "sediment", `{"heightPlusMinusM": 1e9, "dams": [{` + dam + `, "siltHeightM": 0.4}]}`, "heightPlusMinusM"},
		{"slope-accuracy", "sediment", `{"dams": [{` + dam + `, "bedSlopePlusMinusPct": -1, "siltHeightM": 0.4}]}`, "dams[0].bedSlopePlusMinusPct"},
		{"nothing-to-cover", "cover", `{}`, "plots"},
		{"two-targets", "cover", `{"points": {"hits": 1, "total": 2}, "target": "runoff-50", "targetPct": 60}`, "targetPct"},
		{"target-as-a-fraction", "cover", `{"points": {"hits": 1, "total": 2}, "targetPct": 0.6}`, "targetPct"},
		{"observer-of-points", "cover", `{"points": {"hits": 1, "total": 2}, "observerPlusMinusPct": 5}`, "observerPlusMinusPct"},
		{"dry-without-end", "cover", `{"points": {"hits": 1, "total": 2}, "drySeason": {"firstMonth": 5, "lastMonth": 13}}`, "drySeason.lastMonth"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run(c.compute, []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Run(%s, %s) = %s, %v; want a problem at %q", c.compute, c.in, out, err, c.path)
			}
		})
	}
}
