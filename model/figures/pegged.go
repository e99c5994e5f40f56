package figures

import (
	"math"
	"slices"
	"strings"

	"headcut/model"
)

// notChecked is said of all levels from a run that does not prove them, behind whose they are.
const notChecked = " levels are not yet checked by a closed level run."

// peggedLevel is the field with the level of the ground at which something was pegged by
// the level run that "levelRun" names.
const peggedLevel = "levelM"

// peggedKinds have both fields; a dam has its toe, which is levelled in a row of its own.
var peggedKinds = []string{"whoa-boy", "peg"}

// sameLevelM is how far a level as pegged may be from the one in the book, which may have
// been written to a centimetre.
const sameLevelM = 0.0051

// judgePegged marks what was pegged by a run that does not prove the level of the peg: one
// that is not closed there, does not have the level any more, or is not among the features.
func (l *PropertyFigures) judgePegged(s *Sheet, f model.Feature) {
	id := f.Text("levelRun")
	if id == "" || !slices.Contains(peggedKinds, f.Kind) {
		return
	}
	if levelM, ok := f.Number(peggedLevel); ok && !l.runs[id].proves(f.Text("name"), levelM) {
		s.caution(peggedLevel, "Its"+notChecked)
	}
}

// proves tells whether a level stands in the proven part of the run. Of several rows with that
// level those count that the name ends on: a whoa-boy is called as its row, and a peg by its
// line and its row. Where no row is called so, all of them must be proven.
func (r *run) proves(name string, levelM float64) bool {
	if r == nil {
		return false
	}
	name = strings.ToLower(name)
	proven, called := false, false
	for i, found := 0, false; i < len(r.read); i++ {
		row := &r.read[i]
		if min(math.Abs(row.reducedM-levelM), math.Abs(row.adjustedM-levelM)) > sameLevelM {
			continue
		}
		byName := row.point != "" && strings.HasSuffix(name, row.point)
		switch {
		case !found, byName && !called:
			proven = row.proven
		case byName == called:
			proven = proven && row.proven
		}
		found, called = true, called || byName
	}
	return proven
}

// PeggedFields hold what was worked out at a peg from levels of its run.
var PeggedFields = []string{peggedLevel, "trackSlopePct"}

// Unproven is the caution that no closed run proves the levels of the PeggedFields; none where one does.
func (s Sheet) Unproven() []model.Caution {
	return slices.DeleteFunc(slices.Clone(s.Cautions), func(c model.Caution) bool { return c.About != peggedLevel })
}
