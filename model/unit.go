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
