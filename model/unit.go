package model

import "strings"

// unitWords turns a UCUM code into writing: the hectare is "har" there and the year "a".
var unitWords = strings.NewReplacer("m0.5", "√m", "m2", "m²", "m3", "m³", "har", "ha", "deg", "°", "/a", "/year", ".a)", "·year)", ".", "·")

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
	return unitWords.Replace(code)
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
