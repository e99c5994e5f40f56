package server

import (
	"math"
	"strconv"
	"strings"

	"headcut/model"
)

// measureInWords writes a figure no finer than a landholder can use it: by its plus-minus,
// and never finer than a tenth of a
// metre or hectare, from ten upwards than a whole one. "84 ± 4 m, by GPS".
func measureInWords(f model.Figure) string {
	value, plusMinus, unit := f.Value, 0.0, f.Unit
	if f.PlusMinus != nil {
		plusMinus = *f.PlusMinus
	}
	if unit == "m2" && math.Abs(value) >= 10000 {
		value, plusMinus, unit = value/10000, plusMinus/10000, "har"
	}
	finest := 1
	if unit == "m2" || unit == "%" || math.Abs(value) >= 10 {
		finest = 0
	}
	decimals := finest
	if plusMinus > 0 {
		decimals = min(finest, -int(math.Floor(math.Log10(plusMinus))))
	}
	if value != 0 && math.Abs(value) < 0.1 && decimals > 0 {
		decimals = 2
	}
	text := rounded(value, decimals)
	if wide := rounded(plusMinus, decimals); plusMinus > 0 && strings.Trim(wide, "0.") != "" {
		text += " ± " + wide
	} else if f.PlusMinus == nil {
		text = "about " + text
	}
	return text + afterNumber(unit) + byWhat[f.Basis]
}

// byWhat is how a value was measured, behind it.
var byWhat = map[model.Basis]string{
	model.Levelled: ", by level", model.Taped: ", by tape", model.GPS: ", by GPS", model.Drawn: ", drawn on the map",
	model.Estimated: ", estimated", model.FromPlan: ", from the plan",
}

// rounded writes a number with so many decimals; negative ones round to tens, hundreds.
// Thousands are parted by a thin space that does not break, as everywhere on the pages.
func rounded(v float64, decimals int) string {
	if decimals < 0 {
		unit := math.Pow(10, float64(-decimals))
		v, decimals = math.Round(v/unit)*unit, 0
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	whole, part, _ := strings.Cut(text, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "\u2212", whole[1:]
	}
	for at := len(whole) - 3; at > 0; at -= 3 {
		whole = whole[:at] + "\u202f" + whole[at:]
	}
	if part != "" {
		part = "." + part
	}
	if strings.Trim(whole+part, "0.\u202f") == "" {
		sign = ""
	}
	return sign + whole + part
}

// asTyped writes a number that a person wrote down, without the digits nobody wrote.
func asTyped(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}
