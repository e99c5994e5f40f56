package intake

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

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

// retypes reports whether a value of another type can be meant for a field: a date in another
// form, a number or a yes as text. A number in a column of text is no name.
func retypes(of model.FieldType) bool { return typeWords[of] != "" }

// plain is a value without the quotation marks of JSON.
func plain(raw json.RawMessage) string {
	if text, ok := textOf(raw); ok {
		return text
	}
	return strings.TrimSpace(string(raw))
}

// daysIn are the dates that a text may mean: as ISO 8601 writes one, and as spreadsheets do where
// people put the day first, or the month. 13/05/2026 is one day, 03/05/2026 is either of two.
func daysIn(text string) (days []string) {
	iso := strings.ReplaceAll(text[:min(len(text), len(time.DateOnly))], "/", "-")
	if _, err := time.Parse(time.DateOnly, iso); err == nil {
		return []string{iso}
	}
	for _, form := range []string{"2/1/2006", "1/2/2006"} {
		day, err := time.Parse(form, text)
		if iso := day.Format(time.DateOnly); err == nil && !slices.Contains(days, iso) {
			days = append(days, iso)
		}
	}
	return days
}
