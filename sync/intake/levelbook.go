package intake

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"headcut/model"
)

// MaxLevelRows bounds a level book, which becomes one value of one field.
const MaxLevelRows = 5_000

// levelBook reads a level book typed as CSV. Every level below a row depends on it, so a row
// that could be misread refuses the whole book: leaving it out would shift all that follows.
type levelBook struct {
	*csvText
	at     [columnCount]int // which field of a row holds each column; -1 when none does
	points int              // numbers with a decimal point
	levels []model.LevelRow
	lines  []int // where each of them begins
	astray stray
}

func (b *levelBook) read() error {
	if err := b.findColumns(); err != nil {
		return err
	}
	if err := b.rows(b.add); err != nil {
		return err
	}
	if b.commas > 0 && b.points > 0 {
		return b.out.refuse(1, "", "decimals are written both with a point and with a comma", "write all of them the same way")
	}
	if len(b.levels) == 0 {
		return nil // finish says that there is nothing
	}
	return b.keep()
}

func (b *levelBook) cell(cells []string, c int) string {
	if b.at[c] < 0 {
		return ""
	}
	return cells[b.at[c]]
}

// refuse turns the book down for what a cell of the present row says.
func (b *levelBook) refuse(c int, said, fix string) error {
	return b.out.refuse(b.line, columns[c].words[0], b.said(said), fix)
}

// add adds a row of the book.
func (b *levelBook) add(cells []string) error {
	if len(b.levels) == MaxLevelRows {
		return b.out.refuse(b.line, "", fmt.Sprintf("has more than %d rows", MaxLevelRows), "split it at a change point")
	}
	text := func(c int) string {
		cell := b.cell(cells, c)
		clean := cleanText(cell)
		if clean != cell {
			b.out.report(b.line, columns[c].words[0], b.said(" has characters that no text can hold: left out"), "")
		}
		return clean
	}
	row := model.LevelRow{Point: strings.TrimSpace(text(pointColumn)), Remark: text(remarkColumn), Feature: strings.TrimSpace(text(featureColumn))}
	for c, column := range columns {
		cell := b.cell(cells, c)
		switch {
		case column.number != nil:
			v, reason, fix := b.number(cell)
			if v != nil && math.Abs(*v) > column.limitM {
				reason, fix = fmt.Sprintf("%s m is beyond %s m", rawNumber(*v), rawNumber(column.limitM)), "give metres"
			}
			if reason != "" {
				return b.refuse(c, ": "+reason, fix)
			}
			*column.number(&row) = v
		case column.flag != nil:
			yes, ok := yesOrNo(cell)
			if !ok {
				return b.refuse(c, ": "+quote(cell)+" is neither yes nor no", "write yes, or leave it empty")
			}
			*column.flag(&row) = yes
		}
	}
	if row.IS != nil && (row.BS != nil || row.FS != nil) && !row.Struck {
		other := foresightColumn
		if row.FS == nil {
			other = backsightColumn
		}
		return b.refuse(intermediateColumn, " has an intermediate and a "+columns[other].words[0]+": which was read?", "book one of them in a row of its own")
	}
	if spot := strings.ToLower(strings.TrimSpace(text(spotColumn))); slices.Contains(model.Spots, model.Spot(spot)) {
		row.Spot = model.Spot(spot)
	} else if spot != "" {
		b.out.leave(b.line, "spot", b.said(fmt.Sprintf(": %s is not one of %q: left out", quote(spot), model.Spots)), "")
	}
	if err := b.offset(&row, cells); err != nil {
		return err
	}
	if row.BS == nil && row.IS == nil && row.FS == nil {
		b.out.report(b.line, "", b.said(" has no reading: kept"), "")
	}
	if row.Point == "" {
		b.out.report(b.line, "station", b.said(" does not name its station: kept"), "")
	}
	b.levels, b.lines = append(b.levels, row), append(b.lines, b.line)
	return nil
}

// keep makes the book a level run.
func (b *levelBook) keep() error {
	if err := b.strayOffset(); err != nil {
		return err
	}
	raw, err := json.Marshal(b.levels)
	if err != nil {
		return b.out.refuse(b.lines[0], "", err.Error(), "")
	}
	fields := map[string]json.RawMessage{"kind": rawText("level-run"), "rows": raw}
	from, to := b.levels[0].Point, b.levels[len(b.levels)-1].Point
	if from != "" && to != "" {
		fields["name"] = rawText(from + " to " + to)
	}
	if row, reason, fix := bookFault(b.levels); reason != "" {
		b.out.report(b.lines[row], "", reason, fix)
	} else if reason, fix := noLevels(b.levels); reason != "" {
		b.out.note(b.lines[firstRow(b.levels)], reason, fix)
	}
	b.out.next.KindBy = ByFormat
	return b.out.keep(b.lines[0], []string{"level-run", string(raw)}, fields, time.Time{})
}
