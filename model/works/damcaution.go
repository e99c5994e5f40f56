package works

import "headcut/model"

// DamCautions go with every check dam that is planned or looked at on the ground. They
// are general and short; the handbooks behind them are in the sources of dam-layout.
var DamCautions = []model.Caution{
	{Text: "A dam does not stop a gully head that is still cutting back: turn the water and treat the head first. Stay off undercut walls and cracked ground."},
	{Text: "Works in a watercourse may need a permit, and services or heritage may lie below: ask before digging."},
	{Text: "Key each dam into the bed and both banks and carry its ends at least 0.15 m above the crest, or water goes round and does more harm than no dam."},
}

// Cautions are those of this layout: the general ones and what its own sites call for.
func (l DamLayout) Cautions(plan DamPlan) []model.Caution {
	sites := plan.Dams
	all := append(model.Cautions(nil), DamCautions...)
	all.Add("dams", "Start on firm ground: rock, a crossing, or the junction with a larger stream. Without it the lowest dam is undermined.")
	if l.CrestHeightM > HighCrestM {
		all.Add("crestHeightM", "Porous dams are kept %v to %v m high; at %v m the fall over the crest needs a rock apron, and advice from an engineer is worth having.", LowCrestM, HighCrestM, l.CrestHeightM)
	}
	if l.DepositSlopePct > 3 {
		all.Add("depositSlopePct", "Silt is seldom counted on to settle steeper than 3 %%; at %v %% dams may stand too far apart.", l.DepositSlopePct)
	}
	for i := 1; i < len(sites); i++ {
		if sites[i].ChainageM-sites[i-1].ChainageM < 2*l.CrestHeightM {
			all.Add("spacingsM", "From chainage %.1f m dams would stand nearer than twice their height: that is a head or a chute, not a bed for dams.", sites[i-1].ChainageM)
			break
		}
	}
	if !proven(l.Quality.Basis) {
		all.Add("bed", "The bed's levels do not come from a closed level run: this is a sketch, not a set-out.")
	}
	return append(all, l.placeCautions(plan)...)
}

// placeCautions are those of good sites, reaches without dams and heads.
func (l DamLayout) placeCautions(plan DamPlan) (all model.Cautions) {
	if n, m := len(plan.Bare), 0.0; n > 0 {
		for _, r := range plan.Bare {
			m += r.ToM - r.FromM
		}
		all.Add("bare", "%.1f m of bed within reaches without dams stay bare: rock is safe by itself, but steep or soft ground there needs another treatment, a chute or a battered head.", m)
	}
	for _, h := range plan.Unguarded {
		all.Add("unguarded", "No dam stands below the head at chainage %.1f m: %s.", h.ChainageM, h.Why)
	}
	for i, d := range plan.Dams {
		if d.BuriedM >= l.CrestHeightM-touchM {
			all.Add("dams", "Dam %d would be buried whole by the silt of the dam below: look whether the gully head needs it.", i+1)
		}
	}
	if l.MaxBedSlopePct > 0 && l.MaxBedSlopePct < l.MeanBedSlopePct() {
		all.Add("maxBedSlopePct", "The bed as a whole is steeper than the limit of %v %%: check dams may be the wrong treatment.", l.MaxBedSlopePct)
	}
	return all
}

// proven tells whether levels of this basis can decide anything about heights.
func proven(b model.Basis) bool { return b == model.Levelled }
