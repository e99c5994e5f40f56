package compute

import (
	"fmt"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

type areaIn struct {
	Rings     [][][2]float64 `json:"rings" unit:"deg" doc:"closed rings of longitude and latitude, WGS84: the boundary, then the holes; wound either way"`
	AccuracyM *float64       `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction; the receiver's own accuracy, for want of better"`
	Basis     string         `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the positions came about; GPS if not given"`
}

type areaOut struct {
	AreaM2              float64  `json:"areaM2" unit:"m2" doc:"inside the boundary less the holes, on the ellipsoid"`
	PerimeterM          float64  `json:"perimeterM" unit:"m" doc:"round the boundary and every hole"`
	PlusMinusM2         *float64 `json:"plusMinusM2,omitempty" unit:"m2" doc:"one standard deviation of areaM2; none without an accuracy"`
	PerimeterPlusMinusM *float64 `json:"perimeterPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of perimeterM; none without an accuracy"`
	Basis               string   `json:"basis" doc:"what the area comes from"`
}

var areaDoc = Doc{
	Name:    "area",
	Growth:  Squared,
	Summary: "area and perimeter of ground inside a boundary, with holes, on the WGS84 ellipsoid",
	Limits: []string{
		"Rings are closed and have 4 positions at least, the last repeating the first.",
		"A boundary that crosses itself or its holes is refused; where a crossing is looked for, sides are taken as straight in degrees. That holes lie inside is not checked, only that they are not larger than the boundary.",
		"A ring encloses the smaller part of the earth. On a slope the ground is larger than its area on the map.",
		"The ± takes the errors of the fixes as independent; fixes of one walk share part of theirs.",
	},
	Cautions: []string{
		"The area of a plot hardly larger than the fixes' accuracy is worth nothing: tape it.",
	},
	Sources: append(measureSources[:len(measureSources):len(measureSources)],
		model.Source{Title: "Area of short sides in the equal-area cylindrical projection; J. P. Snyder, Map Projections: A Working Manual, 1987", Place: "equation 3-12", How: model.FromMemory}),
}

var area = define(areaDoc, func(in areaIn, work *model.Work) (areaOut, error) {
	accuracyM, err := accuracy(in.AccuracyM)
	if err != nil {
		return areaOut{}, err
	}
	if len(in.Rings) == 0 {
		return areaOut{}, &model.Problem{Path: "rings", Reason: "is empty", Fix: "give the boundary, and then the holes if there are any"}
	}
	polygon := make(orb.Polygon, len(in.Rings))
	for i, ring := range in.Rings {
		path := fmt.Sprintf("rings[%d]", i)
		positions, err := positionsFrom(ring, path)
		if err != nil {
			return areaOut{}, err
		}
		if n := len(positions); n < 4 {
			return areaOut{}, &model.Problem{Path: path, Reason: fmt.Sprintf("a ring needs 4 positions and has %d", n)}
		} else if positions[0] != positions[n-1] {
			return areaOut{}, &model.Problem{Path: path, Reason: "a ring's first and last position differ", Fix: "close the ring where it was measured"}
		}
		polygon[i] = orb.Ring(positions)
	}
	if at, found, whole := geodesy.Crossing(polygon, work.Do); found || !whole {
		fault := &model.Problem{Path: "rings", Reason: fmt.Sprintf("the boundary crosses itself near [%.6f, %.6f]", at[0], at[1]), Fix: "mend it there"}
		if !whole {
			fault.Reason, fault.Fix = "the boundary is too intricate to be checked for crossings", "simplify it"
		}
		return areaOut{}, fault
	}
	out := areaOut{AreaM2: geodesy.Area(polygon), PerimeterM: geodesy.Perimeter(polygon), Basis: string(basisOr(in.Basis, model.GPS)),
		PlusMinusM2:         known(geodesy.AreaPlusMinus(polygon, accuracyM)),
		PerimeterPlusMinusM: known(geodesy.PerimeterPlusMinus(polygon, accuracyM))}
	if out.AreaM2 < 0 {
		return areaOut{}, &model.Problem{Path: "rings", Reason: "the holes are larger than the boundary", Fix: "give the boundary first"}
	}
	return out, nil
})
