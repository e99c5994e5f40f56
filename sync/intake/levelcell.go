package intake

import (
	"strings"

	"headcut/model"
)

// number reads a cell that holds a number in metres, nil when it is blank. Units,
// thousands and spaces within are refused rather than guessed at.
func (b *levelBook) number(cell string) (v *float64, reason, fix string) {
	text := strings.Trim(cell, " \t\r\n")
	if text == "" {
		return nil, "", ""
	}
	plain := text
	if b.comma {
		if strings.Count(text, ",")+strings.Count(text, ".") > 1 {
			return nil, quote(text) + " has several marks: which is the decimal one?", "write it without thousands marks"
		}
		if strings.Contains(text, ",") {
			b.commas++
		} else if strings.Contains(text, ".") {
			b.points++
		}
		plain = strings.Replace(text, ",", ".", 1)
	}
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

func spotNamed(word string) model.Spot {
	for _, s := range model.Spots {
		if string(s) == word {
			return s
		}
	}
	return ""
}
