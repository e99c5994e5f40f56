package figures

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/section"
)

// meeting is where along a gully the level of a dam's toe meets the levelled bed.
type meeting struct {
	upM, plusMinusM float64
	places          int // 0: nowhere, 2: more than one or on a stretch that does not rise
}

// meetingOf finds the one place where a toe stands on the levelled bed: where the bed, straight
// between its levels, rises to the toe, and where no other stretch of it comes within twice
// the error of the levels. The ± is half as far as bed and toe agree within that: on an even
// slope the error of the levels by the slope. Between its levels a bed errs by bedRoughM/2.
func (t *thalweg) meetingOf(d *dam) (m meeting) {
	if d.toe == nil || !t.bed.sound {
		return m
	}
	sdM := math.Hypot(bedRoughM/2, max(0, model.JointPlusMinus(d.toe.plusMinusM, t.bed.quality.LevelPlusMinusM)))
	low, high := d.toe.levelM-2*sdM, d.toe.levelM+2*sdM
	found, fromM, toM := false, 0.0, 0.0 // the stretch of the bed between these levels
	for i := 1; i < len(t.bed.bed); i++ {
		a, b := t.bed.bed[i-1], t.bed.bed[i]
		if max(a.LevelM, b.LevelM) < low || min(a.LevelM, b.LevelM) > high {
			continue
		}
		at := func(levelM float64) float64 {
			return a.ChainageM + (b.ChainageM-a.ChainageM)*(levelM-a.LevelM)/(b.LevelM-a.LevelM)
		}
		from := max(a.ChainageM, at(low))
		if b.LevelM <= a.LevelM || m.places > 0 && from > toM {
			return meeting{places: 2}
		}
		if m.places == 0 {
			fromM = from
		}
		m.places, toM = 1, min(b.ChainageM, at(high))
		if a.LevelM <= d.toe.levelM && d.toe.levelM <= b.LevelM {
			found, m.upM = true, at(d.toe.levelM)
		}
	}
	if !found { // past an end of the bed, however near
		return meeting{}
	}
	m.plusMinusM = math.Hypot(max(m.upM-fromM, toM-m.upM)/2, section.TapePlusMinusM)
	return m
}

// byLevel is where a dam stands on the levelled bed by the level of its toe, without a taped
// chainage; nil where that is not known, or where its fix cannot be there.
func (t *thalweg) byLevel(d *dam) *standing {
	m := t.meetingOf(d)
	if m.places != 1 {
		return nil
	}
	at := *d.stood
	if at.place != nil && t.match != nil {
		farM := 3*math.Hypot(max(0, at.plusMinusM), math.Hypot(m.plusMinusM, t.match.plusMinusM)) + t.stretch()*math.Abs(at.chainageM-t.match.holdsAtM)
		if math.Abs(t.match.upM(at.chainageM)-m.upM) > farM {
			return nil
		}
	}
	at.chainageM, at.plusMinusM, at.level = m.upM, m.plusMinusM, true
	at.basis = model.Weakest(d.toe.run.basis(), t.bed.quality.Basis)
	at.from, at.tapeM, at.tapeBasis = "", at.plusMinusM, at.basis
	return d.kept(at)
}

// stretch is by how much of itself the line on the map may differ from the tape in the bed: by
// what the two lengths do, where the bed was levelled along most of the line. A walked line
// grows with every step of the receiver, and a tape winds with the bed.
func (t *thalweg) stretch() float64 {
	bed := t.bed.bed
	if t.lengthM == 0 || len(bed) < 2 {
		return tapeStretch
	}
	tapedM := bed[len(bed)-1].ChainageM - bed[0].ChainageM
	if off := math.Abs(t.lengthM-tapedM) / max(t.lengthM, tapedM); off <= mostStretch || tapedM > t.lengthM {
		return min(max(tapeStretch, off), mostStretch)
	}
	return tapeStretch
}

// drawnOff tells whether the dam is drawn off the bed though its level and its place may well
// agree, as its chainage is known so poorly.
func (d *dam) drawnOff() bool {
	if _, off := d.offBed(); off || d.toe == nil || d.at == nil || !d.in.bed.sound {
		return false
	}
	bedM, ok := d.in.bed.bed.LevelAt(d.at.chainageM)
	return ok && math.Abs(bedM-d.toe.levelM) > bedRoughM+2*max(0, model.JointPlusMinus(d.toe.plusMinusM, d.in.bed.quality.LevelPlusMinusM))
}

// drawnOffWords say why, and what to do.
func (d *dam) drawnOffWords(called string) string {
	why := "its chainage is not known well enough"
	switch d.in.meetingOf(d).places {
	case 0:
		why = "its level meets the levelled bed nowhere"
	case 2:
		why = "its level meets the levelled bed in more than one place"
	}
	return fmt.Sprintf("%s toe at %.2f m is drawn off the bed: %s. Tape its chainage.", called, d.toe.levelM, why)
}
