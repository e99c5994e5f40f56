package figures

import (
	"math"
	"strconv"
	"strings"
)

// LengthWords is a length as people say it: "120 m, give or take 4 m", or "about 120 m"
// when its plus-minus is negative, that is not known. No digit is said that the plus-minus
// does not bear.
func LengthWords(lengthM, plusMinusM float64) string {
	if math.Abs(lengthM) >= 10_000 {
		return words(lengthM/1000, plusMinusM/1000, "km")
	}
	return words(lengthM, plusMinusM, "m")
}

// AreaWords is an area as people say it: "450 m²" or, from a tenth of a hectare, "2.3 ha,
// give or take 0.1 ha".
func AreaWords(areaM2, plusMinusM2 float64) string {
	if math.Abs(areaM2) >= 1000 {
		return words(areaM2/10_000, plusMinusM2/10_000, "ha")
	}
	return words(areaM2, plusMinusM2, "m²")
}

func words(value, plusMinus float64, unit string) string {
	if !(plusMinus > 0) {
		return "about " + number(value, decimals(value, 3)) + " " + unit
	}
	places := decimals(plusMinus, 1)
	return number(value, places) + " " + unit + ", give or take " + number(plusMinus, places) + " " + unit
}

// decimals is how many places behind the point show v with so many digits; negative ones
// round to tens, hundreds and so on.
func decimals(v float64, digits int) int {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	rounded := math.Abs(v) * math.Pow10(places)
	if math.Round(rounded) >= math.Pow10(digits) { // 9.6 with one digit is 10
		places--
	}
	return min(places, 3)
}

// number writes v with so many places, thousands apart, no noughts hanging.
func number(v float64, places int) string {
	if places < 0 {
		scale := math.Pow10(-places)
		v, places = math.Round(v/scale)*scale, 0
	}
	text := strconv.FormatFloat(v, 'f', places, 64)
	whole, part, _ := strings.Cut(text, ".")
	if part = strings.TrimRight(part, "0"); part != "" {
		part = "." + part
	}
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return sign + whole + part
}
