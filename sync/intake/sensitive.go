package intake

import (
	"encoding/json"
	"slices"
	"strings"

	"headcut/model"
)

// sensitiveField keeps a feature off shared maps. It is the only yes or no that decides what others
// see, so it is read otherwise than any other: a place that was shown cannot be hidden again, and
// what is no plain yes or no therefore hides.
var sensitiveField = model.CommonFields[slices.IndexFunc(model.CommonFields, func(f model.Field) bool { return f.Name == "sensitive" })]

// sensitiveColumn reports whether a column is that field, however it is spelled or carried.
func sensitiveColumn(name string) bool {
	return plainWord(strings.TrimPrefix(name, gpxPrefix)) == sensitiveField.Name
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

// marked says of a value that it is no plain yes or no, and what follows.
func marked(raw json.RawMessage) string {
	return quote(plain(raw)) + " is neither yes nor no: marked sensitive, so that no shared map shows it"
}

// setSensitive gives fields what the columns of a feature say of that. What was unclear stays with the
// feature in the file's own words.
func (out *reading) setSensitive(columns []member, fields map[string]json.RawMessage, report func(at, reason, fix string)) {
	s := sensitivityOf(columns)
	if s.value != nil {
		fields[sensitiveField.Name] = s.value
	}
	for _, m := range s.columns {
		if m.name != sensitiveField.Name {
			out.reportOnce(0, m.name, "is taken as "+sensitiveField.Name, "")
		}
		if value, clear := retyped(sensitiveField, m.raw); clear && string(m.raw) != string(value) {
			report(m.name, quote(plain(m.raw))+": taken as "+string(value), "")
		}
	}
	for _, m := range s.unclear {
		out.leaveValue()
		fields[xField(m.name)] = plainValue(m.raw)
		report(m.name, marked(m.raw), "if it may be shown, say so on its own page; or undo this intake, write no in the file, and take it in again")
	}
}

// sensitive compares what the columns say of that. An empty one shows nothing that was hidden.
func (c *comparison) sensitive(columns []member) {
	s := sensitivityOf(columns)
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
