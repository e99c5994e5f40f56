package banks

import (
	"headcut/model"
	"headcut/model/runoff"
)

// Cautions go with every bank that is planned or checked.
var Cautions = []model.Caution{
	{Text: "Ask about permits, vegetation law, buried services and heritage before digging. Turning water from where it ran can need a permit, and the neighbour's word."},
	{Text: "Build the outlet first and the bank after, from the outlet up. The outlet is the weak point of every bank."},
	{Text: "A bank that breaks lets all its water go at once and takes those below with it. Walk it after the first storms; where lives, roads, houses or dams lie below, have an engineer design it."},
	{Text: "Dispersive subsoil slumps and washes away when wet: build the bank from topsoil on the surface rather than cut a channel into it, and expect no help from grass."},
}

// SiteCautions are those of a place: its land's slope, 0 when not given, and its catchment,
// nil when not given.
func SiteCautions(landSlopePct float64, areaHa *float64, dispersive bool) []model.Caution {
	all := append(model.Cautions(nil), Cautions...)
	all.AddIf(landSlopePct > StandardLandPct, "landSlopePct", "The land falls by %.2g %%; the guides' banks are for up to %d %%. Have an engineer design it.", landSlopePct, StandardLandPct)
	all.AddIf(areaHa != nil && *areaHa > StandardCatchmentHa, "areaHa", "A standard design is for up to %v ha (EC-9, 10 acres): a bank for more is for an engineer.", StandardCatchmentHa)
	all.AddIf(dispersive, "dispersive", "The soil is dispersive: the channel is taken as bare, at the lowest velocity listed.")
	return all
}

// Cautions are those of this layout.
func (l Layout) Cautions(p Plan) (all model.Cautions) {
	all.AddIf(p.Steepest.VelocityMS > NeedsUpkeepMS, "velocityMS", "Over %.1f m/s needs a good cover and its upkeep (SCS-TP-61).", NeedsUpkeepMS)
	all.AddIf(l.Bearing.VelocityMS == 0, "permissibleMS", "What the channel bears is not given: nothing here says that it does not cut.")
	all.AddIf(l.FlowM3S == nil, "flowM3S", "The catchment's peak is not given: nothing here says that the bank carries it.")
	short := l.FlowM3S != nil && l.DepthM != nil && !surely(p.CapacityM3S, *l.FlowM3S)
	all.AddIf(short && p.CapacityM3S.Value >= l.FlowM3S.Value, "capacityM3S", "The peak lies within twice the ± of what the channel carries, or that ± is not known.")
	all.AddIf(l.Shape.FreeboardM < 0.1-1e-9, "freeboardM", "The guides keep 0.09 m of freeboard at least, and most 0.1 to 0.3.")
	return all
}

// Cautions are those of this check.
func (c Check) Cautions(r Report) (all model.Cautions) {
	l := r.Limit
	all.AddIf(l == nil, "crestLevelM", "No crest was levelled: nothing here says what the bank carries.")
	all.AddIf(c.FlowM3S == nil, "flowM3S", "The catchment's peak is not given: nothing here says that the bank carries it.")
	all.AddIf(c.FlowM3S != nil && c.Bearing.VelocityMS == 0, "permissibleMS", "What the channel bears is not given: nothing here says that it does not cut.")
	if c.FlowM3S != nil && l != nil && l.Flow != nil {
		passes := l.Flow.FlowM3S
		all.AddIf(passes.Value >= c.FlowM3S.Value && !surely(passes, *c.FlowM3S), "lowest", "The peak lies within twice the ± of what passes at the lowest crest, or that ± is not known.")
	}
	return all
}

// surely tells whether one quantity is over another by twice their joint ±; never when that is
// not known.
func surely(over, under runoff.Quantity) bool {
	spread := model.JointPlusMinus(over.PlusMinus, under.PlusMinus)
	return spread >= 0 && over.Value-under.Value >= 2*spread
}

// CheckCatchment refuses a catchment that is beyond any bank.
func CheckCatchment(areaHa float64) *model.Problem {
	return model.FirstProblem(
		model.Require(!(areaHa > MostCatchmentHa), "areaHa", "divide the catchment between several banks, or have an engineer design a channel", "%v ha is more than one bank may take, %d ha (storm drains, South Africa)", areaHa, MostCatchmentHa),
		model.Require(areaHa > 0, "areaHa", "give hectares", "%v ha is no catchment", areaHa))
}
