package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model/works"
)

// turn finds which of a thalweg's chainages run down the gully, though they should run up
// it, and turns them. The levelled bed decides; only without one do the toes of dams, and
// only by a clear majority of them: one bad peg turns no gully.
func (l *Land) turn(t *thalweg) {
	t.bed, t.tapedFromM, t.drawnFromM = l.bedOf(t), nil, nil
	var taped, drawn []*dam
	for _, d := range t.dams {
		if d.stood.booked {
			taped = append(taped, d)
		} else {
			drawn = append(drawn, d)
		}
	}
	t.odd = nil
	byTape, byLine := heard(taped), heard(drawn)
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
	if !levelled && byLine.falls || levelled && t.bedTurns(drawn) {
		t.drawnFromM = &t.lengthM
	}
	if !levelled { // else the bed tells which of them is off it
		for _, w := range []witness{byTape, byLine} {
			if w.odd != nil {
				t.odd = append(t.odd, w.odd)
			}
		}
	}
	for _, d := range t.dams {
		d.at = d.stood.turned(t, d.turnedBefore)
		d.turnedBefore = d.at
	}
}

// turned is where a dam stands, up the gully. What was found before is returned where it
// still holds, so that what rests on it is not worked out again.
func (at *standing) turned(t *thalweg, before *standing) *standing {
	fromM := t.drawnFromM
	if at.booked {
		fromM = t.tapedFromM
	}
	if fromM == nil {
		return at
	}
	up := *at
	up.chainageM, up.turnedFromM = *fromM-at.chainageM, new(*fromM)
	if before != nil && before.turnedFromM != nil && *before.turnedFromM == *fromM && before.chainageM == up.chainageM && before.place == up.place {
		return before
	}
	return &up
}

// turnNotes are about what of a thalweg's chainages was turned besides its bed, and about
// dams that do not fit it.
func (t *thalweg) turnNotes() []string {
	var notes []string
	if t.tapedFromM != nil && len(t.bed.bed) < 2 {
		notes = append(notes, "The dams' chainages were booked from the head down, as their toes fall going up them, and have been turned.")
	}
	if t.drawnFromM != nil {
		notes = append(notes, "The thalweg was drawn from the head down, as the levels along it tell, and has been turned.")
	}
	if t.tapedFromM != nil && t.drawnFromM == nil && slices.ContainsFunc(t.dams, func(d *dam) bool { return !d.at.booked }) {
		notes = append(notes, "Dams without a taped chainage stand where their position lies along the thalweg as drawn: tape their chainages.")
	}
	for _, d := range t.odd {
		notes = append(notes, d.oddWords())
	}
	for _, d := range t.dams {
		if bedM, off := d.offBed(); off {
			notes = append(notes, d.offBedWords(cmp.Or(d.name, "A dam")+": its", bedM))
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
