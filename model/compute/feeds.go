package compute

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/banks"
	"headcut/model/section"
	"headcut/model/treatment"
	"headcut/model/works"
)

// What each computation takes over from the answers of others. Values of the same name
// and meaning go over by themselves.

func longSectionFeeds() []feed {
	return []feed{takes("level-run", nil, func(run levelRunOut, in *longSectionIn, given func(string) bool) error {
		if given("bed") {
			return nil
		}
		features := map[string]bool{}
		for _, r := range run.Rows {
			if in.Feature != "" && r.Feature != in.Feature {
				continue
			}
			level := r.AdjustedLevelM
			if level == nil {
				level = r.LevelM
			}
			if r.ChainageM != nil && level != nil && (r.Spot == "" || r.Spot == "bed") {
				in.Bed = append(in.Bed, section.Point{ChainageM: r.ChainageM, LevelM: *level})
				features[r.Feature] = true
			}
		}
		switch {
		case len(features) > 1:
			return ofSeveral(features, "bed")
		case in.Bed == nil && in.Feature != "":
			return &model.Problem{Path: "feature", Reason: "no row of the level run has a chainage and the feature " + in.Feature}
		case in.Bed == nil:
			return &model.Problem{Path: "rows", Reason: "no row of the level run has a chainage", Fix: "book chainageM beside each level of the bed"}
		}
		in.Feature = ""
		model.SortStable(in.Bed, func(a, b section.Point) int { return cmp.Compare(*a.ChainageM, *b.ChainageM) })
		return nil
	})}
}

// ofSeveral refuses rows of a level run that are of several features.
func ofSeveral(features map[string]bool, what string) *model.Problem {
	names := model.Keys(features)
	if names[0] == "" {
		names[0] = "none"
	}
	return &model.Problem{Path: "rows", Reason: "are of several features (" + strings.Join(names, ", ") + "), and a " + what + " is of one", Fix: "say whose rows to take, as with --set feature=" + names[1]}
}

func damLayoutFeeds() []feed {
	return []feed{takes[longSectionOut, damLayoutIn]("long-section", nil, nil)}
}

func damCheckFeeds() []feed {
	return []feed{takes("dam-layout", nil, func(layout damLayoutOut, in *damCheckIn, given func(string) bool) error {
		if given("dams") {
			return nil
		}
		in.Dams = make([]damIn, len(layout.Dams))
		for i, d := range layout.Dams {
			in.Dams[i] = damIn{ChainageM: d.ChainageM, ToeLevelM: &d.BedLevelM, CrestLevelM: d.CrestLevelM, BuriedM: d.BuriedM}
		}
		return nil
	})}
}

func treatmentChoiceFeeds() []feed {
	// Length and slope are those of a track or fence, or the slope that of a gully's bed.
	return []feed{takes("long-section", []string{"lengthM", "lengthPlusMinusM"}, func(s longSectionOut, in *treatmentChoiceIn, given func(string) bool) error {
		if !given("what") {
			in.What = string(treatment.Gully)
		}
		if what := treatment.What(in.What); what == treatment.Track || what == treatment.Fence {
			if !given("slopePct") {
				in.SlopePct = estimate{math.Abs(s.MeanSlopePct.Value), s.MeanSlopePct.PlusMinus}.optional()
			}
			if !given("lengthM") {
				in.LengthM = s.LengthM.optional()
			}
			return nil
		}
		if !given("bedSlopePct") {
			in.BedSlopePct = s.MeanSlopePct.optional()
		}
		return nil
	})}
}

func peakFlowFeeds() []feed {
	return []feed{takes("time-of-concentration", []string{"intensityMmH"}, func(t timeOfConcentrationOut, in *peakFlowIn, given func(string) bool) error {
		switch {
		case given("intensityMmH"):
		case in.Durations != nil && !given("timeOfConcentrationMin"):
			in.TimeOfConcentrationMin = t.Minutes.optional()
		case in.Durations == nil:
			in.IntensityMmH = t.IntensityMmH
		}
		if in.Parts != nil {
			in.AreaHa = optional{} // the parts go before the whole
		}
		return nil
	})}
}

func notchFeeds() []feed {
	// A runoff coefficient is not that of a weir.
	return []feed{takes[peakFlowOut, notchIn]("peak-flow", []string{"coefficient", "coefficientPlusMinus"}, nil)}
}

func rockDamFeeds() []feed {
	return []feed{takes("notch", nil, func(n notchOut, in *rockDamIn, given func(string) bool) error {
		if !given("notchDepthM") {
			in.NotchDepthM = n.AbutmentHeightM.Value
		}
		if !given("notchLengthM") {
			in.NotchLengthM = n.CrestLengthM.Value
		}
		return nil
	})}
}

// quantitiesFeeds price what one work takes.
func quantitiesFeeds() []feed {
	work := func(in *quantitiesIn, treatment string, items []works.Quantity) {
		if in.Works != nil {
			return
		}
		w := workIn{Treatment: treatment}
		for _, i := range items {
			w.Items = append(w.Items, itemIn{Item: i.Item, Unit: i.Unit, Quantity: valueIn{i.Amount, known(i.PlusMinus)}, TonnesPerM3: i.TonnesPerM3})
		}
		in.Works = []workIn{w}
	}
	return []feed{
		takes("rock-dam", nil, func(d rockDamOut, in *quantitiesIn, _ func(string) bool) error {
			work(in, "check-dam", d.Items)
			return nil
		}),
		takes("batter", nil, func(b batterOut, in *quantitiesIn, _ func(string) bool) error {
			work(in, "batter", b.Items)
			return nil
		}),
		takes("gully-volume", nil, func(v gullyVolumeOut, in *quantitiesIn, _ func(string) bool) error {
			work(in, "other", v.Items)
			return nil
		}),
	}
}

