package export

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"time"

	"headcut/model"
	"headcut/model/calendar"
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
	var s string
	if json.Unmarshal(raw, &s) != nil {
		return cell{}, false
	}
	return r.text(s), true
}

// isDay tells whether text is a day of the calendar, as 2026-11-25.
func isDay[T string | []byte](text T) bool {
	_, ok := calendar.Parse(string(text))
	return ok
}
