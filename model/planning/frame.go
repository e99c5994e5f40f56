package planning

import (
	"github.com/paulmach/orb"

	"headcut/model/geodesy"
	"headcut/model/section"
)

// frame is where the chainages of an input lie along the line of a feature, and in its book.
type frame struct {
	line        orb.LineString // nil: none of one piece
	lengthM     float64
	known       bool    // atFirstM and down are
	atFirstM    float64 // chainage of the line's first point
	down        bool    // chainages fall along the line
	bookedFromM *float64

	falls bool    // of a track: its last level is not above its first
	lastM float64 // of a track: chainage of the last level
}

// take takes a line of one piece.
func (f *frame) take(g orb.Geometry) {
	if lines, ok := g.(orb.MultiLineString); ok && len(lines) == 1 {
		g = lines[0]
	}
	if line, ok := g.(orb.LineString); ok {
		if m := geodesy.Length(line); m > 0 {
			f.line, f.lengthM = line, m
		}
	}
}

// noLine says why planned works get no position. One that forks is drawn in pieces, and a level run goes along
// one limb.
func (d *drafting) noLine(works string) {
	if pieces, ok := d.item.Geometry.(orb.MultiLineString); ok && len(pieces) > 1 {
		d.miss("%s is drawn in %d pieces, as one that forks is: nobody knows along which of them its levels lie, and planned %s get no position. Record each limb as a line of its own, with its own levels.", d.item.Called(), len(pieces), works)
		return
	}
	d.miss("%s has no line of one piece: walk or draw it, and planned %s get a position.", d.item.Called(), works)
}

// up is a booked chainage as the input has it, and the other way.
func (f *frame) up(m float64) float64 {
	if f.bookedFromM == nil {
		return m
	}
	return *f.bookedFromM - m
}

// fromTop is a chainage from the upper end of a track as the input has it, and the other way.
func (f *frame) fromTop(m float64) float64 {
	if f.falls {
		return m
	}
	return f.lastM - m
}

// chainage is that of a distance along the line.
func (f *frame) chainage(alongM float64) float64 {
	if f.down {
		alongM = -alongM
	}
	return f.atFirstM + alongM
}

// ends are the chainages of the line's ends, the lower first.
func (f *frame) ends() (low, high float64) {
	first, last := f.chainage(0), f.chainage(f.lengthM)
	return min(first, last), max(first, last)
}

// snap is the place on the line nearest to a position, and its chainage; false off the earth and
// without a line.
func (f *frame) snap(p orb.Point) (at section.Place, chainageM float64, ok bool) {
	at, err := section.Snap(f.line, p)
	return at, f.chainage(at.ChainageM), err == nil
}

// position is where a chainage lies on the line; false where nobody knows, and past its ends.
func (f *frame) position(chainageM float64) (orb.Point, bool) {
	leftM := chainageM - f.atFirstM
	if f.down {
		leftM = -leftM
	}
	if !f.known || leftM < 0 {
		return orb.Point{}, false
	}
	for i, m := range geodesy.Segments(f.line) {
		if leftM <= m {
			return geodesy.Destination(f.line[i], geodesy.Azimuth(f.line[i], f.line[i+1]), leftM), true
		}
		leftM -= m
	}
	return orb.Point{}, false
}
