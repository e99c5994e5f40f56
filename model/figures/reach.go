package figures

import (
	"cmp"
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/section"
)

// reach finds where each dam stands, up the gully: first those whose chainage was booked, then
// those whose toe meets the levelled bed, then by their own position those that were taped from
// no other dam, and last the rest. After each of these come those that were taped from a dam
// that then stands, or to one.
func (l *PropertyFigures) reach(t *thalweg) {
	free := func(d *dam) bool { return l.tapedFrom(d) == nil }
	for _, find := range []func(*dam) *standing{
		func(d *dam) *standing { return when(d.stood.booked, d, t.up) },
		func(d *dam) *standing { return when(free(d), d, t.byLevel) },
		t.byLevel,
		func(d *dam) *standing { return when(free(d), d, t.up) },
		t.up,
	} {
		for _, d := range t.dams {
			if d.at == nil {
				d.at = find(d)
			}
		}
		for found := true; found; {
			found = false
			for _, d := range t.dams {
				lower := l.tapedFrom(d)
				switch {
				case lower == nil || lower.in != t || lower.stood == nil:
				case d.at == nil && lower.at != nil:
					d.at, found = d.taped(lower, *d.upFromM, d), true
				case d.at != nil && lower.at == nil:
					lower.at, found = lower.taped(d, -*d.upFromM, d), true
				}
			}
		}
	}
	for _, d := range t.dams {
		d.upBefore = d.at
	}
}

func when(so bool, d *dam, find func(*dam) *standing) *standing {
	if !so {
		return nil
	}
	return find(d)
}

// tapedFrom is the dam below from whose toe the distance to a dam is known; nil for none.
func (l *PropertyFigures) tapedFrom(d *dam) *dam {
	if lower := l.dams[d.belowID]; d.upFromM != nil && lower != d {
		return lower
	}
	return nil
}

// taped is where a dam stands that is so far up from another one, by the distance that was
// written down for the upper of the two.
func (d *dam) taped(other *dam, upM float64, by *dam) *standing {
	at, from := *d.stood, other.at
	tapeM := handPlusMinusM(by.upFromBasis)
	at.chainageM, at.plusMinusM = from.chainageM+upM, model.JointPlusMinus(from.plusMinusM, tapeM)
	at.basis = model.Weakest(from.basis, by.upFromBasis)
	at.booked, at.from = from.booked, from.from
	at.spacingPlusMinusM = model.JointPlusMinus(from.spacingPlusMinusM, tapeM)
	at.tapeM, at.tapeBasis = model.JointPlusMinus(from.tapeM, tapeM), model.Weakest(from.tapeBasis, by.upFromBasis)
	return d.kept(at)
}

// pairLoose makes neighbours of dams whose chainages nobody knows, where one was taped from
// the other.
func (l *PropertyFigures) pairLoose(ids []string) {
	for _, id := range ids {
		d := l.dams[id]
		lower := l.tapedFrom(d)
		if lower != nil && lower.next == nil && d.below == nil && (lower.at == nil || d.at == nil) && !lower.gone() && !d.gone() {
			l.pair(lower, d, nil)
		}
	}
}

// gone tells that a dam holds nothing any more.
func (d *dam) gone() bool { return d.status == model.Failed || d.status == model.Removed }

// space finds how far apart two dams are: as it was taped from toe to toe, else by their
// chainages. Errors that both chainages share cancel: that of a fix that both were taped from,
// or of the line's place where each has a fix of its own. The place of chainage 0 on the line
// is in the spacing where only one of the two was measured from it.
func (p *pair) space() {
	low, up := p.lower.at, p.upper.at
	known := low != nil && up != nil
	if known {
		p.spacingM, p.basis = up.chainageM-low.chainageM, model.Weakest(low.basis, up.basis)
		switch {
		case low.from == up.from:
			p.plusMinusM, p.basis = model.JointPlusMinus(low.tapeM, up.tapeM), model.Weakest(low.tapeBasis, up.tapeBasis)
		case low.from != "" && up.from != "":
			p.plusMinusM = model.JointPlusMinus(low.spacingPlusMinusM, up.spacingPlusMinusM)
		default:
			p.plusMinusM = model.JointPlusMinus(low.plusMinusM, up.plusMinusM)
		}
	}
	if p.upper.upFromM == nil || p.upper.belowID != p.lower.id {
		return
	}
	by, plusMinusM := *p.upper.upFromM, handPlusMinusM(p.upper.upFromBasis)
	if off := math.Abs(by - p.spacingM); known && off > 3*max(0, model.JointPlusMinus(p.plusMinusM, plusMinusM))+section.TapePlusMinusM {
		p.contradicts = fmt.Sprintf("%s is %.1f m up by tape from toe to toe, but %.1f m by chainages: check which is right.", cmp.Or(p.upper.name, "The next dam upstream"), by, p.spacingM)
	}
	p.spacingM, p.plusMinusM, p.basis = by, plusMinusM, p.upper.upFromBasis
}
