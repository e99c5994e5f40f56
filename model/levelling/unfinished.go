package levelling

import "headcut/model"

// finished gives a book that is still being written one more sight, on the point sighted
// last, so that it ends with a foresight: the sight adds no rise and no fall, and closes
// nothing. A book that ends with a foresight is given back as it is, and so is one to which
// no sight could be added.
func finished(rows []model.LevelRow) []model.LevelRow {
	last := -1
	for i, row := range rows {
		if !row.Struck {
			last = i
		}
	}
	if last < 0 {
		return rows
	}
	row := rows[last]
	again := row.BS
	if again == nil && row.FS == nil {
		again = row.IS
	}
	if again == nil {
		return rows
	}
	return append(rows[:len(rows):len(rows)], model.LevelRow{FS: again, Inverted: row.Inverted})
}
