package compute

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/works"
)

const rk05 = `"crestHeightM": 0.9, "bedWidthM": 2, "leftRunPerRise": 1, "rightRunPerRise": 1, "crestBreadthM": 0.6, "upstreamRunPerRise": 1.25, "downstreamRunPerRise": 1.25`

func TestRockDamAnswers(t *testing.T) {
	var out rockDamOut
	run(t, "rock-dam", `{`+rk05+`, "bulkDensityTM3": 1.6, "apronRule": "none", "basis": "levelled"}`, &out)
	modeltest.Named(t, "gully", "RK05").Check(t, "volume", out.RockM3)
	modeltest.Named(t, "gully", "RK12").Check(t, "t", out.RockTonnes)
	if out.RockPlusMinusM3 != -1 || out.NetM2 != 0 || out.Posts != 0 || out.Bales != 0 || out.Basis != "levelled" || len(out.StoneSizes) != len(works.StoneSizes) {
		t.Errorf("rock-dam = %+v, want rock alone, of unknown plus-minus", out)
	}
	var net rockDamOut
	run(t, "rock-dam", `{"material": "netting and posts", "crestHeightM": 0.9, "bedWidthM": 2, "leftRunPerRise": 1, "rightRunPerRise": 1, "upstreamRunPerRise": 1.5, "fences": {"count": 1}, "accuracyM": 0.02}`, &net)
	modeltest.Named(t, "gully", "RK07").Check(t, "volume", net.RockM3)
	if net.RockPlusMinusM3 <= 0 || net.NetM2 == 0 || net.NetPlusMinusM2 <= 0 || net.Posts != 5 {
		t.Errorf("netting = %+v, want netting and 5 posts with a plus-minus", net)
	}
	for _, r := range out.HeightRules {
		if want := r.Rule == "Wisconsin DNR" || r.Rule == "FAO"; r.Within != want {
			t.Errorf("0.9 m within %s: %t, want %t", r.Rule, r.Within, want)
		}
	}
}

// TestChoicesAreTheTables: what may be named in an input is what the tables hold.
func TestChoicesAreTheTables(t *testing.T) {
	tables := map[string]map[string][]string{"rock-dam": {}, "quantities": {}}
	for _, k := range works.DamKinds {
		tables["rock-dam"]["material"] = append(tables["rock-dam"]["material"], string(k))
	}
	for _, s := range works.Stones {
		tables["rock-dam"]["stone"] = append(tables["rock-dam"]["stone"], s.Name)
	}
	for _, r := range works.HeightRules {
		tables["rock-dam"]["heightRule"] = append(tables["rock-dam"]["heightRule"], r.Name)
	}
	for _, r := range works.ApronRules {
		tables["rock-dam"]["apronRule"] = append(tables["rock-dam"]["apronRule"], r.Name)
	}
	tables["quantities"]["treatment"], tables["quantities"]["unit"], tables["quantities"]["rateUnit"] = works.Treatments, works.Units, works.ApplicationUnits
	for name, fields := range tables {
		c, _ := Named(name)
		var walk func(all []Parameter)
		walk = func(all []Parameter) {
			for _, p := range all {
				if want, ok := fields[p.Name]; ok && len(p.Choices) > 0 && strings.Join(p.Choices, "|") != strings.Join(want, "|") &&
					!(name == "quantities" && p.Name == "material") {
					t.Errorf("%s %s may be %q, the table has %q", name, p.Name, p.Choices, want)
				}
				walk(p.Fields)
			}
		}
		walk(c.Inputs())
	}
	c, _ := Named("batter")
	for _, g := range works.BatterGrades {
		for _, p := range c.Inputs() {
			if p.Name == "soil" && !strings.Contains(p.Doc, g.Soil) {
				t.Errorf("soil of batter does not tell of %q", g.Soil)
			}
		}
	}
}

func TestBatterAnswers(t *testing.T) {
	var out batterOut
	run(t, "batter", `{"heightM": 1.5, "presentRunPerRise": 0, "targetRunPerRise": 3, "lengthM": 10}`, &out)
	modeltest.Named(t, "gully", "BT01").Check(t, "volume", out.CutM3)
	modeltest.Named(t, "gully", "BT03").Check(t, "volume", out.Balanced.CutM3)
	modeltest.Named(t, "gully", "BT06").Check(t, "length", out.FaceLengthM)
	if out.WidthM != 4.5 || out.AreaM2 != 45 || out.TopsoilM3 != 0 || len(out.Soils) != len(works.BatterGrades) || len(out.Cautions) < 5 {
		t.Errorf("batter = %+v", out)
	}
}

