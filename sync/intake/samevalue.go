package intake

import (
	"cmp"
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"

	"headcut/model"
)

// blank is what desktop programs write for a value that is not there.
func blank(raw json.RawMessage) bool {
	text := strings.TrimSpace(string(raw))
	return text == "" || text == "null" || text == `""`
}

// typeOf is the type of a field that the table of kinds does not know.
func typeOf(raw json.RawMessage) model.FieldType {
	switch text := strings.TrimSpace(string(raw)); {
	case text == "true" || text == "false":
		return model.YesNo
	case text != "" && (text[0] == '-' || text[0] >= '0' && text[0] <= '9'):
		return model.Number
	case text != "" && (text[0] == '[' || text[0] == '{'):
		return model.Numbers // any JSON
	}
	return model.Text
}

// shown reports whether an export has the value in its column: one of another type than the
// field's stands in a column of its own.
func shown(field model.Field, raw json.RawMessage) bool {
	switch field.Type {
	case model.Text, model.Choice, model.Reference:
		_, isText := textOf(raw)
		return isText
	}
	return !blank(raw) && (!retypes(field.Type) || field.Check(raw) == nil)
}

// retyped reads a value as a field's type, of which a program may have made another.
func retyped(field model.Field, raw json.RawMessage) (json.RawMessage, bool) {
	clean, _ := cleanJSON(raw)
	text, isText := textOf(clean)
	if !isText {
		text = string(clean)
	}
	text = strings.TrimSpace(text)
	switch field.Type {
	case model.Number, model.Integer:
		d, reason := parseDecimal(text)
		if reason != "" || field.Type == model.Integer && d.value != math.Trunc(d.value) {
			return nil, false
		}
		return rawNumber(d.value), true
	case model.YesNo:
		if d, reason := parseDecimal(text); reason == "" { // 1.0, as programs write a number
			text = strconv.FormatFloat(d.value, 'f', -1, 64)
		}
		switch strings.ToLower(text) {
		case "true", "1", "t", "yes", "y":
			return json.RawMessage("true"), true
		case "false", "0", "-0", "f", "no", "n":
			return json.RawMessage("false"), true
		}
		return nil, false
	case model.Date:
		days := daysIn(text)
		if len(days) != 1 { // of two nobody can tell which is meant
			return nil, false
		}
		return rawText(days[0]), true
	case model.Instant:
		t, ok := anyInstant(text)
		if !ok {
			return nil, false
		}
		return rawText(t.Format(time.RFC3339Nano)), true
	case model.Text, model.Choice, model.Reference:
		if now, old := field.Was[text]; old { // an export of old
			return rawText(now), true
		}
		if isText {
			return clean, true
		}
		return rawText(text), true
	}
	if isText { // lists are JSON text in a file
		if !json.Valid([]byte(text)) {
			return clean, field.Type == model.Numbers
		}
		clean, _ = cleanJSON(json.RawMessage(text))
	}
	return clean, true
}

// anyInstant reads a time as RFC 3339 writes it, and as GDAL does.
func anyInstant(text string) (time.Time, bool) {
	for _, form := range []string{time.RFC3339Nano, "2006/01/02 15:04:05.999-07", "2006/01/02 15:04:05.999-0700", "2006/01/02 15:04:05.999", "2006-01-02T15:04:05.999"} {
		if t, err := time.Parse(form, text); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

// same compares two values of a field. Numbers may lose their last digits on the way through
// other programs.
func same(field model.Field, a, b json.RawMessage) bool {
	switch field.Type {
	case model.Number, model.Integer:
		var x, y float64
		return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && math.Abs(x-y) <= 1e-9*max(1, math.Abs(x))
	case model.Instant:
		x, _ := textOf(a)
		y, _ := textOf(b)
		s, ok := anyInstant(x)
		t, and := anyInstant(y)
		return ok && and && s.Equal(t)
	case model.Text, model.Choice, model.Reference:
		x, _ := textOf(a)
		y, _ := textOf(b)
		return settled(x) == settled(y)
	}
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && reflect.DeepEqual(x, y)
}

// settled is a text without what programs change in passing.
func settled(text string) string {
	return strings.TrimSpace(strings.ReplaceAll(cleanText(text), "\r\n", "\n"))
}

// article is a type in words.
func article(of model.FieldType) string { return cmp.Or(typeWords[of], strconv.Quote(string(of))) }

var typeWords = map[model.FieldType]string{
	model.Number: "a number", model.Integer: "a whole number", model.YesNo: "yes or no", model.Date: "a date", model.Instant: "a time",
}
