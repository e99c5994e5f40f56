package intake

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"unicode"

	"headcut/model"
)

// sensitiveField keeps a feature off shared maps. It is the only yes or no that decides what others
// see, so it is read otherwise than any other: a place that was shown cannot be hidden again, and
// what is no plain yes or no therefore hides.
var sensitiveField = model.CommonFields[slices.IndexFunc(model.CommonFields, func(f model.Field) bool { return f.Name == "sensitive" })]

// sensitiveColumn reports whether a column is that field, however it is spelled or carried: "Sensitivity",
// "is_sensitive", "sensitive (yes/no)". What only looks like it hides too.
func sensitiveColumn(name string) bool {
	if plain := plainWord(name); isASCII(plain) || strings.Contains(plain, "sensitiv") {
		return strings.Contains(plain, "sensitiv")
	}
	return strings.Contains(strings.Map(likeLetter, plainWord(name)), "sensitiv")
}

func isASCII(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return r > unicode.MaxASCII })
}

// likeLetter is the letter of that word which another stands for: a wide one, one with a mark, one that looks so.
func likeLetter(r rune) rune {
	switch {
	case r >= '\uFF01' && r <= '\uFF5E': // wide forms, in the order of ASCII
		return unicode.ToLower(r - '\uFF01' + '!')
	case unicode.In(r, unicode.Mn, unicode.Cf):
		return -1
	}
	for letter, others := range map[rune]string{'s': "ſśšşș\u0455", 'e': "éèêëēėęě\u0435", 'n': "ñńňņ", 'i': "íìîïīıįі", 't': "ťţț", 'v': "ν"} {
		if strings.ContainsRune(others, r) {
			return letter
		}
	}
	return r
}

// sensitivity is what the columns of a feature say of it: of several, one that hides counts.
type sensitivity struct {
	given   bool            // there is such a column
	value   json.RawMessage // true or false; nil where all are blank
	columns []member        // that say something, freed of what no text can hold
	unclear []member        // of those, the ones that are no plain yes or no
}

func sensitivityOf(columns []member) (s sensitivity) {
	for _, m := range columns {
		if !sensitiveColumn(m.name) {
			continue
		}
		s.given = true
		if m.raw, _ = cleanJSON(m.raw); blank(m.raw) || strings.TrimSpace(plain(m.raw)) == "" {
			continue
		}
		value, clear := retyped(sensitiveField, m.raw)
		if !clear {
			value = json.RawMessage("true")
			s.unclear = append(s.unclear, m)
		}
		if s.columns = append(s.columns, m); string(s.value) != "true" {
			s.value = value
		}
	}
	return s
}

// sensitiveWithin are the columns for what a feature says of its being sensitive beside its properties, or in
// what is nested in one of them. A text there is no name: "sensitive=yes" hides as a value.
func sensitiveWithin(parts []member) (all []member) {
	for _, m := range parts {
		if m.name == "geometry" || m.name == "properties" {
			continue
		}
		if sensitiveColumn(m.name) {
			all = append(all, m)
			continue
		}
		all = append(all, sensitiveIn(m.raw)...)
	}
	return all
}

// sensitiveIn are the members at any depth of a value that are so called.
func sensitiveIn(raw json.RawMessage) (all []member) {
	if !bytes.Contains(bytes.ToLower(raw), []byte("sensitiv")) && !bytes.Contains(raw, []byte(`\u`)) {
		return nil
	}
	if text, ok := textOf(raw); ok { // a text of tags, such as "sensitive=yes"
		name, value, isTag := strings.Cut(text, "=")
		if isTag && sensitiveColumn(name) {
			return []member{{"sensitive", rawText(value)}}
		}
		return nil
	}
	var items []json.RawMessage
	if json.Unmarshal(raw, &items) == nil {
		for _, item := range items {
			all = append(all, sensitiveIn(item)...)
		}
		return all
	}
	inner, _ := members(raw)
	return sensitiveWithin(inner)
}

// sensitiveTexts are the columns under other names in whose texts the word stands, at any depth.
func sensitiveTexts(columns []member) []member {
	return slices.DeleteFunc(slices.Clone(columns), func(m member) bool { return sensitiveColumn(m.name) || !speaksOfIt(m.raw) })
}

func speaksOfIt(raw json.RawMessage) bool {
	if text, ok := textOf(raw); ok {
		return sensitiveColumn(text)
	}
	var items []json.RawMessage
	if json.Unmarshal(raw, &items) == nil {
		return slices.ContainsFunc(items, speaksOfIt)
	}
	inner, _ := members(raw)
	return slices.ContainsFunc(inner, func(m member) bool { return speaksOfIt(m.raw) })
}

