package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
)

// Bounds of what is battered here.
const (
	// MaxBatterM is the highest wall: heads less than 3 m deep are what regrading was seen to
	// hold (Addisie and others 2018, Water 10(4):389, abstract; looked up). Higher walls are
	// earthworks for an engineer.
	MaxBatterM     = 3.0
	LeastBatterM   = 0.1
	LeastBatterRun = 1.0 // banks are laid back to 1 to 1 at least before planting (figure of a text on desertification, poorly legible; looked up)
	MaxBatterRun   = 10.0
	maxWallM       = 10_000
)

// Batter is a gully wall that is laid back from PresentRunPerRise to TargetRunPerRise, both
// horizontal run for one of rise, 0 being upright.
type Batter struct {
	HeightM           float64 // of the wall, toe to brink
	PresentRunPerRise float64
	TargetRunPerRise  float64
	LengthM           float64  // along the wall; 0 where only a head is battered
	HeadRadiusM       *float64 // at the toe of a half-round head at the end of the wall; nil: none
	BedWidthM         *float64 // free bed before the wall; nil: not known
	TopsoilDepthM     float64  // spread over the face, square to it; 0: none
	Soil              string   // of BatterGrades or Grades; "": not named
	Grades            []BatterGrade
	AccuracyM         float64 // one standard deviation of height, present run over that height, length and radius; not above 0: not known
	LengthPlusMinusM  float64 // of the length, where it is known otherwise, as from a walk along the brink; 0: AccuracyM
}

// Laid is what a batter moves and covers. Each PlusMinus is one standard deviation, -1
// when the accuracy of the sizes is not known.
type Laid struct {
	CutM3              float64         `json:"cutM3" unit:"m3" doc:"with the toe where it is and all of it cut; as it lies, not bulked"`
	CutPlusMinusM3     float64         `json:"cutPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	WidthM             float64         `json:"widthM" unit:"m" doc:"the brink moves back so far"`
	WidthPlusMinusM    float64         `json:"widthPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	AreaM2             float64         `json:"areaM2" unit:"m2" doc:"of the new batter in plan, toe to brink"`
	AreaPlusMinusM2    float64         `json:"areaPlusMinusM2" unit:"m2" doc:"one standard deviation; none when not known"`
	LandM2             float64         `json:"landM2" unit:"m2" doc:"of that, beyond the present brink"`
	LandPlusMinusM2    float64         `json:"landPlusMinusM2" unit:"m2" doc:"one standard deviation; none when not known"`
	FaceLengthM        float64         `json:"faceLengthM" unit:"m" doc:"up the slope, toe to brink"`
	FaceDeg            float64         `json:"faceDeg" unit:"deg" doc:"from level"`
	FaceM2             float64         `json:"faceM2" unit:"m2" doc:"measured on the slope: to spread topsoil and net over"`
	FacePlusMinusM2    float64         `json:"facePlusMinusM2" unit:"m2" doc:"one standard deviation; none when not known"`
	TopsoilM3          float64         `json:"topsoilM3,omitempty" unit:"m3" doc:"none without its depth"`
	TopsoilPlusMinusM3 float64         `json:"topsoilPlusMinusM3,omitempty" unit:"m3" doc:"one standard deviation, the depth taken as exact; none when not known"`
	Balanced           *BalancedBatter `json:"balanced,omitempty" doc:"the other way, upper half cut and filled before the lower; none for a head, or where the bed is too narrow"`
}

// BalancedBatter is a batter whose cut is its fill, turned about the middle of the wall. No
// bulking is reckoned.
type BalancedBatter struct {
	CutM3           float64 `json:"cutM3" unit:"m3" doc:"and as much fill, no bulking reckoned"`
	CutPlusMinusM3  float64 `json:"cutPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	WidthM          float64 `json:"widthM" unit:"m" doc:"the brink moves back, and the toe forward, so far"`
	WidthPlusMinusM float64 `json:"widthPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
}

