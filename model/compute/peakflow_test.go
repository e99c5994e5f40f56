package compute

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// durations is the design-storm table of a case as JSON.
func durations(t *testing.T, c modeltest.Case, name string) string {
	t.Helper()
	var columns struct {
		Minutes   []float64 `json:"dur_min"`
		Intensity []float64 `json:"I_mm_h"`
	}
	if err := json.Unmarshal(c.Inputs[name], &columns); err != nil || len(columns.Minutes) == 0 {
		t.Fatalf("%s: %s is no table: %v", c.ID, name, err)
	}
	var rows []string
	for i, m := range columns.Minutes {
		rows = append(rows, fmt.Sprintf(`{"minutes": %v, "intensityMmH": %v}`, m, columns.Intensity[i]))
	}
	return "[" + strings.Join(rows, ",") + "]"
}

// TestFromGroundToAbutment takes the chain RM8 through three computations: the time, the peak,
// and the notch that passes it.
func TestFromGroundToAbutment(t *testing.T) {
	c := modeltest.Named(t, "runoff", "RM8")
	var time timeOfConcentrationOut
	run(t, "time-of-concentration", fmt.Sprintf(`{"method": "kirpich", "lengthM": %v, "slopePct": %v, "areaHa": %v}`, c.Number(t, "L_m"), 100*c.Number(t, "S"), c.Number(t, "A_ha")), &time)
	c.Check(t, "tc_min", time.Minutes.Value)
	if len(time.Others) != 2 || len(time.NotWorkedOut) != 2 || time.ShortestMin != time.Minutes.Value || time.LongestMin <= time.Minutes.Value || time.Minutes.PlusMinus != -1 {
		t.Errorf("time-of-concentration = %+v, want two others, both longer", time)
	}
	var peak peakFlowOut
	run(t, "peak-flow", fmt.Sprintf(`{"areaHa": %v, "table": "land-by-slope-and-soil", "cover": "pasture", "soil": "clay and silt loam", "slopePct": 7,
		"durations": %s, "timeOfConcentrationMin": %v, "event": "10 %% AEP", "tableDate": "2016-11-30"}`, c.Number(t, "A_ha"), durations(t, c, "idf"), time.Minutes.Value), &peak)
	c.Check(t, "I_mm_h", peak.IntensityMmH.Value)
	c.Check(t, "Q_m3_s", peak.FlowM3S.Value)
	if peak.Event != "10 % AEP" || peak.TableDate != "2016-11-30" || len(peak.OtherReadings) != 2 || peak.DurationMin == nil || *peak.DurationMin != time.Minutes.Value {
		t.Errorf("peak-flow = %+v, want the table's event and date and two other readings", peak)
	}
	var over notchOut
	run(t, "notch", fmt.Sprintf(`{"flowM3S": %v, "crestLengthM": 2.5}`, peak.FlowM3S.Value), &over)
	if want := math.Pow(peak.FlowM3S.Value/(1.65*2.5), 2.0/3); math.Abs(over.HeadM.Value-want) > 1e-9 || math.Abs(over.AbutmentHeightM.Value-want-0.15) > 1e-9 {
		t.Errorf("notch = %+v, want %v m of water and ends 0.15 m above it", over, want)
	}
}

// TestOtherReadings: the intensities of IF1 to IF3 come out whichever way is asked for,
// and the other two beside it.
func TestOtherReadings(t *testing.T) {
	names := map[string]string{"log-log": "loglog_mm_h", "straight intensity": "linear_intensity_mm_h", "straight depth": "linear_depth_mm_h"}
	for _, c := range modeltest.Cases(t, "runoff", "idf_interpolation") {
		for between, name := range names {
			var out peakFlowOut
			run(t, "peak-flow", fmt.Sprintf(`{"areaHa": 1, "coefficient": 1, "durations": %s, "timeOfConcentrationMin": %v, "between": %q}`, durations(t, c, "table"), c.Number(t, "t_min"), between), &out)
			c.Check(t, name, out.IntensityMmH.Value)
			for _, other := range out.OtherReadings {
				if other.Between == between {
					t.Errorf("%s: %s is beside itself", c.ID, between)
				}
				c.Check(t, names[other.Between], other.IntensityMmH)
				if want := other.IntensityMmH / 360; math.Abs(other.FlowM3S-want) > 1e-12 {
					t.Errorf("%s: %s gives %v m3/s, want %v", c.ID, other.Between, other.FlowM3S, want)
				}
			}
		}
	}
}

