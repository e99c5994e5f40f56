package server

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"headcut/model"
)

// pick chooses the record that the office means by a name or the row of its list: the one that
// goes by the name, or else that of the row. The caller reads the office.
func pick[R any, P filable[R]](t *table[R, P], which, what string, called []P) (P, error) {
	slices.SortFunc(called, func(a, b P) int { return cmp.Compare(a.filing().row, b.filing().row) })
	called = slices.Compact(called)
	which = strings.TrimSpace(which)
	if len(called) == 1 {
		return called[0], nil
	}
	if len(called) > 1 {
		rows := make([]string, len(called))
		for i, r := range called {
			rows[i] = strconv.Itoa(r.filing().row)
			if d, is := any(r).(*deviceRecord); is {
				rows[i] += " (" + d.apart() + ")"
			}
		}
		return nil, &model.Problem{Path: what, Reason: fmt.Sprintf("%d rows go by %s", len(called), quote(which)), Fix: "give the row: " + strings.Join(rows, ", ")}
	}
	if row, err := strconv.Atoi(which); err == nil && t.at(row) != nil {
		return t.at(row), nil
	}
	return nil, &model.Problem{Path: what, Reason: "there is no " + what + " " + quote(which), Fix: didYouMean(which, namesOf(t)) + "Give a name or a row as 'headcut " + map[string]string{"device": "devices", "link": "links", "property": "properties"}[what] + "' lists them"}
}

// namesOf are the names that the office may write for the records of a table.
func namesOf[R any, P filable[R]](t *table[R, P]) (names []string) {
	for _, r := range t.rows {
		switch r := any(r).(type) {
		case *deviceRecord:
			names = append(names, r.Author, r.Label)
		case *linkRecord:
			names = append(names, r.For)
		case *propertyRecord:
			names = append(names, r.Name)
		}
	}
	return slices.DeleteFunc(names, func(name string) bool { return name == "" })
}

// apart tells phones of one person apart: what each is, and when it was last seen.
func (d *deviceRecord) apart() string {
	seen := "never seen"
	if !d.SeenOn.IsZero() {
		seen = "last seen " + DayWords(d.SeenOn.Time)
	}
	return cmp.Or(d.Label, d.RunsOn, d.Device) + ", " + seen
}

func quote(s string) string { return `"` + s + `"` }
