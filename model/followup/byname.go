package followup

import (
	"cmp"
	"strings"

	"headcut/model/recorded"
)

// unsettledWords say what to do about a clash.
func unsettledWords(what string) string {
	return "two people recorded " + what + " differently: settle which is right"
}

// byName orders features as a list has them: by name with numbers by size, then by id.
func byName(a, b recorded.Named) int {
	return cmp.Or(byNumber(a.Name, b.Name), cmp.Compare(a.Feature, b.Feature))
}

// byNumber compares texts so that D2 comes before D10.
func byNumber(a, b string) int {
	for a != "" && b != "" {
		x, restA := part(a)
		y, restB := part(b)
		if isDigit(x[0]) && isDigit(y[0]) {
			x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if c := cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)); c != 0 {
				return c
			}
		} else if c := cmp.Compare(x, y); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

// part is the run of digits or of other characters at the start of a text, and the rest.
func part(text string) (first, rest string) {
	end := 1
	for end < len(text) && isDigit(text[end]) == isDigit(text[0]) {
		end++
	}
	return text[:end], text[end:]
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