func TestPeakFlowSaysWhatIsDoubtful(t *testing.T) {
	const rain = `"durations": [{"minutes": 5, "intensityMmH": 160}, {"minutes": 10, "intensityMmH": 125}]`
	for _, c := range []struct{ name, in, about, says string }{
		{"no-event", `{"areaHa": 5, "coefficient": 0.36, "intensityMmH": 80, "tableDate": "2016"}`, "event", "not given"},
		{"no-date", `{"areaHa": 5, "coefficient": 0.36, "intensityMmH": 80, "event": "10 % AEP"}`, "tableDate", "not given"},
		{"range", `{"areaHa": 3.6, "table": "bare-and-grazed-ground", "cover": "bare smooth", "intensityMmH": 100}`, "coefficient", "0.6 m3/s"},
		{"beyond-a-stricter-text", `{"areaHa": 14, "coefficient": 0.36, "intensityMmH": 80}`, "areaHa", "8.1 ha (American farm engineering text"},
		{"degraded-ground", `{"areaHa": 5, "table": "land-by-slope-and-soil", "cover": "pasture", "soil": "tight clay", "slopePct": 3, "intensityMmH": 80}`, "coefficient", "scalded"},
		{"degraded-part", `{"parts": [{"areaHa": 5, "table": "bare-and-grazed-ground", "cover": "pasture", "soil": "heavy"}], "intensityMmH": 80}`, "coefficient", "scalded"},
		{"below-the-table", `{"areaHa": 5, "coefficient": 0.36, "timeOfConcentrationMin": 2.4, ` + rain + `}`, "timeOfConcentrationMin", "first duration, 5 min"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out peakFlowOut
			run(t, "peak-flow", c.in, &out)
			for _, caution := range out.Cautions {
				if caution.About == c.about && strings.Contains(caution.Text, c.says) {
					return
				}
			}
			t.Errorf("peak-flow with %s cautions %v, want one about %s that says %q", c.in, out.Cautions, c.about, c.says)
		})
	}
}

