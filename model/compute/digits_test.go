package compute

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model/modeltest"
)

type measuredOut struct {
	LengthM          float64    `json:"lengthM" unit:"m" doc:"a length"`
	LengthPlusMinusM float64    `json:"lengthPlusMinusM" unit:"m" doc:"one standard deviation"`
	PartsM           []float64  `json:"partsM" unit:"m" doc:"its parts"`
	PartsPlusMinusM  []float64  `json:"partsPlusMinusM" unit:"m" doc:"one standard deviation each"`
	AreaM2           *float64   `json:"areaM2,omitempty" unit:"m2" doc:"an area"`
	AreaPlusMinusM2  *float64   `json:"areaPlusMinusM2,omitempty" unit:"m2" doc:"one standard deviation"`
	ErodedTonnes     float64    `json:"erodedTonnes" unit:"t" doc:"a mass"`
	ErodedPlusMinusT float64    `json:"erodedTonnesPlusMinusT" unit:"t" doc:"one standard deviation"`
	Position         [2]float64 `json:"position" unit:"deg" doc:"a place"`
	SumM             float64    `json:"sumM" unit:"m" decimals:"4" doc:"a sum of readings"`
	Minutes          float64    `json:"minutes" unit:"min" doc:"a time"`
	PlusMinusMin     float64    `json:"plusMinusMin" unit:"min" doc:"one standard deviation"`
}

// TestFiguresEndAtTheDigitsTheyDeserve: two digits after the first of the plus-minus; what
// is not known is left out.
func TestFiguresEndAtTheDigitsTheyDeserve(t *testing.T) {
	third := 100.0 / 3
	for _, c := range []struct {
		name string
		out  measuredOut
		want []string
	}{
		{"metres", measuredOut{LengthM: 12.3456789, LengthPlusMinusM: 0.123456}, []string{`"lengthM":12.346,`, `"lengthPlusMinusM":0.123,`}},
		{"micrometres", measuredOut{LengthM: 12.3456789, LengthPlusMinusM: 0.0000123456}, []string{`"lengthM":12.3456789,`, `"lengthPlusMinusM":0.0000123,`}},
		{"kilometres", measuredOut{LengthM: 98765.4321, LengthPlusMinusM: 1234.9}, []string{`"lengthM":98765,`, `"lengthPlusMinusM":1235,`}},
		{"ten", measuredOut{LengthM: 98765.4321, LengthPlusMinusM: 10}, []string{`"lengthM":98765.4,`, `"lengthPlusMinusM":10,`}},
		{"not known", measuredOut{LengthM: 12.3456789, LengthPlusMinusM: -1}, []string{`{"lengthM":12.346,"partsM"`}},
		{"exact", measuredOut{LengthM: 12.3456789}, []string{`"lengthM":12.346,"lengthPlusMinusM":0,`}},
		{"small", measuredOut{LengthM: 0.00123456789}, []string{`"lengthM":0.00123,`}},
		{"what is left of nought", measuredOut{LengthM: 1e-12}, []string{`"lengthM":0,`}},
		{"units", measuredOut{AreaM2: new(1071764.3414), ErodedTonnes: third, Minutes: 106.3598}, []string{`"areaM2":1071764.3,`, `"erodedTonnes":33.3,`, `"minutes":106.4,`}},
		{"a negative", measuredOut{LengthM: -0.0217846}, []string{`"lengthM":-0.0218,`}},
		{"half way is away from nought", measuredOut{LengthM: 99.9995, PartsM: []float64{100.0005, 0.9995, 1.0005, -2.0015, -1.0005}, AreaM2: new(0.25), ErodedTonnes: 1000.05}, []string{`"lengthM":100,`, `"partsM":[100.001,1,1.001,-2.002,-1.001],`, `"areaM2":0.25,`, `"erodedTonnes":1000.1,`}},
		{"its own decimals", measuredOut{SumM: 2.22746}, []string{`"sumM":2.2275`}},
		{"a length and a list of lengths end alike", measuredOut{LengthM: 8.06829, SumM: 17, PartsM: []float64{8.06829, 17.2727}}, []string{`"lengthM":8.068,`, `"partsM":[8.068,17.273]`}},
		{"lists", measuredOut{PartsM: []float64{third, 2 * third}, PartsPlusMinusM: []float64{0.5, 0.05}}, []string{`"partsM":[33.3333,66.6667],"partsPlusMinusM":[0.5,0.05]`}},
		{"a list that lacks one", measuredOut{PartsM: []float64{third}, PartsPlusMinusM: []float64{0.5, -1}}, []string{`"partsM":[33.333],"erodedTonnes"`}},
		{"pointers", measuredOut{AreaM2: &third, AreaPlusMinusM2: new(2.0)}, []string{`"areaM2":33.33,"areaPlusMinusM2":2,`}},
		{"a pointer to what is not known", measuredOut{AreaM2: &third, AreaPlusMinusM2: new(-1.0)}, []string{`"areaM2":33.3,"erodedTonnes"`}},
		{"names that differ", measuredOut{ErodedTonnes: third, ErodedPlusMinusT: 3, Minutes: third, PlusMinusMin: 0.3}, []string{`"erodedTonnes":33.33,`, `"minutes":33.333,`}},
		{"places", measuredOut{Position: [2]float64{147.12345678912, -22}}, []string{`"position":[147.123456789,-22]`}},
	} {
		got, err := shapes{}.encode(&c.out, deserved, 0, MaxInput, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range c.want {
			if !strings.Contains(string(got), want) {
				t.Errorf("%s: %s, want %s", c.name, got, want)
			}
		}
	}
}

// TestWhatIsNotKnownIsAbsent: no golden answer has a null, a negative plus-minus, or more
// digits than its plus-minus deserves plus two, and none says a number with seven decimals.
func TestWhatIsNotKnownIsAbsent(t *testing.T) {
	long := regexp.MustCompile(`\d\.\d{7,}`)
	for _, c := range All() {
		for _, g := range modeltest.Goldens(t, c.Name) {
			answer, refused := Answer(c.Name, g.In())
			var v any
			if err := json.Unmarshal(answer, &v); err != nil {
				t.Fatal(err)
			}
			walk(v, "", func(at string, v any) {
				switch v := v.(type) {
				case nil:
					t.Errorf("%s: %s is null", c.Name, at)
				case float64:
					if _, _, ok := plusMinusName(at[strings.LastIndexByte(at, '.')+1:]); ok && v < 0 && !refused {
						t.Errorf("%s: %s is %v", c.Name, at, v)
					}
					if math.Abs(v) > 1 && v != (ending{decimals: 9}).of(v) {
						t.Errorf("%s: %s is %v", c.Name, at, v)
					}
				case string:
					if long.MatchString(v) {
						t.Errorf("%s: %s says %q", c.Name, at, v)
					}
				}
			})
		}
	}
}

func walk(v any, at string, visit func(string, any)) {
	visit(at, v)
	switch v := v.(type) {
	case map[string]any:
		for name, inner := range v {
			walk(inner, at+"."+name, visit)
		}
	case []any:
		for _, inner := range v {
			walk(inner, at, visit)
		}
	}
}

// A figure stands as encoding/json writes the number that it ends at, also where its digits are written as
// they come.
func TestFiguresStandAsJSONHasThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := ending{decimals: rapid.IntRange(0, mostDecimals).Draw(t, "decimals"), digits: rapid.SampledFrom([]int{0, leastDigits}).Draw(t, "digits")}
		n := rapid.Float64Range(-10, 10).Draw(t, "n") * math.Pow10(rapid.IntRange(-9, 17).Draw(t, "power"))
		w := newWriter(nil, deserved, MaxInput)
		w.ending = e
		w.value(reflect.ValueOf(n))
		if want, err := json.Marshal(e.of(n)); err != nil || string(w.out) != string(want) {
			t.Errorf("%v with the ending %v is written %s, want %s", n, e, w.out, want)
		}
	})
}

