package runoff

import (
	"fmt"

	"headcut/model"
)

// Limits of a notch in a low dam.
const (
	// MaxHeadM is the deepest water over a notch that is answered for. No handbook of low
	// dams at hand lets more than 0.6 m stand against one (check dams in swales:
	// the LID design guide of Toronto and Region Conservation, looked up; its versions say 0.5 and 0.6).
	MaxHeadM = 0.6
	// MinFreeboardM is how far dry ends stand above the water at least: 0.15 to 0.3 m is
	// common practice, no source. That the ends rise 0.15 m above the crest in any case is
	// Catchments & Creeks fact sheet CDT-3, installation step 7, looked up.
	MinFreeboardM = 0.15

	MinCrestLengthM = 0.1
	MaxCrestLengthM = 30
	MaxNotchFlowM3S = 20
	MaxNotchSide    = 5 // run per rise: flatter is no notch, and degrees typed as a ratio
	maxFreeboardM   = 1
)

// Notch is the low part of a dam's crest that passes the peak flow: level along its
// length, with sides that are upright or lean outwards.
type Notch struct {
	CrestLengthM   Quantity // of the level bottom; not used by Length
	SideRunPerRise float64  // of both sides; 0 is upright
	Weir           Weir     // the zero Weir stands for the first of Weirs
	FreeboardM     float64  // from the peak's level up to the ends of the dam
}

// Overflow is a notch with the flow that runs over it.
type Overflow struct {
	HeadM           Quantity `json:"headM" plusMinus:"headPlusMinusM" unit:"m" doc:"of the water above the bottom of the notch"` // still, a little upstream
	FlowM3S         Quantity `json:"flowM3S" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"over the notch"`
	CrestLengthM    Quantity `json:"crestLengthM" plusMinus:"crestLengthPlusMinusM" unit:"m" doc:"of the notch's level bottom"`
	AbutmentHeightM Quantity `json:"abutmentHeightM" plusMinus:"abutmentPlusMinusM" unit:"m" doc:"of the dam's ends above the bottom of the notch: head and freeboard"`
	FreeboardM      float64  `json:"freeboardM" unit:"m" doc:"the freeboard used"`
	WaterWidthM     float64  `json:"waterWidthM" unit:"m" doc:"of the water's surface at the head"`
	NotchWidthM     float64  `json:"notchWidthM" unit:"m" doc:"of the notch at the height of the ends"`
	CriticalDepthM  float64  `json:"criticalDepthM" unit:"m" doc:"of the water on the crest, from the head: two thirds of it between upright sides; the weir's losses lower the flow, not this depth"`
	VelocityMS      float64  `json:"velocityMS" unit:"m/s" doc:"mean, on the crest: the flow over the area of water at criticalDepthM"`
	FlowPerMetreM2S float64  `json:"flowPerMetreM2S" unit:"m2/s" doc:"flow over the mean width of the water on the crest"`
	Weir            Weir
}

// Head returns how deep a flow stands over the notch. It returns a *model.Problem with a
// path like "flowM3S" for what is refused; so do Flow and Length.
func (n Notch) Head(flowM3S Quantity) (Overflow, error) {
	if p := n.check(&n.CrestLengthM, &flowM3S, nil); p != nil {
		return Overflow{}, p
	}
	headM := n.critical(n.CrestLengthM.Value).head(flowM3S.Value)
	if headM > MaxHeadM {
		return Overflow{}, &model.Problem{Path: "crestLengthM",
			Reason: fmt.Sprintf("%.2f m of water would stand over this notch: a low dam is for at most %v m, above it the water moves the stones", headM, MaxHeadM),
			Fix:    "lengthen the notch if the gully's bottom is as wide, turn part of the water away above, or have an engineer design it"}
	}
	o, by := n.overflow(n.CrestLengthM, flowM3S, Unsure(headM))
	o.HeadM.PlusMinus = model.ScaledPlusMinus(1/by.head, model.JointPlusMinus(flowM3S.PlusMinus, model.ScaledPlusMinus(by.length, n.CrestLengthM.PlusMinus), by.weir))
	o.AbutmentHeightM.PlusMinus = o.HeadM.PlusMinus
	return o, nil
}

// Flow returns what runs over the notch at a head.
func (n Notch) Flow(headM Quantity) (Overflow, error) {
	if p := n.check(&n.CrestLengthM, nil, &headM); p != nil {
		return Overflow{}, p
	}
	o, by := n.overflow(n.CrestLengthM, Unsure(n.critical(n.CrestLengthM.Value).flow(headM.Value)), headM)
	o.FlowM3S.PlusMinus = model.JointPlusMinus(model.ScaledPlusMinus(by.head, headM.PlusMinus), model.ScaledPlusMinus(by.length, n.CrestLengthM.PlusMinus), by.weir)
	return o, nil
}

