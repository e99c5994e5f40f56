package compute

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/soilloss"
)

func TestSoilLossAnswers(t *testing.T) {
	for _, c := range modeltest.Cases(t, "runoff", "cover_factor_change") {
		var out soilLossOut
		run(t, "soil-loss", fmt.Sprintf(`{"lengthM": 60, "slopePct": 5, "coverBeforePct": %v, "coverAfterPct": %v}`,
			c.Number(t, "cover_before_pct"), c.Number(t, "cover_after_pct")), &out)
		c.Check(t, "ratio", out.Ratio.Value)
		if out.Ratio.PlusMinus != -1 || out.Verdict != "not known" || out.TonnesPerHaYear != nil || len(out.Others) != len(soilloss.AllSeries)-1 {
			t.Errorf("%s: soil-loss = %+v, want an unknown plus-minus, no tonnes, the other series", c.ID, out)
		}
	}
	var out soilLossOut
	run(t, "soil-loss", `{"lengthM": 60.96, "slopePct": 8, "coverBeforePct": 20, "coverAfterPct": 60, "r": 3000, "rSource": "a map", "k": 0.03986, "kSource": "a table"}`, &out)
	// LS is the 1.4524 of case LS5; R K LS C by hand.
	if tonnes := out.TonnesPerHaYear; tonnes == nil || math.Abs(tonnes.Before.Value-34.73) > 0.02 || tonnes.Before.PlusMinus != -1 || tonnes.RSource != "a map" {
		t.Errorf("soil-loss with factors = %+v, want 34.73 t before", out.TonnesPerHaYear)
	}
}

// The names that the reader lets through are those of the table.
func TestSoilLossChoicesAreWhole(t *testing.T) {
	want := map[string][]string{"coverSeries": nil, "formula": nil}
	for _, s := range soilloss.AllSeries {
		want["coverSeries"] = append(want["coverSeries"], s.Name)
	}
	for _, f := range soilloss.Formulas {
		want["formula"] = append(want["formula"], string(f))
	}
	for _, p := range soilLoss.Inputs() {
		if names, ok := want[p.Name]; ok && strings.Join(p.Choices, "|") != strings.Join(names, "|") {
			t.Errorf("%s may be %q, want %q", p.Name, p.Choices, names)
		}
	}
}

func TestSoilLossNamesTheFault(t *testing.T) {
	const slope = `"lengthM": 60, "slopePct": 5, "coverBeforePct": 20, "coverAfterPct": 60`
	for _, c := range []struct{ name, in, path string }{
		{"missing-cover", `{"lengthM": 60, "slopePct": 5, "coverBeforePct": 20}`, "coverAfterPct"},
		{"other-series", `{` + slope + `, "coverSeries": "mixed"}`, "coverSeries"},
		{"negative-plus-minus", `{` + slope + `, "coverAfterPlusMinusPct": -1}`, "coverAfterPlusMinusPct"},
		{"r-alone", `{` + slope + `, "r": 3000, "rSource": "a map"}`, "k"},
		{"k-alone", `{` + slope + `, "k": 0.03, "kSource": "a table"}`, "r"},
		{"source-alone", `{` + slope + `, "rSource": "a map"}`, "r"},
		{"no-source", `{` + slope + `, "r": 3000, "rSource": "a map", "k": 0.03}`, "kSource"},
		{"us-units", `{` + slope + `, "r": 3000, "rSource": "a map", "k": 0.3, "kSource": "a table"}`, "k"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run("soil-loss", []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("soil-loss %s = %s, %v; want a problem at %q", c.in, out, err, c.path)
			}
		})
	}
}

func FuzzSoilLoss(f *testing.F) {
	f.Add([]byte(`{"lengthM": 60, "slopePct": 5, "coverBeforePct": 20, "coverAfterPct": 60}`))
	f.Add([]byte(`{"lengthM": 200, "lengthAfterM": 60, "lengthPlusMinusM": 2, "slopePct": 8, "slopePlusMinusPct": 0.3, "coverBeforePct": 0, "coverAfterPct": 100, "coverBeforePlusMinusPct": 50, "coverAfterPlusMinusPct": 0.001, "formula": "usle", "coverSeries": "epa-1977-grass", "r": 3000, "rPlusMinus": 300, "rSource": "a", "k": 0.04, "kPlusMinus": 0.04, "kSource": "b"}`))
	f.Fuzz(func(t *testing.T, in []byte) { holdsToItsSchema(t, "soil-loss", in) })
}
