package planning

import (
	"encoding/json"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
)

// across is a cross-section as dam-layout takes it.
type across struct {
	ChainageM float64      `json:"chainageM"`
	Section   [][2]float64 `json:"section"`
}

// notch puts in the peak flow that the dams are to pass, as it was planned for the heads of the gully, and the
// cross-sections that say how long their notches can be.
func (g *gully) notch() {
	given := map[string]json.RawMessage{}
	raw, has := g.request.Given["notch"]
	if has && jsonvalue.Unmarshal(raw, &given) != nil {
		return // the computation refuses it
	}
	sections := g.crossSections()
	sized := given["crestLengthM"] != nil || given["headM"] != nil
	known := given["flowM3S"] != nil || given["crestLengthM"] != nil && given["headM"] != nil
	build := g.request.Given["build"] != nil
	used, missing := len(g.Used), len(g.Missing)
	if !known {
		known = g.plannedFlow(given, has || build || len(sections) > 0)
	}
	switch {
	case known && (sized || len(sections) > 0):
		g.in.put("notch", given)
	case known: // nothing of it is in the input
		g.Used, g.Missing = g.Used[:used], g.Missing[:missing]
		g.miss("no cross-section of %s is levelled, so that the dams get no notch: book one within %d m of each dam, or give notch with crestLengthM.", g.item.Called(), figures.NearDamM)
	case has:
		g.refuse("the peak flow that the notches are to pass is not known: plan it for the gully head and adopt it, or give notch with flowM3S.")
	}
	if len(sections) > 0 && (known || build) {
		g.in.put("sections", sections)
	}
}

// crossSections are those of the gully that closed runs have.
func (g *gully) crossSections() (all []across) {
	byRun := map[string]int{}
	for _, c := range g.p.figures.CrossSections() {
		if c.Thalweg != g.item.ID {
			continue
		}
		why := ""
		switch {
		case c.UpM == nil:
			why = "where along the gully it lies is not recorded"
		case !c.Proven:
			why = "its levels are not checked by a closed level run"
		case c.Brink == nil:
			why = c.Notes[len(c.Notes)-1]
		case !g.sameFrame:
			why = "its chainage is booked from the other end than the run used"
		}
		item := g.p.items[c.Feature]
		if why != "" {
			if item == nil {
				item = g.p.items[c.Run]
			}
			g.leaveOut(item, "the cross-section: %s", why)
			continue
		}
		if item != nil && g.refuseUnsettled(item, "thalweg", "chainageM") {
			continue
		}
		if item != nil {
			g.use(item, "the gully across, at chainage %s", metres(*c.UpM))
		}
		byRun[c.Run]++
		all = append(all, acrossOf(c))
	}
	for _, id := range model.Keys(byRun) {
		if g.refuseUnsettled(g.p.items[id], "rows") {
			continue
		}
		g.use(g.p.items[id], "%s", count(byRun[id], "cross-section", "cross-sections"))
	}
	return all
}

func acrossOf(c figures.CrossSection) across {
	return across{*c.UpM, model.Each(c.Points, func(p figures.AcrossPoint) [2]float64 { return [2]float64{p.OffsetM, p.LevelM} })}
}

// acrossChanged tells whether the cross-sections of the gully are others than those that a plan was made with.
func (p *Property) acrossChanged(plan *recorded.Item, _ map[string]bool) []BaseChange {
	var in map[string]json.RawMessage
	gully := p.items[plan.Text("of")]
	if jsonvalue.Unmarshal([]byte(plan.Text("input")), &in) != nil || in["sections"] == nil || gully == nil {
		return nil
	}
	var now input
	var all []across
	for _, c := range p.figures.CrossSections() {
		if c.Thalweg == gully.ID && c.UpM != nil && c.Proven && c.Brink != nil {
			all = append(all, acrossOf(c))
		}
	}
	if now.put("sections", all); string(now[0].raw) == string(in["sections"]) {
		return nil
	}
	return []BaseChange{{gully.ID, "the cross-sections of " + gully.Called() + " are others since."}}
}

