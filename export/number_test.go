package export

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"

	"headcut/model"
)

func TestAppendScaled(t *testing.T) {
	for _, c := range []struct {
		name          string
		n             int64
		places, least int
		want          string
	}{
		{"zero", 0, 8, 0, "0"},
		{"zero-with-point", 0, 4, 1, "0.0"},
		{"whole", 13320000000, 8, 0, "133.2"},
		{"last-place", 13320000001, 8, 0, "133.20000001"},
		{"below-one", -1, 8, 0, "-0.00000001"},
		{"whole-degrees", -1600000000, 8, 0, "-16"},
		{"whole-figure", 30000, 4, 1, "3.0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := string(appendScaled(nil, c.n, c.places, c.least)); got != c.want {
				t.Errorf("appendScaled(%d, %d places) = %q, want %q", c.n, c.places, got, c.want)
			}
		})
	}
}

// The standard library's conversion is the judge of ours.
func TestAppendScaledAgreesWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-halfTurn, halfTurn).Draw(t, "n")
		got, err := strconv.ParseFloat(string(appendScaled(nil, n, positionPlaces, 0)), 64)
		if want := float64(n) / perDegree; err != nil || got != want {
			t.Fatalf("appendScaled(%d) reads back as %v (%v), want %v", n, got, err, want)
		}
	})
}

func TestAppendReal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64(), rapid.Map(rapid.Int32(), func(n int32) float64 { return float64(n) })).Draw(t, "v")
		text := appendReal(nil, v)
		var back float64
		if err := json.Unmarshal(text, &back); err != nil || back != v {
			t.Fatalf("appendReal(%v) = %s, reads back as %v (%v)", v, text, back, err)
		}
		if _, err := strconv.ParseInt(string(text), 10, 64); err == nil {
			t.Fatalf("appendReal(%v) = %s, which a reader takes for a whole number", v, text)
		}
	})
}

func TestAppendFigure(t *testing.T) {
	for _, c := range []struct {
		name   string
		v      float64
		places int
		want   string
	}{
		{"rounds", 123.45600000000002, 4, "123.456"},
		{"ends", 123.456, 1, "123.5"},
		{"whole", 3, 4, "3.0"},
		{"no-decimals", 51101.6, 0, "51102.0"},
		{"minus-zero", math.Copysign(0, -1), 4, "0.0"},
		{"rounds-to-zero", -0.00001, 4, "0.0"},
		{"rounds-to-zero-whole", -0.1, 0, "0.0"},
		{"negative", -0.18, 2, "-0.18"},
		{"huge", 1e20, 3, "1e+20"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := string(appendFigure(nil, c.v, c.places)); got != c.want {
				t.Errorf("appendFigure(%v) = %q, want %q", c.v, got, c.want)
			}
		})
	}
}

// TestColumnsEndWhereTheirPlusMinusDeserves: two digits after the first of the ±, or where the unit
// ends, for both columns of a figure.
func TestColumnsEndWhereTheirPlusMinusDeserves(t *testing.T) {
	for _, c := range []struct {
		name             string
		v, plusMinus     float64
		unit, want, wide string
	}{
		{"offset-by-gps", 0.75189, 4.07592, "m", "0.75", "4.08"},
		{"taped", 65.60004, 0.05, "m", "65.6", "0.05"},
		{"levelled", 97.20104, 0.00283, "m", "97.201", "0.0028"}, // a tenth of a millimetre at most
		{"area", 51101.2345, 958.2312, "m2", "51101.0", "958.0"},
		{"smaller-area", 790.47, 172.26, "m2", "790.0", "172.0"},
		{"ten", 100.1234, 10.2345, "m", "100.1", "10.2"},
		{"just-below-ten", 100.1234, 9.9999, "m", "100.12", "10.0"},
		{"zero-plus-minus", 0.01004, 0, "m", "0.01", "0.0"},
		{"none", 12.34567, -1, "m", "12.346", ""},
		{"none-and-small", 0.021749, -1, "m", "0.0217", ""},
		{"none-of-zero", 0, -1, "m", "0.0", ""},
		{"none-per-cent", 5.12345, -1, "%", "5.12", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := model.Figure{Name: "lengthM", Value: c.v, Unit: c.unit, PlusMinus: model.Known(c.plusMinus)}
			var r reader
			if got := string(r.figure(f.Value, columnPlaces(f)).bytes); got != c.want {
				t.Errorf("%v ± %v %s is written as %s, want %s", c.v, c.plusMinus, c.unit, got, c.want)
			}
			if f.PlusMinus == nil {
				return
			}
			if got := string(r.figure(*f.PlusMinus, columnPlaces(f)).bytes); got != c.wide {
				t.Errorf("the ± of %v ± %v %s is written as %s, want %s", c.v, c.plusMinus, c.unit, got, c.wide)
			}
		})
	}
}

func TestIsPlainReal(t *testing.T) {
	for raw, want := range map[string]bool{
		"0.45": true, "-16.1": true, "0.0": true, "12.50": true,
		"": false, "-": false, "3": false, ".5": false, "5.": false, "00.5": false, "-0.0": false,
		"1.5e3": false, "1.2.3": false, "NaN": false, "0x1.8": false, "1234567890.1234567890": false,
	} {
		if got := isPlainReal([]byte(raw)); got != want {
			t.Errorf("isPlainReal(%q) = %v, want %v", raw, got, want)
		}
		if want && !json.Valid([]byte(raw)) {
			t.Errorf("isPlainReal takes %q, which is not JSON", raw)
		}
	}
}

func TestOnlyTextIsText(t *testing.T) {
	for raw, want := range map[string]bool{
		`""`: true, `"a"`: true, `"\u00e9"`: true,
		"": false, `"`: false, "7": false, `7"`: false, `"7`: false, "true": false, `"\x"`: false,
	} {
		if _, got := new(reader).string([]byte(raw)); got != want {
			t.Errorf("string(%s) = %v, want %v", raw, got, want)
		}
	}
}

// The standard library is the judge of days, over every one of two centuries' ends and of
// much that is none.
func TestIsDay(t *testing.T) {
	check := func(text string) {
		t.Helper()
		_, err := time.Parse(time.DateOnly, text)
		if got := isDay([]byte(text)); got != (err == nil) {
			t.Errorf("isDay(%q) = %v, time.Parse says %v", text, got, err)
		}
	}
	for _, year := range []int{0, 1900, 2000, 2024, 2026, 9999} {
		for month := range 14 {
			for day := range 33 {
				check(fmt.Sprintf("%04d-%02d-%02d", year, month, day))
			}
		}
	}
	for _, text := range []string{"", "2026-1-1", "2026/01/01", "20260101", "2026-01-01T00:00:00Z", " 2026-01-1", "2026-01-0x", "+026-01-01", "2026-01\u00a001"} {
		check(text)
	}
}
