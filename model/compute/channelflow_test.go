package compute

import (
	"errors"
	"fmt"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

func TestChannelFlowAnswers(t *testing.T) {
	shape := func(c modeltest.Case) string {
		return fmt.Sprintf(`"bedWidthM": %v, "sideRunPerRise": %v, "slopePct": %v, "manningN": %v`, c.Number(t, "b_m"), c.Number(t, "z_h_per_v"), 100*c.Number(t, "S"), c.Number(t, "n"))
	}
	var out channelFlowOut
	for _, c := range modeltest.Cases(t, "runoff", "manning") {
		run(t, "channel-flow", fmt.Sprintf(`{%s, "depthM": %v}`, shape(c), c.Number(t, "y_m")), &out)
		c.Check(t, "Q_m3_s", out.FlowM3S.Value)
		c.Check(t, "V_m_s", out.VelocityMS)
		c.Check(t, "R_m", out.HydraulicRadiusM)
	}
	for _, c := range modeltest.Cases(t, "runoff", "manning_normal_depth") {
		run(t, "channel-flow", fmt.Sprintf(`{%s, "flowM3S": %v}`, shape(c), c.Number(t, "Q_m3_s")), &out)
		c.Check(t, "y_m", out.DepthM.Value)
		c.Check(t, "V_m_s", out.VelocityMS)
	}
	for _, c := range []struct{ name, in, path string }{
		{"both", `{"bedWidthM": 1, "sideRunPerRise": 1, "slopePct": 1, "lining": "light brush", "depthM": 0.2, "flowM3S": 1}`, "flowM3S"},
		{"neither", `{"bedWidthM": 1, "sideRunPerRise": 1, "slopePct": 1, "lining": "light brush"}`, "depthM"},
		{"no-roughness", `{"bedWidthM": 1, "sideRunPerRise": 1, "slopePct": 1, "depthM": 0.2}`, "manningN"},
		{"roughness-twice", `{"bedWidthM": 1, "sideRunPerRise": 1, "slopePct": 1, "lining": "light brush", "manningN": 0.03, "depthM": 0.2}`, "manningN"},
		{"width-in-millimetres", `{"bedWidthM": 1500, "sideRunPerRise": 1, "slopePct": 1, "manningN": 0.03, "depthM": 0.2}`, "bedWidthM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run("channel-flow", []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Run(channel-flow, %s) = %s, %v; want a problem at %q", c.in, out, err, c.path)
			}
		})
	}
}