// plannedFlow puts the flow of the adopted plans into a notch: of each head of the gully the largest, and the sum of
// them where there are several, as their peaks may meet. wanted: somebody asks for notches.
func (g *gully) plannedFlow(notch map[string]json.RawMessage, wanted bool) bool {
	var flowM3S, plusMinus, areaHa float64
	found := false
	for head := range g.p.of("gully-head") {
		if _, _, ok := g.own(head); !ok {
			continue
		}
		flow, plan := g.flowTo(head)
		if plan == nil {
			if wanted {
				g.miss("no peak flow to %s is planned: plan it and adopt it, or give notch with flowM3S.", head.Called())
			}
			continue
		}
		off := -1.0
		if flow.FlowPlusMinusM3S != nil {
			off = *flow.FlowPlusMinusM3S
		}
		found, flowM3S, plusMinus, areaHa = true, flowM3S+flow.FlowM3S, model.JointPlusMinus(plusMinus, off), areaHa+flow.AreaHa
		g.use(plan, "the peak flow to %s, %s m³/s", head.Called(), metres2(flow.FlowM3S))
	}
	if !found {
		return false
	}
	fields := fields(notch)
	fields.put("flowM3S", flowM3S)
	if plusMinus >= 0 {
		fields.put("flowPlusMinusM3S", plusMinus)
	}
	g.below(areaHa)
	return true
}

// peak is what is read of the answer of peak-flow.
type peak struct {
	FlowM3S          float64  `json:"flowM3S"`
	FlowPlusMinusM3S *float64 `json:"flowPlusMinusM3S"`
	AreaHa           float64  `json:"areaHa"`
}

// flowTo is the largest flow that was planned for a head, of plans whose base has not changed; nil: there is none.
func (g *gully) flowTo(head *recorded.Item) (most peak, plan *recorded.Item) {
	for p := range g.p.of(model.PlanKind) {
		if p.Text("of") != head.ID || p.Text("plans") != string(PeakFlow) {
			continue
		}
		if changed := g.p.Changed(p); len(changed) > 0 {
			g.leaveOut(p, "%s Plan the peak flow again", changed[0].What)
			continue
		}
		flow, err := peakOf(p)
		switch {
		case err != nil:
			g.leaveOut(p, "it cannot be calculated any more: %v", err)
		case plan == nil || flow.FlowM3S > most.FlowM3S:
			most, plan = flow, p
		}
	}
	return most, plan
}

// below says where more water may come in than the flow to the heads: at the lowest dams.
func (g *gully) below(areaHa float64) {
	at, ok := g.frame.position(g.lowM())
	if !ok {
		return
	}
	mapped := false
	for c := range g.p.of("catchment") {
		if !holds(c.Geometry, at) {
			continue
		}
		area, ok := g.p.figures.Of(c.Feature).Figure("areaM2")
		if mapped = mapped || ok; ok && area.Value/1e4 > areaHa && differ(area.Value/1e4, areaHa) {
			g.miss("%s, mapped around the lower dams, has %s ha, and the peak flow is that of %s ha: more water comes in there. Give notch with the flowM3S of all of it.", c.Called(), metres2(area.Value/1e4), metres2(areaHa))
		}
	}
	if !mapped {
		g.miss("no catchment is mapped down to chainage %s, where the lowest dam may stand, and more water may come in there than at the head: map it, or give notch with flowM3S.", metres(g.lowM()))
	}
}

// notchesBeside says which dams of a layout have no notch while others have.
func (l layout) notchesBeside() (says []string) {
	some := false
	for _, dam := range l.Dams {
		some = some || dam.NotchLengthM != nil
	}
	for _, dam := range l.Dams {
		if some && dam.NotchLengthM == nil {
			says = append(says, "the planned dam at chainage "+metres(dam.ChainageM)+" has no notch, as no cross-section is levelled near it: book one across there, or give notch with crestLengthM.")
		}
	}
	return says
}

// notchOf is the notch of a planned dam in words, "" where it has none.
func (l layout) notchOf(dam plannedDam) string {
	if n := l.Notch; n != nil {
		dam.NotchLengthM, dam.NotchDepthM, dam.HeadM, dam.FreeboardM = &n.NotchLengthM, &n.AbutmentHeightM, &n.HeadM, &n.FreeboardM
	}
	if dam.NotchLengthM == nil {
		return ""
	}
	return "a notch " + metres2(*dam.NotchLengthM) + " m long and " + metres2(*dam.NotchDepthM) + " m deep for " + metres2(*dam.HeadM) + " m of water and " + metres2(*dam.FreeboardM) + " m of freeboard"
}