// The quick way ends where that of the standard package does, also next to half way between two, and past what a
// product can tell.
func TestQuickDigitsAreThoseOfTheStandardPackage(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	quick := 0
	for range 50_000 {
		decimals := random.IntN(mostDecimals + leastDigits + 1)
		n := (float64(random.Uint64()>>(8+random.IntN(55))) + 0.5*float64(random.IntN(2))) / math.Pow10(decimals)
		if random.IntN(2) > 0 {
			n = math.Abs(math.Nextafter(n, n+float64(random.IntN(3)-1)))
		}
		got, ok := rounded(n, decimals)
		if !ok {
			continue
		}
		quick++
		want := strconv.FormatFloat(n, 'f', decimals, 64)
		if decimals > 0 {
			want = strings.TrimRight(strings.TrimRight(want, "0"), ".")
		}
		if text := string(appendUnits(nil, got, decimals, false)); text != want {
			t.Fatalf("%v to %d decimals: %s, want %s", n, decimals, text, want)
		}
	}
	if quick < 20_000 {
		t.Errorf("%d numbers went the quick way", quick)
	}
}

// The exponent is that of the fewest digits that give a number back, also next to a power of ten.
func TestExponents(t *testing.T) {
	for e := -farthest; e <= farthest; e++ {
		power, err := strconv.ParseFloat("1e"+strconv.Itoa(e), 64)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []float64{power, -power, math.Nextafter(power, 0), math.Nextafter(power, math.Inf(1)), 9.5 * power} {
			text := strconv.FormatFloat(math.Abs(n), 'e', -1, 64)
			if got, want := exponent(n), text[strings.IndexByte(text, 'e')+1:]; fmt.Sprintf("%+03d", got) != want {
				t.Errorf("the exponent of %v is %d, want %s", n, got, want)
			}
		}
	}
	for n, want := range map[float64]int{1e300: farthest + 1, 5e-324: -farthest - 1} {
		if got := exponent(n); got != want {
			t.Errorf("the exponent of %v is %d, want %d", n, got, want)
		}
	}
}
