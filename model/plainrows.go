package model

import "bytes"

// plainLevelRows reads a level book in the form that phones and intake write: flat objects
// without spaces and escapes. Whatever is written otherwise it leaves to encoding/json, which
// takes ten times as long and is the rule; a fuzz target holds the two to each other.
func plainLevelRows(raw []byte) ([]LevelRow, bool) {
	p := plainText{text: raw}
	all := plainList(&p, p.levelRow)
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

// levelMember reads one member of a row. A name it does not know, in whatever case, breaks it.
func (p *plainText) levelMember(row *LevelRow) {
	name := p.word()
	p.take(':')
	reading := func(into **float64) {
		v := p.number()
		*into = &v
	}
	switch string(name) {
	case "point":
		row.Point = string(p.word())
	case "feature":
		row.Feature = string(p.word())
	case "spot":
		row.Spot = Spot(p.word())
	case "remark":
		row.Remark = string(p.word())
	case "bs":
		reading(&row.BS)
	case "is":
		reading(&row.IS)
	case "fs":
		reading(&row.FS)
	case "knownLevelM":
		reading(&row.KnownLevelM)
	case "distanceM":
		reading(&row.DistanceM)
	case "chainageM":
		reading(&row.ChainageM)
	case "bookedLevelM":
		reading(&row.BookedLevelM)
	default:
		p.broken = true
	}
}

// word reads a text in quotation marks, of ASCII without escapes.
func (p *plainText) word() []byte {
	if !p.next('"') {
		p.broken = true
		return nil
	}
	end := bytes.IndexByte(p.text[1:], '"') + 2
	if _, plain := plainString(p.text[:max(end, 0)]); end < 2 || !plain {
		p.broken = true
		return nil
	}
	word := p.text[1 : end-1]
	p.text = p.text[end:]
	return word
}