// taken are the figures of a batter from the sizes as they are taped: run is the present
// run over the whole height.
//
//	wall      cut (nD - R) D L / 2, brink back nD - R; balanced cut (nD - R) D L / 8
//	head      cut π/2 ( r (nD - R) D + (n²D² - R²) D / 3 ), half a frustum less another
//	          area in plan π/2 ( (r + nD)² - r² )
//	face      D √(1 + n²) up the slope; of a head half the mantle of a frustum
//
// with D the height, n the target run for one of rise, R the present run, L the length and r
// the head's radius at its toe (derived).
func (b Batter) taken(run, radius float64) []float64 {
	n, d := b.TargetRunPerRise, b.HeightM
	back, slope := n*d-run, d*math.Hypot(1, n)
	cut, area, land, face := back*d*b.LengthM/2, n*d*b.LengthM, back*b.LengthM, slope*b.LengthM
	balanced := cut / 4
	if b.HeadRadiusM != nil {
		const half = math.Pi / 2
		cut += half * (radius*back*d + (n*d*n*d-run*run)*d/3)
		area += half * ((radius+n*d)*(radius+n*d) - radius*radius)
		land += half * ((radius+n*d)*(radius+n*d) - (radius+run)*(radius+run))
		face += half * (2*radius + n*d) * slope
	}
	return []float64{cut, back, area, land, face, face * b.TopsoilDepthM, balanced}
}

// Lay works out the batter. The error is a *model.Problem with a path like "heightM".
func (b Batter) Lay() (Laid, error) {
	if p := b.check(); p != nil {
		return Laid{}, p
	}
	run, radius := b.PresentRunPerRise*b.HeightM, orDefault(b.HeadRadiusM, 0)
	v := b.taken(run, radius)
	pm := []float64{-1, -1, -1, -1, -1, -1, -1}
	if b.AccuracyM > 0 {
		sizes := append([]taped{{&b.HeightM, b.AccuracyM}, {&run, b.AccuracyM}}, given(b.AccuracyM, &radius)...)
		sizes = append(sizes, given(cmp.Or(b.LengthPlusMinusM, b.AccuracyM), &b.LengthM)...)
		pm = spreadBy(func() []float64 { return b.taken(run, radius) }, sizes)
	}
	laid := Laid{
		CutM3: v[0], CutPlusMinusM3: pm[0], WidthM: v[1], WidthPlusMinusM: pm[1], AreaM2: v[2], AreaPlusMinusM2: pm[2],
		LandM2: v[3], LandPlusMinusM2: pm[3], FaceM2: v[4], FacePlusMinusM2: pm[4], TopsoilM3: v[5], TopsoilPlusMinusM3: pm[5],
		FaceLengthM: b.HeightM * math.Hypot(1, b.TargetRunPerRise), FaceDeg: ReposeDeg(b.TargetRunPerRise),
	}
	if b.HeadRadiusM == nil && b.leavesBed(laid.WidthM/2) {
		laid.Balanced = &BalancedBatter{v[6], pm[6], v[1] / 2, model.ScaledPlusMinus(1.0/2, pm[1])}
	}
	return laid, nil
}

// leavesBed tells whether a toe that moves so far forward leaves bed for the water.
func (b Batter) leavesBed(forwardM float64) bool {
	return b.BedWidthM == nil || forwardM < *b.BedWidthM
}

func (b Batter) check() *model.Problem {
	p := model.FirstProblem(
		model.Require(!(b.HeightM > MaxBatterM), "heightM", "check that it is in metres; have an engineer design the earthworks",
			"a wall of %v m is too high to batter by rule: none above %v m is known to have held", b.HeightM, MaxBatterM),
		inRange("heightM", b.HeightM, LeastBatterM, MaxBatterM, "m"),
		inRange("presentRunPerRise", b.PresentRunPerRise, 0, MaxBatterRun, oneIn),
		inRange("targetRunPerRise", b.TargetRunPerRise, LeastBatterRun, MaxBatterRun, oneIn),
		inRange("lengthM", b.LengthM, 0, maxWallM, "m"),
		inRange("topsoilDepthM", b.TopsoilDepthM, 0, 0.5, "m"),
		checkGrades(b.Grades), b.checkEnds(),
		model.Require(b.TargetRunPerRise > b.PresentRunPerRise, "targetRunPerRise", "leave it as it is, or swap the two where they were mixed up",
			"the wall already lies at 1 in %v, and 1 in %v is no flatter", b.PresentRunPerRise, b.TargetRunPerRise))
	if p != nil || b.Soil == "" {
		return p
	}
	g, p := grade(b.Soil, b.Grades)
	return model.FirstProblem(p, model.Require(b.TargetRunPerRise >= g.LeastRunPerRise, "targetRunPerRise", "lay it flatter; "+g.Source.String(),
		"1 in %v is steeper than the 1 in %v given for %s", b.TargetRunPerRise, g.LeastRunPerRise, g.Soil))
}

