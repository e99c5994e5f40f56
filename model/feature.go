package model

import (
	"encoding/json"

	"github.com/paulmach/orb"

	"headcut/model/jsonvalue"
)

// Feature is a thing on the land with a kind, a place and fields. Values stay the JSON
// texts they were recorded as, so that nothing is lost by reading and writing them.
type Feature struct {
	ID       string
	Kind     string       // name of a row of Kinds; others are kept and shown plainly
	Geometry orb.Geometry // nil: no place is known
	Fields   map[string]json.RawMessage
}

// Number reads a numeric field; false when it is absent, null or not a number.
func (f Feature) Number(name string) (float64, bool) {
	raw, there := f.Fields[name]
	if v, ok := plainNumber(raw); ok || !there {
		return v, ok
	}
	var v *float64
	if !jsonInto(raw, &v) || v == nil {
		return 0, false
	}
	return *v, true
}

// Text reads a textual field, "" when it is absent, null or not text.
func (f Feature) Text(name string) string { return TextOf(f.Fields[name]) }

// TextOf reads a text, "" when raw is none.
func TextOf(raw json.RawMessage) string {
	text, ok := plainString(raw)
	if !ok && len(raw) > 0 {
		jsonInto(raw, &text) // what is not text reads as none
	}
	return text
}

func jsonInto(raw json.RawMessage, v any) bool { return jsonvalue.Unmarshal(raw, v) == nil }

// Yes reads a yes-no field, false when it is absent.
func (f Feature) Yes(name string) bool { return string(f.Fields[name]) == "true" }

// LevelRows reads the rows of a level book, nil when there are none.
func (f Feature) LevelRows(name string) []LevelRow {
	raw, there := f.Fields[name]
	rows, ok := plainLevelRows(raw)
	if !ok && there {
		jsonInto(raw, &rows) // what is not a book reads as an empty one
	}
	return rows
}

// Status is the status of a work, "" when it has none.
func (f Feature) Status() Status { return Status(f.Text("status")) }

// plainString reads a JSON text of ASCII without escapes, as nearly all are; false for others.
func plainString(raw []byte) (string, bool) {
	n := len(raw)
	if n < 2 || raw[0] != '"' || raw[n-1] != '"' || !plain(raw[1:n-1]) {
		return "", false
	}
	return string(raw[1 : n-1]), true
}

func plain(text []byte) bool {
	for _, c := range text {
		if c < 0x20 || c >= 0x80 || c == '\\' || c == '"' {
			return false
		}
	}
	return true
}

// plainNumber reads a JSON number without exponent; false for others.
func plainNumber(raw []byte) (float64, bool) {
	p := plainText{text: raw}
	v := p.number()
	return v, !p.broken && len(p.text) == 0
}