// Length returns how long the notch must be for a flow at a head.
func (n Notch) Length(flowM3S, headM Quantity) (Overflow, error) {
	if p := n.check(nil, &flowM3S, &headM); p != nil {
		return Overflow{}, p
	}
	if p := model.FirstProblem(
		model.Require(n.critical(MinCrestLengthM).flow(headM.Value) <= flowM3S.Value, "flowM3S", "give the notch's crestLengthM, and the head will be answered",
			"%v m3/s does not fill a notch %v m long to %v m", flowM3S.Value, MinCrestLengthM, headM.Value),
		model.Require(n.critical(MaxCrestLengthM).flow(headM.Value) >= flowM3S.Value, "flowM3S", "that is no work for a low dam: have an engineer look at it",
			"%v m3/s needs more than %d m of notch at a head of %v m", flowM3S.Value, MaxCrestLengthM, headM.Value)); p != nil {
		return Overflow{}, p
	}
	lengthM := bisect(MinCrestLengthM, MaxCrestLengthM, func(b float64) bool { return n.critical(b).flow(headM.Value) < flowM3S.Value })
	o, by := n.overflow(Unsure(lengthM), flowM3S, headM)
	o.CrestLengthM.PlusMinus = model.ScaledPlusMinus(1/by.length, model.JointPlusMinus(flowM3S.PlusMinus, model.ScaledPlusMinus(by.head, headM.PlusMinus), by.weir))
	return o, nil
}

// change is how the flow changes with the head and with the length, in m³/s a metre, and
// its plus-minus from that of the coefficient alone, in m³/s.
type change struct {
	head, length, weir float64
}

// overflow fills in what follows from length, flow and head together. At critical flow the
// energy is least, so that dH = Q/(g A²) dQ along a fixed length, and dQ = (Q/A) y db along
// a fixed head (derived).
func (n Notch) overflow(length, flow, head Quantity) (Overflow, change) {
	c := n.critical(length.Value)
	y := c.depth(head.Value)
	area := y * (c.bottom + c.side*y)
	top := head.Value + n.FreeboardM
	return Overflow{
			CrestLengthM: length, FlowM3S: flow, HeadM: head, Weir: n.weir(),
			AbutmentHeightM: Quantity{top, head.PlusMinus}, FreeboardM: n.FreeboardM,
			CriticalDepthM: y, VelocityMS: flow.Value / area, FlowPerMetreM2S: flow.Value / (c.bottom + c.side*y),
			WaterWidthM: c.bottom + 2*c.side*head.Value, NotchWidthM: c.bottom + 2*c.side*top,
		}, change{
			head:   c.scale * GravityMS2 * area * area / c.ideal(y),
			length: flow.Value * y / area,
			weir:   model.ScaledPlusMinus(flow.Value, n.weir().Coefficient.relative()),
		}
}

func (n Notch) weir() Weir {
	if n.Weir.Coefficient.Value == 0 {
		return Weirs[0]
	}
	return n.Weir
}

// check refuses a notch, and those of the three that were given.
func (n Notch) check(length, flow, head *Quantity) *model.Problem {
	given := func(b bound, q *Quantity, pathOfPlusMinus string) *model.Problem {
		if q == nil {
			return nil
		}
		return b.check(*q, pathOfPlusMinus)
	}
	return model.FirstProblem(
		given(bound{"crestLengthM", MinCrestLengthM, MaxCrestLengthM, "a notch length", " m", "give metres along the crest"}, length, "crestLengthPlusMinusM"),
		given(bound{"flowM3S", 1e-4, MaxNotchFlowM3S, "a flow over a low dam", " m3/s", "give cubic metres a second: 1000 l/s is 1"}, flow, "flowPlusMinusM3S"),
		given(bound{"headM", 0.001, MaxHeadM, "a head over a low dam's notch", " m", "give metres; for deeper water have an engineer design it"}, head, "headPlusMinusM"),
		bound{"sideRunPerRise", 0, MaxNotchSide, "a side of a notch", "", "give run over rise: 45 degrees is 1"}.exactly(n.SideRunPerRise),
		bound{"freeboardM", 0, maxFreeboardM, "a freeboard", " m", "0.15 to 0.3 is usual"}.exactly(n.FreeboardM),
		checkWeir(n.weir().Coefficient))
}
