package banks

import (
	"fmt"

	"headcut/model"
	"headcut/model/runoff"
)

// Layout is a bank to be built.
type Layout struct {
	Line         Line
	Outlet       Outlet
	Channel      Channel // in long grass, which holds water up
	ShortN       float64 // roughness once the grass is short, when water runs fastest; 0: as Channel's
	Shape        Shape
	FlowM3S      *runoff.Quantity // the catchment's peak; nil when not known
	DepthM       *runoff.Quantity // of water that is chosen; nil: what the peak takes
	Bearing      Bearing          // what the channel bears; the zero Bearing is not known
	LengthLimitM float64          // 0: none
}

// Plan is what comes of a layout.
type Plan struct {
	CapacityM3S runoff.Quantity // at the depth, in the flattest reach
	Flattest    Flow            // where the water is deepest
	Steepest    Flow            // where it runs fastest
	SteepestPct float64         // grade up to which the channel bears that flow, at most MostGradePct; 0 when not known
	Heights     Heights
	BaseWidthM  float64         // as built
	EarthPerM   runoff.Quantity // m³ for each metre of bank, as built
	EarthM3     runoff.Quantity
	Verdict     model.Verdict // fails when the peak, the velocity or the length does
	Reasons     []string
}

// Lay works a bank out. Its whole peak runs in every reach, as it does below where the water
// comes in: so the flattest reach, the top one, sets the depth, and the steepest the velocity.
func (l Layout) Lay() (Plan, error) {
	if p := model.FirstProblem(l.Outlet.Check().Within("outlet"), l.Line.Check(), l.Shape.Check(), l.Channel.Check(), l.Channel.checkShort(l.ShortN),
		model.Require(l.FlowM3S != nil || l.DepthM != nil, "flowM3S", "give the catchment's peak, as of peak-flow, or a depth of water", "is missing")); p != nil {
		return Plan{}, p
	}
	flattest, steepest := l.Line.Reaches[0].GradePct, l.Line.Reaches[len(l.Line.Reaches)-1].GradePct
	run := func(c Channel, gradePct float64, byDepth bool) (Flow, error) {
		if byDepth {
			return c.At(*l.DepthM, runoff.Quantity{Value: gradePct})
		}
		return c.For(*l.FlowM3S, runoff.Quantity{Value: gradePct})
	}
	var p Plan
	var err error
	if p.Flattest, err = run(l.Channel, flattest, l.DepthM != nil); err != nil {
		return Plan{}, err
	}
	if p.Steepest, err = run(l.Channel.short(l.ShortN), steepest, l.FlowM3S == nil); err != nil {
		return Plan{}, err
	}
	p.CapacityM3S = p.Flattest.FlowM3S
	p.Heights = l.Shape.Heights(p.Flattest.DepthM)
	built := p.Heights.BuiltHeightM
	p.BaseWidthM = l.Shape.BaseWidthM(built.Value)
	p.EarthPerM = l.Shape.earth(built)
	length := l.Line.LengthM()
	p.EarthM3 = runoff.Quantity{Value: p.EarthPerM.Value * length, PlusMinus: model.ScaledPlusMinus(length, p.EarthPerM.PlusMinus)}
	l.judge(&p)
	return p, nil
}

// judge sets the verdict and its reasons.
func (l Layout) judge(p *Plan) {
	if bears := l.Bearing.VelocityMS; bears > 0 {
		p.SteepestPct = min(l.Channel.short(l.ShortN).GradeForPct(p.Steepest.FlowM3S.Value, bears), MostGradePct)
		if p.Steepest.VelocityMS > bears+1e-9 {
			p.Reasons = append(p.Reasons, fmt.Sprintf("At %.2f %% the water runs at %.2f m/s, and the channel bears %.2f: it bears that flow up to %.2f %%. Flatten the grade, widen the channel, or grow a better cover first.",
				p.Steepest.GradePct, p.Steepest.VelocityMS, bears, p.SteepestPct))
		}
	}
	if l.FlowM3S != nil && p.CapacityM3S.Value < l.FlowM3S.Value-1e-9 {
		p.Reasons = append(p.Reasons, fmt.Sprintf("%.2f m of water carries %.3f m3/s of a peak of %.3f: deepen or widen the channel, or divide the catchment.",
			p.Flattest.DepthM.Value, p.CapacityM3S.Value, l.FlowM3S.Value))
	}
	if length := l.Line.LengthM(); l.LengthLimitM > 0 && length > l.LengthLimitM+1e-9 {
		p.Reasons = append(p.Reasons, fmt.Sprintf("It is %.4g m long, over the limit of %.4g m: divide it between two outlets.", length, l.LengthLimitM))
	}
	p.Verdict = model.OK
	if p.Reasons != nil {
		p.Verdict = model.Fails
	}
}
