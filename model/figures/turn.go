package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/works"
)

// turn finds which way a thalweg's taped chainages run, turns those that run down the gully,
// and matches its line to them. The levelled bed decides; only without one do the toes of
// dams, and only by a clear majority of them: one bad peg turns no gully. Where the line
// cannot be matched, dams that only their position places stand nowhere along it.
func (l *PropertyFigures) turn(t *thalweg) {
	t.bed, t.tapedFromM = l.bedOf(t), nil
	var taped, drawn []*dam
	for _, d := range t.dams {
		if d.onPaper() {
			continue
		} else if d.stood.booked {
			taped = append(taped, d)
		} else if d.stood.place != nil {
			drawn = append(drawn, d)
		}
	}
	t.odd = nil
	byTape, byLine := directionOf(taped), directionOf(drawn)
	levelled := len(t.bed.bed) >= 2
	if t.bed.down || !levelled && byTape.falls {
		fromM := 0.0
		for _, s := range t.bed.bed {
			fromM = max(fromM, s.ChainageM)
		}
		for _, d := range taped {
			fromM = max(fromM, d.stood.chainageM)
		}
		t.tapedFromM = &fromM
		if t.bed.down {
			t.bed = t.bed.turned(fromM)
		}
	}
	t.taped = levelled || len(taped) > 0
	var ties []tie
	if t.taped && t.lengthM > 0 {
		every := 1 + (len(t.dams)-1)/maxTies
		for i := 0; i < len(t.dams); i += every {
			if p, ok := t.tieOf(t.dams[i]); ok {
				ties = append(ties, p)
			}
		}
	}
	t.match = t.matchOf(ties, byLine)
	if !levelled { // else the bed tells which of them is off it
		for _, w := range []direction{byTape, byLine} {
			if w.odd != nil {
				t.odd = append(t.odd, w.odd)
			}
		}
	}
	l.reach(t)
	t.dams, t.nowhere = slices.DeleteFunc(t.dams, func(d *dam) bool { return d.at == nil }), len(t.dams)
	t.nowhere -= len(t.dams)
}

// up is where a dam stands, up the gully; nil where nobody knows. What was found before is
// returned where it still holds, so that what rests on it is not worked out again.
func (t *thalweg) up(d *dam) *standing {
	at := *d.stood
	switch m := t.match; {
	case at.booked:
		if t.tapedFromM != nil {
			at.turned, at.turnedFromM = true, *t.tapedFromM
			at.chainageM = at.turnedFromM - at.chainageM
		}
		at.misfit = t.misfit(d)
	case m == nil || at.place == nil:
		return nil
	default:
		if m.down {
			at.turned, at.turnedFromM = true, m.atFirstM
		}
		at.chainageM, at.plusMinusM = m.upM(at.chainageM), model.JointPlusMinus(at.plusMinusM, m.plusMinusM)
	}
	return d.kept(at)
}

// kept is a standing as it was found before, where it still holds.
func (d *dam) kept(at standing) *standing {
	if at == *d.stood {
		return d.stood
	}
	if d.upBefore != nil && *d.upBefore == at {
		return d.upBefore
	}
	return &at
}

// LeftOut is the note on dams that lie nowhere along their thalweg.
const LeftOut = "Dams without a taped chainage are left out: it is not known which end of the line is chainage 0. Say so on the thalweg, or tape their chainages."

// turnNotes are about what of a thalweg's chainages was turned besides its bed, and about
// dams that do not fit it.
func (t *thalweg) turnNotes() []string {
	var notes []string
	if t.tapedFromM != nil && len(t.bed.bed) < 2 {
		notes = append(notes, "The dams' chainages were booked from the head down, as their toes fall going up them, and have been turned.")
	}
	if t.match != nil && t.match.down {
		notes = append(notes, "The thalweg was drawn from the head down and has been turned.")
	}
	if t.nowhere > 0 {
		notes = append(notes, LeftOut)
	}
	for _, d := range t.odd {
		notes = append(notes, d.oddWords())
	}
	for _, d := range t.dams {
		if d.at.misfit != "" {
			notes = append(notes, cmp.Or(d.name, "A dam")+": its "+d.at.misfit)
		}
		if bedM, off := d.offBed(); off {
			notes = append(notes, d.offBedWords(cmp.Or(d.name, "A dam")+": its", bedM))
		} else if d.drawnOff() {
			notes = append(notes, d.drawnOffWords(cmp.Or(d.name, "A dam")+": its"))
		}
	}
	for _, p := range t.pairs {
		if m, ok := p.plannedStep(); ok && math.Abs(m) > works.DamToleranceM {
			notes = append(notes, fmt.Sprintf("%s and %s as pegged: %s", cmp.Or(p.lower.name, "a dam"), cmp.Or(p.upper.name, "the next dam upstream"), plannedWords(m)))
		}
	}
	return notes
}

// plannedWords are of a step that pegs leave open or close too far.
func plannedWords(stepM float64) string {
	if stepM > 0 {
		return fmt.Sprintf("the upper toe stands %.2f m above the lower crest to be built, a gap.", stepM)
	}
	return fmt.Sprintf("the upper toe stands %.2f m below the lower crest to be built and will drown in silt.", -stepM)
}
