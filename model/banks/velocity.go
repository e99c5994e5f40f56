package banks

import (
	"fmt"
	"strings"

	"headcut/model"
)

// Cover is what grows in a channel, or its bare soil, with the velocity that it bears.
type Cover struct {
	Name              string
	Resistant, Eroded [3]float64 // m/s on beds of 0 to 5, 5 to 10 and over 10 %, in soil that resists or is easily eroded; 0: not to be used
	Bare              bool       // one figure for all beds
	Source            model.Source
}

var (
	tp61  = model.Source{Title: "SCS-TP-61, permissible velocities in grassed channels, as reprinted in the Winchester (Indiana) code", Place: "table 7", How: model.LookedUp}
	keown = model.Source{Title: "Highways in the River Environment, after Keown and others 1977", Place: "table 3.5, water 0.4 m deep", How: model.LookedUp}
)

func feet(a, b, c float64) [3]float64 { return [3]float64{a * footM, b * footM, c * footM} }

// Covers lists them, the strongest first. Grass that is mown short and grass in tufts are not
// told apart.
var Covers = []Cover{
	{"couch", feet(8, 7, 6), feet(6, 5, 4), false, tp61},
	{"sod grasses", feet(7, 6, 5), feet(5, 4, 3), false, tp61},
	{"grass mixture", feet(5, 4, 0), feet(4, 3, 0), false, tp61},
	{"lovegrass", feet(3.5, 0, 0), feet(2.5, 0, 0), false, tp61},
	{"annuals", feet(3.5, 0, 0), feet(2.5, 0, 0), false, tp61},
	{"bare sandy loam", feet(3.1, 3.1, 3.1), feet(3.1, 3.1, 3.1), true, keown},
	{"bare loess", feet(2.6, 2.6, 2.6), feet(2.6, 2.6, 2.6), true, keown},
	{"bare fine sand", feet(0.98, 0.98, 0.98), feet(0.98, 0.98, 0.98), true, keown},
}

// NeedsUpkeepMS is the velocity above which a grassed channel needs good cover and upkeep
// (SCS-TP-61, 5 ft/s).
const NeedsUpkeepMS = 5 * footM

// Bearing is the velocity that a channel bears, and whose figure that is.
type Bearing struct {
	VelocityMS float64
	Source     string
}

// Permissible is the velocity that a cover bears on a bed of a grade, in soil that resists or
// is easily eroded. A grade on the border of two classes is in the steeper. Dispersive subsoil
// has no cover to count on and bears the least. It returns a *model.Problem at "cover".
func Permissible(cover string, easilyEroded, dispersive bool, gradePct float64) (Bearing, error) {
	if dispersive {
		least := Covers[len(Covers)-1]
		return Bearing{least.Eroded[0], "the lowest listed, as grass does not help dispersive soil: " + least.Name + ", " + least.Source.String()}, nil
	}
	c, known := model.Find(Covers, func(c Cover) bool { return c.Name == cover })
	if !known {
		names := model.Each(Covers, func(c Cover) string { return c.Name })
		return Bearing{}, &model.Problem{Path: "cover", Reason: fmt.Sprintf("%q is not listed", cover), Fix: "give one of " + strings.Join(names, ", ")}
	}
	row, class := c.Resistant, 0
	if easilyEroded {
		row = c.Eroded
	}
	switch {
	case gradePct > 10:
		class = 2
	case gradePct >= 5:
		class = 1
	}
	if row[class] == 0 {
		return Bearing{}, &model.Problem{Path: "cover", Reason: fmt.Sprintf("%s is not for a bed of %v %%", c.Name, gradePct), Fix: "flatten the grade, or grow a grass that binds the ground"}
	}
	return Bearing{row[class], c.Name + ", " + c.Source.String()}, nil
}
