package planning

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strings"

	"headcut/model"
	graded "headcut/model/banks"
	"headcut/model/compute"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
)

// banks drafts the graded banks of a slope from the levels of a run down it, beside where they let their water
// out: several by a spacing rule, from its top down, or one that stands alone. All are built alike; the input is
// that of the uppermost.
func (d *drafting) banks() {
	d.refuseUnsettled(d.item, "geometry", "catchmentHa")
	runs := d.runsDown()
	used := d.choose(runs, "a line straight down the slope, beside where banks can let their water out,")
	if used == nil {
		return
	}
	d.compare(used, runs)
	d.frame.bookedFromM = used.fromM
	d.use(used.run, "%s down the slope, from chainage %s to %s m", count(len(used.bed), "level", "levels"), metres(used.bed[0].ChainageM), metres(used.bed[len(used.bed)-1].ChainageM))
	d.Used[len(d.Used)-1].slope = used.bed
	if d.sketch = !used.Proven; d.sketch {
		d.miss("%s, %s. Until then the layout is a sketch, and cannot be adopted.", used.Called, used.Unclosed)
	}
	d.use(d.item, "the slope that is planned")
	s := &slope{drafting: d, used: used}
	s.pegs()
	if !s.part() {
		return
	}
	s.spacing()
	s.fall()
	s.measures()
	s.water()
	s.standing()
	s.outlet()
}

// runsDown are the level runs down the slope, from its top.
func (d *drafting) runsDown() []*levelled {
	runs := d.runsAlong(model.BedSpot, model.PegSpot, "")
	for _, l := range runs {
		l.downSlope()
	}
	return runs
}

// slope is a slope that was levelled from its top down, and the part of it that is planned.
type slope struct {
	*drafting
	used       *levelled
	fromM, toM float64
}

// downSlope turns levels that were booked from the foot of a slope up.
func (l *levelled) downSlope() {
	if n := len(l.bed); l.unfit == "" && n > 1 && l.bed[n-1].LevelM > l.bed[0].LevelM {
		fromM := l.bed[n-1].ChainageM
		l.fromM = &fromM
		slices.Reverse(l.bed)
		for i := range l.bed {
			l.bed[i].ChainageM = fromM - l.bed[i].ChainageM
		}
	}
}

// part is the part that is planned: all that was levelled, unless the request ends it.
func (s *slope) part() bool {
	bed := s.used.bed
	lowM, highM := bed[0].ChainageM, bed[len(bed)-1].ChainageM
	s.fromM, s.toM = lowM, highM
	if m, given := s.own("fromM", lowM, highM); given {
		s.fromM = m
	}
	if m, given := s.own("toM", lowM, highM); given {
		s.toM = m
	}
	if len(s.Refused) > 0 {
		return false
	}
	if s.toM-s.fromM < 1 {
		s.refuse("toM: %v m is not beyond fromM, %v m.", s.toM, s.fromM)
		return false
	}
	least, gapAtM := s.level(s.fromM), s.fromM
	for _, b := range s.stations() {
		if b.ChainageM-gapAtM > gapM {
			s.miss("no levels between chainage %s and %s: book the slope there.", metres(gapAtM), metres(b.ChainageM))
		}
		if b.LevelM > least+roughM {
			s.refuse("the slope rises again by %s m at chainage %s: level it again if that is wrong, or end the plan above it by toM.", metres2(b.LevelM-least), metres(b.ChainageM))
			return false
		}
		gapAtM, least = b.ChainageM, min(least, b.LevelM)
	}
	return true
}

// stations are the levels of the part, with its ends.
func (s *slope) stations() (all section.Bed) {
	all = section.Bed{{ChainageM: s.fromM, LevelM: s.level(s.fromM)}}
	for _, b := range s.used.bed {
		if b.ChainageM > s.fromM && b.ChainageM < s.toM {
			all = append(all, b)
		}
	}
	return append(all, section.Station{ChainageM: s.toM, LevelM: s.level(s.toM)})
}

func (s *slope) level(m float64) float64 {
	levelM, _ := s.used.bed.LevelAt(m)
	return levelM
}

