package model

import "testing"

// The codes are those of the Unified Code for Units of Measure, ucum.org; the words are
// common practice, no source.
func TestUnitInWords(t *testing.T) {
	for code, want := range map[string]string{
		"": "", "1": "", "m": "m", "mm": "mm", "m2": "m²", "m3": "m³", "m3/s": "m³/s", "m3/m": "m³/m", "m2/a": "m²/year",
		"m0.5/s": "√m/s", "har": "ha", "kg/har": "kg/ha", "m3/har": "m³/ha", "t/(har.a)": "t/(ha·year)", "m/a": "m/year",
		"MJ.mm/(har.h.a)": "MJ·mm/(ha·h·year)", "t.har.h/(har.MJ.mm)": "t·ha·h/(ha·MJ·mm)",
		"a": "years", "h": "h", "min": "min", "mm/h": "mm/h", "%": "%", "deg": "°", "t/m3": "t/m³", "m/s": "m/s",
	} {
		if got := UnitInWords(code); got != want {
			t.Errorf("UnitInWords(%q) is %q, want %q", code, got, want)
		}
	}
}
