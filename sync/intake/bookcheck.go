package intake

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/levelling"
)

// firstRow is the first row of a book that counts.
func firstRow(rows []model.LevelRow) int {
	return max(0, slices.IndexFunc(rows, func(r model.LevelRow) bool { return !r.Struck }))
}

// noLevels says that a level book gives no levels, for want of a known one to start from; reason
// is "" when it has one.
func noLevels(rows []model.LevelRow) (reason, fix string) {
	first := firstRow(rows)
	if rows[first].KnownLevelM != nil {
		return "", ""
	}
	return "the book has no levels yet: its " + inRow(rows, first) + " has no known level. It is kept as it is", "give the benchmark's level there, or an assumed one such as 100"
}

// bookFault says what its reduction finds wrong with a level book, which is kept as it is, and in
// which of its rows; reason is "" when there is nothing.
func bookFault(rows []model.LevelRow) (row int, reason, fix string) {
	first := firstRow(rows)
	if rows[first].KnownLevelM == nil { // faults that have nothing to do with levels are found with an assumed one
		rows = slices.Clone(rows)
		for i := range rows {
			rows[i].KnownLevelM = nil
		}
		assumedM := 100.0
		rows[first].KnownLevelM = &assumedM
	}
	run, err := levelling.Reduce(rows, levelling.Options{})
	if p, ok := errors.AsType[*model.Problem](err); ok {
		row, path, cell := first, p.Path, ""
		if n, _ := fmt.Sscanf(p.Path, "rows[%d]", &row); n == 1 {
			_, cell, _ = strings.Cut(p.Path, ".")
			path = strings.TrimSpace("its " + inRow(rows, row) + " " + bookWord(cell))
		} else if path == "rows" { // of the book as a whole
			path = ""
		}
		return row, "the book cannot be reduced: " + strings.TrimSpace(path+" "+p.Reason) + ". It is kept as it is", p.Fix
	}
	switch {
	case err != nil: // Reduce gives no other
		return first, err.Error(), ""
	case !run.Unfinished && !run.Proven():
		return first, "its levels are not checked by a closed level run: " + strings.Join(run.Reasons, " ") + " It is kept as it is", ""
	}
	return 0, "", ""
}

// inRow names a row of a book, counted from 1 without the header, and the station in it.
func inRow(rows []model.LevelRow, i int) string {
	if i < 0 || i >= len(rows) || rows[i].Point == "" {
		return fmt.Sprintf("row %d", i+1)
	}
	return fmt.Sprintf("row %d (%s)", i+1, rows[i].Point)
}

// bookCells are the cells of a row by their names in JSON, in the order of a book's columns.
var bookCells = []struct{ name, word string }{
	{"point", "station"}, {"bs", "backsight"}, {"is", "intermediate"}, {"fs", "foresight"}, {"knownLevelM", "known level"}, {"bookedLevelM", "booked level"},
	{"distanceM", "distance"}, {"chainageM", "chainage"}, {"feature", "feature"}, {"spot", "spot"}, {"inverted", "inverted"}, {"struck", "struck"}, {"remark", "remark"},
}

func bookWord(name string) string {
	for _, c := range bookCells {
		if c.name == name {
			return c.word
		}
	}
	return name
}

// mostCells is how many cells of a book are named one by one.
const mostCells = 5

// bookChange says in words which cells of a level book a file gives otherwise; "" where either
// value is no book.
func bookChange(before, after json.RawMessage) string {
	var from, to []map[string]json.RawMessage
	var rows []model.LevelRow
	if json.Unmarshal(before, &from) != nil || json.Unmarshal(after, &to) != nil || json.Unmarshal(before, &rows) != nil {
		return ""
	}
	var said []string
	if len(from) != len(to) {
		said = append(said, fmt.Sprintf("%d rows -> %d rows", len(from), len(to)))
	}
	cells := 0
	for i := range min(len(from), len(to)) {
		for _, c := range bookCells {
			x, y := from[i][c.name], to[i][c.name]
			if string(x) == string(y) {
				continue
			}
			if cells++; cells <= mostCells {
				said = append(said, fmt.Sprintf("%s, %s: %s -> %s", inRow(rows, i), c.word, cmp.Or(string(x), "nothing"), cmp.Or(string(y), "nothing")))
			}
		}
	}
	if cells > mostCells {
		said = append(said, fmt.Sprintf("and %d more cells", cells-mostCells))
	}
	return strings.Join(said, "; ")
}
