package intake

import (
	"fmt"
	"strings"
)

// column is a column of a level book.
type column int

const (
	pointColumn column = iota
	backsightColumn
	intermediateColumn
	foresightColumn
	knownLevelColumn
	distanceColumn
	invertedColumn
	struckColumn
	featureColumn
	spotColumn
	chainageColumn
	remarkColumn
	columnCount
)

// columnWords are the headings of a column as plainWord leaves them; the first is what a
// message calls it. They are what level books in English print at the head of a page:
// common practice, no source.
var columnWords = [columnCount][]string{
	pointColumn:        {"station", "point", "stn", "pt", "sta"},
	backsightColumn:    {"backsight", "bs", "backsightm", "bsm"},
	intermediateColumn: {"intermediate", "intermediatesight", "intersight", "is", "int", "intermediatem", "ism"},
	foresightColumn:    {"foresight", "fs", "foresightm", "fsm"},
	knownLevelColumn:   {"knownlevel", "knownlevelm", "benchmarklevel", "bmlevel"},
	distanceColumn:     {"distance", "distancem", "dist", "distm"},
	invertedColumn:     {"inverted", "invertedstaff"},
	struckColumn:       {"struck", "struckout"},
	featureColumn:      {"feature"},
	spotColumn:         {"spot"},
	chainageColumn:     {"chainage", "chainagem", "chain"},
	remarkColumn:       {"remark", "remarks", "note", "notes", "comment", "comments"},
}

// LevelBookColumns lists the columns of a level book, each by its plainest heading.
func LevelBookColumns() string {
	return "station, backsight, intermediate, foresight, distance_m, known_level_m, chainage_m, feature, spot, inverted, struck, remark"
}

// workedOut are columns of a book that hold results: levels are calculated again.
var workedOut = map[string]bool{
	"rise": true, "fall": true, "rl": true, "reducedlevel": true, "level": true, "hi": true,
	"hpc": true, "heightofinstrument": true, "collimation": true, "adjustedlevel": true,
}

// columnMap says which field of a CSV record holds each column; -1 when none does.
type columnMap [columnCount]int

func columnsOf(header []string, line int, out *reading) (columnMap, error) {
	var at columnMap
	for c := range at {
		at[c] = -1
	}
	seen := make(map[string]bool, len(header))
	for i, heading := range header {
		word := plainWord(heading)
		c := columnNamed(word)
		switch {
		case seen[word] && word != "":
			return at, out.refuse(line, heading, "the heading is there twice: which column is meant?", "leave one")
		case c < 0 && word == "":
			out.tell(line, fmt.Sprintf("column %d", i+1), "has no heading: left out", "")
		case c < 0 && workedOut[word]:
			out.tell(line, heading, "has results, which are calculated here: left out", "")
		case c < 0:
			out.leave(line, heading, "is no column of a level book: left out", "the columns are "+LevelBookColumns())
		case at[c] >= 0:
			return at, out.refuse(line, heading, "and "+quote(header[at[c]])+" are the same column: which is meant?", "leave one")
		default:
			at[c] = i
		}
		seen[word] = true
	}
	var missing []string
	for _, c := range []column{pointColumn, backsightColumn, foresightColumn} {
		if at[c] < 0 {
			missing = append(missing, columnWords[c][0])
		}
	}
	if len(missing) == 3 {
		return at, out.refuse(line, "", "is neither GPX, nor GeoJSON, nor a level book, nor points", "the first row names the columns: of a level book "+LevelBookColumns()+"; of points latitude and longitude, with name, kind and notes if you have them")
	}
	if len(missing) > 0 {
		return at, out.refuse(line, strings.Join(missing, ", "), "the column is missing", "a level book has at least station, backsight and foresight")
	}
	return at, nil
}

func columnNamed(word string) column {
	for c, words := range columnWords {
		for _, w := range words {
			if w == word {
				return column(c)
			}
		}
	}
	return -1
}
