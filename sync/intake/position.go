package intake

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"headcut/model"
)

// coordinates reads the coordinates of geometries straight from their JSON. Decoding into
// slices of float64 would take null for 0 and lose which positions had a height.
type coordinates struct {
	raw []byte // well-formed JSON
	at  int

	heightsM []float64 // of every position so far; NaN when it has none
	surplus  int       // positions of more than three numbers
	wrapped  int       // positions with a longitude beyond 180 that were brought back
	offEarth int       // heights left out
}

// skipSpace returns the next byte of the text that is not space.
func (c *coordinates) skipSpace() byte {
	for c.at < len(c.raw) {
		switch b := c.raw[c.at]; b {
		case ' ', '\t', '\r', '\n':
			c.at++
		default:
			return b
		}
	}
	return 0
}

// list reads an array, calling each before every item.
func (c *coordinates) list(each func() *model.Problem) (n int, fault *model.Problem) {
	if c.skipSpace() != '[' {
		return 0, &model.Problem{Reason: "is not an array", Fix: "coordinates nest as RFC 7946 says for their type"}
	}
	for c.at++; c.skipSpace() != ']'; n++ {
		if c.raw[c.at] == ',' {
			c.at++
		}
		if fault := each(); fault != nil {
			return n, fault.Within(fmt.Sprintf("[%d]", n))
		}
	}
	c.at++
	return n, nil
}

// position reads a position; there is none when the array is empty.
func (c *coordinates) position() (at orb.Point, none bool, fault *model.Problem) {
	var numbers [3]float64
	i := 0
	n, fault := c.list(func() *model.Problem {
		v, fault := c.number()
		if i < len(numbers) {
			numbers[i] = v
		}
		i++
		return fault
	})
	switch {
	case fault != nil:
		return at, false, fault
	case n == 0:
		return at, true, nil
	case n == 1:
		return at, false, &model.Problem{Reason: "a position needs a longitude and a latitude"}
	case n > 3:
		c.surplus++
	}
	lon, lat := numbers[0], numbers[1]
	if math.Abs(lon) > 180 && math.Abs(lon) <= 360 && math.Abs(lat) <= 90 {
		// Rounding takes away what the subtraction leaves beyond the file's own digits.
		lon = math.Round((lon-math.Copysign(360, lon))*1e10) / 1e10
		c.wrapped++
	}
	at = orb.Point{lon, lat}
	if p := model.CheckPosition(at); p != nil {
		return orb.Point{}, false, p
	}
	heightM := math.NaN()
	if n > 2 {
		if heightM = numbers[2]; offEarthHeight(heightM) {
			heightM = math.NaN()
			c.offEarth++
		}
	}
	c.heightsM = append(c.heightsM, heightM)
	return at, false, nil
}

func (c *coordinates) number() (float64, *model.Problem) {
	switch b := c.skipSpace(); {
	case b == '"':
		return 0, &model.Problem{Reason: "is text, not a number", Fix: "write coordinates without quotation marks"}
	case b == '[':
		return 0, &model.Problem{Reason: "is an array, not a number", Fix: "coordinates nest as RFC 7946 says for their type"}
	case b != '-' && (b < '0' || b > '9'):
		return 0, &model.Problem{Reason: "is not a number"}
	}
	start := c.at
	for c.at < len(c.raw) && c.raw[c.at] != ',' && c.raw[c.at] != ']' && c.raw[c.at] > ' ' {
		c.at++
	}
	text := string(c.raw[start:c.at])
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, &model.Problem{Reason: quote(text) + " is too large for a number"}
	}
	return tidy(v), nil
}

// listOf reads an array of what one reads.
func listOf[T any](c *coordinates, one func() (T, *model.Problem)) (all []T, fault *model.Problem) {
	_, fault = c.list(func() *model.Problem {
		v, fault := one()
		all = append(all, v)
		return fault
	})
	return all, fault
}

func (c *coordinates) positions() ([]orb.Point, *model.Problem) {
	return listOf(c, func() (orb.Point, *model.Problem) {
		at, none, fault := c.position()
		if none {
			fault = &model.Problem{Reason: "a position needs a longitude and a latitude"}
		}
		return at, fault
	})
}

func (c *coordinates) line() (orb.LineString, *model.Problem) {
	all, fault := c.positions()
	if fault == nil && len(all) == 1 {
		fault = &model.Problem{Reason: "a line needs 2 positions and has 1"}
	}
	return all, fault
}

func (c *coordinates) ring() (orb.Ring, *model.Problem) {
	ring, fault := c.positions()
	switch {
	case fault != nil:
	case len(ring) < 4:
		fault = &model.Problem{Reason: fmt.Sprintf("a ring needs 4 positions and has %d", len(ring))}
	case ring[0] != ring[len(ring)-1]:
		fault = &model.Problem{Reason: "a ring's first and last position differ", Fix: "close the ring where it was measured"}
	}
	return ring, fault
}

// part is a part of a Multi type, which cannot be empty.
func part[G ~[]E, E any](g G, fault *model.Problem, reason string) (G, *model.Problem) {
	if fault == nil && len(g) == 0 {
		fault = &model.Problem{Reason: reason}
	}
	return g, fault
}

// parse reads coordinates of a geometry type; a nil geometry when they are empty.
func (c *coordinates) parse(kind string, raw json.RawMessage) (orb.Geometry, *model.Problem) {
	c.raw, c.at = raw, 0
	switch kind {
	case "Point":
		at, none, fault := c.position()
		if none {
			return nil, fault
		}
		return at, fault
	case "MultiPoint":
		all, fault := c.positions()
		return unlessEmpty(orb.MultiPoint(all)), fault
	case "LineString":
		line, fault := c.line()
		return unlessEmpty(line), fault
	case "MultiLineString":
		lines, fault := listOf(c, func() (orb.LineString, *model.Problem) {
			line, fault := c.line()
			return part(line, fault, "a line needs 2 positions and has 0")
		})
		return unlessEmpty(orb.MultiLineString(lines)), fault
	case "Polygon":
		rings, fault := listOf(c, c.ring)
		return unlessEmpty(orb.Polygon(rings)), fault
	case "MultiPolygon":
		all, fault := listOf(c, func() (orb.Polygon, *model.Problem) {
			rings, fault := listOf(c, c.ring)
			return part(orb.Polygon(rings), fault, "a polygon needs a ring")
		})
		return unlessEmpty(orb.MultiPolygon(all)), fault
	}
	return nil, &model.Problem{Reason: quote(kind) + " is not a GeoJSON geometry type",
		Fix: "types are spelt as in RFC 7946: Point, LineString, Polygon and their Multi forms"}
}

func unlessEmpty[G interface {
	~[]E
	orb.Geometry
}, E any](g G) orb.Geometry {
	if len(g) == 0 {
		return nil
	}
	return g
}