// fall puts in the slope of the land, by the levels at both ends and the tape between them, unless it is given.
// Chainages lie along the ground, and a slope is over the level.
func (s *slope) fall() {
	if s.has("landSlopePct") {
		return
	}
	pctOver := func(a, b section.Station) float64 {
		dropM, alongM := a.LevelM-b.LevelM, b.ChainageM-a.ChainageM
		return 100 * dropM / math.Sqrt(max(alongM*alongM-dropM*dropM, 1e-6))
	}
	all := s.stations()
	pct := pctOver(all[0], all[len(all)-1])
	s.in.put("landSlopePct", pct)
	alongM := s.toM - s.fromM
	levelM := max(s.used.plusMinusM(), section.StaffPlusMinusM)
	s.in.put("landSlopePlusMinusPct", math.Sqrt2*math.Hypot(100*levelM, pct*section.TapePlusMinusM)/alongM)
	low, high := pct, pct
	for i := 1; i < len(all); i++ {
		if all[i].ChainageM-all[i-1].ChainageM >= uneven.overM {
			one := pctOver(all[i-1], all[i])
			low, high = min(low, one), max(high, one)
		}
	}
	if low < pct/uneven.times || high > pct*uneven.times {
		s.miss("the slope is uneven, from %.1f to %.1f %%, and banks are laid out for %.1f: plan each part of it by itself, by fromM and toM.", low, high, pct)
	}
}

// uneven is a slope of which a part of a length falls so many times as steeply as the whole, or as gently.
// Common practice, no source.
var uneven = struct{ overM, times float64 }{10, 1.5}

// measures are what the officer says of every bank.
func (s *slope) measures() {
	var lacking []string
	for _, of := range []struct{ words, field, or string }{
		{"its length and grade (reaches)", "reaches", ""}, {"the lean of its face (bankRunPerRise)", "bankRunPerRise", ""}, {"the width of its crest (topWidthM)", "topWidthM", ""},
		{"its freeboard (freeboardM)", "freeboardM", ""}, {"how much it settles (settlementPct)", "settlementPct", ""}, {"the roughness of its channel (lining or manningN)", "lining", "manningN"},
	} {
		if !s.has(of.field, cmp.Or(of.or, of.field)) {
			lacking = append(lacking, of.words)
		}
	}
	if len(lacking) > 0 {
		s.refuse("the bank is not described: give %s.", inWords(lacking))
	}
	if !s.has("cover", "permissibleMS", "dispersive") {
		s.miss("what velocity the channel bears is not known, and is not judged: give cover, or permissibleMS by the local table.")
	}
}

// water is what the bank must carry: as given, else by an adopted peak flow; and the catchment that it comes from.
func (s *slope) water() {
	if !s.spaced() && !s.has("areaHa") {
		s.land()
	}
	if s.has("flowM3S", "depthM") {
		return
	}
	var flows []*recorded.Item
	for _, plan := range s.p.Plans() {
		if plan.Text("plans") == string(PeakFlow) && plan.Text("of") == s.item.ID {
			flows = append(flows, plan)
		}
	}
	unchanged := slices.DeleteFunc(slices.Clone(flows), func(plan *recorded.Item) bool { return len(s.p.Changed(plan)) > 0 })
	switch {
	case len(unchanged) > 1:
		s.refuse("%d peak flows to %s were adopted: strike out those that are not meant, or give flowM3S.", len(unchanged), s.item.Called())
		return
	case len(unchanged) == 0 && len(flows) > 0:
		s.refuse("%s rests on what has changed since: plan it again and adopt it, or give flowM3S.", flows[0].Called())
		return
	case len(unchanged) == 0:
		s.refuse("how much water comes is not known: give flowM3S, the peak of the design storm, or depthM. An adopted peak flow to a gully head is taken for a bank above it.")
		return
	}
	var out struct {
		FlowM3S          *float64 `json:"flowM3S"`
		FlowPlusMinusM3S *float64 `json:"flowPlusMinusM3S"`
	}
	answer, err := compute.Run(planned[PeakFlow].computation, []byte(unchanged[0].Text("input")))
	if err != nil || jsonvalue.Unmarshal(answer, &out) != nil || out.FlowM3S == nil {
		s.refuse("%s cannot be calculated any more: plan it again, or give flowM3S.", unchanged[0].Called())
		return
	}
	s.in.put("flowM3S", *out.FlowM3S)
	if out.FlowPlusMinusM3S != nil {
		s.in.put("flowPlusMinusM3S", *out.FlowPlusMinusM3S)
	}
	s.use(unchanged[0], "the peak flow, %v m³/s", *out.FlowM3S)
}

