package monitor

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/statistics"
)

// FilledToleranceM is how far below the crest silt may lie for the dam to be filled. Common
// practice, no source: a stone's thickness.
const FilledToleranceM = 0.05

// MaxProbes bounds the probes behind one dam.
const MaxProbes = 100

// Filling is how far a dam has filled.
type Filling string

// The states of a dam. That a filled one has done its job is common practice, no source.
const (
	Empty  Filling = "empty"
	Partly Filling = "filling"
	Filled Filling = "filled" // it has done its job
)

// Probe is the depth of the silt down to the old bed, so far upstream of the dam.
type Probe struct {
	DistanceM float64 `json:"distanceM" unit:"m" doc:"upstream of the dam"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"from the silt's surface to the old bed; 0 where there is none"`
}

// SiltTrap is a dam across a trapezoid: bed width b, banks z horizontal to 1 vertical, on
// an even bed. Behind a crest of height H on a bed steeper by G than the silt lies
//
//	V = b H²/(2G) + z H³/(3G)
//
// which is exact (derived); the printed short form H² (zH + b)/(2G) averages end areas and
// reads high.
type SiltTrap struct {
	CrestHeightM    float64 // of the notch over the bed at the dam
	BedWidthM       float64
	WidthAtCrestM   float64 // of the gully at the level of the crest
	BedSlopePct     float64 // of the old bed
	DepositSlopePct float64 // at which silt settles

	SiltHeightM *float64 // of the silt over the old bed, at the dam; or
	Probes      []Probe  // from the dam upstream, the first at the dam
}

// TrapAccuracy is one standard deviation of each measurement, independent of each other;
// negative when not known.
type TrapAccuracy struct{ HeightM, WidthM, DistanceM, SlopePct float64 }

// Caught is what lies behind a dam. Its name and its tonnes are for whoever knows them to fill in.
type Caught struct {
	Name                string   `json:"name" doc:"the dam"`
	CaughtM3            float64  `json:"caughtM3" unit:"m3" doc:"silt behind it: through the probes, or the even wedge to its height"`
	CaughtPlusMinusM3   float64  `json:"caughtPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	CaughtTonnes        *float64 `json:"caughtTonnes,omitempty" unit:"t" doc:"dry mass; none without a bulk density"`
	CapacityM3          float64  `json:"capacityM3" unit:"m3" doc:"of the wedge to the crest"`
	CapacityPlusMinusM3 float64  `json:"capacityPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	FilledPct           float64  `json:"filledPct" unit:"%" doc:"caught over capacity; above 100 where silt lies steeper than reckoned"`
	WedgeM3             float64  `json:"wedgeM3" unit:"m3" doc:"the even wedge to the silt's height at the dam, to compare with what was probed"`
	SiltHeightM         float64  `json:"siltHeightM" unit:"m" doc:"of the silt at the dam"`
	ReachM              float64  `json:"reachM" unit:"m" doc:"how far upstream the silt reaches"`
	State               Filling  `json:"state" choices:"empty|filling|filled" doc:"filled, to within 0.05 m of its crest, has done its job"`
}

// Caught measures the silt: the even wedge below its height at the dam, or where it was
// probed the solid through the probes and from the last of them the wedge that runs out to
// the bed.
func (s SiltTrap) Caught(a TrapAccuracy) (Caught, error) {
	if p := model.FirstProblem(s.check(), badPlusMinus("heightPlusMinusM", a.HeightM), badPlusMinus("widthPlusMinusM", a.WidthM),
		badPlusMinus("distancePlusMinusM", a.DistanceM), badPlusMinus("bedSlopePlusMinusPct", a.SlopePct)); p != nil {
		return Caught{}, p
	}
	values := []float64{s.CrestHeightM, s.BedWidthM, s.WidthAtCrestM, s.steeper()}
	plusMinus := []float64{a.HeightM, a.WidthM, a.WidthM, model.ScaledPlusMinus(1.0/100, a.SlopePct)}
	capacity := func(v []float64) float64 { return wedge(v[0], v[1], bank(v), v[3]) }
	out := Caught{CapacityM3: capacity(values), CapacityPlusMinusM3: statistics.Propagate(capacity, values, plusMinus)}

	caught := func(v []float64) float64 { return wedge(v[4], v[1], bank(v), v[3]) }
	if s.SiltHeightM != nil {
		out.SiltHeightM = *s.SiltHeightM
		values, plusMinus = append(values, out.SiltHeightM), append(plusMinus, a.HeightM)
		out.ReachM = out.SiltHeightM / s.steeper()
	} else {
		out.SiltHeightM = s.Probes[0].DepthM
		last := s.Probes[len(s.Probes)-1]
		out.ReachM = last.DistanceM + last.DepthM/s.steeper()
		for i, p := range s.Probes {
			values = append(values, p.DepthM, p.DistanceM)
			height, far := a.HeightM, a.DistanceM
			if p.DepthM == 0 {
				height = 0 // no silt is seen, not measured
			}
			if i == 0 {
				far = 0 // at the dam
			}
			plusMinus = append(plusMinus, height, far)
		}
		caught = probed
	}
	out.CaughtM3, out.CaughtPlusMinusM3 = caught(values), statistics.Propagate(caught, values, plusMinus)
	if a.SlopePct >= s.BedSlopePct-s.DepositSlopePct { // the wedge may have no end
		out.CapacityPlusMinusM3, out.CaughtPlusMinusM3 = -1, -1
	}
	out.WedgeM3 = wedge(out.SiltHeightM, s.BedWidthM, bank(values), s.steeper())
	out.FilledPct = 100 * out.CaughtM3 / out.CapacityM3
	out.State = s.state(out.SiltHeightM)
	return out, nil
}

