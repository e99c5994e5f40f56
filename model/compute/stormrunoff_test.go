package compute

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

func TestStormRunoffAnswers(t *testing.T) {
	var out stormRunoffOut
	for _, c := range modeltest.Cases(t, "runoff", "curve_number") {
		run(t, "storm-runoff", fmt.Sprintf(`{"rainMm": %v, "curveNumber": %v}`, c.Number(t, "P_mm"), c.Number(t, "CN")), &out)
		c.Check(t, "Q_mm", out.RunoffMm.Value)
		c.Check(t, "S_mm", out.RetentionMm)
		if len(out.ByCondition) != 0 {
			t.Errorf("%s: compares %v without a soil group", c.ID, out.ByCondition)
		}
	}
	// CN1 and CN2 are poor and good pasture on group C.
	run(t, "storm-runoff", `{"rainMm": 60, "soilGroup": "C", "coverPct": 40, "areaHa": 20}`, &out)
	poor, good := modeltest.Named(t, "runoff", "CN1"), modeltest.Named(t, "runoff", "CN2")
	if out.Condition != "poor" || len(out.ByCondition) != 4 || out.VolumeM3 == nil || math.Abs(*out.VolumeM3-200*out.RunoffMm.Value) > 1e-9 {
		t.Fatalf("storm-runoff = %+v, want poor pasture beside three others, and 20 ha of it", out)
	}
	poor.Check(t, "Q_mm", out.RunoffMm.Value)
	poor.Check(t, "Q_mm", out.ByCondition[0].RunoffMm)
	good.Check(t, "Q_mm", out.ByCondition[2].RunoffMm)
	for _, c := range []struct{ name, in, path string }{
		{"nothing", `{"rainMm": 60}`, "curveNumber"},
		{"twice", `{"rainMm": 60, "curveNumber": 80, "coverPct": 30}`, "curveNumber"},
		{"cover-and-condition", `{"rainMm": 60, "soilGroup": "C", "condition": "poor", "coverPct": 30}`, "condition"},
		{"no-soil", `{"rainMm": 60, "condition": "poor"}`, "soilGroup"},
		{"inches", `{"rainMm": 0.5, "curveNumber": 80}`, "rainMm"},
		{"cover-beyond-all", `{"rainMm": 60, "soilGroup": "C", "coverPct": 130}`, "coverPct"},
		{"no-area", `{"rainMm": 60, "curveNumber": 80, "areaHa": 0}`, "areaHa"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run("storm-runoff", []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Run(storm-runoff, %s) = %s, %v; want a problem at %q", c.in, out, err, c.path)
			}
		})
	}
}