// land is the mapped catchment of a bank that stands alone.
func (s *slope) land() {
	areaHa := 0.0
	for c := range s.p.of("catchment") {
		if c != s.item && !holds(c.Geometry, s.item.Geometry) || s.refuseUnsettled(c, "geometry") {
			continue
		}
		area, ok := s.p.figures.Of(c.Feature).Figure("areaM2")
		switch {
		case !ok:
			s.leaveOut(c, "its boundary crosses itself or is not closed, so that it has no area")
		case areaHa > 0 && differ(areaHa, area.Value/1e4):
			s.refuse("%s lies in two catchments, of %s and %s ha: find out which is its own and strike the other out, or give areaHa.", s.item.Called(), metres2(areaHa), metres2(area.Value/1e4))
			return
		case areaHa == 0:
			areaHa = area.Value / 1e4
			s.in.put("areaHa", areaHa)
			if c != s.item {
				s.use(c, "the catchment, %s ha by its boundary", metres2(areaHa))
			}
		}
	}
}

// spaced tells whether a rule spaces banks down the slope.
func (s *slope) spaced() bool {
	return s.has("spacingRule", "slopeFactor", "constant", "rows") || s.in.has("spacingRule")
}

// spacing puts in the property's own rule for banks down a slope, unless the request names one or places a bank by
// itself.
func (s *slope) spacing() {
	set := s.p.settings()
	if s.spaced() || s.has("atM") || set == nil || set.Text("bankSpacingRule") == "" {
		return
	}
	if s.refuseUnsettled(set, "bankSpacingRule", "bankSpacingRows", "bankSpacingSource") {
		return
	}
	rule := set.Text("bankSpacingRule")
	if rule == "local" {
		if set.Fields["bankSpacingRows"] == nil {
			s.refuse("the property spaces banks by a local table, and its rows are not there: record bankSpacingRows in its settings, or give rows.")
			return
		}
		s.in.put("spacingRule", rule)
		s.in = append(s.in, member{"rows", set.Fields["bankSpacingRows"]})
		if source := set.Text("bankSpacingSource"); source != "" {
			s.in.put("ruleSource", source)
		}
	} else {
		s.in.put("spacingRule", rule)
	}
	s.useSettings(set, "the spacing of banks, "+rule)
}

// outlet puts in where the uppermost bank lets its water out: as given, at the level of the ground there.
func (s *slope) outlet() {
	var out map[string]json.RawMessage
	if jsonvalue.Unmarshal(s.request.Given["outlet"], &out) != nil || out == nil {
		s.refuse("where the water leaves is not known: give outlet, with kind, one of %s, whether it is stable, and whether water runs from there toGullyHead.", strings.Join(model.Each(graded.OutletKinds[:len(graded.OutletKinds)-1], func(k graded.OutletKind) string { return string(k) }), ", "))
		return
	}
	if out["levelM"] != nil {
		s.refuse("outlet.levelM comes from the level run: leave it out.")
		return
	}
	put := func(atM float64) {
		fields(out).put("levelM", rounded(s.level(atM)))
		s.in = slices.DeleteFunc(s.in, func(m member) bool { return m.name == "outlet" })
		s.in.put("outlet", out)
		s.placesM, s.levelsM = []float64{atM}, []float64{s.level(atM)}
	}
	refused := len(s.Refused)
	atM, given := s.own("atM", s.fromM, s.toM)
	switch {
	case len(s.Refused) > refused:
	case given && s.spaced():
		s.refuse("atM: banks by a spacing rule are counted from the top of the slope: leave it out, or the rule.")
	case given:
		put(atM)
	case !s.spaced():
		s.refuse("where the bank crosses the levels is not known: give atM, the chainage of its outlet down the slope, or spacingRule for banks all down it.")
	default:
		put(s.fromM)
		s.places(put)
	}
}

