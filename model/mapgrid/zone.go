package mapgrid

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
)

// UTM covers these latitudes; nearer to the poles another grid is used.
const (
	MinLatDeg = -80.0
	MaxLatDeg = 84.0
)

// reachDeg is how far from its central meridian a zone may be stretched: its own half
// width and a whole neighbour. Beyond, somebody mixed up zones.
const reachDeg = 9.0

// roundingDeg, a tenth of a millimetre, is what a place on the edge may be off after its
// coordinates were rounded: what at gives, of must take back.
const roundingDeg = 1e-9

// ZoneOf is the UTM zone of a position, 1 to 60, with the wider zones of south-western
// Norway and of Svalbard (NGA.SIG.0012, 2014, section 7.5; from memory, compared with
// GeoConvert). Longitude 180 belongs to zone 1.
func ZoneOf(p orb.Point) int {
	lon, lat := math.Mod(p[0]+540, 360)-180, p[1]
	zone := int(math.Floor((lon+180)/6)) + 1
	switch {
	case zone == 31 && lat >= 56 && lat < 64 && lon >= 3:
		return 32
	case lat >= 72 && lon >= 0 && lon < 42:
		return 31 + 2*int((lon+3)/12)
	}
	return zone
}

func centralMeridianDeg(zone int) float64 { return float64(6*zone - 183) }

// Coordinate is a place on a grid.
type Coordinate struct {
	Zone           int // 1 to 60
	South          bool
	EastingM       float64
	NorthingM      float64
	ConvergenceDeg float64 // bearing of grid north from true north, positive east
	Scale          float64 // grid length over length on the ellipsoid
}

// at projects a position of the ellipsoid's own datum into a zone; 0 is its own.
func (e ellipsoid) at(p orb.Point, zone int) (Coordinate, error) {
	if !(p[1] >= MinLatDeg && p[1] <= MaxLatDeg) {
		return Coordinate{}, &model.Problem{Reason: fmt.Sprintf("latitude %v is outside of UTM, which goes from %v to %v", p[1], MinLatDeg, MaxLatDeg)}
	}
	if zone == 0 {
		zone = ZoneOf(p)
	}
	if p := checkZone(zone); p != nil {
		return Coordinate{}, p
	}
	off := math.Mod(p[0]-centralMeridianDeg(zone)+540, 360) - 180
	if math.Abs(off) > reachDeg {
		return Coordinate{}, &model.Problem{Reason: fmt.Sprintf("longitude %v is too far from zone %d, it lies in zone %d", p[0], zone, ZoneOf(p)),
			Fix: "leave the zone out, or use a neighbouring one"}
	}
	on := e.project(off, p[1])
	c := Coordinate{Zone: zone, South: p[1] < 0, EastingM: falseEastingM + on.eastM, NorthingM: on.northM,
		ConvergenceDeg: on.convergenceDeg, Scale: on.scale}
	if c.South {
		c.NorthingM += falseNorthingM
	}
	return c, nil
}

// of is the position of a coordinate, on the ellipsoid's own datum.
func (e ellipsoid) of(c Coordinate) (orb.Point, error) {
	if p := model.FirstProblem(checkZone(c.Zone).Within("zone"),
		model.Require(math.Abs(c.EastingM-falseEastingM) <= 1_000_000, "eastingM", "check that easting and northing were not swapped, and that it is in metres",
			"%v is not an easting; they lie from about 160000 to 840000 m", c.EastingM),
		model.Require(c.NorthingM >= 0 && c.NorthingM <= falseNorthingM, "northingM", "", "%v is not a northing from 0 to %d m", c.NorthingM, falseNorthingM)); p != nil {
		return orb.Point{}, p
	}
	north := c.NorthingM
	if c.South {
		north -= falseNorthingM
	}
	off, lat := e.unproject(c.EastingM-falseEastingM, north)
	if !(math.Abs(off) <= reachDeg+roundingDeg && lat >= MinLatDeg-roundingDeg && lat <= MaxLatDeg+roundingDeg) {
		return orb.Point{}, &model.Problem{Reason: fmt.Sprintf("%v m east, %v m north is outside of zone %d", c.EastingM, c.NorthingM, c.Zone)}
	}
	lat = min(max(lat, MinLatDeg), MaxLatDeg)
	return orb.Point{math.Mod(centralMeridianDeg(c.Zone)+off+540, 360) - 180, lat}, nil
}

func checkZone(zone int) *model.Problem {
	return model.Require(zone >= 1 && zone <= 60, "", "", "%d is not a zone from 1 to 60", zone)
}
