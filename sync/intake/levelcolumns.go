package intake

import (
	"fmt"
	"slices"
	"strings"

	"headcut/model"
)

// The columns of a level book.
const (
	pointColumn = iota
	backsightColumn
	intermediateColumn
	foresightColumn
	knownLevelColumn
	distanceColumn
	chainageColumn
	offsetColumn
	invertedColumn
	struckColumn
	featureColumn
	spotColumn
	remarkColumn
	columnCount
)

type bookColumn struct {
	words  []string
	limitM float64
	number func(*model.LevelRow) **float64
	flag   func(*model.LevelRow) *bool
}

// columns have the headings of each as plainWord leaves them; the first is what a message calls
// it. They are what level books in English print at the head of a page: common practice, no
// source. A number beyond limitM, far beyond any book, is in another unit or in the wrong column.
var columns = [columnCount]bookColumn{
	pointColumn: {words: []string{"station", "point", "stn", "pt", "sta"}},
	backsightColumn: {words: []string{"backsight", "bs", "backsightm", "bsm"},
		limitM: 100, number: func(r *model.LevelRow) **float64 { return &r.BS }},
	intermediateColumn: {words: []string{"intermediate", "intermediatesight", "intersight", "is", "int", "intermediatem", "ism"},
		limitM: 100, number: func(r *model.LevelRow) **float64 { return &r.IS }},
	foresightColumn: {words: []string{"foresight", "fs", "foresightm", "fsm"},
		limitM: 100, number: func(r *model.LevelRow) **float64 { return &r.FS }},
	knownLevelColumn: {words: []string{"knownlevel", "knownlevelm", "benchmarklevel", "bmlevel"},
		limitM: 12_000, number: func(r *model.LevelRow) **float64 { return &r.KnownLevelM }},
	distanceColumn: {words: []string{"distance", "distancem", "dist", "distm"},
		limitM: 1_000_000, number: func(r *model.LevelRow) **float64 { return &r.DistanceM }},
	chainageColumn: {words: []string{"chainage", "chainagem", "chain"},
		limitM: 1_000_000, number: func(r *model.LevelRow) **float64 { return &r.ChainageM }},
	offsetColumn:   {words: []string{"offset", "offsetm"}}, // read by levelBook.offset
	invertedColumn: {words: []string{"inverted", "invertedstaff"}, flag: func(r *model.LevelRow) *bool { return &r.Inverted }},
	struckColumn:   {words: []string{"struck", "struckout"}, flag: func(r *model.LevelRow) *bool { return &r.Struck }},
	featureColumn:  {words: []string{"feature"}},
	spotColumn:     {words: []string{"spot"}},
	remarkColumn:   {words: []string{"remark", "remarks", "note", "notes", "comment", "comments"}},
}

// LevelBookColumns lists the columns of a level book, each by its plainest heading.
const LevelBookColumns = "station, backsight, intermediate, foresight, distance_m, known_level_m, chainage_m, offset_m, feature, spot, inverted, struck, remark"

// calculatedColumns of a book hold results: levels are calculated again.
var calculatedColumns = []string{"rise", "fall", "rl", "reducedlevel", "level", "hi", "hpc", "heightofinstrument", "collimation", "adjustedlevel"}

// findColumns finds each column by its heading.
func (b *levelBook) findColumns() error {
	out := b.out
	for c := range b.at {
		b.at[c] = -1
	}
	seen := make(map[string]bool, len(b.header))
	for i, heading := range b.header {
		word := plainWord(heading)
		c := slices.IndexFunc(columns[:], func(c bookColumn) bool { return slices.Contains(c.words, word) })
		switch {
		case seen[word] && word != "":
			return out.refuse(1, heading, "the heading is there twice: which column is meant?", "leave one")
		case word == "":
			out.report(1, fmt.Sprintf("column %d", i+1), "has no heading: left out", "")
		case c < 0 && slices.Contains(calculatedColumns, word):
			out.report(1, heading, "has results, which are calculated here: left out", "")
		case c < 0:
			out.leave(1, heading, "is no column of a level book: left out", "the columns are "+LevelBookColumns)
		case b.at[c] >= 0:
			return out.refuse(1, heading, "and "+quote(b.header[b.at[c]])+" are the same column: which is meant?", "leave one")
		default:
			b.at[c] = i
		}
		seen[word] = true
	}
	var missing []string
	for _, c := range []int{pointColumn, backsightColumn, foresightColumn} {
		if b.at[c] < 0 {
			missing = append(missing, columns[c].words[0])
		}
	}
	switch len(missing) {
	case 0:
		return nil
	case 3:
		return out.refuse(1, "", "is neither GPX, nor GeoJSON, nor a level book, nor points", "the first row names the columns: of a level book "+LevelBookColumns+"; of points latitude and longitude, with name, kind and notes if you have them")
	}
	return out.refuse(1, strings.Join(missing, ", "), "the column is missing", "a level book has at least station, backsight and foresight")
}