func TestRunoffRefusalsNameTheFault(t *testing.T) {
	const rain = `"durations": [{"minutes": 5, "intensityMmH": 160}, {"minutes": 10, "intensityMmH": 125}]`
	for _, c := range []struct{ name, compute, in, path string }{
		{"no-coefficient", "peak-flow", `{"areaHa": 5, "intensityMmH": 80}`, "coefficient"},
		{"coefficient-and-table", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "table": "land-by-slope-and-soil", "intensityMmH": 80}`, "coefficient"},
		{"plus-minus-below-nought", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "coefficientPlusMinus": -1, "intensityMmH": 80}`, "coefficientPlusMinus"},
		{"area-and-parts", "peak-flow", `{"areaHa": 5, "parts": [{"areaHa": 5, "coefficient": 0.3}], "intensityMmH": 80}`, "parts"},
		{"coefficient-and-parts", "peak-flow", `{"coefficient": 0.3, "parts": [{"areaHa": 5, "coefficient": 0.3}], "intensityMmH": 80}`, "parts"},
		{"no-parts", "peak-flow", `{"parts": [], "intensityMmH": 80}`, "parts"},
		{"bad-part", "peak-flow", `{"parts": [{"areaHa": 2, "coefficient": 0.3}, {"areaHa": 2, "coefficient": 30}], "intensityMmH": 80}`, "parts[1].coefficient"},
		{"part-of-an-unknown-soil", "peak-flow", `{"parts": [{"areaHa": 2, "table": "land-by-slope-and-soil", "cover": "pasture", "soil": "sandy", "slopePct": 3}], "intensityMmH": 80}`, "parts[0].soil"},
		{"parts-beyond-the-limit", "peak-flow", `{"areaLimit": "20 acres", "parts": [{"areaHa": 5, "coefficient": 0.3}, {"areaHa": 5, "coefficient": 0.3}], "intensityMmH": 80}`, "parts"},
		{"area-beyond-the-limit", "peak-flow", `{"areaHa": 10, "areaLimit": "20 acres", "coefficient": 0.3, "intensityMmH": 80}`, "areaHa"},
		{"intensity-and-rain", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "intensityMmH": 80, ` + rain + `}`, "intensityMmH"},
		{"no-intensity", "peak-flow", `{"areaHa": 5, "coefficient": 0.3}`, "intensityMmH"},
		{"rain-without-time", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, ` + rain + `}`, "timeOfConcentrationMin"},
		{"beyond-the-rain", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "timeOfConcentrationMin": 11, ` + rain + `}`, "timeOfConcentrationMin"},
		{"no-date-of-a-table", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "intensityMmH": 80, "tableDate": "last year"}`, "tableDate"},
		{"spread-beyond-the-value", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "intensityMmH": 80, "intensityPlusMinusPct": 101}`, "intensityPlusMinusPct"},
		{"spread-of-no-time", "peak-flow", `{"areaHa": 5, "coefficient": 0.3, "timeOfConcentrationPlusMinusMin": 1, ` + rain + `}`, "timeOfConcentrationPlusMinusMin"},
		{"strange-method", "time-of-concentration", `{"method": "guess"}`, "method"},
		{"surface-and-roughness", "time-of-concentration", `{"method": "friend", "lengthM": 60, "slopePct": 4, "surface": "bare", "hortonN": 0.03}`, "hortonN"},
		{"bad-rain", "time-of-concentration", `{"method": "kinematic", "lengthM": 60, "slopePct": 4, "manningN": 0.2, "durations": [{"minutes": 5, "intensityMmH": 160}]}`, "durations"},
		{"spread-of-no-length", "time-of-concentration", `{"method": "pilgrim-mcdermott", "areaHa": 50, "lengthPlusMinusM": 1}`, "lengthPlusMinusM"},
		{"nothing", "notch", `{}`, "crestLengthM"},
		{"all-three", "notch", `{"flowM3S": 0.5, "headM": 0.2, "crestLengthM": 1}`, "headM"},
		{"feet", "notch", `{"flowM3S": 0.5, "crestLengthM": 1.5, "coefficient": 3.09}`, "coefficient"},
		{"weir-twice", "notch", `{"flowM3S": 0.5, "crestLengthM": 1.5, "weir": "broad crest", "coefficient": 1.7}`, "coefficient"},
		{"spread-of-no-coefficient", "notch", `{"flowM3S": 0.5, "crestLengthM": 1.5, "coefficientPlusMinus": 0.1}`, "coefficientPlusMinus"},
		{"bottom-of-nought", "notch", `{"flowM3S": 0.5, "crestLengthM": 1.5, "gullyBottomM": 0}`, "gullyBottomM"},
		{"ends-in-millimetres", "notch", `{"flowM3S": 0.5, "crestLengthM": 1.5, "endsAboveCrestM": 150}`, "endsAboveCrestM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := Run(c.compute, []byte(c.in))
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Run(%s, %s) = %s, %v; want a problem at %q", c.compute, c.in, out, err, c.path)
			}
		})
	}
}

// TestNotchAnswers: HY09 and HY10, and all three ways round.
func TestNotchAnswers(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "abutment_rise_ok") {
		var out notchOut
		run(t, "notch", fmt.Sprintf(`{"headM": 0.01, "crestLengthM": 2, "endsAboveCrestM": %v}`, c.Number(t, "end_level")-c.Number(t, "crest_level")), &out)
		if want := modeltest.Want[bool](t, c, "ok"); out.EndsHold == nil || *out.EndsHold != want || out.EndsLackM == nil || (*out.EndsLackM > 0) == want {
			t.Errorf("%s: ends hold %v and lack %v, want %v", c.ID, out.EndsHold, out.EndsLackM, want)
		}
	}
	c := modeltest.Named(t, "gully", "HY06")
	var out notchOut
	run(t, "notch", fmt.Sprintf(`{"flowM3S": %v, "flowPlusMinusM3S": 0.1, "crestLengthM": %v, "crestLengthPlusMinusM": 0.02, "weir": "loose rock"}`, c.Number(t, "Q"), c.Number(t, "length")), &out)
	c.Check(t, "head", out.HeadM.Value)
	if out.HeadM.PlusMinus <= 0 || out.AbutmentHeightM.PlusMinus != out.HeadM.PlusMinus || out.EndsHold != nil {
		t.Errorf("notch = %+v, want a known plus-minus and no word of ends", out)
	}
	c = modeltest.Named(t, "runoff", "WR4")
	run(t, "notch", fmt.Sprintf(`{"flowM3S": %v, "headM": %v, "weir": "broad crest"}`, c.Number(t, "Q_m3_s"), c.Number(t, "H_m")), &out)
	c.Check(t, "L_m", out.CrestLengthM.Value)
}