func (b Batter) checkEnds() *model.Problem {
	return model.FirstProblem(
		checkTaped(b.AccuracyM),
		inRange("lengthPlusMinusM", b.LengthPlusMinusM, 0, maxWallM, "m"),
		inRange("headRadiusM", orDefault(b.HeadRadiusM, 0), 0, 50, "m"),
		model.Require(b.HeadRadiusM != nil || b.LengthM != 0, "lengthM", "give the length of the wall, or the radius of a head", "is missing"),
		inRange("bedWidthM", orDefault(b.BedWidthM, 0), 0, 200, "m"))
}

// BatterCautions go with every batter that is planned or dug.
var BatterCautions = []model.Caution{
	{Text: "Never work under an undercut or cracked wall, and keep machines and people back from its brink: such walls fall without warning, and one of 1.5 m buries a person."},
	{Text: "Turn the water away from the brink first, or the batter washes out before it is grassed."},
	{Text: "Look for buried services and heritage before digging, and ask whether clearing and earthworks need a permit. Local codes and a licensed engineer come before any number here."},
	{Text: "Spread topsoil, sow, fertilise and shut out stock at once: a bare batter erodes like any bare slope. Dispersive subsoil needs gypsum and cover at the least."},
}

// Cautions are those of this batter.
func (b Batter) Cautions() []model.Caution {
	all := append(model.Cautions(nil), BatterCautions...)
	all.AddIf(b.Soil == "", "targetRunPerRise", "The soil was not named, so 1 in %v was compared with nothing: usual grades go from 1 in 1.5 in stiff clay to 1 in 4 and flatter in sandy or dispersive soil (from memory).", b.TargetRunPerRise)
	if forward := (b.TargetRunPerRise - b.PresentRunPerRise) * b.HeightM / 2; !b.leavesBed(forward) {
		all.Add("balanced", "Cut and fill would push the toe %.1f m into a bed of %.1f m: cut all of it and cart it away.", forward, *b.BedWidthM)
	} else if b.HeadRadiusM == nil {
		all.Add("balanced", "Fill in the bed of a gully is washed out by the first flow unless the water is turned away first.")
	}
	return all
}

// BatterGrade is how steep a battered bank of a soil may be, and who says so.
type BatterGrade struct {
	Soil               string
	LeastRunPerRise    float64 // no steeper than this
	FlattestRunPerRise float64 // the other end of what is usual; 0: not said
	Source             model.Source
}

var usualBatters = model.Source{Title: "Usual conservation practice; no printed table was at hand", Place: "batter grades by soil", How: model.FromMemory}

// BatterGrades lists the grades, the steepest first. An officer with a local table gives
// that instead.
var BatterGrades = []BatterGrade{
	{"stiff clay, not dispersive", 1.5, 2, usualBatters},
	{"loam", 2, 3, usualBatters},
	{"under loose rock", 2, 0, model.Source{Title: "Catchments & Creeks, Rock Linings (2010)", Place: "riprap not steeper than 2 to 1", How: model.LookedUp}},
	{"under loose rock, planted", 2.5, 0, model.Source{Title: "Catchments & Creeks, Rock Linings (2010)", Place: "planted riprap not steeper than 2.5 to 1", How: model.LookedUp}},
	{"sandy or dispersive", 3, 4, usualBatters},
}

// grade finds the grade of a soil among the officer's own rows first, then in the table.
func grade(soil string, local []BatterGrade) (BatterGrade, *model.Problem) {
	all := slices.Concat(local, BatterGrades)
	g, ok := model.Find(all, func(g BatterGrade) bool { return g.Soil == soil })
	names := model.Each(all, func(g BatterGrade) string { return g.Soil })
	return g, model.Require(ok, "soil", "give one of "+strings.Join(names, "; ")+", or a row of your own in grades", "no grade is known for %q", soil)
}

func checkGrades(local []BatterGrade) *model.Problem {
	for i, g := range local {
		twin := slices.IndexFunc(local, func(other BatterGrade) bool { return other.Soil == g.Soil })
		if p := model.FirstProblem(
			model.Require(g.Soil != "", "soil", "name the soil", "is empty"),
			model.Require(g.Source.Title != "", "source", "say where it comes from", "is empty"),
			inRange("leastRunPerRise", g.LeastRunPerRise, LeastBatterRun, MaxBatterRun, oneIn),
			model.Require(twin == i, "soil", "keep one of the two", "%q is in row %d too", g.Soil, twin+1),
		); p != nil {
			return p.Within(fmt.Sprintf("grades[%d]", i))
		}
	}
	return nil
}
