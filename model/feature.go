package model

import (
	"encoding/json"

	"github.com/paulmach/orb"
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
	raw, ok := f.Fields[name]
	if !ok {
		return 0, false
	}
	if v, ok := plainNumber(raw); ok {
		return v, true
	}
	return anyNumber(raw)
}

func anyNumber(raw []byte) (float64, bool) {
	var v *float64
	if json.Unmarshal(raw, &v) != nil || v == nil {
		return 0, false
	}
	return *v, true
}

// Text reads a textual field, "" when it is absent, null or not text.
func (f Feature) Text(name string) string {
	raw, ok := f.Fields[name]
	if !ok {
		return ""
	}
	return TextOf(raw)
}

// TextOf reads a text, "" when raw is none.
func TextOf(raw json.RawMessage) string {
	if text, ok := plainString(raw); ok {
		return text
	}
	return anyString(raw)
}

func anyString(raw []byte) (v string) {
	_ = json.Unmarshal(raw, &v) // what is not text reads as none
	return v
}

func jsonInto(raw json.RawMessage, v any) bool { return json.Unmarshal(raw, v) == nil }

// Yes reads a yes-no field, false when it is absent.
func (f Feature) Yes(name string) bool { return string(f.Fields[name]) == "true" }

// LevelRows reads the rows of a level book, nil when there are none.
func (f Feature) LevelRows(name string) []LevelRow {
	raw, ok := f.Fields[name]
	if !ok {
		return nil
	}
	if rows, ok := plainLevelRows(raw); ok {
		return rows
	}
	var rows []LevelRow
	_ = json.Unmarshal(raw, &rows) // what is not a book reads as an empty one
	return rows
}

// Status is the status of a work, "" when it has none.
func (f Feature) Status() Status { return Status(f.Text("status")) }

// plainString reads a JSON text of ASCII without escapes, as nearly all are; false for others.
func plainString(raw []byte) (string, bool) {
	if !isPlainString(raw) {
		return "", false
	}
	return string(raw[1 : len(raw)-1]), true
}

func isPlainString(raw []byte) bool {
	if len(raw) < 2 || raw[0] != '"' || raw[len(raw)-1] != '"' {
		return false
	}
	for _, c := range raw[1 : len(raw)-1] {
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
