package server

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"headcut/model"
)

// refuseSlips refuses names of new properties that look like the misspelt name of one that is
// there: what is recorded under them would be lost from sight.
func (s *Server) refuseSlips(names ...string) error {
	for _, name := range names {
		if len(reading(s, func(o *office) []Property { return o.named(strings.Join(strings.Fields(name), " ")) })) > 0 {
			continue
		}
		for _, p := range s.Properties() {
			if alike(name, p.Name) {
				return &model.Problem{Path: "property", Reason: "there is no property called " + quote(name) + ", but one called " + quote(p.Name),
					Fix: "did you mean " + quote(p.Name) + "? Write it so; to make a new property give --new besides"}
			}
		}
	}
	return nil
}

// alike reports whether one name may be a slip for another: the same letters otherwise spaced, or a
// letter or two amiss in long words. "Block 1" and "Block 2", "North Run" and "South Run" are not
// alike.
func alike(a, b string) bool {
	inWords := func(name string) []string {
		return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	}
	one, other := inWords(a), inWords(b)
	if len(one) == 0 || len(a) > 200 {
		return false
	}
	if strings.Join(one, "") == strings.Join(other, "") {
		return true
	}
	if len(one) != len(other) {
		return false
	}
	for i := range one {
		if one[i] == other[i] {
			continue
		}
		const fewest = 4
		short := min(len(one[i]), len(other[i]))
		if short < fewest || strings.ContainsFunc(one[i]+other[i], unicode.IsDigit) || model.SpellingDistance(one[i], other[i]) > 1+short/6 {
			return false
		}
	}
	return true
}

// didYouMean is the beginning of a Problem's fix: which of the names that are there may be meant,
// "" when none is near.
func didYouMean(name string, known []string) string {
	if utf8.RuneCountInString(name) < 4 {
		return ""
	}
	if near := model.NearestName(name, known); near != "" {
		return "did you mean " + quote(near) + "? "
	}
	return ""
}
