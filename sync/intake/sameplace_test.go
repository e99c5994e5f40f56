package intake

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// TestSamePlace: what other programs do to a place on its way leaves it the same.
func TestSamePlace(t *testing.T) {
	line := orb.LineString{{133, -16}, {133.1, -16}, {133.1, -16.1}}
	ring := orb.Ring{{133, -16}, {133.1, -16}, {133.1, -16.1}, {133, -16}}
	turned := orb.Ring{ring[0], ring[2], ring[1], ring[0]}
	begun := orb.Ring{ring[1], ring[2], ring[0], ring[1]}
	spike := orb.Ring{ring[0], {133, -17}, ring[0], ring[1], ring[2], ring[0]} // comes to where it begins twice
	for _, test := range []struct {
		name string
		a, b orb.Geometry
		want bool
	}{
		{"ring-turned", orb.Polygon{ring}, orb.Polygon{turned}, true},
		{"ring-begun-elsewhere", orb.Polygon{ring}, orb.Polygon{begun}, true},
		{"ring-turned-and-begun-elsewhere", orb.Polygon{begun}, orb.Polygon{turned}, true},
		{"ring-twice-where-it-begins", orb.Polygon{spike}, orb.Polygon{{ring[0], ring[1], ring[2], ring[0], {133, -17}, ring[0]}}, true},
		{"ring-of-another-corner", orb.Polygon{ring}, orb.Polygon{{ring[1], ring[2], {133, -16.1}, ring[1]}}, false},
		{"ring-left-open", orb.Polygon{ring}, orb.Polygon{{ring[1], ring[2], ring[0], ring[0]}}, false},
		{"no-ring", orb.Polygon{{}}, orb.Polygon{{}}, true},
		{"one-of-many", orb.Polygon{ring}, orb.MultiPolygon{{turned}}, true},
		{"in-a-collection", line, orb.Collection{orb.MultiLineString{line}}, true},
		{"points", orb.MultiPoint{{133, -16}}, orb.Point{133, -16}, true},
		{"line-turned", line, orb.LineString{line[2], line[1], line[0]}, false},
		{"line-closed", orb.LineString(ring), orb.Polygon{ring}, false},
		{"shorter", line, line[:2], false},
		{"one-more", orb.MultiPoint{{133, -16}}, orb.MultiPoint{{133, -16}, {133, -16}}, false},
		{"rounded", orb.Point{133.00000005, -16.00000005}, orb.Point{133, -16}, true},
		{"moved-east", orb.Point{133.00000007, -16}, orb.Point{133, -16}, false},
		{"moved-north", orb.Point{133, -15.99999993}, orb.Point{133, -16}, false},
		{"the-antimeridian-from-both-sides", orb.Point{180, -16}, orb.Point{-180, -16}, true},
		{"over-the-antimeridian", orb.LineString{{179, -16}, {-179, -16}}, orb.MultiLineString{{{179, -16}, {180, -16}}, {{-180, -16}, {-179, -16}}}, true},
		{"half-way-round", orb.LineString{{0, -16}, {180, -16}}, line[:2], false},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := samePlace(test.a, test.b); got != test.want {
				t.Errorf("samePlace(%v, %v) = %t", test.a, test.b, got)
			}
		})
	}
}

// TestFeaturesAreCalledByName, or by their uid, where that is short enough to read in a line.
func TestFeaturesAreCalledByName(t *testing.T) {
	long := strings.Repeat("x", 80)
	for properties, want := range map[string]string{
		`{"name":"Dam 9","uid":"u"}`: "feature 3 (Dam 9)",
		`{"uid":"u"}`:                "feature 3 (u)",
		`{}`:                         "feature 3",
		`{"name":"` + long + `"}`:    "feature 3 (" + long + ")",
		`{"name":"` + long + `x"}`:   "feature 3",
	} {
		parts, ok := members([]byte(`{"properties":` + properties + `}`))
		if got := calledInFile(3, parts); !ok || got != want {
			t.Errorf("the feature of %s is called %q, want %q", properties, got, want)
		}
	}
}
