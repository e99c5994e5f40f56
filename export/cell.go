package export

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"time"

	"headcut/model"
)

// cell is one value of one feature, ready for any format.
type cell struct {
	form  form
	bytes []byte
}

type form byte

const (
	unknown form = iota
	bare         // a number, written as it stands
	yesNo        // true or false
	written      // clean text, to be escaped by the format
)

// reader turns recorded JSON texts into cells. Cells stay good until the next reset.
type reader struct{ scratch []byte }

func (r *reader) reset() { r.scratch = r.scratch[:0] }

// text is a cell of any text.
func (r *reader) text(s string) cell {
	start := len(r.scratch)
	r.scratch = appendClean(r.scratch, s)
	return cell{written, r.scratch[start:]}
}

// figure is a cell of a worked-out number with at most so many decimals; unknown when it is not
// finite.
func (r *reader) figure(v float64, places int) cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return cell{}
	}
	start := len(r.scratch)
	r.scratch = appendFigure(r.scratch, v, places)
	return cell{bare, r.scratch[start:]}
}

// typed reads a recorded value as a field of type t; false when it is not one.
func (r *reader) typed(t model.FieldType, raw json.RawMessage) (cell, bool) {
	raw = bytes.TrimSpace(raw)
	if string(raw) == "null" {
		return cell{}, true
	}
	switch t {
	case model.Number:
		return r.number(raw)
	case model.Integer:
		return integer(raw)
	case model.YesNo:
		return cell{yesNo, raw}, string(raw) == "true" || string(raw) == "false"
	case model.Date:
		c, ok := r.string(raw)
		return c, ok && isDay(c.bytes)
	case model.Instant:
		c, ok := r.string(raw)
		if ok {
			_, err := time.Parse(time.RFC3339Nano, string(c.bytes))
			ok = err == nil
		}
		return c, ok
	case model.Text, model.Choice, model.Reference:
		return r.string(raw)
	}
	// What is left are lists and places: JSON text.
	if !json.Valid(raw) {
		return cell{}, false
	}
	return r.text(string(raw)), true
}

// loose reads a value of a field nobody knows: a number, a yes or no or a text as it is,
// anything else as JSON text. The type is the one to announce for it.
func (r *reader) loose(raw json.RawMessage) (cell, model.FieldType) {
	raw = bytes.TrimSpace(raw)
	for _, t := range []model.FieldType{model.Number, model.YesNo, model.Text} {
		if c, ok := r.typed(t, raw); ok {
			return c, t
		}
	}
	return r.text(string(raw)), model.Text
}

func (r *reader) number(raw []byte) (cell, bool) {
	if isPlainReal(raw) {
		return cell{bare, raw}, true
	}
	if isPlainWhole(raw) {
		start := len(r.scratch)
		r.scratch = append(append(r.scratch, raw...), ".0"...)
		return cell{bare, r.scratch[start:]}, true
	}
	var v float64
	if json.Unmarshal(raw, &v) != nil { // which takes no number that is not finite
		return cell{}, false
	}
	start := len(r.scratch)
	r.scratch = appendReal(r.scratch, v)
	return cell{bare, r.scratch[start:]}, true
}

// integer takes what fits 32 bits, the widest whole number that KML has.
func integer(raw []byte) (cell, bool) {
	v, err := strconv.ParseInt(string(raw), 10, 32)
	if err != nil || !json.Valid(raw) {
		return cell{}, false
	}
	if v == 0 {
		raw = raw[len(raw)-1:] // and never -0
	}
	return cell{bare, raw}, true
}

func (r *reader) string(raw []byte) (cell, bool) {
	if len(raw) < 2 || raw[0] != '"' || raw[len(raw)-1] != '"' {
		return cell{}, false
	}
	inner := raw[1 : len(raw)-1]
	if isPlainASCII(inner) {
		return cell{written, inner}, true
	}
	start := len(r.scratch)
	if text, ok := appendUnescaped(r.scratch, inner); ok {
		r.scratch = text
		return cell{written, r.scratch[start:]}, true
	}
	return r.anyString(raw)
}

// anyString reads any JSON text.
func (r *reader) anyString(raw []byte) (cell, bool) {
	var s string
	if json.Unmarshal(raw, &s) != nil {
		return cell{}, false
	}
	return r.text(s), true
}

// appendUnescaped writes what stands between the quotes of a JSON text; false when it holds
// what is not ASCII, a control character or what is seldom escaped.
func appendUnescaped(dst, inner []byte) ([]byte, bool) {
	for i := 0; i < len(inner); i++ {
		c := inner[i]
		if c < 0x20 || c >= 0x80 || c == '"' {
			return dst, false
		}
		if c == '\\' {
			if i++; i == len(inner) {
				return dst, false
			}
			switch c = inner[i]; c {
			case '"', '\\', '/':
			case 'n':
				c = '\n'
			case 't':
				c = '\t'
			case 'u': // as Go escapes & < and >
				code, err := strconv.ParseUint(string(inner[i+1:min(i+5, len(inner))]), 16, 16)
				if err != nil || i+5 > len(inner) || code < 0x20 || code >= 0x7f {
					return dst, false
				}
				c, i = byte(code), i+4
			default:
				return dst, false
			}
		}
		dst = append(dst, c)
	}
	return dst, true
}

// isDay tells whether text is a day of the calendar, as 2026-11-25. Days are the commonest
// of fields, and time.Parse takes several times as long; it is the judge of this in tests.
func isDay[T string | []byte](text T) bool {
	if len(text) != len(time.DateOnly) || text[4] != '-' || text[7] != '-' {
		return false
	}
	for i := range len(text) {
		c := text[i]
		if i != 4 && i != 7 && (c < '0' || c > '9') {
			return false
		}
	}
	two := func(at int) int { return int(text[at]-'0')*10 + int(text[at+1]-'0') }
	year, month, day := two(0)*100+two(2), time.Month(two(5)), two(8)
	if day <= 28 {
		return day > 0 && month >= time.January && month <= time.December
	}
	return month >= time.January && month <= time.December && time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Day() == day
}
