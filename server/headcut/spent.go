package main

import (
	"cmp"
	"fmt"

	"headcut/model"
	"headcut/model/followup"
)

// spentLines are what works took to build, by kind and together. A sum says of how many works it is.
func spentLines(s followup.Spending) []string {
	lines := model.Each(s.Kinds, func(k followup.Spent) string { return pluralOf(k.Kind) + ", " + spentWords(k, s.Currency) })
	switch {
	case len(s.Kinds) == 0 && s.Undated == 0:
		return []string{"No work is recorded as built."}
	case len(s.Kinds) > 1:
		lines = append(lines, "Together, "+spentWords(s.Together, s.Currency))
	}
	if s.Undated > 0 {
		lines = append(lines, fmt.Sprintf("%s left out: nobody recorded when they were built.", many(s.Undated, "work", "works")))
	}
	if s.Together.Cost != nil && s.Currency == "" {
		lines = append(lines, "The unit of costs is not recorded: give it in the settings of the property.")
	}
	return lines
}

func spentWords(s followup.Spent, currency string) string {
	sum := func(amount *float64, of int, unit, what string) string {
		switch {
		case amount == nil:
			return what + " not recorded"
		case of < s.Built:
			return fmt.Sprintf("%.2f %s, recorded of %d", *amount, unit, of)
		}
		return fmt.Sprintf("%.2f %s", *amount, unit)
	}
	return fmt.Sprintf("%d built: %s; %s", s.Built, sum(s.Hours, s.Timed, "h", "hours"), sum(s.Cost, s.Paid, cmp.Or(currency, "in units not recorded"), "cost"))
}

// spentRows gives the same to a table, a row for each sum: its kind, what it is, the amount, its unit, of how many
// works it is, and their ids.
func spentRows(s followup.Spending, row func(kind, what, amount, unit, text string, from []string)) {
	for _, k := range append(s.Kinds, s.Together) {
		for _, one := range []struct {
			what, unit string
			amount     *float64
			of         int
		}{{"hours", "h", k.Hours, k.Timed}, {"cost", s.Currency, k.Cost, k.Paid}} {
			if one.amount != nil {
				row(k.Kind, one.what, plainNumber(one.amount), one.unit, fmt.Sprintf("recorded of %d of %d works", one.of, k.Built), k.From)
			}
		}
	}
}
