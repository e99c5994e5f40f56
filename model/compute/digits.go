package compute

import (
	"bytes"
	"math"
	"reflect"
	"strconv"
	"strings"

	"headcut/model"
)

// Figures are written with the digits that they deserve. One with a plus-minus, and the
// plus-minus itself, end two digits after the first of the plus-minus: 12.346 ± 0.123. One
// without ends where its unit does (model.DecimalsOf), or where the field says in a tag
// decimals:"4", and keeps three digits if these are no more than three decimals farther:
// 1060.054 m, 0.0217 m. A plus-minus that is not known is left out.
type digits int

const (
	deserved  digits = iota
	allDigits        // as worked out: tests hold them to what others published
)

// Digits says so to people.
const Digits = "A figure with a ± ends two digits after the first of its ±. Others end at 1 mm, 0.1 m2, 0.1 m3, 1 l/s, 0.01 % or 0.01 degrees (level books at 0.1 mm), and keep three digits."

const (
	leastDigits    = 3
	degreeDecimals = 9 // of a position: a tenth of a millimetre
	mostDecimals   = 12
)

// pair finds for each plus-minus among the fields the one it belongs to.
func pair(fields []field) {
	for i := range fields {
		stem, suffix, ok := plusMinusName(fields[i].name)
		if !ok || !isNumber(fields[i].typ) {
			continue
		}
		fields[i].plusMinus, fields[i].omitted = true, true
		if at := valueOf(fields, i, stem, suffix); at >= 0 {
			fields[at].spread, fields[i].spread = fields[i].index, fields[i].index
		}
	}
}

// plusMinusName splits "lengthPlusMinusM" into "length" and "M".
func plusMinusName(name string) (stem, suffix string, ok bool) {
	if suffix, ok = strings.CutPrefix(name, "plusMinus"); ok {
		return "", suffix, true
	}
	return strings.Cut(name, "PlusMinus")
}

// valueOf is the place of the field that a plus-minus at i belongs to: the one of its name
// without the word, or one before it that begins alike, at best ends so too; -1 when none is.
func valueOf(fields []field, i int, stem, suffix string) int {
	nearest, alike := -1, -1
	for at, f := range fields {
		_, _, other := plusMinusName(f.name)
		if other || !isNumber(f.typ) || f.spread != nil {
			continue
		}
		if f.name == stem+suffix {
			return at
		}
		if at > i || !strings.HasPrefix(f.name, stem) || (f.typ.Kind() == reflect.Slice) != (fields[i].typ.Kind() == reflect.Slice) {
			continue
		}
		nearest = at
		if strings.HasSuffix(f.name, suffix) {
			alike = at
		}
	}
	if alike >= 0 {
		return alike
	}
	return nearest
}

// isNumber tells whether a type is a number, a pointer to one or a list of them.
func isNumber(t reflect.Type) bool {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t.Kind() == reflect.Float64
}

// notKnown tells whether a plus-minus is not known, of a list one at least.
func notKnown(v reflect.Value) bool {
	least, any := math.Inf(1), false
	eachNumber(v, func(n float64) { least, any = min(least, n), true })
	return any && least < 0
}

// endsIn is where a figure of the field within the object v ends. A position ends by itself.
func (f *field) endsIn(v reflect.Value) ending {
	if f.spread == nil || f.ends.digits == 0 {
		return f.ends
	}
	least := math.Inf(1)
	eachNumber(v.FieldByIndex(f.spread), func(n float64) {
		if n > 0 {
			least = min(least, n)
		}
	})
	if math.IsInf(least, 1) {
		return f.ends
	}
	return ending{decimals: min(max(2-exponent(least), 0), mostDecimals)}
}

// byItself is where a figure of the field ends without a plus-minus.
func (f *field) byItself() ending {
	switch {
	case f.unit == "deg" && f.typ.Kind() != reflect.Float64:
		return ending{decimals: degreeDecimals}
	case f.decimals > 0:
		return ending{decimals: f.decimals, digits: leastDigits}
	}
	return ending{decimals: model.DecimalsOf(f.unit), digits: leastDigits}
}

// ending is where a figure ends: after so many decimals, or so many digits where that is
// farther.
type ending struct{ decimals, digits int }

// farthest is the exponent beyond which, on either side, all figures end alike.
const farthest = 20

// exponent is the power of ten of the first digit of n, which is not nought, as the fewest digits that give n
// back have it: 1e23, which lies a little below that power, is told by the number nearest to the power. Those
// beyond farthest are given as the next one.
func exponent(n float64) (e int) {
	size := math.Abs(n)
	for ; e <= farthest && size >= math.Pow10(e+1); e++ {
	}
	for ; e >= -farthest && size < math.Pow10(e); e-- {
	}
	return e
}

// of is n with that ending.
func (e ending) of(n float64) float64 {
	short, _ := strconv.ParseFloat(string(e.append(nil, n)), 64)
	return short
}

// append writes n with that ending, without noughts behind and without an exponent.
func (e ending) append(text []byte, n float64) []byte {
	decimals, size := e.decimals, math.Abs(n)
	if e.digits > 0 && n != 0 && size < math.Pow10(e.digits-1-decimals) {
		decimals = min(e.digits-1-exponent(n), decimals+e.digits)
	}
	// 99.9995, which binary numbers hold a little short, is half way up.
	n += math.Copysign(min(2e-13*size, 1e-4*math.Pow10(-decimals)), n)
	if units, ok := rounded(math.Abs(n), decimals); ok {
		return appendUnits(text, units, decimals, n < 0)
	}
	from := len(text)
	text = strconv.AppendFloat(text, n, 'f', decimals, 64)
	if decimals > 0 {
		text = bytes.TrimSuffix(bytes.TrimRight(text, "0"), []byte("."))
	}
	if string(text[from:]) == "-0" {
		return append(text[:from], '0')
	}
	return text
}

// rounded is a size in units of its last decimal; false where it is too large, or the product comes to lie half way
// between two. Any other lies on the same side of the half way as what it was rounded from.
func rounded(size float64, decimals int) (units uint64, ok bool) {
	scaled := size * math.Pow10(decimals) // an exact power, up to 1e22
	if !(scaled < 1<<52) {
		return 0, false
	}
	units = uint64(scaled)
	past := scaled - float64(units) - 0.5
	if past > 0 {
		units++
	}
	return units, past != 0
}

// appendUnits writes so many units of the last decimal, without noughts behind.
func appendUnits(text []byte, units uint64, decimals int, negative bool) []byte {
	if negative && units > 0 {
		text = append(text, '-')
	}
	for ; decimals > 0 && units%10 == 0; units /= 10 {
		decimals--
	}
	var digits [20]byte
	at := len(digits)
	for ; units > 0 || decimals >= 0; units /= 10 {
		at--
		digits[at] = '0' + byte(units%10)
		if decimals--; decimals == 0 {
			at--
			digits[at] = '.'
		}
	}
	return append(text, digits[at:]...)
}

func eachNumber(v reflect.Value, visit func(float64)) {
	switch v.Kind() {
	case reflect.Float64:
		visit(v.Float())
	case reflect.Pointer:
		if !v.IsNil() {
			eachNumber(v.Elem(), visit)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			eachNumber(v.Index(i), visit)
		}
	}
}
