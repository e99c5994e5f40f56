package modeltest

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Tolerance is how near a computed number must come to the published one. Its text is
// one of
//
//	0.001 m                 absolute, in this unit; the unit may be left out
//	0.1%   0.1 percent      of the published number
//	1e-6 relative           of the published number
//	max(A, B)               the looser of the two
//	A; B                    the one whose unit the number's name has
//	exact                   equal but for the rounding of binary arithmetic
//	A, exact on NAME        exact for the number of this name, A for the others
//	exact on NAME           exact for all, as a bare "exact"
type Tolerance struct {
	text    string
	parts   []part // by unit, or a single one
	exactOn string // the number that must be exact although others need not
}

type part struct {
	absolute, relative float64
	unit               string
}

// rounding is what "exact" leaves to binary arithmetic, of the published number.
const rounding = 1e-9

// ParseTolerance reads a tolerance; an unknown text is an error, never a loose pass.
func ParseTolerance(text string) (Tolerance, error) {
	tol := Tolerance{text: text}
	body := text
	if before, name, found := strings.Cut(text, ", exact on "); found {
		body, tol.exactOn = before, name
	}
	if strings.HasPrefix(body, "exact on ") || body == "exact at table points" {
		body = "exact"
	}
	for one := range strings.SplitSeq(body, "; ") {
		p, err := parsePart(one)
		if err != nil {
			return Tolerance{}, fmt.Errorf("tolerance %q: %w", text, err)
		}
		tol.parts = append(tol.parts, p)
	}
	return tol, nil
}

func parsePart(text string) (part, error) {
	if text == "exact" {
		return part{relative: rounding}, nil
	}
	if inside, ok := strings.CutPrefix(text, "max("); ok {
		inside, closed := strings.CutSuffix(inside, ")")
		a, b, two := strings.Cut(inside, ", ")
		if !closed || !two {
			return part{}, fmt.Errorf("%q is not max(A, B)", text)
		}
		first, err := parsePart(a)
		if err != nil {
			return part{}, err
		}
		second, err := parsePart(b)
		first.absolute = max(first.absolute, second.absolute)
		first.relative = max(first.relative, second.relative)
		return first, err
	}
	number, unit, _ := strings.Cut(text, " ")
	scale, relative := 1.0, unit == "relative"
	if percent, ok := strings.CutSuffix(number, "%"); ok {
		number, scale, relative = percent, 0.01, true
	} else if unit == "percent" {
		scale, relative = 0.01, true
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return part{}, fmt.Errorf("%q does not start with a positive number", text)
	}
	if relative {
		return part{relative: v * scale}, nil
	}
	return part{absolute: v, unit: unit}, nil
}

// Allows tells whether got is near enough to want, the published number of this name.
func (tol Tolerance) Allows(name string, got, want float64) bool {
	p := tol.parts[0]
	for _, other := range tol.parts[1:] {
		if strings.Contains(name, unitInName(other.unit)) {
			p = other
		}
	}
	if tol.exactOn != "" && tol.exactOn == name {
		p = part{relative: rounding}
	}
	// The last term lets a got that differs from want by the rounding of the bound itself pass.
	bound := max(p.absolute, p.relative*math.Abs(want)) + 1e-15*math.Abs(want)
	return math.Abs(got-want) <= bound // false for NaN
}

// unitInName is how names write a unit: Q_m3_s for m3/s.
func unitInName(unit string) string { return strings.ReplaceAll(unit, "/", "_") }

// String is the text the tolerance was read from.
func (tol Tolerance) String() string { return tol.text }