// holdsWord says of a text that the word is in it, and what follows.
func holdsWord(raw json.RawMessage) string {
	text := []rune(plain(raw))
	return quote(string(text[:min(len(text), 60)])) + " has the word sensitive in it: marked sensitive, so that no shared map shows it"
}

const sayNo = "if it may be shown, say so on its own page; or undo this intake, write no in the file, and take it in again"

// marked says of a value that it is no plain yes or no, and what follows.
func marked(raw json.RawMessage) string {
	return quote(plain(raw)) + " is neither yes nor no: marked sensitive, so that no shared map shows it"
}

// setSensitive gives fields what the columns of a feature say of that. What was unclear stays with the
// feature in the file's own words. Texts in which the word stands hide it where no column says yes or no;
// those of an export were written here, where the column says so.
func (out *reading) setSensitive(columns, texts []member, fields map[string]json.RawMessage, report func(at, reason, fix string)) {
	s := sensitivityOf(columns)
	if s.value != nil {
		fields[sensitiveField.Name] = s.value
	} else if out.next.Ours == nil {
		for _, m := range texts {
			fields[sensitiveField.Name] = json.RawMessage("true")
			report(m.name, holdsWord(m.raw), sayNo)
		}
	}
	for _, m := range s.columns {
		switch plainWord(strings.TrimPrefix(m.name, gpxPrefix)) {
		case sensitiveField.Name:
			if m.name != sensitiveField.Name {
				out.reportOnce(0, m.name, "is taken as "+sensitiveField.Name, "")
			}
		default:
			report(m.name, quote(plain(m.raw))+" is taken as said of "+sensitiveField.Name, "call it "+sensitiveField.Name+" in the file, and write no where shared maps may show it")
		}
		if value, clear := retyped(sensitiveField, m.raw); clear && string(m.raw) != string(value) {
			report(m.name, quote(plain(m.raw))+": taken as "+string(value), "")
		}
	}
	for _, m := range s.unclear {
		out.leaveValue()
		fields[xField(m.name)] = plainValue(m.raw)
		report(m.name, marked(m.raw), sayNo)
	}
}

// fileSensitive marks every feature of a file that says it of all of them, or in whose own texts the word
// stands, such as its title.
func (out *reading) fileSensitive(line int, columns, texts []member) {
	s := sensitivityOf(columns)
	hides := func(fields map[string]json.RawMessage) bool {
		_, said := fields[sensitiveField.Name]
		return string(s.value) == "true" || s.value == nil && len(texts) > 0 && !said
	}
	why, which := holdsWord, texts
	if string(s.value) == "true" {
		why, which = func(raw json.RawMessage) string {
			return quote(plain(raw)) + " is said of the whole file: all of it is marked sensitive"
		}, s.columns
	}
	told := false
	for _, r := range out.Records {
		if r.Ours != nil || !hides(r.Fields) {
			continue
		}
		r.Fields[sensitiveField.Name] = json.RawMessage("true")
		for _, m := range which {
			if !told {
				out.report(line, m.name, why(m.raw), sayNo)
			}
		}
		told = true
	}
}

// sensitive compares what the columns say of that. An empty one shows nothing that was hidden.
func (c *comparison) sensitive(columns []member) {
	s := sensitivityOf(slices.DeleteFunc(slices.Clone(columns), func(m member) bool { return !c.sensitiveColumn(m.name) }))
	before, has := c.feature.Fields[sensitiveField.Name]
	hidden := has && string(before) != "false"
	for _, m := range s.unclear {
		c.problems = append(c.problems, &model.Problem{Line: c.record.Line, Path: m.name, Reason: c.called() + ": " + marked(m.raw), Fix: "write yes or no"})
	}
	switch {
	case !s.given:
	case s.value == nil && hidden:
		c.leaveOut(sensitiveField.Name, "is empty, and "+c.called()+" stays sensitive", "write no if shared maps may show it")
	default:
		c.field(sensitiveField, s.value)
	}
}

// sensitiveColumn is [sensitiveColumn] but for the columns in which an export has a file's own words.
func (c *comparison) sensitiveColumn(name string) bool {
	for field := range c.feature.Fields {
		if strings.HasPrefix(field, "x-") && model.ColumnName(field) == name {
			return false
		}
	}
	return sensitiveColumn(name)
}