// TestQuantitiesTakeWhatOtherComputationsSay: a dam and a batter in a bill are those of their
// own computations, and seed is that of the cases.
func TestQuantitiesTakeWhatOtherComputationsSay(t *testing.T) {
	var dam rockDamOut
	run(t, "rock-dam", `{`+rk05+`}`, &dam)
	var out quantitiesOutput
	run(t, "quantities", `{"works": [
		{"treatment": "check-dam", "count": 4, "dam": {`+rk05+`}},
		{"treatment": "revegetation", "sowing": [{"item": "grass", "areaM2": 53.0144, "rate": 6, "method": "broadcast"}]}],
		"rates": [{"item": "rock", "unit": "m3", "hoursPerUnit": 2}]}`, &out)
	if got := out.Rows[0]; got.Item != "rock" || math.Abs(got.Quantity-4*dam.RockM3) > 1e-9 || got.Cost.Value != nil || math.Abs(*got.Hours.Value-8*dam.RockM3) > 1e-9 || got.Note == "" {
		t.Errorf("rock of four dams = %+v, want four times %v m3, hours, no cost and a note", got, dam.RockM3)
	}
	modeltest.Named(t, "gully", "RA05").Check(t, "kg", out.Rows[len(out.Rows)-1].Quantity)
	if out.Total.Cost.Value != nil || out.Total.CostMissing != len(out.Rows) || out.Total.Hours.Value == nil || out.Total.HoursMissing != 1 {
		t.Errorf("total = %+v, want no cost at all, hours but for the seed", out.Total)
	}
}

func TestBuildingRefusalsNameTheFault(t *testing.T) {
	for _, c := range []struct{ name, compute, in, path string }{
		{"no-height", "rock-dam", `{"bedWidthM": 2}`, "crestHeightM"},
		{"accuracy", "rock-dam", `{` + rk05 + `, "accuracyM": 0}`, "accuracyM"},
		{"fences", "rock-dam", `{"material": "netting and posts", "crestHeightM": 0.4, "bedWidthM": 2, "crestBreadthM": 0.5, "fences": {"postSpacingM": 1200}}`, "fences.postSpacingM"},
		{"bale-missing", "rock-dam", `{"material": "hay bales", "crestHeightM": 0.3, "bedWidthM": 2}`, "bale"},
		{"kind", "rock-dam", `{"material": "timber", "crestHeightM": 0.3}`, "material"},
		{"grades", "batter", `{"heightM": 1, "presentRunPerRise": 0, "targetRunPerRise": 3, "lengthM": 1, "grades": [{"soil": "marl", "leastRunPerRise": 0, "source": "x"}]}`, "grades[0].leastRunPerRise"},
		{"dam-in-a-bill", "quantities", `{"works": [{"treatment": "check-dam", "dam": {"crestHeightM": 2}}]}`, "works[0].dam.crestHeightM"},
		{"batter-in-a-bill", "quantities", `{"works": [{"treatment": "batter", "batter": {"heightM": 2, "presentRunPerRise": 0, "targetRunPerRise": 3}}]}`, "works[0].batter.lengthM"},
		{"balance-of-a-head", "quantities", `{"works": [{"treatment": "batter", "batter": {"heightM": 2, "presentRunPerRise": 0, "targetRunPerRise": 3, "headRadiusM": 1, "balanced": true}}]}`, "works[0].batter.balanced"},
		{"sowing-in-a-bill", "quantities", `{"works": [{"treatment": "revegetation", "sowing": [{"item": "grass", "areaM2": 1, "rate": 1, "purityPct": 0.5}]}]}`, "works[0].sowing[0].purityPct"},
		{"item", "quantities", `{"works": [{"treatment": "fence", "items": [{"item": "wire", "unit": "m", "quantity": -1}]}]}`, "works[0].items[0].quantity"},
		{"plus-minus", "quantities", `{"works": [{"treatment": "fence", "items": [{"item": "wire", "unit": "m", "quantity": 1, "plusMinus": -1}]}]}`, "works[0].items[0].plusMinus"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run(c.compute, []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("Run(%s, %s) = %s, %v; want a problem at %q", c.compute, c.in, out, err, c.path)
			}
		})
	}
}

// BenchmarkQuantities bills a property of 1,000 dams.
func BenchmarkQuantities(b *testing.B) {
	works := make([]string, 1000)
	for i := range works {
		works[i] = fmt.Sprintf(`{"treatment": "check-dam", "dam": {%s, "accuracyM": 0.05}}`, rk05)
	}
	in := []byte(`{"works": [` + strings.Join(works, ",") + `], "rates": [{"item": "rock", "unit": "m3", "costPerUnit": 40}]}`)
	for b.Loop() {
		if _, err := Run("quantities", in); err != nil {
			b.Fatal(err)
		}
	}
}
