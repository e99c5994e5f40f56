package elementary

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"testing"
)

// TestAgainstTheStandardLibrary: package math is within a unit in the last place of the
// true value by its own account; these may be off by three more, Pow by its exponent.
func TestAgainstTheStandardLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for _, f := range []struct {
		name      string
		got, want func(float64) float64
		most      float64 // largest argument
	}{
		{"exp", Exp, math.Exp, 700}, {"sinh", Sinh, math.Sinh, 710}, {"cosh", Cosh, math.Cosh, 710}, {"tanh", Tanh, math.Tanh, 25},
	} {
		t.Run(f.name, func(t *testing.T) {
			for range 100_000 {
				x := (2*r.Float64() - 1) * f.most * math.Pow(10, -float64(r.IntN(7)))
				if got, want := f.got(x), f.want(x); math.Abs(got-want) > 6e-16*math.Abs(want) {
					if math.Abs(x) < 700 || math.Abs(got-want) > 1e-13*math.Abs(want) {
						t.Fatalf("%s(%v) = %v, want %v (off by %g)", f.name, x, got, want, (got-want)/want)
					}
				}
			}
		})
	}
	t.Run("pow", func(t *testing.T) {
		for range 100_000 {
			x, y := math.Pow(10, 12*r.Float64()-6), 6*r.Float64()-3
			if got, want := Pow(x, y), math.Pow(x, y); math.Abs(got-want) > 4e-15*want {
				t.Fatalf("pow(%v, %v) = %v, want %v (off by %g)", x, y, got, want, (got-want)/want)
			}
		}
	})
}

func TestErrorFunction(t *testing.T) {
	for x := -6.0; x < 26; x += 0.001 {
		if got, want := Erf(x), math.Erf(x); math.Abs(got-want) > 2e-15 {
			t.Fatalf("Erf(%v) = %v, want %v", x, got, want)
		}
		if got, want := Erfc(x), math.Erfc(x); math.Abs(got-want) > 2e-15 || math.Abs(got-want) > 2e-13*want {
			t.Fatalf("Erfc(%v) = %v, want %v", x, got, want)
		}
	}
	for _, x := range []float64{math.Inf(1), math.Inf(-1), math.NaN(), 0, 30, -30} {
		if got, want := [2]float64{Erf(x), Erfc(x)}, [2]float64{math.Erf(x), math.Erfc(x)}; got != want && !math.IsNaN(x) || math.IsNaN(x) != math.IsNaN(got[1]) {
			t.Errorf("Erf and Erfc of %v = %v, want %v", x, got, want)
		}
	}
}

// TestSpecialCases holds Pow and Exp to what package math documents.
func TestSpecialCases(t *testing.T) {
	special := []float64{0, math.Copysign(0, -1), 1, -1, 0.3, -0.3, 0.5, 1.7, -1.7, 3, -3, 1e300, -1e300, 5e-324, math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN()}
	same := func(a, b float64) bool {
		return a == b && math.Signbit(a) == math.Signbit(b) || math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1e-13*math.Abs(b)
	}
	for _, x := range special {
		for _, y := range special {
			if got, want := Pow(x, y), math.Pow(x, y); !same(got, want) {
				t.Errorf("Pow(%v, %v) = %v, want %v", x, y, got, want)
			}
		}
		if got, want := Exp(x), math.Exp(x); !same(got, want) {
			t.Errorf("Exp(%v) = %v, want %v", x, got, want)
		}
		for name, f := range map[string][2]func(float64) float64{"Sinh": {Sinh, math.Sinh}, "Cosh": {Cosh, math.Cosh}, "Tanh": {Tanh, math.Tanh}} {
			if got, want := f[0](x), f[1](x); !same(got, want) {
				t.Errorf("%s(%v) = %v, want %v", name, x, got, want)
			}
		}
	}
}

// TestSameBitsEverywhere is run for this machine and for the phone (make test does both):
// the bits of many values have one and the same digest.
func TestSameBitsEverywhere(t *testing.T) {
	r, h := rand.New(rand.NewPCG(7, 9)), fnv.New64a()
	for range 100_000 {
		x, y := 40*r.Float64()-20, math.Round(60*r.Float64()-30)/10
		for _, v := range []float64{Exp(x), Pow(math.Abs(x), y), Sinh(y), Cosh(y), Tanh(y), Erf(y), Erfc(y), math.Log(math.Abs(x)), math.Log1p(math.Abs(y)), math.Hypot(x, y), math.Atan2(x, y), math.Sin(x), math.Cos(x), math.Tan(y), math.Atanh(x / 21), math.Asinh(x), math.Cbrt(x)} {
			fmt.Fprintf(h, "%x,", math.Float64bits(v))
		}
	}
	const want = 0xe3a580b01e7fdc1e
	if got := h.Sum64(); got != want {
		t.Errorf("digest of the bits = %#x, want %#x", got, uint64(want))
	}
}
