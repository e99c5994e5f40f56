package figures

import (
	"cmp"
	"slices"
)

// turn finds which of a thalweg's chainages run down the gully, though they should run up
// it, and turns them. The levels tell: of the bed, else of the toes of dams, for what was
// taped; of the toes of dams without a taped chainage for the line as it was drawn.
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
	if t.bed.down || len(t.bed.bed) < 2 && toesFall(taped) {
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
	if toesFall(drawn) {
		t.drawnFromM = &t.lengthM
	}
	for _, d := range t.dams {
		d.at = d.stood.turned(t, d.turnedBefore)
		d.turnedBefore = d.at
	}
}

// toesFall tells whether the levelled toes of dams fall going up their chainages. Toes of
// two runs may be on two datums and tell nothing.
func toesFall(dams []*dam) bool {
	dams = slices.DeleteFunc(slices.Clone(dams), func(d *dam) bool { return d.toe == nil })
	if len(dams) < 2 {
		return false
	}
	byChainage := func(a, b *dam) int { return cmp.Compare(a.stood.chainageM, b.stood.chainageM) }
	low, high := slices.MinFunc(dams, byChainage), slices.MaxFunc(dams, byChainage)
	return low.toe.run == high.toe.run && low.toe.levelM-high.toe.levelM > bookedDownM
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

// turnNotes are about what of a thalweg's chainages was turned besides its bed.
func (t *thalweg) turnNotes() []string {
	var notes []string
	if t.tapedFromM != nil && len(t.bed.bed) < 2 {
		notes = append(notes, "The dams' chainages were booked from the head down, as their toes fall going up them, and have been turned.")
	}
	if t.drawnFromM != nil {
		notes = append(notes, "The thalweg was drawn from the head down, as the toes of the dams along it fall, and has been turned.")
	}
	if t.tapedFromM != nil && t.drawnFromM == nil && slices.ContainsFunc(t.dams, func(d *dam) bool { return !d.at.booked }) {
		notes = append(notes, "Dams without a taped chainage stand where their position lies along the thalweg as drawn: tape their chainages.")
	}
	return notes
}
