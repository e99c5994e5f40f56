package compute

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// TestDamLayoutWholeJob asks for everything at once on a bed of 5 %, and holds the answers
// against each other, against the notch of HY06 and against rock-dam.
func TestDamLayoutWholeJob(t *testing.T) {
	c := modeltest.Named(t, "gully", "HY06")
	in := map[string]any{
		"bed":          []any{map[string]any{"chainageM": 0, "levelM": 100}, map[string]any{"chainageM": 60, "levelM": 103}},
		"crestHeightM": 0.5,
		"sites":        []any{map[string]any{"chainageM": 8, "quality": "narrow", "widthM": 1.6}},
		"notch":        map[string]any{"flowM3S": c.Number(t, "Q"), "crestLengthM": c.Number(t, "length"), "freeboardM": 0.2},
		"build":        map[string]any{"bedWidthM": 2, "leftRunPerRise": 1, "rightRunPerRise": 1, "crestBreadthM": 0.6, "upstreamRunPerRise": 1.5, "downstreamRunPerRise": 3, "accuracyM": 0.05},
		"rates":        []any{map[string]any{"item": "rock", "unit": "m3", "hoursPerUnit": 2, "costPerUnit": 30}, map[string]any{"item": "dam", "unit": "each", "hoursPerUnit": 1}},
		"heightsM":     []any{},
		"setOut":       map[string]any{"instrumentLevelM": 101.435, "readings": []any{map[string]any{"dam": 1, "spot": "toe", "readM": 1.62}}},
	}
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	var out damLayoutOut
	run(t, "dam-layout", string(text), &out)
	if out.Count != 7 || out.Dams[1].ChainageM != 8 || out.Dams[1].Stands != "good site" || math.Abs(out.Dams[1].BuriedM-0.1) > 1e-9 {
		t.Fatalf("%d dams, the second %+v; want 7 and it on the site at 8 m, 0.1 m buried", out.Count, out.Dams[1])
	}
	laid, err := Run("dam-layout", text)
	if err != nil {
		t.Fatal(err)
	}
	var check damCheckOut
	run(t, "dam-check", string(laid), &check)
	if p := check.Pairs[0]; p.Verdict != "level" || math.Abs(p.StepM+0.1) > 1e-9 {
		t.Errorf("dam-check of the layout says %+v, want level, buried as it was planned", p)
	}
	c.Check(t, "head", out.Notch.HeadM.Value)
	rock := 0.0
	for _, d := range out.Dams {
		if want := d.CrestLevelM + out.Notch.HeadM.Value + 0.2; math.Abs(*d.AbutmentLevelM.Value-want) > 1e-9 {
			t.Errorf("abutment at %v m, want crest, head and freeboard: %v", *d.AbutmentLevelM.Value, want)
		}
		rock += *d.RockM3.Value
		if *d.ApronLengthM != 0.75 { // 1.5 heights on a bed of 5 %: Heede, from memory
			t.Errorf("apron %v m, want 0.75", *d.ApronLengthM)
		}
	}
	if math.Abs(rock-out.Bill.RockM3.Value) > 1e-9 || out.Bill.RockM3.PlusMinus <= 0 || math.Abs(*out.Bill.Hours.Value-2*rock-7) > 1e-9 || len(out.Bill.Unpriced) != 0 {
		t.Errorf("bill %+v, want %v m3 in all, and 2 h for each and 1 for each of 7 dams", out.Bill, rock)
	}
	// One dam by itself takes what rock-dam says.
	var one rockDamOut
	build := in["build"].(map[string]any)
	build["crestHeightM"], build["bedSlopePct"], build["notchDepthM"], build["notchLengthM"], build["flowM3S"] = 0.5, 5, out.Notch.AbutmentHeightM.Value, c.Number(t, "length"), c.Number(t, "Q")
	text, err = json.Marshal(build)
	if err != nil {
		t.Fatal(err)
	}
	run(t, "rock-dam", string(text), &one)
	if math.Abs(one.TotalRockM3-*out.Dams[0].RockM3.Value) > 1e-9 {
		t.Errorf("the first dam takes %v m3 of rock, rock-dam says %v", *out.Dams[0].RockM3.Value, one.TotalRockM3)
	}
	if len(out.Layouts) != 3 || out.Layouts[0].CrestHeightM != 0.3 || out.Layouts[2].Count != 7 || len(out.Compare) < 4 {
		t.Errorf("%d layouts and %q, want those of 0.3, 0.4 and 0.5 m", len(out.Layouts), out.Compare)
	}
	if toe := out.SetOut[0]; len(out.SetOut) != 21 || *toe.ReadingM != 1.435 || *toe.OffM != -0.185 || toe.Move != "up 0.185 m" || math.Abs(toe.ReadingPlusMinusM-0.005*math.Sqrt2) > 1e-12 {
		t.Errorf("%d pegs, the first %+v; want 21, and up 0.185 m from reading 1.62 to 1.435", len(out.SetOut), toe)
	}
	if high := out.SetOut[18]; high.ReadingM != nil || !strings.Contains(high.Cannot, "above the line of sight") {
		t.Errorf("the toe of the seventh dam from 101.435 m: %+v, want no reading and the reason", high)
	}
	for i, caution := range out.Cautions {
		if slices.Contains(out.Cautions[:i], caution) {
			t.Errorf("caution %q stands there twice", caution.Text)
		}
	}
}

