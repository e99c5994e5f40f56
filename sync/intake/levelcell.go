package intake

import "strings"

// number reads a cell that holds a number in metres, nil when it is blank. Units,
// thousands and spaces within are refused rather than guessed at.
func (b *levelBook) number(cell string) (v *float64, reason, fix string) {
	text := strings.Trim(cell, " \t\r\n")
	if text == "" {
		return nil, "", ""
	}
	if b.comma {
		commas, points := strings.Count(text, ","), strings.Count(text, ".")
		if commas+points > 1 {
			return nil, quote(text) + " has several marks: which is the decimal one?", "write it without thousands marks"
		}
		b.commas, b.points = b.commas+commas, b.points+points
	}
	plain := b.decimal(text)
	d, reason := parseDecimal(plain)
	switch {
	case reason == "" && d.exponent:
		return nil, quote(text) + " has an exponent", "write the number out"
	case reason == "":
		return &d.value, "", ""
	case strings.Contains(plain, ","):
		return nil, quote(text) + " can be a thousand or a decimal", "write decimals with a point and thousands without a mark"
	case strings.ContainsAny(text, "0123456789"):
		return nil, quote(text) + " is not a plain number", "give metres without a unit"
	}
	return nil, quote(text) + " is not a number", "give metres, or leave it empty"
}

func yesOrNo(cell string) (yes, ok bool) {
	switch strings.ToLower(strings.TrimSpace(cell)) {
	case "", "no", "n", "false", "0":
		return false, true
	case "yes", "y", "true", "1", "x":
		return true, true
	}
	return false, false
}
