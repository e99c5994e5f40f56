package demo

import (
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// The made-up ground: a plain that falls at one in fifty towards the north-west, with
// Lantern Gully cut into it. Distances east and north are from the gully's downstream end.

var frame = geodesy.Frame{Origin: orb.Point{144.31, -19.62}}

func at(eastM, northM float64) orb.Point {
	p := frame.Position(eastM, northM)
	return orb.Point{round(p[0], 1e7), round(p[1], 1e7)}
}

func round(v, per float64) float64 { return math.Round(v*per) / per }

// station is a place on a thalweg: its chainage, the level of the bed, and where it is.
type station struct {
	chainageM, levelM float64
	position          orb.Point
}

// upstream is the direction of the main arm, and how far it swings to either side.
const (
	upstreamDeg = 121.0
	swingDeg    = 24.0
)

// mainBed is the surveyed bed of the main arm: chainage and level, from the downstream end.
// It has an adverse reach at 50 m and ends at the foot of the head.
var mainBed = [][2]float64{
	{0, 96.00}, {12, 96.22}, {25, 96.51}, {38, 96.78}, {50, 97.10}, {58, 97.02}, {66, 97.21}, {80, 97.52},
	{95, 97.83}, {110, 98.20}, {126, 98.55}, {142, 98.88}, {160, 99.30}, {178, 99.71}, {196, 100.12}, {204, 100.35},
}

// armBed is the bed of the shallow arm, which comes in at chainage 66 of the main one.
var armBed = [][2]float64{{0, 97.21}, {14, 97.74}, {29, 98.30}, {45, 98.92}, {60, 99.46}}

// southBed is the bed of the arm that came to light last, which comes in at chainage 80.
var southBed = [][2]float64{{0, 97.52}, {9, 97.80}, {18, 98.04}, {27, 98.37}, {36, 98.66}, {45, 98.97}}

// walk lays a bed out on the ground: each step is as long as the chainage grows.
func walk(bed [][2]float64, start orb.Point, bearingDeg, swingDeg float64) []station {
	line := make([]station, len(bed))
	p := start
	for i, b := range bed {
		if i > 0 {
			turn := bearingDeg + swingDeg*math.Sin(float64(i)*1.3)
			p = geodesy.Destination(p, turn, b[0]-bed[i-1][0])
			p = orb.Point{round(p[0], 1e7), round(p[1], 1e7)}
		}
		line[i] = station{b[0], b[1], p}
	}
	return line
}

// along finds the level and place of a bed at a chainage.
func along(bed []station, chainageM float64) station {
	for i := 1; i < len(bed); i++ {
		a, b := bed[i-1], bed[i]
		if chainageM <= b.chainageM || i == len(bed)-1 {
			part := (chainageM - a.chainageM) / (b.chainageM - a.chainageM)
			return station{chainageM, a.levelM + part*(b.levelM-a.levelM),
				orb.Point{a.position[0] + part*(b.position[0]-a.position[0]), a.position[1] + part*(b.position[1]-a.position[1])}}
		}
	}
	return bed[0]
}

func places(bed []station) orb.LineString {
	return model.Each(bed, func(s station) orb.Point { return s.position })
}

// contour is a line of pegs 20 m apart that follows the slope's contour, which runs
// north-east, from a start; swing is how far it bends.
func contour(eastM, northM, lengthM, swingM float64) orb.LineString {
	var line orb.LineString
	for s := 0.0; s <= lengthM; s += 20 {
		bend := swingM * math.Sin(s/lengthM*math.Pi)
		line = append(line, at(eastM+s*math.Sin(math.Pi/5)+bend*math.Cos(math.Pi/5), northM+s*math.Cos(math.Pi/5)-bend*math.Sin(math.Pi/5)))
	}
	return line
}