func (s SiltTrap) state(siltM float64) Filling {
	const rounding = 1e-9 // so that silt just the tolerance below the crest fills
	switch {
	case siltM == 0:
		return Empty
	case siltM >= s.CrestHeightM-FilledToleranceM-rounding:
		return Filled
	}
	return Partly
}

// steeper is how much steeper the bed is than the silt, as a fraction.
func (s SiltTrap) steeper() float64 { return (s.BedSlopePct - s.DepositSlopePct) / 100 }

// bank is horizontal over vertical of the mean bank, from crest height, bed width and width
// at the crest.
func bank(v []float64) float64 { return (v[2] - v[1]) / (2 * v[0]) }

func wedge(heightM, bedM, z, steeper float64) float64 {
	return heightM*heightM*bedM/(2*steeper) + z*heightM*heightM*heightM/(3*steeper)
}

// probed is the volume under straight lines between the depths v[4], v[6] … at the
// distances v[5], v[7] …: between two of them, with areas b d + z d²,
//
//	L (b (d₁ + d₂)/2 + z (d₁² + d₁d₂ + d₂²)/3)
//
// and beyond the last the wedge.
func probed(v []float64) float64 {
	bed, z, sum := v[1], bank(v), 0.0
	for i := 6; i < len(v); i += 2 {
		d1, d2, length := v[i-2], v[i], v[i+1]-v[i-1]
		sum += length * (bed*(d1+d2)/2 + z*(d1*d1+d1*d2+d2*d2)/3)
	}
	return sum + wedge(v[len(v)-2], bed, z, v[3])
}

func (s SiltTrap) check() *model.Problem {
	if p := model.FirstProblem(
		outside("crestHeightM", s.CrestHeightM, 0.05, 5, "m", "give metres over the bed; higher dams are for an engineer's survey"),
		outside("bedWidthM", s.BedWidthM, 0, 100, "m", "give metres"),
		outside("widthAtCrestM", s.WidthAtCrestM, 0.1, 100, "m", "give metres, from bank to bank at the level of the crest"),
		outside("bedSlopePct", s.BedSlopePct, 0.1, 100, "%", "give per cent of the old bed, not degrees and not a ratio"),
		outside("depositSlopePct", s.DepositSlopePct, 0, 20, "%", "give per cent"),
		model.Require(s.WidthAtCrestM >= s.BedWidthM, "widthAtCrestM", "give the gully's width at the level of the crest",
			"%v m is less than the bed's width of %v m", s.WidthAtCrestM, s.BedWidthM),
		model.Require(s.BedSlopePct-s.DepositSlopePct >= 0.1, "depositSlopePct", "silt settles at a gentler slope than the bed, or none is caught",
			"%v %% is not below the bed's slope of %v %%", s.DepositSlopePct, s.BedSlopePct),
		model.Require((s.SiltHeightM == nil) != (s.Probes == nil), "", "", "needs the silt's height at the dam or probes of its depth, and one of them only")); p != nil {
		return p
	}
	// Silt may lie above the crest where a flood dropped it, but not by much.
	most := s.CrestHeightM + 0.5
	if s.SiltHeightM != nil {
		return outside("siltHeightM", *s.SiltHeightM, 0, most, "m", "measure over the old bed at the dam, in metres")
	}
	return s.checkProbes(most)
}

func (s SiltTrap) checkProbes(most float64) *model.Problem {
	if n := len(s.Probes); n < 1 || n > MaxProbes {
		return &model.Problem{Path: "probes", Reason: fmt.Sprintf("has %d probes", n), Fix: fmt.Sprintf("give 1 to %d", MaxProbes)}
	}
	if s.Probes[0].DistanceM != 0 {
		return &model.Problem{Path: "probes[0].distanceM", Reason: fmt.Sprintf("is %v, not 0", s.Probes[0].DistanceM), Fix: "take the first probe at the dam"}
	}
	for i, p := range s.Probes {
		if fault := model.FirstProblem(
			outside("depthM", p.DepthM, 0, most, "m", "give the depth of the silt in metres"),
			outside("distanceM", p.DistanceM, 0, 1000, "m", "give metres upstream of the dam"),
			model.Require(i == 0 || p.DistanceM-s.Probes[max(i-1, 0)].DistanceM >= 0.01, "distanceM", "list the probes from the dam upstream, each once",
				"%v m is not upstream of the probe before", p.DistanceM)); fault != nil {
			return fault.Within(fmt.Sprintf("probes[%d]", i))
		}
	}
	return nil
}

// Total sums what dams caught; their errors are taken as independent of each other, and
// the plus-minus is negative when that of one is.
func Total(all []Caught) (caughtM3, plusMinusM3, capacityM3 float64) {
	variance, known := 0.0, true
	for _, c := range all {
		caughtM3 += c.CaughtM3
		capacityM3 += c.CapacityM3
		variance += sq(c.CaughtPlusMinusM3)
		known = known && c.CaughtPlusMinusM3 >= 0
	}
	if !known {
		return caughtM3, -1, capacityM3
	}
	return caughtM3, math.Sqrt(variance), capacityM3
}