func whoaBoyCheckFeeds() []feed {
	return []feed{takes("whoa-boys", nil, func(planned whoaBoysOut, in *whoaBoyCheckIn, given func(string) bool) error {
		if given("banks") {
			return nil
		}
		in.Banks = make([]builtBank, len(planned.Banks))
		for i, b := range planned.Banks {
			in.Banks[i] = builtBank{Name: fmt.Sprintf("bank %d", i+1), ChainageM: &b.ChainageM, Side: string(b.Side)}
		}
		for i := range planned.StandingM {
			in.Banks = append(in.Banks, builtBank{Name: fmt.Sprintf("standing bank %d", i+1), ChainageM: &planned.StandingM[i]})
		}
		return nil
	})}
}

func soilLossFeeds() []feed {
	return []feed{takes("cover", nil, func(c groundCoverOut, in *soilLossIn, given func(string) bool) error {
		switch {
		case !given("coverAfterPct"):
			in.CoverAfterPct = valueIn{c.CoverPct, known(c.PlusMinusPct)}
		case !given("coverBeforePct"):
			in.CoverBeforePct = valueIn{c.CoverPct, known(c.PlusMinusPct)}
		}
		if !given("coverBeforePct") && !given("coverAfterPct") {
			return &model.Problem{Path: "coverBeforePct", Reason: "is missing", Fix: "give the cover before; that of the answer is the cover after. Give coverAfterPct instead, and it is the cover before"}
		}
		return nil
	})}
}

// bankLayoutFeeds size a bank by its catchment's peak.
func bankLayoutFeeds() []feed {
	return []feed{takes[peakFlowOut, bankLayoutIn]("peak-flow", nil, nil)}
}

func bankCheckFeeds() []feed {
	return []feed{
		takes("level-run", nil, func(run levelRunOut, in *bankCheckIn, given func(string) bool) error {
			if given("pegs") {
				return nil
			}
			return in.levelled(run, given("levelPlusMinusM"))
		}),
		takes("bank-layout", nil, func(planned bankLayoutOut, in *bankCheckIn, given func(string) bool) error {
			if !given("outletAt") {
				in.OutletAt = "first peg"
				if planned.ChainageFrom == string(banks.Top) {
					in.OutletAt = "last peg"
				}
			}
			return nil
		}),
		takes[peakFlowOut, bankCheckIn]("peak-flow", nil, nil),
	}
}

// levelled takes the rows of a level run that have a chainage for pegs of a bank: those on its
// crest go beside those in its channel at the same chainage.
func (in *bankCheckIn) levelled(run levelRunOut, sure bool) error {
	crests, features := map[float64]*float64{}, map[string]bool{}
	for _, r := range run.Rows {
		level, spot := cmp.Or(r.AdjustedLevelM, r.LevelM), model.Spot(r.Spot)
		if r.ChainageM == nil || level == nil || in.Feature != "" && r.Feature != in.Feature {
			continue
		}
		switch spot {
		case model.CrestSpot:
			crests[*r.ChainageM] = level
		case "", model.BedSpot, model.PegSpot:
			in.Pegs = append(in.Pegs, banks.Found{Name: r.Point, ChainageM: *r.ChainageM, LevelM: *level})
		default:
			continue
		}
		features[r.Feature] = true
		if r.PlusMinusM != nil && !sure && model.Basis(run.Basis) == model.Levelled {
			in.LevelPlusMinusM = new(max(*r.PlusMinusM, orElse(in.LevelPlusMinusM, 0)))
		}
	}
	in.Feature = ""
	switch {
	case len(features) > 1:
		return ofSeveral(features, "bank")
	case in.Pegs == nil:
		return &model.Problem{Path: "rows", Reason: "no row of the level run has a chainage in the channel of a bank", Fix: "book chainageM beside each level along the bank, and the spot crest beside those of its crest"}
	}
	model.SortStable(in.Pegs, func(a, b banks.Found) int { return cmp.Compare(a.ChainageM, b.ChainageM) })
	for i, p := range in.Pegs {
		in.Pegs[i].CrestLevelM = crests[p.ChainageM]
		delete(crests, p.ChainageM)
	}
	if len(crests) > 0 {
		return &model.Problem{Path: "rows", Reason: fmt.Sprintf("a crest was levelled at %v m and no channel", slices.Min(slices.Collect(maps.Keys(crests)))), Fix: "level the channel beside each crest, at the same chainage"}
	}
	return nil
}

func forageBudgetFeeds() []feed {
	return []feed{takes("cover", nil, func(c groundCoverOut, in *forageBudgetIn, given func(string) bool) error {
		if !given("coverPlusMinusPct") {
			in.CoverPct.PlusMinus = known(c.PlusMinusPct)
		}
		if !given("coverLowPct") && !given("coverHighPct") {
			in.CoverLowPct, in.CoverHighPct = &c.LowPct, &c.HighPct
		}
		if local, ok := model.Find(c.Targets, func(v coverVerdict) bool { return v.Target == "local" }); ok && in.CoverTarget == "" && !given("coverTargetPct") {
			in.CoverTargetPct = &local.TargetPct
		}
		return nil
	})}
}
