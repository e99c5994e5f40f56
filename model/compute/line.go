package compute

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

type lineIn struct {
	Positions [][2]float64 `json:"positions" unit:"deg" doc:"longitude and latitude of each position, WGS84, in order along the line"`
	AccuracyM *float64     `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction; the receiver's own accuracy, for want of better"`
	Basis     string       `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the positions came about; GPS if not given"`
}

type lineOut struct {
	LengthM    float64   `json:"lengthM" unit:"m" doc:"along the surface of the ellipsoid; on a slope the ground is longer"`
	SegmentsM  []float64 `json:"segmentsM" unit:"m" doc:"from each position to the next"`
	PlusMinusM *float64  `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of lengthM; none without an accuracy"`
	Basis      string    `json:"basis" doc:"what the length comes from"`
}

var lineDoc = Doc{
	Name:    "line",
	Growth:  Linear,
	Summary: "length of a line of positions on the WGS84 ellipsoid, and of each segment",
	Limits: []string{
		"Two positions at least; repeated ones add nothing.",
		"Segments are geodesics. Of two nearly opposite places of the earth the shorter way is taken.",
		"The ± takes the errors of the fixes as independent and small against the segments: " + roughLines,
	},
	Cautions: []string{
		"A length from fixes is no better than the fixes: tape what is short.",
	},
	Sources: measureSources,
}

var line = define(lineDoc, func(in lineIn, _ *model.Work) (lineOut, error) {
	accuracyM, err := accuracy(in.AccuracyM)
	if err != nil {
		return lineOut{}, err
	}
	positions, err := positionsFrom(in.Positions, "positions")
	if err != nil {
		return lineOut{}, err
	}
	if len(positions) < 2 {
		return lineOut{}, &model.Problem{Path: "positions", Reason: fmt.Sprintf("a line needs 2 positions and has %d", len(positions))}
	}
	return lineOut{
		LengthM: geodesy.Length(positions), SegmentsM: geodesy.Segments(positions),
		PlusMinusM: known(geodesy.LengthPlusMinus(positions, accuracyM)), Basis: string(basisOr(in.Basis, model.GPS)),
	}, nil
})

const roughLines = "sides shorter than the accuracy, scattered to and fro, make a line too long by more than it says."

// measureSources are behind whatever is measured between positions.
var measureSources = []model.Source{
	{Title: "C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87:43-55, 2013", Place: "inverse problem, equation 58 for areas", How: model.FromMemory},
	{Title: "WGS84 ellipsoid: NIMA TR8350.2, third edition", Place: "table 3.1", How: model.FromMemory},
	{Title: "Law of propagation of errors: JCGM 100:2008", Place: "5.1.2", How: model.FromMemory},
}

// positionsFrom reads a list of positions at path.
func positionsFrom(all [][2]float64, path string) (orb.LineString, error) {
	line := make(orb.LineString, len(all))
	for i, p := range all {
		if fault := model.CheckPosition(p); fault != nil {
			return nil, fault.Within(fmt.Sprintf("%s[%d]", path, i))
		}
		line[i] = p
	}
	return line, nil
}

// accuracy reads the optional input accuracyM; -1 when it was not given.
func accuracy(m *float64) (float64, error) {
	switch {
	case m == nil:
		return -1, nil
	case !(*m > 0 && *m <= 10_000): // NaN too
		return 0, &model.Problem{Path: "accuracyM", Reason: fmt.Sprintf("%v is not an accuracy above 0 and up to 10000 m", *m), Fix: "leave it out when it is not known"}
	}
	return *m, nil
}

// known is a plus-minus, nil when it could not be worked out.
func known(plusMinus float64) *float64 {
	if plusMinus < 0 || math.IsNaN(plusMinus) {
		return nil
	}
	return &plusMinus
}
