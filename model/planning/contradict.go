package planning

import (
	"math"

	"headcut/model"
	"headcut/model/section"
)

// difference is how far the levels of another run stand from those of the run used.
type difference struct {
	atM, byM float64 // the worst, past what the two can err
	found    bool
	datumM   float64 // what all of it is higher by, where that is all there is
	isDatum  bool
}

// compare says where other closed runs of the bed differ from the one used. Of one day nobody can tell
// which is right, unless the request says; of another day the bed may have moved.
func (d *drafting) compare(used *levelled, all []*levelled) {
	for _, l := range all {
		if l == used || l.unfit != "" || !l.Proven {
			continue
		}
		if (l.fromM != nil) != (used.fromM != nil) {
			d.leaveOut(l.run, "it was booked from the other end of the gully: its chainages and those of the run used cannot be compared")
			continue
		}
		diff := used.against(l)
		on := "it differs by " + metres2(math.Abs(diff.byM)) + " m from " + used.Called + ofDay(used.ObservedOn) + " at chainage " + metres(diff.atM)
		switch {
		case !diff.found && d.request.Run != "":
			d.leaveOut(l.run, "you chose %s%s", used.Called, ofDay(used.ObservedOn))
		case !diff.found:
			d.leaveOut(l.run, "%s is the newer one", used.Called)
		case diff.isDatum:
			d.leaveOut(l.run, "all its levels stand about %s m from those of %s: is it on another datum?", metres2(math.Abs(diff.datumM)), used.Called)
		case l.ObservedOn == used.ObservedOn && d.request.Run == "":
			d.refuse("%s and %s, both%s, differ by %s m at chainage %s: level the bed there again and strike the wrong run out, or say which to use.", used.Called, l.Called, ofDay(used.ObservedOn), metres2(math.Abs(diff.byM)), metres(diff.atM))
		case l.ObservedOn == used.ObservedOn:
			d.leaveOut(l.run, "%s, and you chose that one", on)
		default:
			d.leaveOut(l.run, "%s: the bed has moved since, or one of the two is wrong", on)
		}
		if l.bed[0].ChainageM < used.bed[0].ChainageM-gapM || l.bed[len(l.bed)-1].ChainageM > used.bed[len(used.bed)-1].ChainageM+gapM {
			d.miss("%s%s levelled the bed from chainage %s to %s, beyond the run used: name it to plan on it.", l.Called, ofDay(l.ObservedOn), metres(l.bed[0].ChainageM), metres(l.bed[len(l.bed)-1].ChainageM))
		}
	}
}

// against holds the levels of another run against those of the one used, where both were levelled. A difference
// counts past roughM and two standard deviations of both levels and both chainages.
func (used *levelled) against(l *levelled) (diff difference) {
	levelM := 2 * max(0, model.JointPlusMinus(l.plusMinusM(), used.plusMinusM()))
	tapeM := 2 * math.Sqrt2 * section.TapePlusMinusM
	worst := 0.0
	var offs []float64
	for _, s := range l.bed {
		m, ok := used.bed.LevelAt(s.ChainageM)
		if !ok {
			continue
		}
		low, high := m, m
		for _, at := range []float64{s.ChainageM - tapeM, s.ChainageM + tapeM} {
			if near, ok := used.bed.LevelAt(at); ok {
				low, high = min(low, near), max(high, near)
			}
		}
		off := s.LevelM - m
		offs = append(offs, off)
		beyond := max(low-s.LevelM, s.LevelM-high) - roughM - levelM
		if beyond > worst {
			worst, diff.atM, diff.byM, diff.found = beyond, s.ChainageM, off, true
		}
	}
	if diff.found && len(offs) > 2 {
		model.Sort(offs)
		diff.datumM = offs[len(offs)/2]
		diff.isDatum = offs[len(offs)-1]-offs[0] < roughM+levelM
	}
	return diff
}

// plusMinusM is the largest ± of the run's levels; 0 where none is known.
func (l *levelled) plusMinusM() float64 {
	most := 0.0
	for _, s := range l.Spots {
		most = max(most, s.PlusMinusM)
	}
	return most
}
