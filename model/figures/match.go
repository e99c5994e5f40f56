package figures

import (
	"fmt"
	"math"
)

// The ends of a thalweg's line, at one of which the officer says chainage 0 is.
const (
	zeroAtStart = "start of the line"
	zeroAtEnd   = "end of the line"
)

// match is where chainages up a gully lie along its line as drawn: the line's first point
// is at atFirstM, and from there they rise, or fall where it was drawn from the head down.
// Nothing else turns a distance along a line into a chainage, or back.
type match struct {
	atFirstM   float64
	down       bool
	holdsAtM   float64 // along the line, where it is known to plusMinusM
	plusMinusM float64
}

// upM is the chainage so far along the line.
func (m match) upM(alongM float64) float64 { return m.atFirstM + m.sign()*alongM }

func (m match) sign() float64 {
	if m.down {
		return -1
	}
	return 1
}

// tie is a place known along the line and up the gully: a taped dam with a position, or one
// whose levelled toe stands on the levelled bed, there once for each place of its level.
type tie struct {
	dam         *dam
	alongM, sdM float64
	stretch     float64
	upM, upSDM  []float64
}

// tapeStretch is by how much of itself a tape laid in a winding bed may be longer than the
// line on the map, where nothing shows it; mostStretch is as much as it is taken to be: more is a
// bed that was levelled along a part of the line. maxTies are as many as are asked of one gully, spread over its dams.
// Common practice, no source.
const (
	tapeStretch = 0.1
	mostStretch = 0.3
	maxTies     = 12
)

// fits tells whether the tie lies within k standard deviations of a match.
func (p *tie) fits(m match, k float64) bool {
	for i, up := range p.upM {
		far := k*math.Hypot(math.Hypot(p.sdM, p.upSDM[i]), m.plusMinusM) + p.stretch*math.Abs(p.alongM-m.holdsAtM)
		if math.Abs(up-m.upM(p.alongM)) <= far {
			return true
		}
	}
	return false
}

// tieOf is what a dam tells of the match; false when it tells nothing.
func (t *thalweg) tieOf(d *dam) (p tie, ok bool) {
	at := d.stood.place
	if at == nil || at.OffsetM > max(farOffM, 3*d.accuracyM) || d.onPaper() {
		return p, false
	}
	p.alongM, p.stretch = at.ChainageM, t.stretch()
	p.sdM, _ = at.PlusMinus(d.accuracyM, t.accuracyM)
	switch {
	case p.sdM < 0:
	case d.stood.booked:
		up := d.stood.chainageM
		if t.tapedFromM != nil {
			up = *t.tapedFromM - up
		}
		p.upM, p.upSDM = []float64{up}, []float64{max(0, d.stood.plusMinusM)}
	case d.toe != nil && t.bed.sound:
		for i := 1; i < len(t.bed.bed); i++ {
			a, b := t.bed.bed[i-1], t.bed.bed[i]
			if part := (d.toe.levelM - a.LevelM) / (b.LevelM - a.LevelM); part >= 0 && part <= 1 {
				p.upM = append(p.upM, a.ChainageM+part*(b.ChainageM-a.ChainageM))
				p.upSDM = append(p.upSDM, bedRoughM/2*math.Abs((b.ChainageM-a.ChainageM)/(b.LevelM-a.LevelM)))
			}
		}
	}
	return p, len(p.upM) > 0
}

// matchOf finds the match from what is known: what the officer said, else the taped and the
// levelled places, at least two that agree and more than may agree with the line the other
// way round, or one where the levels along the line tell its direction. It is nil where these
// do not decide it: then nothing is guessed. Where nothing is taped, chainages are those along
// the line, turned where levels say so.
func (t *thalweg) matchOf(ties []tie, line direction) *match {
	if t.lengthM == 0 {
		return nil
	}
	start, end := match{}, match{atFirstM: t.lengthM, down: true, holdsAtM: t.lengthM} // where chainage 0 is
	usual := []match{start, end}
	if t.tapedFromM != nil { // booked from the head, where its 0 is
		start, end = match{atFirstM: *t.tapedFromM, down: true}, match{atFirstM: *t.tapedFromM - t.lengthM, holdsAtM: t.lengthM}
		usual = append(usual, start, end)
	}
	switch {
	case t.zeroAt == zeroAtStart:
		return &start
	case t.zeroAt == zeroAtEnd:
		return &end
	case !t.taped && line.falls:
		return &end
	case !t.taped:
		return &start
	}
	var best [2]match // rising, falling along the line
	var fit, mayFit [2]int
	try := func(m match) {
		side, n, might := 0, 0, 0
		if m.down {
			side = 1
		}
		for i := range ties {
			if ties[i].fits(m, 2) {
				n++
			}
			if ties[i].fits(m, 3) {
				might++
			}
		}
		if n > fit[side] {
			fit[side], best[side] = n, m
		}
		mayFit[side] = max(mayFit[side], might)
	}
	for _, m := range usual { // first: of two that fit as well it stands
		try(m)
	}
	for i := range ties {
		p := &ties[i]
		for j, up := range p.upM {
			sdM := math.Hypot(p.sdM, p.upSDM[j])
			try(match{up - p.alongM, false, p.alongM, sdM})
			try(match{up + p.alongM, true, p.alongM, sdM})
		}
	}
	for side := range best {
		if other := 1 - side; fit[side] > mayFit[other] { // each place fits both ways by itself: these are two or more
			return &best[side]
		}
	}
	if len(t.bed.bed) >= 2 {
		return nil // of what toes say the bed has been asked
	}
	if line.falls && fit[1] > 0 {
		return &best[1]
	}
	if line.rises && fit[0] > 0 {
		return &best[0]
	}
	return nil
}

// misfit says that a dam's taped chainage and its place along the matched line do not
// agree; "" where they do.
func (t *thalweg) misfit(d *dam) string {
	if t.match == nil {
		return ""
	}
	p, ok := t.tieOf(d)
	if !ok || p.fits(*t.match, 3) {
		return ""
	}
	return fmt.Sprintf("position lies at chainage %.0f m of %s as drawn, but its chainage is %.1f m: check the tape, the position, and which end of the line is chainage 0.", t.match.upM(p.alongM), t.called(), p.upM[0])
}
