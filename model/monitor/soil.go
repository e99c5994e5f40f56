package monitor

import (
	"math"

	"headcut/model"
)

// BulkDensity is the dry mass of soil in place per volume, in tonnes per cubic metre. It
// differs from place to place by more than any of the volumes: there is no default.
type BulkDensity struct {
	TM3          float64
	PlusMinusTM3 float64 // one standard deviation; negative when not known
}

// Check refuses what no soil weighs. Quartz without pores has 2.65 t/m³ (common knowledge of
// minerals, from memory).
func (b BulkDensity) Check() error {
	return model.FirstProblem(outside("bulkDensityTM3", b.TM3, 0.2, 2.65, "t/m3", "give tonnes per cubic metre, dry: 1.5, not 1500 kg/m3"),
		tooWide("bulkDensityPlusMinusTM3", b.PlusMinusTM3, 1, "t/m3", "")).Err()
}

// Mass is that of a volume, with its standard deviation: of a product of two independent
// values, exactly. It is negative when either is not known.
func (b BulkDensity) Mass(volumeM3, plusMinusM3 float64) (tonnes, plusMinusT float64) {
	tonnes = volumeM3 * b.TM3
	if plusMinusM3 < 0 || b.PlusMinusTM3 < 0 {
		return tonnes, -1
	}
	return tonnes, math.Sqrt(sq(b.TM3*plusMinusM3) + sq(volumeM3*b.PlusMinusTM3) + sq(plusMinusM3*b.PlusMinusTM3))
}

// SurveyMethod is a way of taking cross-sections whose error was measured by others.
type SurveyMethod struct {
	Name     string
	ErrorPct float64 // of the volume, taken as one standard deviation and alike for all sections
	Note     string
}

// Castillo2012 is where the errors of SurveyMethods were published: for one reach of 7.1 m
// beside a laser scan.
var Castillo2012 = model.Source{Title: "C. Castillo et al., Comparing the accuracy of several field methods for measuring gully erosion, Soil Science Society of America Journal, 2012, doi 10.2136/sssaj2011.0390",
	Place: "abstract: section areas within 4 % by total station and by photographs, beyond 10 % by other flat methods; volumes more than 13 % low by profile meter and pole", How: model.LookedUp}

// SurveyMethods are the ones of Castillo2012. "Under 4 %" is taken as 4, "more than 13 %
// low" as 13: cautious for the first, hopeful for the others.
var SurveyMethods = []SurveyMethod{
	{"total-station", 4, ""},
	{"photographs", 4, ""},
	{"profile-meter", 13, "Volumes by profile meter were published as more than 13 % too low: the true one is likelier above than below."},
	{"pole", 13, "Volumes by pole were published as more than 13 % too low: the true one is likelier above than below."},
}
