package figures

import (
	"cmp"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/section"
)

// levelledBed is the bed of a thalweg as its level runs give it.
type levelledBed struct {
	bed     section.Bed
	quality section.Quality
	notes   []string // what was left out, and what is doubtful
	down    bool     // booked from the head down, and not turned yet
	sound   bool     // it can be computed with
}

// bedOf gathers the bed levels of a thalweg. Levels of closed runs stand alone where they
// make a bed; only without them are open runs used, and the bed is then unproven. Where
// two levels share a chainage the better run's is kept.
func (l *PropertyFigures) bedOf(t *thalweg) levelledBed {
	var all []*spot
	untaped, absurd := 0, 0
	for _, s := range l.spots[t.id] {
		switch {
		case s.place != model.BedSpot:
		case s.chainageM == nil:
			untaped++
		case !(*s.chainageM >= 0 && *s.chainageM <= section.MaxChainageM):
			absurd++
		default:
			all = append(all, s)
		}
	}
	var b levelledBed
	note := func(n int, text string) {
		if n > 0 {
			b.notes = append(b.notes, fmt.Sprintf(text, n))
		}
	}
	note(untaped, "%d bed levels have no taped chainage and were left out.")
	note(absurd, "%d bed levels have a chainage that is none and were left out.")
	closed := slices.DeleteFunc(slices.Clone(all), func(s *spot) bool { return !s.run.proven })
	b.quality = section.LevelledAndTaped
	if len(closed) >= 2 {
		note(len(all)-len(closed), "%d bed levels are from a run that is not closed and were left out.")
		all = closed
	} else if len(all) > 0 {
		b.quality.Basis, b.quality.LevelPlusMinusM = model.Unproven, -1
		b.notes = append(b.notes, "The bed's"+notChecked)
	}
	model.SortStable(all, func(x, y *spot) int {
		return cmp.Or(cmp.Compare(*x.chainageM, *y.chainageM), better(x.run, y.run))
	})
	twice := 0
	runs := map[*run]bool{}
	for _, s := range all {
		if n := len(b.bed); n > 0 && *s.chainageM-b.bed[n-1].ChainageM < section.LeastApartM {
			twice++
			continue
		}
		runs[s.run] = true
		b.bed = append(b.bed, section.Station{ChainageM: *s.chainageM, LevelM: s.levelM})
	}
	note(twice, "%d bed levels share a chainage with a better one and were left out.")
	if len(runs) > 1 {
		note(len(runs), "The bed's levels are from %d runs, taken to be on one datum.")
	}
	b.down = b.bed.BookedDown()
	err := b.bed.Check()
	if b.sound = err == nil; err != nil && len(b.bed) > 0 {
		b.notes = append(b.notes, "The bed cannot be computed with. "+inWords(err))
	}
	return b
}

// turned is a bed booked from the head down, from its downstream end up: its chainages are
// what is left of fromM.
func (b levelledBed) turned(fromM float64) levelledBed {
	b.bed = slices.Clone(b.bed)
	slices.Reverse(b.bed)
	for i := range b.bed {
		b.bed[i].ChainageM = fromM - b.bed[i].ChainageM
	}
	b.sound = b.bed.Check() == nil
	b.notes = append(slices.Clone(b.notes), "The bed was booked from the head down and has been turned: chainages here run up the gully from its downstream end.")
	return b
}

func (l *PropertyFigures) judgeThalweg(s *Sheet, f model.Feature) {
	t := l.thalwegs[f.ID]
	if t == nil {
		return
	}
	b := t.bed
	if p, err := section.LongSection(b.bed, b.quality); err == nil {
		s.Figures = append(s.Figures,
			fall.figure(p.FallM, p.FallPlusMinusM, b.quality.Basis),
			meanSlope.figure(p.MeanSlopePct, p.MeanSlopePlusMinusPct, b.quality.Basis))
	}
	for _, text := range b.notes {
		s.caution(fall.name, text)
	}
}
