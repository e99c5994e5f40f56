package intake

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
)

// stray is the first row with an offset that is no point of a cross-section.
type stray struct {
	line int // 0: there is none
	said string
}

// offset reads how far across from the thalweg a point of a cross-section lies: -2.5, or 2.5 L as books
// have it, is to the left, looking downstream. Of other rows it is kept for strayOffset.
func (b *levelBook) offset(row *model.LevelRow, cells []string) error {
	cell := strings.TrimSpace(b.cell(cells, offsetColumn))
	switch {
	case row.Spot != model.SectionSpot:
		if cell != "" && !row.Struck && b.astray.line == 0 {
			b.astray = stray{b.line, b.said(": " + quote(cell) + " is an offset, and the row's spot is not section")}
		}
		return nil
	case cell == "":
		if !row.Struck {
			b.out.report(b.line, columns[offsetColumn].words[0], b.said(" is a point of a cross-section and has no offset: kept, and left out of the cross-section"), "")
		}
		return nil
	}
	const sides = "write metres from the thalweg, left of it with a minus or an L, looking downstream"
	plain, side := sideOf(cell)
	v, reason, fix := b.number(plain)
	switch {
	case reason == "" && v == nil:
		reason, fix = quote(cell)+" is not a number", sides
	case reason == "" && side != 0 && *v < 0:
		reason, fix = quote(cell)+" has both a minus and a side", sides
	case reason == "" && math.Abs(*v) > model.MaxOffsetM:
		reason, fix = fmt.Sprintf("%s m is beyond %d m", rawNumber(*v), model.MaxOffsetM), "give metres"
	}
	if reason != "" {
		return b.refuse(offsetColumn, ": "+reason, fix)
	}
	if side < 0 && *v != 0 {
		*v = -*v
	}
	row.OffsetM = v
	return nil
}

// sideOf takes the side off an offset, at either end of it: -1 is left, 1 right, 0 neither.
func sideOf(cell string) (number string, side int) {
	lower := strings.ToLower(cell)
	for i, word := range []string{"left", "right", "l", "r"} {
		side := 2*(i%2) - 1
		if strings.HasPrefix(lower, word) {
			return cell[len(word):], side
		}
		if strings.HasSuffix(lower, word) {
			return cell[:len(cell)-len(word)], side
		}
	}
	return cell, 0
}

// strayOffset refuses a book with cross-sections that has an offset elsewhere. In a book without any a
// column of that name has something else, and is left out.
func (b *levelBook) strayOffset() error {
	switch {
	case b.astray.line == 0:
		return nil
	case slices.ContainsFunc(b.levels, func(row model.LevelRow) bool { return row.Spot == model.SectionSpot }):
		return b.out.refuse(b.astray.line, columns[offsetColumn].words[0], b.astray.said, "write section as its spot, or clear the offset")
	}
	b.out.leave(1, b.header[b.at[offsetColumn]], "has offsets, and no row's spot is section: left out", "write section as the spot of each point of a cross-section")
	return nil
}
