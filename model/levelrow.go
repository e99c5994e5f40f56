package model

import (
	"bytes"
	"fmt"
	"math"
)

// LevelRow is one line of a level book: what was sighted, and at most one backsight, one
// intermediate sight and one foresight. A change point has both a foresight and a
// backsight. Readings are metres on the staff; nil is a blank column.
type LevelRow struct {
	Point       string   `json:"point"`
	BS          *float64 `json:"bs,omitempty"`
	IS          *float64 `json:"is,omitempty"`
	FS          *float64 `json:"fs,omitempty"`
	KnownLevelM *float64 `json:"knownLevelM,omitempty"` // starts the run on its first row, closes it on a later one
	DistanceM   *float64 `json:"distanceM,omitempty"`   // along the levelled route from its start
	Inverted    bool     `json:"inverted,omitempty"`    // staff held upside down on an overhead point
	Remark      string   `json:"remark,omitempty"`
	Struck      bool     `json:"struck,omitempty"` // ruled through in the book: kept, not reduced

	BookedLevelM *float64 `json:"bookedLevelM,omitempty"` // as the officer reduced it by hand: checked, never used

	// Where the staff stood, for rows that belong to a surveyed feature.
	Feature   string   `json:"feature,omitempty"`   // id of the feature
	Spot      Spot     `json:"spot,omitempty"`      // which part of it
	ChainageM *float64 `json:"chainageM,omitempty"` // taped along the feature from its downstream end or first peg
	OffsetM   *float64 `json:"offsetM,omitempty"`   // of a point of a cross-section, across from the thalweg: left negative, right positive, looking downstream
}

// MaxOffsetM bounds an offset: no gully that an officer works in is half a kilometre wide. Common
// practice, no source.
const MaxOffsetM = 500

// wrong says how a row contradicts itself, "" for one that does not. What is only lacking is no
// contradiction: it is said where the row is used.
func (row *LevelRow) wrong() string {
	switch {
	case row.OffsetM == nil || row.Struck:
	case row.Spot != SectionSpot:
		return "has an offset and is not a point of a cross-section"
	case !(math.Abs(*row.OffsetM) <= MaxOffsetM):
		return fmt.Sprintf("has an offset of %v m, beyond %d m", *row.OffsetM, MaxOffsetM)
	}
	return ""
}

// wrongLevelRows says what keeps raw from being a list of LevelRow.
func wrongLevelRows(raw []byte) string {
	var rows []LevelRow
	if !jsonInto(raw, &rows) {
		return "is not a list of level-book rows"
	}
	for i := range rows {
		if reason := rows[i].wrong(); reason != "" {
			return fmt.Sprintf("row %d %s", i+1, reason)
		}
	}
	return ""
}

// Spot is the part of a feature on which the staff stood.
type Spot string

// The spots that computations look for.
const (
	BedSpot   Spot = "bed"   // the bottom of a gully, on its thalweg
	ToeSpot   Spot = "toe"   // downstream foot of a dam
	CrestSpot Spot = "crest" // lowest point of a dam's top
	PegSpot   Spot = "peg"   // a peg of a line that is meant to follow the contour
	MarkSpot  Spot = "mark"  // a benchmark

	// SectionSpot is a point across a gully, at an offset from its thalweg. The feature is a
	// cross-section, or a thalweg on which the chainage says where the section lies.
	SectionSpot Spot = "section"
)

// Spots lists every spot.
var Spots = []Spot{BedSpot, ToeSpot, CrestSpot, PegSpot, MarkSpot, SectionSpot}

// plainLevelRows reads a level book in the form that phones and intake write: flat objects
// without spaces and escapes. Whatever is written otherwise it leaves to encoding/json, which
// takes ten times as long and is the rule; a fuzz target holds the two to each other.
func plainLevelRows(raw []byte) ([]LevelRow, bool) {
	p := plainText{text: raw}
	all := plainList(&p, p.levelRow, 0)
	return all, !p.broken && len(p.text) == 0
}

func (p *plainText) levelRow() (row LevelRow) {
	p.take('{')
	for !p.broken {
		p.levelMember(&row)
		if !p.next(',') {
			break
		}
		p.take(',')
	}
	p.take('}')
	return row
}

// readings are where a row keeps its numbers, by the names they have in JSON.
var readings = map[string]func(*LevelRow) **float64{
	"bs":           func(row *LevelRow) **float64 { return &row.BS },
	"is":           func(row *LevelRow) **float64 { return &row.IS },
	"fs":           func(row *LevelRow) **float64 { return &row.FS },
	"knownLevelM":  func(row *LevelRow) **float64 { return &row.KnownLevelM },
	"distanceM":    func(row *LevelRow) **float64 { return &row.DistanceM },
	"chainageM":    func(row *LevelRow) **float64 { return &row.ChainageM },
	"offsetM":      func(row *LevelRow) **float64 { return &row.OffsetM },
	"bookedLevelM": func(row *LevelRow) **float64 { return &row.BookedLevelM },
}

// levelMember reads one member of a row. A name it does not know, in whatever case, breaks it.
func (p *plainText) levelMember(row *LevelRow) {
	name := p.word()
	p.take(':')
	if of, ok := readings[string(name)]; ok {
		v := p.number()
		*of(row) = &v
		return
	}
	switch text := p.word(); string(name) {
	case "point":
		row.Point = string(text)
	case "feature":
		row.Feature = string(text)
	case "spot":
		row.Spot = Spot(text)
	case "remark":
		row.Remark = string(text)
	default:
		p.broken = true
	}
}

// word reads a text in quotation marks, of ASCII without escapes.
func (p *plainText) word() []byte {
	p.take('"')
	word, rest, ok := bytes.Cut(p.text, []byte(`"`))
	if !ok || !plain(word) {
		p.broken, p.text = true, nil
		return nil
	}
	p.text = rest
	return word
}
