package works

import (
	"math"

	"headcut/model"
)

// Pits are broken into bare ground in rows, each half of an ellipsoid.
type Pits struct {
	LengthM, WidthM, DepthM float64 // of a pit, at the surface and in the middle
	ApartM, RowsApartM      float64 // from the middle of a pit to the next in its row, and from row to row
}

// Limits of pits. Common practice, no source: deeper ones reach the subsoil.
const (
	deepestPitM  = 0.5
	longestPitM  = 10.0
	farthestPitM = 100.0
	MaxPits      = 1e7
)

// On is how many pits stand on an area, and the water that they hold full, m³ (half of an ellipsoid, π/6 of length, width
// and depth; derived). The ± is that of the area; -1 where it is not known.
func (p Pits) On(areaM2, plusMinusM2 float64) (count, countPlusMinus, waterM3, waterPlusMinusM3 float64, err error) {
	if problem := model.FirstProblem(
		inRange("depthM", p.DepthM, 0.02, deepestPitM, "m"), inRange("lengthM", p.LengthM, 0.05, longestPitM, "m"), inRange("widthM", p.WidthM, 0.05, longestPitM, "m"),
		inRange("apartM", p.ApartM, 0.05, farthestPitM, "m"), inRange("rowsApartM", p.RowsApartM, 0.05, farthestPitM, "m"),
		model.Require(p.ApartM > p.LengthM, "apartM", "leave ground between the pits, or water runs from one to the next", "pits of %v m, %v m apart from middle to middle, run into each other", p.LengthM, p.ApartM),
		model.Require(p.RowsApartM > p.WidthM, "rowsApartM", "leave ground between the rows", "rows of pits %v m wide, %v m apart, run into each other", p.WidthM, p.RowsApartM),
		model.Require(areaM2/(p.ApartM*p.RowsApartM) <= MaxPits, "apartM", "check that it is in metres", "more than %.0f pits would stand on the area", MaxPits),
	); problem != nil {
		return 0, 0, 0, 0, problem
	}
	each := math.Pi / 6 * p.LengthM * p.WidthM * p.DepthM
	pits, off := areaM2/(p.ApartM*p.RowsApartM), model.ScaledPlusMinus(1/(p.ApartM*p.RowsApartM), plusMinusM2)
	whole := math.Floor(pits * (1 + 1e-12)) // 0.8 m by 0.8 m go 15,625 times into a hectare, and in binary a hair less
	return whole, off, pits * each, model.ScaledPlusMinus(each, off), nil
}
