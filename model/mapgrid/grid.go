package mapgrid

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// Grid is a map grid by the name printed in the margin of its maps.
type Grid string

const (
	UTM     Grid = "UTM"     // any place, on WGS84
	MGA2020 Grid = "MGA2020" // Australia, on GDA2020
	MGA94   Grid = "MGA94"   // Australia, on GDA94
)

// Grids lists every grid.
var Grids = []Grid{UTM, MGA2020, MGA94}

var (
	wgs84 = newEllipsoid(geodesy.EquatorialRadiusM, geodesy.Flattening)
	grs80 = newEllipsoid(6378137, 1/298.257222101) // Moritz 1980; from memory, as in PROJ
)

// Datum is what the grid's positions stand on.
func (g Grid) Datum() string {
	switch g {
	case MGA2020:
		return "GDA2020"
	case MGA94:
		return "GDA94"
	}
	return "WGS84"
}

func (g Grid) ellipsoid() ellipsoid {
	if g == UTM {
		return wgs84
	}
	return grs80
}

// Sight says when positions were fixed: the plate under Australia has moved on since the
// year its datum is frozen at.
type Sight struct {
	Year float64 // decimal; 0 when it is not known, and the plate is then taken to stand still
}

// Shift is how far a position moves on the ground between WGS84 and a grid's datum.
type Shift struct {
	EastM, NorthM float64
}

// Of is the coordinate of a WGS84 position on a grid, in the given zone or, for 0, in its
// own, with the datum shift that is in it.
func (g Grid) Of(p orb.Point, zone int, s Sight) (Coordinate, Shift, error) {
	if err := g.covers(p); err != nil {
		return Coordinate{}, Shift{}, err
	}
	on := g.fromWGS84(p, s)
	c, err := g.ellipsoid().at(on, zone)
	if err != nil {
		return Coordinate{}, Shift{}, err
	}
	return c, shiftBetween(p, on), nil
}

// Position is the WGS84 position of a coordinate, the inverse of Of.
func (g Grid) Position(c Coordinate, s Sight) (orb.Point, Shift, error) {
	on, err := g.ellipsoid().of(c)
	if err != nil {
		return orb.Point{}, Shift{}, err
	}
	p := g.toWGS84(on, s)
	if err := g.covers(p); err != nil {
		return orb.Point{}, Shift{}, err
	}
	return p, shiftBetween(p, on), nil
}

// covers refuses places outside of Australia and its islands for its own grids: the datum
// shift holds nowhere else. The box is that of EPSG 8048's and 8049's area of use, looked
// up in PROJ's database.
func (g Grid) covers(p orb.Point) error {
	if g == UTM || p[0] >= 93.41 && p[0] <= 173.34 && p[1] >= -60.55 && p[1] <= -8.47 {
		return nil
	}
	return &model.Problem{Reason: fmt.Sprintf("%.5f, %.5f is not in Australia, the only place where %s is valid", p[0], p[1], g), Fix: "use UTM"}
}

func shiftBetween(from, to orb.Point) Shift {
	distance := geodesy.Distance(from, to)
	if distance == 0 {
		return Shift{}
	}
	sin, cos := math.Sincos(geodesy.Azimuth(from, to) * math.Pi / 180)
	return Shift{EastM: distance * sin, NorthM: distance * cos}
}