func TestDamLayoutNamedRules(t *testing.T) {
	bed := `{"bed": [{"chainageM": 0, "levelM": 100}, {"chainageM": 50, "levelM": 104}], `
	var out damLayoutOut
	for rule, want := range map[string]float64{"level": 0, "compensation": 3, "half": 4, "seven tenths": 5.6} { // SP21, SP10: shares of 8 %
		run(t, "dam-layout", bed+`"depositRule": "`+rule+`"}`, &out)
		if math.Abs(out.DepositSlopePct-want) > 1e-9 {
			t.Errorf("silt by the rule %q lies at %v %%, want %v", rule, out.DepositSlopePct, want)
		}
	}
	for limit, want := range map[string]float64{"stormwater channel": 6, "road ditch": 8, "brush fill": 10, "bale dam": 20} {
		text, err := Run("dam-layout", []byte(bed+`"slopeLimit": "`+limit+`"}`))
		if limit == "stormwater channel" {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != "skip" {
				t.Errorf("a bed of 8 %% held to %s: %s, %v; want it refused at skip", limit, text, err)
			}
			continue
		}
		run(t, "dam-layout", bed+`"slopeLimit": "`+limit+`"}`, &out)
		if out.MaxBedSlopePct == nil || *out.MaxBedSlopePct != want {
			t.Errorf("the limit %q is %v, want %v", limit, out.MaxBedSlopePct, want)
		}
	}
}

