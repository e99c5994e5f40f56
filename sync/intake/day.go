package intake

import (
	"encoding/json"
	"strings"

	"headcut/model"
)

// earliestDay is the first date that is taken in: what a file puts before it is the zero of
// some program or a slip of the pen. Common practice, no source.
const earliestDay = "1900-01-01"

// wrongDay says why no such date can have come about, "" when it can, when the value is no
// date, and when today is not known.
func wrongDay(field model.Field, raw json.RawMessage, today string) string {
	if field.Type != model.Date {
		return ""
	}
	value, ok := retyped(field, raw)
	day, _ := textOf(value)
	switch {
	case !ok:
		return ""
	case day < earliestDay:
		return day + " is before 1900"
	case today != "" && day > today:
		return day + " is in the future"
	}
	return ""
}

// retypes tells whether a value of another type can be meant for a field: a date in another
// form, a number or a yes as text. A number in a column of text is no name.
func retypes(of model.FieldType) bool {
	switch of {
	case model.Number, model.Integer, model.YesNo, model.Date, model.Instant:
		return true
	}
	return false
}

// plain is a value without the quotation marks of JSON.
func plain(raw json.RawMessage) string {
	if text, ok := textOf(raw); ok {
		return text
	}
	return strings.TrimSpace(string(raw))
}
