package model

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Words is the problem as a page, a sheet or a receipt tells it: "Row 1, known level is
// missing. Give the benchmark's level." A JSON path is for the command line, which Error is
// for; here its parts are read as words, counted from 1, units left out.
func (p *Problem) Words() string {
	where := pathWords(p.Path)
	said := p.Reason
	switch {
	case where == "":
	case startsWithVerb(said):
		said = where + " " + said
	default:
		said = where + ": " + said
	}
	said = sentence(said)
	if p.Fix != "" {
		said += " " + sentence(p.Fix)
	}
	return said
}

// sentence gives words a capital and a full stop.
func sentence(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return words
	}
	words = string(unicode.ToUpper(first)) + words[size:]
	if !strings.ContainsAny(words[len(words)-1:], ".!?") {
		words += "."
	}
	return words
}

// verbs begin a reason that goes on from the name of what is wrong.
var verbs = []string{"is", "are", "has", "have", "lies", "stands", "stand", "comes", "needs", "does", "starts", "falls", "holds", "shares", "reaches", "crosses", "can", "cannot", "may"}

func startsWithVerb(reason string) bool {
	first, _, _ := strings.Cut(reason, " ")
	return slices.Contains(verbs, first)
}

// pathWords reads a path: "rows[0].knownLevelM" is "row 1, known level", "bed[3]" "point 4
// of the bed".
func pathWords(path string) string {
	var words []string
	for _, part := range strings.Split(path, ".") {
		name, index, indexed := strings.Cut(part, "[")
		if name == "set" && len(words) == 0 { // an entry's fields are those of the form
			continue
		}
		text := nameWords(name)
		if number, err := strconv.Atoi(strings.TrimSuffix(index, "]")); indexed && err == nil {
			one, plural := strings.CutSuffix(text, "s")
			if plural {
				text = one + " " + strconv.Itoa(number+1)
			} else {
				text = strings.TrimSuffix("point "+strconv.Itoa(number+1)+" of the "+text, " of the ")
			}
		}
		if text != "" {
			words = append(words, text)
		}
	}
	return strings.Join(words, ", ")
}

// nameUnits end the names of fields.
var nameUnits = []string{"MmH", "M3S", "MS", "KgHaDay", "KgDay", "KgHa", "PerYear", "M2", "M3", "M", "Mm", "Pct", "Ha", "Deg", "Min", "On", "G"}

// nameWords reads a field's name: "knownLevelM" is "known level".
func nameWords(name string) string {
	for _, unit := range nameUnits {
		before, ends := strings.CutSuffix(name, unit)
		if last, _ := utf8.DecodeLastRuneInString(before); ends && (unicode.IsLower(last) || unicode.IsDigit(last)) {
			name = before
			break
		}
	}
	var b strings.Builder
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return strings.ReplaceAll(b.String(), "-", " ")
}
