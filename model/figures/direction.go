package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/section"
)

// direction is which way the chainages of dams run, by their levelled toes.
type direction struct {
	rises, falls bool // a clear majority of neighbours says that the chainages run up, or down, the gully
	odd          *dam // the one that contradicts all others; nil: none, or more than one could be it
}

// clearMajority is how many times as many neighbours must say a direction as deny it, for a
// gully to be turned by its dams. Common practice, no source: one bad peg between two good
// ones is one against one.
const clearMajority = 2

// directionOf asks the toes of dams, neighbour by neighbour. Toes of two open runs may be on
// two datums and tell nothing, nor do toes that are nearly level.
func directionOf(dams []*dam) direction {
	dams = slices.DeleteFunc(slices.Clone(dams), func(d *dam) bool { return d.toe == nil })
	model.SortStable(dams, func(a, b *dam) int { return cmp.Compare(a.stood.chainageM, b.stood.chainageM) })
	rises, falls := steps(dams, nil)
	w := direction{rises: rises > 0 && rises >= clearMajority*falls, falls: falls > 0 && falls >= clearMajority*rises}
	if rises == 0 || falls == 0 {
		return w
	}
	for _, d := range dams {
		r, f := steps(dams, d)
		agree := f == 0
		if w.falls {
			agree = r == 0
		}
		if agree && r+f > 0 {
			if w.odd != nil {
				w.odd = nil // it could be either
				break
			}
			w.odd = d
		}
	}
	return w
}

// steps counts the neighbours, without one dam, that rise and that fall going along.
func steps(dams []*dam, without *dam) (rises, falls int) {
	var below *dam
	for _, d := range dams {
		if d == without {
			continue
		}
		if below != nil && oneDatum(below.toe, d.toe) {
			switch {
			case section.RunsDown(d.toe.levelM, below.toe.levelM):
				rises++
			case section.RunsDown(below.toe.levelM, d.toe.levelM):
				falls++
			}
		}
		below = d
	}
	return rises, falls
}

// oddWords name the dam whose toe contradicts all its neighbours.
func (d *dam) oddWords() string {
	return fmt.Sprintf("The toe of %s, %.2f m, contradicts those of the other dams along the gully: check its reading and its place.", cmp.Or(d.name, "one dam"), d.toe.levelM)
}

// bedRoughM is how far a toe may stand off the straight line between two levels of the bed:
// stones and pools between them. Common practice, no source.
const bedRoughM = 0.1

// offBed tells whether the toe stands where the levelled bed cannot be, anywhere within two
// standard deviations of the dam's chainage; bedM is the bed's level at the chainage itself.
func (d *dam) offBed() (bedM float64, off bool) {
	if d.toe == nil || d.at == nil || d.at.plusMinusM < 0 || !d.in.bed.sound {
		return 0, false
	}
	bed, at := d.in.bed.bed, d.at.chainageM
	bedM, ok := bed.LevelAt(at)
	if !ok {
		return 0, false
	}
	low, high := bedM, bedM
	take := func(m float64) { low, high = min(low, m), max(high, m) }
	from, to := at-2*d.at.plusMinusM, at+2*d.at.plusMinusM
	for _, end := range []struct{ m, beyond float64 }{{from, math.Inf(-1)}, {to, math.Inf(1)}} {
		if m, ok := bed.LevelAt(end.m); ok {
			take(m)
		} else {
			take(end.beyond) // it may stand below the mouth or above the head of what was levelled
		}
	}
	for _, s := range bed {
		if s.ChainageM > from && s.ChainageM < to {
			take(s.LevelM)
		}
	}
	tolerance := bedRoughM + 2*max(0, model.JointPlusMinus(d.toe.plusMinusM, d.in.bed.quality.LevelPlusMinusM))
	return bedM, d.toe.levelM < low-tolerance || d.toe.levelM > high+tolerance
}

// offBedWords say that a toe's level and its place do not agree, and what to do.
func (d *dam) offBedWords(called string, bedM float64) string {
	todo := "tape its chainage, or check the reading"
	if d.at.basis == model.Taped {
		todo = "check its reading and its chainage"
	}
	return fmt.Sprintf("%s toe is levelled at %.2f m, but the bed at chainage %.1f m at %.2f m. Its level and its place do not agree: %s.", called, d.toe.levelM, d.at.chainageM, bedM, todo)
}

// plannedStep is the step from the crest that the lower dam is pegged for to the toe of the
// upper one, by levels of one datum; false once the crest is levelled, or without either.
func (p *pair) plannedStep() (stepM float64, ok bool) {
	lower, upper := p.lower, p.upper
	if lower.crest != nil || lower.targetM == nil || lower.toe == nil || upper.toe == nil || !oneDatum(lower.toe, upper.toe) {
		return 0, false
	}
	return upper.toe.levelM - *lower.targetM, true
}
