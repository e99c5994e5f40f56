package figures

import (
	"cmp"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"
)

// catchment is a catchment that somebody mapped.
type catchment struct {
	name   string
	shells []orb.LineString
	bound  orb.Bound
	areaHa float64
	sound  bool
}

func newCatchment(f model.Feature) *catchment {
	c := &catchment{name: cmp.Or(f.Text("name"), "the mapped catchment")}
	if f.Geometry == nil {
		return c
	}
	var p parts
	p.add(f.Geometry, 0)
	for _, polygon := range p.areas {
		c.areaHa += geodesy.Area(polygon) / 1e4
		if len(polygon) > 0 {
			c.shells = append(c.shells, orb.LineString(polygon[0]))
		}
	}
	c.bound = f.Geometry.Bound()
	c.sound = len(p.areas) > 0 && c.areaHa > 0 && unsound(p.areas, c.areaHa) == ""
	return c
}

// offM is how far a fix lies from the catchment's edge, on which its outlet stands;
// infinite where it is out of reach.
func (c *catchment) offM(p orb.Point) float64 {
	const margin = cellDeg // about 100 m, four times reachM
	least := math.Inf(1)
	if !c.sound || !c.bound.Pad(margin).Contains(p) {
		return least
	}
	for _, shell := range c.shells {
		if at, err := section.Snap(shell, p); err == nil && at.OffsetM < least {
			least = at.OffsetM
		}
	}
	return least
}

// catchmentDiffers is how much of the mapped area the one given for a head may differ from
// it before somebody should say which holds. Common practice, no source.
const catchmentDiffers = 0.2

// CatchmentMismatch is a mapped catchment that differs from the one given for a gully head.
type CatchmentMismatch struct {
	Mapped   string // id of the feature that was mapped to the head
	GivenHa  float64
	MappedHa float64
	name     string
}

// MismatchOf compares the catchment given for a head with the one mapped to its edge; nil when
// they agree or one of them is missing.
func (l *PropertyFigures) MismatchOf(f model.Feature) *CatchmentMismatch {
	given, ok := f.Number("catchmentHa")
	at, hasFix := f.Geometry.(orb.Point)
	if !ok || !(given > 0) || !hasFix {
		return nil
	}
	var nearest *catchment
	least, ofID := float64(reachM), ""
	for id, c := range l.mapped { // of two as near, the one with the lower id
		if offM := c.offM(at); offM < least || nearest != nil && offM == least && id < ofID {
			nearest, least, ofID = c, offM, id
		}
	}
	if nearest == nil || math.Abs(given-nearest.areaHa) <= catchmentDiffers*nearest.areaHa {
		return nil
	}
	return &CatchmentMismatch{Mapped: ofID, GivenHa: given, MappedHa: nearest.areaHa, name: nearest.name}
}

// judgeHead warns of a catchment that was given and mapped differently: a peak flow is as wrong as
// the area it is worked out from.
func (l *PropertyFigures) judgeHead(s *Sheet, f model.Feature) {
	if d := l.MismatchOf(f); d != nil {
		s.caution("catchmentHa", fmt.Sprintf("%.3g ha were given as its catchment, and %s, mapped to this head, has %.3g ha: find out which is right before using it for a flow.", d.GivenHa, d.name, d.MappedHa))
	}
}