// places are those of banks by a spacing rule: the first one spacing below the top.
func (s *slope) places(first func(atM float64)) {
	try := slices.Clone(s.in)
	try.give(s.request.Given)
	answer, err := compute.Run(planned[Banks].computation, without(try, planned[Banks].own).json())
	var out struct {
		Spacing struct {
			AlongGroundM float64 `json:"alongGroundM"`
		} `json:"spacing"`
	}
	if err != nil || jsonvalue.Unmarshal(answer, &out) != nil || out.Spacing.AlongGroundM <= 0 {
		return // the answer says why there is none
	}
	apartM := out.Spacing.AlongGroundM
	if n := (s.toM - s.fromM) / apartM; n > mostPlanned {
		s.refuse("the rule would put %.0f banks down the slope, more than %d: is its unit right?", n, mostPlanned)
		return
	}
	places := placesDown(s.fromM, s.toM, apartM, s.standingM())
	if len(places) == 0 {
		switch {
		case len(s.standingM()) > 0:
			s.refuse("the rule puts banks %s m apart, and those that stand are nowhere farther: no bank is missing.", metres(apartM))
		default:
			s.refuse("the rule puts banks %s m apart, and the slope is %s m long: no bank divides it.", metres(apartM), metres(s.toM-s.fromM))
		}
		return
	}
	first(places[0])
	for _, m := range places[1:] {
		s.placesM, s.levelsM = append(s.placesM, m), append(s.levelsM, s.level(m))
	}
}

// placesDown are where banks go down a slope that are nowhere farther apart than the rule says: from its top, and
// from each bank that stands. Above one that stands they part the reach evenly, so that none comes close to it.
// Below the last, each goes one spacing down.
func placesDown(fromM, toM, apartM float64, standing []float64) (all []float64) {
	const aHair = 1e-9 // of a spacing, by which sums may miss it
	for _, m := range standing {
		n := math.Ceil((m-fromM)/apartM-aHair) - 1
		for k := 1.0; k <= n; k++ {
			all = append(all, fromM+k*(m-fromM)/(n+1))
		}
		fromM = m
	}
	n := math.Floor((toM-fromM)/apartM + aHair)
	for k := 1.0; k <= n; k++ {
		all = append(all, min(fromM+k*apartM, toM))
	}
	return all
}

func without(in input, names []string) input {
	return slices.DeleteFunc(in, func(m member) bool { return slices.Contains(names, m.name) })
}

// standing finds the banks of the slope that are proposed, pegged or built. Those by a spacing rule go on from the
// ones that are pegged or built.
func (s *slope) standing() {
	for bank := range s.p.of("diversion-bank", "contour-bank") {
		status := bank.Status()
		if bank.Text("slope") != s.item.ID || status == model.Failed || status == model.Removed {
			continue
		}
		stands := status != model.Proposed
		if stands && s.refuseUnsettled(bank, "slope", "chainageM", "status") {
			continue
		}
		m, ok := bank.Number("chainageM")
		switch atM := s.frame.up(m); {
		case !ok && stands:
			s.miss("where down the slope %s lets its water out: tape its chainage along the line that was levelled.", bank.Called())
		case ok && bank.Unsettled("slope", "chainageM", "status") == "":
			s.existing = append(s.existing, existing{item: bank, atM: atM, stands: stands})
			if stands && s.spaced() && atM > s.fromM && atM < s.toM {
				s.use(bank, "it is %s at chainage %s: the layout goes on from it", status, metres(atM))
			}
		}
	}
	model.SortStable(s.existing, func(a, b existing) int { return cmp.Compare(a.atM, b.atM) })
}

// standingM are the chainages of banks that stand in the part that is planned, from the top.
func (s *slope) standingM() (all []float64) {
	for _, e := range s.existing {
		if e.stands && e.atM > s.fromM && e.atM < s.toM {
			all = append(all, e.atM)
		}
	}
	return all
}