func TestDamLayoutAnswersRefuse(t *testing.T) {
	bed := `{"bed": [{"chainageM": 0, "levelM": 100}, {"chainageM": 60, "levelM": 103}], `
	for _, c := range []struct{ name, rest, path string }{
		{"site-off-the-bed", `"sites": [{"chainageM": 70}]`, "sites[0].chainageM"},
		{"site-of-no-known-quality", `"sites": [{"chainageM": 7, "quality": "pretty"}]`, "sites[0].quality"},
		{"reach-turned-round", `"skip": [{"fromM": 9, "toM": 8, "why": "rock"}]`, "skip[0].toM"},
		{"head-in-millimetres", `"heads": [{"chainageM": 40, "depthM": 1200}]`, "heads[0].depthM"},
		{"two-limits", `"slopeLimit": "bale dam", "maxBedSlopePct": 8`, "maxBedSlopePct"},
		{"limit-as-a-ratio", `"maxBedSlopePct": 0.08`, "maxBedSlopePct"},
		{"no-slope-allowed", `"maxBedSlopePct": 0`, "maxBedSlopePct"},
		{"two-deposits", `"depositRule": "half", "depositSlopePct": 2`, "depositSlopePct"},
		{"buried-as-a-share-is-allowed-but-not-all", `"buriedPct": 100`, "buriedPct"},
		{"rates-for-nothing", `"rates": [{"item": "rock", "unit": "m3", "costPerUnit": 1}]`, "rates"},
		{"notch-without-a-length", `"notch": {"flowM3S": 0.3}`, "notch.crestLengthM"},
		{"flow-in-litres", `"notch": {"flowM3S": 300, "crestLengthM": 1.5}`, "notch.flowM3S"},
		{"build-in-millimetres", `"build": {"bedWidthM": 1800}`, "build.bedWidthM"},
		{"notch-longer-than-the-bed", `"notch": {"flowM3S": 0.3, "crestLengthM": 5}, "build": {"bedWidthM": 1, "crestBreadthM": 0.5, "upstreamRunPerRise": 2, "downstreamRunPerRise": 2}`, "build.notchLengthM"},
		{"height-for-an-engineer", `"heightsM": [0.3, 1.01]`, "heightsM[1]"},
		{"staff-in-millimetres", `"setOut": {"instrumentLevelM": 101, "staffLengthM": 5000}`, "setOut.staffLengthM"},
		{"abutment-without-a-notch", `"setOut": {"instrumentLevelM": 101, "readings": [{"dam": 1, "spot": "abutment", "readM": 1}]}`, "setOut.readings[0].dam"},
		{"read-above-the-sight", `"setOut": {"instrumentLevelM": 101, "readings": [{"dam": 1, "spot": "toe", "readM": -1}]}`, "setOut.readings[0].readM"},
		{"dam-counted-from-nought", `"setOut": {"instrumentLevelM": 101, "readings": [{"dam": 0, "spot": "toe", "readM": 1}]}`, "setOut.readings[0].dam"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run("dam-layout", []byte(bed+c.rest+"}"))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("dam-layout with %s = %.200s, %v; want a problem at %q", c.rest, out, err, c.path)
			}
		})
	}
}

// FuzzDamLayoutPlaces mixes sites, reaches, heads and a set-up; whatever is answered is
// finite, and whatever is refused names its place.
func FuzzDamLayoutPlaces(f *testing.F) {
	f.Add(7.0, 0.0, 12.0, 18.0, 40.0, 1.0, 0.0, 101.4, 1.62)
	f.Add(9.0, 1.4, 0.0, 60.0, 20.0, 0.5, 8.0, 103.0, 0.0)
	f.Add(60.0, 100.0, 59.0, 60.0, 60.0, 50.0, 100.0, -12000.0, 5.0)
	f.Fuzz(func(t *testing.T, site, width, from, to, head, depth, limit, sight, read float64) {
		in := map[string]any{
			"bed":   []any{map[string]any{"chainageM": 0, "levelM": 100}, map[string]any{"chainageM": 30, "levelM": 101}, map[string]any{"chainageM": 60, "levelM": 104}},
			"sites": []any{map[string]any{"chainageM": site, "widthM": width}}, "skip": []any{map[string]any{"fromM": from, "toM": to, "why": "rock"}},
			"heads": []any{map[string]any{"chainageM": head, "depthM": depth}}, "maxBedSlopePct": limit, "heightsM": []any{0.3, 0.5},
			"setOut": map[string]any{"instrumentLevelM": sight, "readings": []any{map[string]any{"dam": 1, "spot": "toe", "readM": read}}},
		}
		text, err := json.Marshal(in)
		if err != nil {
			return // JSON has no such number
		}
		out, err := Run("dam-layout", text)
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("dam-layout of %s = %v, want a problem that names its place", text, err)
			}
			return
		}
		var answer damLayoutOut
		if err := json.Unmarshal(out, &answer); err != nil || answer.Count < 1 || len(answer.Layouts) != 2 {
			t.Fatalf("dam-layout of %s = %s (%v)", text, out, err)
		}
	})
}
