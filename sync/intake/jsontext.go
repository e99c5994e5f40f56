package intake

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"
)

// member is a name and value of a JSON object.
type member struct {
	name string
	raw  json.RawMessage
}

// members takes an object apart by the exact spelling of its names; encoding/json's
// structs would match them without regard to case. Of members of one name the last
// counts, where the first stood. ok is false when raw is not an object, or has more than
// MaxMembers.
func members(raw json.RawMessage) (all []member, ok bool) {
	d := json.NewDecoder(bytes.NewReader(raw))
	if open, err := d.Token(); err != nil || open != json.Delim('{') {
		return nil, false
	}
	at := make(map[string]int)
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return nil, false
		}
		m := member{name: name.(string)} // a token in this place is a name
		if d.Decode(&m.raw) != nil {
			return nil, false
		}
		if i, again := at[m.name]; again {
			all[i] = m
			continue
		}
		if len(all) == MaxMembers {
			return nil, false
		}
		at[m.name] = len(all)
		all = append(all, m)
	}
	return all, true
}

func named(all []member, name string) (json.RawMessage, bool) {
	for _, m := range all {
		if m.name == name {
			return m.raw, true
		}
	}
	return nil, false
}

// textOf reads a JSON text; ok is false for any other value.
func textOf(raw json.RawMessage) (text string, ok bool) {
	if len(raw) == 0 || raw[0] != '"' {
		return "", false
	}
	return text, json.Unmarshal(raw, &text) == nil
}

// cleanJSON is the value without the spaces between its parts, and with its texts freed
// of what they cannot hold: unwritable characters are left out, halves of surrogate pairs
// are U+FFFD. mended says whether there were any.
func cleanJSON(raw json.RawMessage) (clean json.RawMessage, mended bool) {
	clean = make(json.RawMessage, 0, len(raw))
	for i := 0; i < len(raw); {
		switch c := raw[i]; c {
		case ' ', '\t', '\r', '\n':
			i++
		case '"':
			end := i + 1
			for raw[end] != '"' {
				if raw[end] == '\\' {
					end++
				}
				end++
			}
			end++
			text, bad := cleanJSONText(raw[i:end])
			clean, mended, i = append(clean, text...), mended || bad, end
		default:
			clean = append(clean, c)
			i++
		}
	}
	return clean, mended
}

func cleanJSONText(raw json.RawMessage) (clean json.RawMessage, mended bool) {
	text, _ := textOf(raw) // raw is a text of a JSON value that was read
	cleaned := cleanText(text)
	return rawText(cleaned), cleaned != text || halfSurrogate(raw)
}

// halfSurrogate finds an escaped half of a surrogate pair without the other half.
func halfSurrogate(raw []byte) bool {
	high := -1 // where the escape after a first half must begin
	for i := 0; i < len(raw); i++ {
		if raw[i] != '\\' {
			continue
		}
		if raw[i+1] != 'u' {
			i++
			continue
		}
		unit, _ := strconv.ParseUint(string(raw[i+2:i+6]), 16, 16)
		switch {
		case unit >= 0xdc00 && unit < 0xe000:
			if high != i {
				return true
			}
			high = -1
		case high >= 0:
			return true
		case unit >= 0xd800 && unit < 0xdc00:
			high = i + 6
		}
		i += 5
		if high >= 0 && (i+1 >= len(raw) || raw[i+1] != '\\') {
			return true
		}
	}
	return high >= 0
}

// plainValue is what stays of a value that no kind has a field for: numbers that a double
// holds, texts and yes-no values as they are, anything else as its JSON text.
func plainValue(clean json.RawMessage) json.RawMessage {
	switch clean[0] {
	case '"', 't', 'f':
		return clean
	case '{', '[':
		return rawText(string(clean))
	}
	digits := string(clean)
	v, err := strconv.ParseFloat(digits, 64)
	whole := !strings.ContainsAny(digits, ".eE")
	if err != nil || math.IsInf(v, 0) || whole && math.Abs(v) >= 1<<53 {
		return rawText(digits)
	}
	return clean
}
