package model

import (
	"math"
	"strconv"
	"strings"

	"headcut/model/calendar"
)

// unitWords turn a UCUM code into writing, one after another: the hectare is "har" there and the year "a". A
// strings.Replacer would weigh 3 kB compressed on a phone.
var unitWords = [...][2]string{{"m0.5", "√m"}, {"m2", "m²"}, {"m3", "m³"}, {"har", "ha"}, {"deg", "°"}, {"/a", "/year"}, {".a)", "·year)"}, {".", "·"}}

// UnitInWords is a UCUM code as people write the unit: "ha" for "har", "" for a plain
// number, "1". A number stands before it with a space between, but for a degree.
func UnitInWords(code string) string {
	switch code {
	case "1":
		return ""
	case "m", "%": // the commonest, which stay as they are
		return code
	case "a":
		return "years"
	}
	for _, word := range unitWords {
		code = strings.ReplaceAll(code, word[0], word[1])
	}
	return code
}

// DecimalsOf is where a figure of a UCUM unit ends that has no plus-minus and no decimals of its
// own: finer than anybody in a paddock can use, and no finer than the next computation needs.
func DecimalsOf(unit string) int {
	switch unit {
	case "m2", "m3", "mm", "mm/h", "min", "t", "h":
		return 1
	case "%", "deg", "har", "m/s", "m/a", "m3/m", "a":
		return 2
	}
	return 3 // metres to the millimetre, m3/s to the litre, plain numbers
}

// RoundedDown writes a largest allowed value with so many decimals, never above the value,
// so that a limit takes in the figure it prints: 1.15 for 1.1587.
func RoundedDown(most float64, decimals int) string { return rounded(most, decimals, math.Floor) }

// RoundedUp writes a smallest allowed value with so many decimals, never below the value:
// 1.16 for 1.1504.
func RoundedUp(least float64, decimals int) string { return rounded(least, decimals, math.Ceil) }

func rounded(v float64, decimals int, to func(float64) float64) string {
	scale := math.Pow10(decimals)
	whole := math.Round(v * scale)
	if math.Abs(v*scale-whole) > 1e-12*max(1, math.Abs(whole)) { // else it is that value, but for its last bit
		whole = to(v * scale)
	}
	return strconv.FormatFloat(whole/scale, 'f', decimals, 64)
}

// ToMillimetre is a height in metres as one finds it with a staff; half a millimetre is rounded
// away from nought, also where binary numbers hold it a little short.
func ToMillimetre(m float64) string {
	return strconv.FormatFloat(m*(1+1e-12), 'f', 3, 64)
}

// months are those of calendar.Date, from 1.
var months = strings.Fields("January February March April May June July August September October November December")

// DayInWords is a date as sentences have it, "13 May 2026"; what is no date is given back.
func DayInWords(date string) string {
	number, ok := calendar.Parse(date)
	if !ok {
		return date
	}
	year, month, day := calendar.Date(number)
	return strconv.Itoa(day) + " " + months[month-1] + " " + strconv.Itoa(year)
}

// ColumnName turns any text into the name of a column in an export, of letters, digits and
// underscores; intake knows the columns of an export by it again.
func ColumnName(text string) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' {
			return r
		}
		return '_'
	}, text)
	if name == "" || name[0] >= '0' && name[0] <= '9' {
		name = "_" + name
	}
	return name
}
