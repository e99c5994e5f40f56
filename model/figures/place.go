package figures

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"
)

// farOffM is how far from its thalweg a taped dam may be fixed before people are told,
// beyond three times the accuracy of the fix. Common practice, no source: gullies that
// take small dams are narrower.
const farOffM = 10

func newThalweg(f model.Feature) *thalweg {
	t := &thalweg{id: f.ID, name: f.Text("name"), accuracyM: accuracy(f), basis: placeBasis(f), zeroAt: f.Text("chainageZero")}
	var p parts
	p.add(f.Geometry, 0)
	if len(p.lines) != 1 { // branches and pieces have no one chainage
		return t
	}
	if m := geodesy.Length(p.lines[0]); m > 0 && !math.IsInf(m, 0) {
		t.line, t.lengthM = p.lines[0], m
	}
	return t
}

// standing is where along a thalweg a dam stands.
type standing struct {
	chainageM, plusMinusM float64
	basis                 model.Basis
	spacingPlusMinusM     float64        // of the chainage against others on the same thalweg that their own fix places
	from                  string         // id of the dam whose fix placed it, its own or one it was taped from; "" where it rests on a booked chainage
	tapeM                 float64        // ± of what was taped from there; with from "" of the chainage
	tapeBasis             model.Basis    // of the same
	place                 *section.Place // of the fix; nil without one
	offsetPlusMinusM      float64
	booked                bool // the chainage was written down, not found from the fix
	turned                bool // chainageM is what is left of turnedFromM; else as booked or drawn
	turnedFromM           float64
	level                 bool   // chainageM is where its toe meets the levelled bed
	misfit                string // that its position does not lie at its taped chainage; "" where it does
}

// fixOf is the position a feature is taken to stand at: its point, or the middle between
// the ends of its line across the gully.
func fixOf(g orb.Geometry) (orb.Point, bool) {
	switch g := g.(type) {
	case orb.Point:
		return g, true
	case orb.MultiPoint:
		if len(g) == 1 {
			return g[0], true
		}
	case orb.LineString:
		if len(g) > 0 {
			first, last := g[0], g[len(g)-1]
			if first == last {
				return first, true
			}
			return geodesy.Destination(first, geodesy.Azimuth(first, last), geodesy.Distance(first, last)/2), true
		}
	}
	return orb.Point{}, false
}

// handPlusMinusM is how good a length is that somebody wrote down; nobody knows of one that
// was not measured.
func handPlusMinusM(b model.Basis) float64 {
	switch b {
	case model.Taped:
		return section.TapePlusMinusM
	case model.Levelled:
		return section.LevelledAndTaped.StepPlusMinusM()
	}
	return -1
}

// stands finds a dam on its thalweg, as booked and drawn: at the chainage written down, else
// where its fix is nearest.
func (d *dam) stands(t *thalweg) {
	if d.hasFix && len(t.line) > 1 {
		if place, err := section.Snap(t.line, d.fix); err == nil {
			d.stood = &standing{chainageM: place.ChainageM, basis: model.Weakest(d.fixBasis, t.basis), spacingPlusMinusM: d.accuracyM, place: &place, from: d.id, tapeBasis: model.Taped}
			d.stood.plusMinusM, d.stood.offsetPlusMinusM = place.PlusMinus(d.accuracyM, t.accuracyM)
		}
	}
	if d.bookedM == nil && d.upFromM == nil {
		return
	}
	if d.stood == nil {
		d.stood = &standing{}
	}
	if d.bookedM == nil {
		return
	}
	d.stood.booked, d.stood.chainageM, d.stood.basis = true, *d.bookedM, d.bookedBasis
	d.stood.plusMinusM = handPlusMinusM(d.bookedBasis)
	d.stood.from, d.stood.tapeM, d.stood.tapeBasis = "", d.stood.plusMinusM, d.bookedBasis
}

// addTo adds the figures of where a dam stands, and says when the fix is doubtful.
func (at *standing) addTo(s *Sheet, t *thalweg, accuracyM float64, fixBasis model.Basis) {
	s.Figures = append(s.Figures, chainage.figure(at.chainageM, at.plusMinusM, at.basis))
	if at.turned {
		was := "Its chainage was booked"
		if !at.booked {
			was = "Its thalweg was drawn"
		}
		s.caution(chainage.name, fmt.Sprintf("%s from the head down and has been turned: %.1f m from the head is %.1f m up the gully from its downstream end.", was, at.turnedFromM-at.chainageM, at.chainageM))
	}
	if at.level {
		s.caution(chainage.name, "Its chainage is calculated from levels: there its toe meets the levelled bed.")
	}
	if at.misfit != "" {
		s.caution(chainage.name, "Its "+at.misfit)
	}
	if at.place == nil {
		return
	}
	off := at.place.OffsetM
	s.Figures = append(s.Figures, offset.figure(off, at.offsetPlusMinusM, model.Weakest(fixBasis, t.basis)))
	if !at.booked {
		s.Cautions = append(s.Cautions, at.place.Cautions(accuracyM, t.accuracyM)...)
	} else if off > max(farOffM, 3*accuracyM) {
		s.caution(offset.name, fmt.Sprintf("Its position is %.0f m from %s, though its chainage was given along it: is it in that gully?", off, t.called()))
	}
}
