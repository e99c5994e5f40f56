package intake

import (
	"math"
	"strconv"
	"strings"
)

// decimal is a number as XML Schema's decimal writes it, or nearly so.
type decimal struct {
	value    float64
	exponent bool // written with one, which a decimal does not have
}

// parseDecimal reads text with white space around it passed over. reason says why it is
// no number; strconv alone would take NaN, Inf, hexadecimals and underscores.
func parseDecimal(text string) (d decimal, reason string) {
	text = strings.Trim(text, " \t\r\n")
	digits, rest := 0, text
	if rest != "" && (rest[0] == '+' || rest[0] == '-') {
		rest = rest[1:]
	}
	for point := false; rest != ""; rest = rest[1:] {
		if c := rest[0]; c >= '0' && c <= '9' {
			digits++
		} else if c == '.' && !point {
			point = true
		} else {
			break
		}
	}
	if digits > 0 && rest != "" && (rest[0] == 'e' || rest[0] == 'E') {
		if _, err := strconv.ParseInt(rest[1:], 10, 16); err == nil {
			d.exponent, rest = true, ""
		}
	}
	switch {
	case text == "":
		return d, "is empty"
	case strings.Contains(rest, ","):
		return d, quote(text) + " has a comma"
	case digits == 0 || rest != "":
		return d, quote(text) + " is not a number"
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) {
		return d, quote(text) + " is too large for a number"
	}
	d.value = tidy(v)
	return d, ""
}

// tidy makes zero of minus zero, and of numbers so small that no instrument gave them and
// whose digits would fill a page.
func tidy(v float64) float64 {
	if math.Abs(v) < 1e-12 {
		return 0
	}
	return v
}

// quote shows a value of a file in a message, shortened.
func quote(s string) string {
	const most = 60
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "…"
	}
	return strconv.Quote(s)
}
