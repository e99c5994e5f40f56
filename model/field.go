package model

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"headcut/model/calendar"
	"headcut/model/jsonvalue"
)

// FieldType is the shape of a field's value in JSON.
type FieldType string

const (
	Text        FieldType = "text"
	Number      FieldType = "number"
	Integer     FieldType = "integer"
	YesNo       FieldType = "yes-no"  // true or false
	Date        FieldType = "date"    // "2026-11-25", the day where the officer stood
	Instant     FieldType = "instant" // RFC 3339 with its offset
	Choice      FieldType = "choice"  // one of Field.Choices
	Reference   FieldType = "feature" // the id of another feature
	Place       FieldType = "geometry"
	Photos      FieldType = "photos"       // list of SHA-256 in lower-case hex
	Numbers     FieldType = "numbers"      // list of numbers, null where one is unknown
	LevelRows   FieldType = "level-rows"   // list of LevelRow
	SpacingRows FieldType = "spacing-rows" // list of SpacingRow
	RateRows    FieldType = "rates"        // list of RateRow
	RainRows    FieldType = "rain-rows"    // list of RainRow
)

// FieldTypes lists every type.
var FieldTypes = []FieldType{Text, Number, Integer, YesNo, Date, Instant, Choice, Reference, Place, Photos, Numbers, LevelRows, SpacingRows, RateRows, RainRows}

// Field describes one value a feature may have. Names of measured fields end in their
// unit, so that no reader has to guess it.
type Field struct {
	Name     string    `json:"name"`
	Label    string    `json:"label"`
	Type     FieldType `json:"type"`
	Unit     string    `json:"unit,omitempty"` // UCUM code
	Min      float64   `json:"min,omitempty"`  // Min and Max bound numbers when they differ
	Max      float64   `json:"max,omitempty"`
	Choices  []string  `json:"choices,omitempty"`
	Required bool      `json:"required,omitempty"` // asked for first; a record without it is kept and told
	Hint     string    `json:"hint,omitempty"`     // a line of help beside the field

	Basis string            `json:"basis,omitempty"` // the field that tells how this one was measured
	Was   map[string]string `json:"was,omitempty"`   // words of older programs for choices, and what each is now
}

// jsonSpace is what JSON (RFC 8259, section 2) takes for white space, and no more.
const jsonSpace = " \t\r\n"

// Check tells whether raw, a JSON text, is a value of this field. JSON null clears a
// field and is always in order. The returned Problem's path is the field's name.
func (f *Field) Check(raw json.RawMessage) *Problem {
	if raw = bytes.Trim(raw, jsonSpace); string(raw) == "null" {
		return nil
	}
	if reason := f.wrong(raw); reason != "" {
		return &Problem{Path: f.Name, Reason: reason, Fix: f.fix()}
	}
	return nil
}

func (f *Field) wrong(raw json.RawMessage) string {
	switch f.Type {
	case Text, Date, Instant, Choice, Reference:
		text, reason := decodeText(raw)
		if reason == "" {
			reason = f.wrongText(text)
		}
		return reason
	case Number, Integer:
		return f.wrongNumber(raw)
	case YesNo:
		if s := string(raw); s != "true" && s != "false" {
			return "is neither true nor false"
		}
	case Place:
		if _, err := ParseGeometry(raw); err != nil {
			return err.Error()
		}
	case Photos:
		var list []string
		if !jsonInto(raw, &list) {
			return "is not a list of photos"
		}
		for i, sha := range list {
			if len(sha) != 64 || strings.Trim(sha, "0123456789abcdef") != "" {
				return fmt.Sprintf("photo %d is not a SHA-256 in lower-case hex", i+1)
			}
		}
	case Numbers:
		if !jsonInto(raw, new([]*float64)) {
			return "is not a list of numbers"
		}
	case LevelRows:
		return wrongLevelRows(raw)
	case SpacingRows:
		return wrongSpacings(raw)
	case RateRows:
		return wrongRates(raw)
	case RainRows:
		return wrongRain(raw)
	default:
		return "has the unknown type " + string(f.Type)
	}
	return ""
}

func (f *Field) wrongText(text string) string {
	switch f.Type {
	case Date:
		if _, ok := calendar.Parse(text); !ok {
			return strconv.Quote(text) + " is not a date"
		}
	case Instant:
		if !calendar.IsInstant(text) {
			return strconv.Quote(text) + " is not a time"
		}
	case Choice:
		if _, older := f.Was[text]; !older && !slices.Contains(f.Choices, text) {
			return strconv.Quote(text) + " is not one of the choices"
		}
	case Reference:
		if text == "" {
			return "names no feature"
		}
	}
	return ""
}

func (f *Field) wrongNumber(raw json.RawMessage) string {
	v, ok := plainNumber(raw)
	if !ok && (jsonvalue.Unmarshal(raw, &v) != nil || math.IsInf(v, 0) || math.IsNaN(v)) {
		return "is not a number"
	}
	if f.Type == Integer && v != math.Trunc(v) {
		return string(raw) + " is not a whole number"
	}
	if f.Min != f.Max && (v < f.Min || v > f.Max) {
		return fmt.Sprintf("%s is outside %v to %v%s", raw, f.Min, f.Max, f.unitWords(" "))
	}
	return ""
}

// unitWords is the unit after a word, nothing for a plain number.
func (f *Field) unitWords(word string) string {
	if unit := UnitInWords(f.Unit); unit != "" {
		return word + unit
	}
	return ""
}

// fixes are what to do about a value, by the type of the field.
var fixes = map[FieldType]string{
	YesNo: "give true or false", Date: "write it as 2026-11-25", Instant: "write it as 2026-11-25T09:30:00+10:00",
	Place: "give a GeoJSON geometry with [longitude, latitude] in degrees", Number: "give a number", Integer: "give a number",
	LevelRows: "book each point of a cross-section at its offset, and no other row with one",
}

func (f *Field) fix() string {
	switch {
	case f.Type == Choice:
		return fmt.Sprintf("choose one of %q", f.Choices)
	case f.Min != f.Max && (f.Type == Number || f.Type == Integer):
		return fmt.Sprintf("give a number from %v to %v%s", f.Min, f.Max, f.unitWords(" in "))
	}
	return cmp.Or(fixes[f.Type], "see the field's description")
}

func decodeText(raw json.RawMessage) (text, reason string) {
	if text, ok := plainString(raw); ok {
		return text, ""
	}
	if !utf8.Valid(raw) { // encoding/json would put U+FFFD in its place
		return "", "is not UTF-8 text"
	}
	if jsonvalue.Unmarshal(raw, &text) != nil {
		return "", "is not text"
	}
	return text, ""
}
