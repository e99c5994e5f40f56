package compute

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// run answers with all digits, so that they can be held to what others published.
func run(t *testing.T, name, in string, out any) {
	t.Helper()
	c, ok := Named(name)
	if !ok {
		t.Fatalf("there is no computation %s", name)
	}
	text, err := c.run([]byte(in), allDigits, budget(nil), nil)
	if err != nil {
		t.Fatalf("Run(%s, %s) = %v", name, in, err)
	}
	if json.Unmarshal(text, out) == nil {
		return
	}
	reflect.ValueOf(out).Elem().SetZero() // it has estimates, which are two values in JSON
	if p := (shapes{}).decodeAs(text, out, asAnswer, budget(nil), nil); p != nil {
		t.Fatalf("Run(%s) = %s: %v", name, text, p)
	}
}

// sp14 is the bed of the worked walk SP14 as JSON.
func sp14(t *testing.T) string {
	var points []string
	for _, s := range modeltest.Input[[][2]float64](t, modeltest.Named(t, "gully", "SP14"), "profile_upstream") {
		point, _ := json.Marshal(map[string]float64{"chainageM": s[0], "levelM": s[1]})
		points = append(points, string(point))
	}
	return "[" + strings.Join(points, ",") + "]"
}

func TestDamLayoutAnswers(t *testing.T) {
	var out damLayoutOut
	run(t, "dam-layout", `{"bed": `+sp14(t)+`, "crestHeightM": 1}`, &out)
	var at []float64
	for _, d := range out.Dams {
		at = append(at, d.ChainageM)
	}
	modeltest.Named(t, "gully", "SP14").CheckAll(t, "chainages", at)
	if out.Count != 5 || len(out.SpacingsM) != 4 || out.SpacingsM[3] != 20 || out.Basis != "levelled" || out.Dams[1].CrestLevelM != 102 || len(out.Handbooks) != 4 || out.Handbooks[0].Count != 5 {
		t.Errorf("dam-layout = %+v", out)
	}
	run(t, "dam-layout", `{"bed": `+sp14(t)+`}`, &out)
	if out.CrestHeightM != 0.4 || out.Count != 11 { // 4 m of fall in steps of 0.4 m
		t.Errorf("dam-layout without a height = %d dams of %v m, want 11 of 0.4", out.Count, out.CrestHeightM)
	}
}

func TestLongSectionAnswers(t *testing.T) {
	var out longSectionOut
	run(t, "long-section", `{"bed": `+sp14(t)+`}`, &out)
	if out.LengthM.Value != 60 || out.FallM.Value != 4 || len(out.Reaches) != 5 || out.Adverse == nil || out.Basis != "levelled" {
		t.Errorf("long-section = %+v, want 60 m and 4 m in 5 reaches", out)
	}
	run(t, "long-section", `{"bed": [{"position": [0, 0], "levelM": 1}, {"position": [0, 0.0002777777777777778], "levelM": 2}], "basis": "GPS", "levelPlusMinusM": 3, "chainagePlusMinusM": 5}`, &out)
	// A second of latitude at the equator, from the meridian radius there (derived).
	if want := 6335439.327 * math.Pi / 180 / 3600; math.Abs(out.LengthM.Value-want) > 1e-4 || math.Abs(out.FallM.PlusMinus-3*math.Sqrt2) > 1e-9 || out.Basis != "GPS" {
		t.Errorf("long-section by position = %+v, want %v m, fall ± 4.24 m", out, want)
	}
	run(t, "long-section", `{"bed": `+sp14(t)+`, "basis": "GPS"}`, &out)
	if out.FallM.PlusMinus != -1 || out.LengthM.PlusMinus < 0 {
		t.Errorf("long-section of GPS levels = %+v, want a fall of unknown plus-minus", out)
	}
}

