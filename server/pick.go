package server

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"headcut/model"
)

// pick chooses the record that the office means by a name or the row of its list. A number is the row, also
// where another goes by that number; anything else is a name. The caller reads the office.
func pick[R any, P filable[R]](t *table[R, P], which string, called []P) (P, error) {
	if r := t.at(rowNumber(which)); r != nil {
		return r, nil
	}
	slices.SortFunc(called, func(a, b P) int { return cmp.Compare(a.filing().row, b.filing().row) })
	called = slices.Compact(called)
	which = strings.TrimSpace(which)
	what := t.kind()
	switch len(called) {
	case 0:
	case 1:
		return called[0], nil
	default:
		rows := model.Each(called, func(r P) string { return strconv.Itoa(r.filing().row) + r.apart() })
		return nil, &model.Problem{Path: what, Reason: fmt.Sprintf("%d rows go by %s", len(called), quote(which)), Fix: "give the row: " + strings.Join(rows, ", ")}
	}
	var names []string
	for _, r := range t.rows {
		names = append(names, r.names()...)
	}
	names = slices.DeleteFunc(names, func(name string) bool { return name == "" })
	return nil, &model.Problem{Path: what, Reason: "there is no " + what + " " + quote(which), Fix: didYouMean(which, names) + "Give a name or a row as 'headcut " + map[string]string{"device": "devices", "link": "links", "property": "properties"}[what] + "' lists them"}
}

// rowNumber is the row that is meant by digits alone, 0 where there are no such digits.
func rowNumber(which string) int {
	which = strings.TrimSpace(which)
	if !numberAlone(which) {
		return 0
	}
	row, _ := strconv.Atoi(which) // 0 of digits that are none of these, and of too many
	return row
}

// numberAlone reports whether a name is made of digits alone, which is how the office writes a row.
func numberAlone(name string) bool {
	shown := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || !unicode.IsGraphic(r) {
			return -1
		}
		return r
	}, name)
	return shown != "" && !strings.ContainsFunc(shown, func(r rune) bool { return !unicode.IsDigit(r) })
}

// alsoCalled are the rows of others that go by a number which the office has written for a row.
func alsoCalled[R any, P filable[R]](t *table[R, P], which string) (rows []int) {
	meant := t.at(rowNumber(which))
	if meant == nil {
		return nil
	}
	for _, other := range t.many(byName, spelt(strings.TrimSpace(which))) {
		if other != meant {
			rows = append(rows, other.filing().row)
		}
	}
	return rows
}

func quote(s string) string { return `"` + s + `"` }
