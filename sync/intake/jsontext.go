package intake

import (
	"bytes"
	"encoding/json"
	"math"
	"regexp"
	"slices"
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
// counts, where the first stood, but none undoes that a place is sensitive. ok is false when raw is not an object, or has more than
// MaxMembers.
func members(raw json.RawMessage) (all []member, ok bool) {
	all, _, ok = membersAndTwice(raw)
	return all, ok
}

// membersAndTwice gives also the names that stand more than once, with different values.
func membersAndTwice(raw json.RawMessage) (all []member, twice []string, ok bool) {
	d := json.NewDecoder(bytes.NewReader(raw))
	if open, err := d.Token(); err != nil || open != json.Delim('{') {
		return nil, nil, false
	}
	at := make(map[string]int)
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return nil, nil, false
		}
		m := member{name: name.(string)} // a token in this place is a name
		if d.Decode(&m.raw) != nil {
			return nil, nil, false
		}
		if i, again := at[m.name]; again {
			if !bytes.Equal(all[i].raw, m.raw) && !slices.Contains(twice, m.name) {
				twice = append(twice, m.name)
			}
			if !sensitiveColumn(m.name) || string(sensitivityOf(all[i:i+1]).value) != "true" {
				all[i] = m
			}
			continue
		}
		if len(all) == MaxMembers {
			return nil, nil, false
		}
		at[m.name] = len(all)
		all = append(all, m)
	}
	return all, twice, true
}

func named(all []member, name string) (json.RawMessage, bool) {
	if i := slices.IndexFunc(all, func(m member) bool { return m.name == name }); i >= 0 {
		return all[i].raw, true
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

// jsonString is a text of JSON, and jsonEscape a character in one that is written by its number.
var (
	jsonString = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)
	jsonEscape = regexp.MustCompile(`\\(?:u[0-9A-Fa-f]{4}|.)`)
)

// cleanJSON is the value without the spaces between its parts, and with its texts freed
// of what they cannot hold: unwritable characters are left out, halves of surrogate pairs
// are U+FFFD. mended says whether there were any.
func cleanJSON(raw json.RawMessage) (clean json.RawMessage, mended bool) {
	var compact bytes.Buffer
	_ = json.Compact(&compact, raw) // raw is a JSON value that was read
	cleanOne := func(one []byte) []byte {
		text, _ := textOf(one)
		cleaned := cleanText(text)
		mended = mended || cleaned != text || halfSurrogate(one, text)
		return rawText(cleaned)
	}
	if clean = compact.Bytes(); bytes.HasPrefix(clean, []byte{'"'}) { // the most values are one text
		clean = cleanOne(clean)
	} else {
		clean = jsonString.ReplaceAllFunc(clean, cleanOne)
	}
	return clean, mended
}

// halfSurrogate reports whether a JSON text has an escaped half of a surrogate pair without the other
// half: decoded, it has more of U+FFFD then than were written.
func halfSurrogate(raw []byte, text string) bool {
	const stands = "\ufffd"
	if !strings.Contains(text, stands) {
		return false
	}
	written := bytes.Count(raw, []byte(stands))
	for _, escape := range jsonEscape.FindAll(raw, -1) {
		if bytes.EqualFold(escape, []byte(`\ufffd`)) {
			written++
		}
	}
	return strings.Count(text, stands) > written
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
