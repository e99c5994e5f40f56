package model

import (
	"bytes"
	"math"
	"strconv"

	"github.com/paulmach/orb"
)

// Nearly every place of a register is written the way AppendGeometry writes it: type, then
// coordinates, without spaces. plainGeometry reads those in a tenth of the time that
// encoding/json takes. Whatever is written otherwise, or is wrong, it leaves to
// parseGeometry, which is the rule; a fuzz target holds the two to each other.

// plainGeometry reads a geometry in the plain form; false when it is in any other.
func plainGeometry(raw []byte) (orb.Geometry, bool) {
	raw, ok := bytes.CutPrefix(raw, []byte(`{"type":"`))
	if !ok {
		return nil, false
	}
	kind, rest, ok := bytes.Cut(raw, []byte(`","coordinates":`))
	if !ok {
		return nil, false
	}
	p := plainText{text: rest}
	var g orb.Geometry
	switch string(kind) {
	case "Point":
		g = p.point()
	case "LineString":
		g = orb.LineString(p.points(2))
	case "MultiLineString":
		g = orb.MultiLineString(plainList(&p, func() orb.LineString { return p.points(2) }, 0))
	case "Polygon":
		g = p.polygon()
	case "MultiPolygon":
		g = orb.MultiPolygon(plainList(&p, p.polygon, 0))
	default:
		return nil, false
	}
	p.take('}')
	return g, !p.broken && len(p.text) == 0
}

// plainText is what is left of a text; once broken it gives zero values.
type plainText struct {
	text   []byte
	broken bool
}

func (p *plainText) take(c byte) {
	if !p.next(c) {
		p.broken, p.text = true, nil
		return
	}
	p.text = p.text[1:]
}

func (p *plainText) next(c byte) bool { return len(p.text) > 0 && p.text[0] == c }

func (p *plainText) polygon() orb.Polygon {
	return plainList(p, func() orb.Ring {
		ring := p.points(4)
		p.broken = p.broken || ring[0] != ring[len(ring)-1]
		return ring
	}, 0)
}

// plainList reads a list of what one reads, perhaps so many.
func plainList[T any](p *plainText, one func() T, perhaps int) []T {
	all := make([]T, 0, perhaps)
	p.take('[')
	for !p.broken {
		all = append(all, one())
		if !p.next(',') {
			break
		}
		p.take(',')
	}
	p.take(']')
	if p.broken {
		return nil
	}
	return all
}

// points reads positions, at least so many.
func (p *plainText) points(least int) []orb.Point {
	first := bytes.IndexByte(p.text, ']') // the end of the first position: all are about as long
	all := plainList(p, p.point, min(len(p.text)/(max(first, 8)+1)+1, 1024))
	if len(all) < least {
		p.broken = true
		return make([]orb.Point, least)
	}
	return all
}

func (p *plainText) point() orb.Point {
	p.take('[')
	lon := p.number()
	p.take(',')
	lat := p.number()
	p.take(']')
	if !(math.Abs(lon) <= 180 && math.Abs(lat) <= 90) {
		p.broken = true
	}
	return orb.Point{lon, lat}
}

// exactPowers are the powers of ten that a double holds exactly, so that one division of two
// exact numbers is rounded as strconv.ParseFloat rounds (Clinger 1990).
var exactPowers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// number reads a number without exponent.
func (p *plainText) number() float64 {
	i, digits, decimals := 0, 0, 0
	if p.next('-') {
		i++
	}
	first := i
	var whole uint64
	point := -1
	for ; i < len(p.text); i++ {
		c := p.text[i]
		if c == '.' && point < 0 && i > first {
			point = i
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		whole = whole*10 + uint64(c-'0')
		digits++
		if point >= 0 {
			decimals++
		}
	}
	leadingZero := i > first+1 && p.text[first] == '0' && p.text[first+1] != '.'
	if digits == 0 || digits > 40 || point == i-1 || leadingZero {
		p.broken, p.text = true, nil
		return 0
	}
	text := p.text[:i]
	p.text = p.text[i:]
	if digits > 15 {
		v, _ := strconv.ParseFloat(string(text), 64) // of 40 digits at the most, which never fails
		return v
	}
	v := float64(whole) / exactPowers[decimals]
	if first == 1 {
		v = -v
	}
	return v
}