func TestDamCheckAnswers(t *testing.T) {
	dams := `[{"name": "a", "chainageM": 0, "toeLevelM": 100, "crestLevelM": 100.4}, {"name": "b", "chainageM": 8, "toeLevelM": 100.58, "crestLevelM": 101}, {"chainageM": 16, "crestLevelM": 101.6}]`
	var out damCheckOut
	run(t, "dam-check", `{"bed": `+sp14(t)+`, "dams": `+dams+`}`, &out)
	// The third toe is the bed's: 100.5 + 1.0 · 6/10 = 101.1 at 16 m.
	if len(out.Pairs) != 2 || out.Pairs[0].Verdict != "gap" || math.Abs(out.Pairs[0].StepM-0.18) > 1e-9 ||
		out.Pairs[1].Upper != "dam 3" || math.Abs(out.Pairs[1].StepM-0.1) > 1e-9 || out.Worst == nil || out.Worst.Upper != "b" {
		t.Errorf("dam-check = %+v", out)
	}
	for _, basis := range []string{"GPS", "taped", "unproven"} {
		run(t, "dam-check", `{"basis": "`+basis+`", "dams": `+strings.Replace(dams, `, {"chainageM": 16, "crestLevelM": 101.6}`, "", 1)+`}`, &out)
		if out.Pairs[0].Verdict != "not levelled" || string(out.Pairs[0].Basis) != basis {
			t.Errorf("dam-check of %s levels = %+v, want not levelled", basis, out.Pairs[0])
		}
	}
}

func TestDamRefusalsNameTheFault(t *testing.T) {
	for _, c := range []struct{ name, compute, in, path string }{
		{"level-missing", "long-section", `{"bed": [{"chainageM": 0, "levelM": 1}, {"chainageM": 5}]}`, "bed[1].levelM"},
		{"chainage-missing", "long-section", `{"bed": [{"chainageM": 0, "levelM": 1}, {"levelM": 1}]}`, "bed[1].chainageM"},
		{"unsorted", "dam-layout", `{"bed": [{"chainageM": 5, "levelM": 1}, {"chainageM": 0, "levelM": 1}]}`, "bed[1].chainageM"},
		{"too-high", "dam-layout", `{"bed": [{"chainageM": 0, "levelM": 1}, {"chainageM": 9, "levelM": 2}], "crestHeightM": 1.2}`, "crestHeightM"},
		{"nought-is-no-height", "dam-layout", `{"bed": [{"chainageM": 0, "levelM": 1}, {"chainageM": 9, "levelM": 2}], "crestHeightM": 0}`, "crestHeightM"},
		{"plus-minus", "dam-layout", `{"bed": [{"chainageM": 0, "levelM": 1}, {"chainageM": 9, "levelM": 2}], "levelPlusMinusM": -1}`, "levelPlusMinusM"},
		{"toe-missing", "dam-check", `{"dams": [{"chainageM": 0, "crestLevelM": 1}]}`, "dams[0].toeLevelM"},
		{"unknown-basis", "dam-check", `{"dams": [], "basis": "eye"}`, "basis"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run(c.compute, []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("Run(%s, %s) = %s, %v; want a problem at %q", c.compute, c.in, out, err, c.path)
			}
		})
	}
}

func FuzzDams(f *testing.F) {
	f.Add("dam-layout", `{"bed": [{"chainageM": 0, "levelM": 100}, {"chainageM": 42, "levelM": 102.52}], "crestHeightM": 0.6, "depositSlopePct": 0.5}`)
	f.Add("dam-check", `{"dams": [{"name": "a", "chainageM": 0, "toeLevelM": 100, "crestLevelM": 100.4}, {"chainageM": 8, "toeLevelM": 100.4, "crestLevelM": 101}]}`)
	f.Add("long-section", `{"bed": [{"position": [148, -25], "levelM": 1}, {"position": [148.001, -25], "levelM": 2}]}`)
	f.Fuzz(func(t *testing.T, name, in string) {
		out, err := Run(name, []byte(in))
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Reason == "" {
				t.Fatalf("Run(%q, %q) = %v, want a problem", name, in, err)
			}
			return
		}
		if !json.Valid(out) {
			t.Fatalf("Run(%q, %q) = %s, want JSON", name, in, out)
		}
	})
}
