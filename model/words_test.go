package model

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

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

func TestLimitsAreRoundedInwards(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		down, up string
	}{
		{1.1587, 2, "1.15", "1.16"}, {1.1504, 2, "1.15", "1.16"}, {0.381, 2, "0.38", "0.39"}, {8.1, 1, "8.1", "8.1"},
		{0.1 + 0.2, 1, "0.3", "0.3"}, {-1.25, 1, "-1.3", "-1.2"}, {0, 2, "0.00", "0.00"}, {4.04685, 1, "4.0", "4.1"},
	} {
		if down, up := RoundedDown(c.v, c.decimals), RoundedUp(c.v, c.decimals); down != c.down || up != c.up {
			t.Errorf("%v to %d decimals: %s and %s, want %s and %s", c.v, c.decimals, down, up, c.down, c.up)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		v, decimals := rapid.Float64Range(-1e4, 1e4).Draw(t, "v"), rapid.IntRange(0, 4).Draw(t, "decimals")
		down, _ := strconv.ParseFloat(RoundedDown(v, decimals), 64)
		up, _ := strconv.ParseFloat(RoundedUp(v, decimals), 64)
		if slack := 1.1e-9 * math.Max(1, math.Abs(v)); down > v+slack || up < v-slack || up-down > 1.0001*math.Pow10(-decimals) {
			t.Fatalf("%v to %d decimals: %v and %v", v, decimals, down, up)
		}
	})
}

// Half a millimetre goes away from nought, whether binary numbers hold it a little short or not.
func TestToMillimetre(t *testing.T) {
	for m, want := range map[float64]string{0.1425: "0.143", 99.9995: "100.000", 1.0005: "1.001", -0.1425: "-0.143", 0.1424: "0.142", 0: "0.000"} {
		if got := ToMillimetre(m); got != want {
			t.Errorf("%v m is %s, want %s", m, got, want)
		}
	}
}

func TestColumnName(t *testing.T) {
	for text, want := range map[string]string{"crestHeightM": "crestHeightM", "a b/c": "a_b_c", "azAZ09_": "azAZ09_", "`{@[": "____", "/:": "__", "9a": "_9a", "0": "_0", "": "_", "é": "_"} {
		if got := ColumnName(text); got != want {
			t.Errorf("the column of %q is %q, want %q", text, got, want)
		}
	}
}

func TestDecimalsOf(t *testing.T) {
	for unit, want := range map[string]int{"m3": 1, "h": 1, "%": 2, "m/s": 2, "m": 3, "m3/s": 3, "": 3} {
		if got := DecimalsOf(unit); got != want {
			t.Errorf("a figure in %q ends after %d decimals, want %d", unit, got, want)
		}
	}
}
