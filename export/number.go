package export

import (
	"math"
	"strconv"

	"headcut/model"
)

// figurePlaces is how many decimals figures have at most: a tenth of a millimetre, finer than
// any is good for and coarse enough to read.
const figurePlaces = 4

// columnPlaces is how many decimals a figure and its ± have in their columns: two after the first
// digit of the ±, so that neither says more than it knows, and whoever computes on with them
// loses nothing. Without a ± it is where the figure's unit ends, and three digits at least.
func columnPlaces(f model.Figure) int {
	if f.PlusMinus != nil && *f.PlusMinus > 0 {
		return min(max(0, 2-exponent(*f.PlusMinus)), figurePlaces)
	}
	return min(max(model.DecimalsOf(f.Unit), 2-exponent(f.Value)), figurePlaces)
}

// exponent is the power of ten of the first digit of v, within those that figurePlaces asks for.
func exponent(v float64) (e int) {
	for v = math.Abs(v); v >= 10 && e < 2; v /= 10 {
		e++
	}
	for ; v < 1 && e > -figurePlaces; v *= 10 {
		e--
	}
	return e
}

// appendScaled writes n / 10^places with trailing zeros cut, but at least so many
// decimals. It is the inner loop of every position, hence no formatting package.
func appendScaled(dst []byte, n int64, places, least int) []byte {
	if n < 0 {
		dst = append(dst, '-')
		n = -n
	}
	whole, part := uint64(n)/tens[places], uint64(n)%tens[places]
	dst = strconv.AppendUint(dst, whole, 10)
	if part == 0 {
		places = least
	}
	for places > least && part%10 == 0 {
		part, places = part/10, places-1
	}
	if places == 0 {
		return dst
	}
	var text [20]byte
	digits := text[:places+1]
	digits[0] = '.'
	for ; places >= 2; places -= 2 {
		two := part % 100
		part /= 100
		digits[places-1], digits[places] = byte('0'+two/10), byte('0'+two%10)
	}
	if places == 1 {
		digits[1] = byte('0' + part)
	}
	return append(dst, digits...)
}

// tens are the powers of ten.
var tens = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8}

// appendFigure writes a finite v with at most so many decimals. It always has a decimal
// point, or readers that guess types from values would take 3 for a whole number.
func appendFigure(dst []byte, v float64, places int) []byte {
	if scaled := math.RoundToEven(v * float64(tens[places])); math.Abs(scaled) < 1<<53 {
		if places == 0 {
			return append(appendScaled(dst, int64(scaled), 0, 0), ".0"...)
		}
		return appendScaled(dst, int64(scaled), places, 1)
	}
	return appendReal(dst, v)
}

// appendReal writes a finite v with the shortest digits that give it back, recognisable as
// a real number, in a form that JSON and XML Schema both take.
func appendReal(dst []byte, v float64) []byte {
	if v == 0 {
		return append(dst, "0.0"...) // and never -0
	}
	if a := math.Abs(v); a < 1e-6 || a >= 1e15 {
		return strconv.AppendFloat(dst, v, 'e', -1, 64)
	}
	start := len(dst)
	dst = strconv.AppendFloat(dst, v, 'f', -1, 64)
	for _, c := range dst[start:] {
		if c == '.' {
			return dst
		}
	}
	return append(dst, '.', '0')
}

// isPlainWhole tells whether raw is a whole number above 0 of few digits, as readings often are.
func isPlainWhole(raw []byte) bool {
	for _, c := range raw {
		if c < '0' || c > '9' {
			return false
		}
	}
	return len(raw) > 0 && len(raw) < 16 && raw[0] != '0'
}

// isPlainReal tells whether raw is a JSON number with a decimal point, without exponent and
// not below zero's sign, short enough to be finite: such a text is written as it stands.
func isPlainReal(raw []byte) bool {
	if len(raw) > 18 {
		return false
	}
	digits := raw
	if len(digits) > 0 && digits[0] == '-' {
		digits = digits[1:]
	}
	point := -1
	zero := true
	for i, c := range digits {
		switch {
		case c == '.' && point < 0:
			point = i
		case c < '0' || c > '9':
			return false
		case c != '0':
			zero = false
		}
	}
	leadingZero := point > 1 && digits[0] == '0'
	return point > 0 && point < len(digits)-1 && !leadingZero && (!zero || raw[0] != '-')
}
