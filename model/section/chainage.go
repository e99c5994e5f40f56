package section

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// Place is where a position stands by a thalweg. Thalwegs are drawn from the downstream end
// upwards, so that the chainage of their first position is 0 and chainage runs upstream.
type Place struct {
	ChainageM float64 // along the thalweg from its downstream end to the foot of the square
	OffsetM   float64 // from the thalweg, square to it; never negative
	Side      Side
	Beyond    bool // the foot is an end of the thalweg and the position lies past it

	line    []orb.Point
	fix     orb.Point
	segment int     // the foot lies between line[segment] and line[segment+1]
	share   float64 // of that segment's length, from line[segment]
	lengthM float64 // of that segment
}

// Side is the bank on which a position lies, as banks are named: looking downstream.
type Side string

// The sides of a thalweg.
const (
	LeftBank  Side = "left bank"
	RightBank Side = "right bank"
	OnThalweg Side = "on the thalweg" // within a millimetre, or past an end in line with it
)

// Sides lists every side.
var Sides = []Side{LeftBank, RightBank, OnThalweg}

// Snap finds the place on the thalweg, its positions from the downstream end up, that is
// nearest to fix. Lengths are geodesic; the foot is where the geodesic from the fix meets
// the thalweg square, or the nearer end. Of two places equally near, the one downstream is
// taken. It returns a *model.Problem for a thalweg of fewer than two different positions
// and for positions that are not on the earth.
//
// The foot is found by stepping along the segment by what is left of the offset in its
// direction until that is below a micrometre.
func Snap(thalweg []orb.Point, fix orb.Point) (Place, error) {
	feet, err := newFeet(thalweg, fix)
	if err != nil {
		return Place{}, err
	}
	first := slices.Index(feet.reachM, slices.Min(feet.reachM))
	best := feet.on(first)
	for i, least := range feet.reachM {
		// Not nearer by straight lines through the earth is not nearer along the surface.
		if i == first || least > best.offsetM {
			continue
		}
		if f := feet.on(i); f.offsetM < best.offsetM || f.offsetM == best.offsetM && i < best.segment {
			best = f
		}
	}
	return feet.place(best), nil
}

// feet are the feet of one fix on the segments of a thalweg, worked out when asked for.
type feet struct {
	line   []orb.Point
	fix    orb.Point
	reachM []float64 // for each segment, a length that its offset is not below
}

// foot is the place on one segment that is nearest to the fix.
type foot struct {
	segment        int
	alongM         float64 // from the start of the segment
	lengthM        float64
	offsetM        float64
	ahead, leftM   float64 // how far past the foot along the segment, and to the left of it
	atStart, atEnd bool    // the foot is an end of the segment
}

func newFeet(line []orb.Point, fix orb.Point) (*feet, error) {
	if fault := model.CheckPosition(fix); fault != nil {
		return nil, fault.Within("fix")
	}
	for i, p := range line {
		if fault := model.CheckPosition(p); fault != nil {
			return nil, fault.Within(fmt.Sprintf("thalweg[%d]", i))
		}
	}
	// Standing still has no direction, nor have two roundings of one position.
	line = slices.CompactFunc(slices.Clone(line), func(a, b orb.Point) bool { return geodesy.Distance(a, b) == 0 })
	if len(line) < 2 {
		return nil, &model.Problem{Path: "thalweg", Reason: "has no length",
			Fix: "give two or more different positions, from the downstream end up"}
	}
	f := &feet{line: line, fix: fix, reachM: make([]float64, len(line)-1)}
	at, from := geodesy.Cartesian(fix), geodesy.Cartesian(line[0])
	for i, p := range line[1:] {
		to := geodesy.Cartesian(p)
		f.reachM[i] = reach(from, to, at)
		from = to
	}
	return f, nil
}

// reach is a length that the distance along the surface from p to the segment between a and
// b is not below: that from the straight chord, less the most a geodesic rises over it,
// L²/8R with the least radius of curvature.
func reach(a, b, p [3]float64) float64 {
	const leastRadiusM = 6335439.0 // of the meridian at the equator, a(1-e²)
	var ab2, abap float64
	for k := range p {
		ab2 += (b[k] - a[k]) * (b[k] - a[k])
		abap += (b[k] - a[k]) * (p[k] - a[k])
	}
	t := 0.0
	if ab2 > 0 {
		t = min(1, max(0, abap/ab2))
	}
	d2 := 0.0
	for k := range p {
		d := p[k] - a[k] - t*(b[k]-a[k])
		d2 += d * d
	}
	return math.Sqrt(d2) - ab2/(7*leastRadiusM) - 1e-6 // 7 for 8: ab2 is of the chord; 1 µm for rounding
}

// on finds the foot on segment i.
func (f *feet) on(i int) foot {
	a, b := f.line[i], f.line[i+1]
	at := foot{segment: i, lengthM: geodesy.Distance(a, b)}
	bearing := geodesy.Azimuth(a, b)
	for range 20 {
		p, heading := a, bearing
		if at.alongM > at.lengthM/2 {
			p = geodesy.Destination(a, bearing, at.alongM)
			heading = geodesy.Azimuth(p, a) + 180
		} else if at.alongM > 0 {
			p = geodesy.Destination(a, bearing, at.alongM)
			heading = geodesy.Azimuth(p, b)
		}
		at.offsetM = geodesy.Distance(p, f.fix)
		sin, cos := math.Sincos((geodesy.Azimuth(p, f.fix) - heading) * (math.Pi / 180))
		at.ahead, at.leftM = at.offsetM*cos, -at.offsetM*sin
		next := min(at.lengthM, max(0, at.alongM+at.ahead))
		if math.Abs(next-at.alongM) < 1e-6 {
			break
		}
		at.alongM = next
	}
	at.atStart, at.atEnd = at.alongM == 0, at.alongM == at.lengthM
	return at
}

// place reads a foot as a Place.
func (f *feet) place(at foot) Place {
	p := Place{OffsetM: at.offsetM, line: f.line, fix: f.fix, segment: at.segment, lengthM: at.lengthM,
		share: at.alongM / at.lengthM, ChainageM: geodesy.Length(f.line[:at.segment+1]) + at.alongM}
	last := len(f.line) - 2
	p.Beyond = at.segment == 0 && at.atStart && at.ahead < -LeastApartM || at.segment == last && at.atEnd && at.ahead > LeastApartM
	p.Side = OnThalweg
	switch { // the line runs upstream, so its left is the right bank
	case at.leftM > LeastApartM:
		p.Side = RightBank
	case at.leftM < -LeastApartM:
		p.Side = LeftBank
	}
	return p
}
