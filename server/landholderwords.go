package server

import (
	"cmp"
	"slices"
	"time"

	"headcut/model"
	"headcut/model/figures"
)

// plainOf says in sentences how far a work has come and what the last visit found.
func plainOf(f model.Feature, visited *figures.Visited) []string {
	if f.Status() == model.Built && isDate(f.Text("builtOn")) && (visited == nil || !isDate(visited.On)) {
		return []string{"Built " + model.DayInWords(f.Text("builtOn")) + ", not visited yet."}
	}
	return append([]string{statusSentence(f)}, inspected(visited)...)
}

// inspected tells of the last visit and what it found.
func inspected(visited *figures.Visited) []string {
	switch v := visited; {
	case v == nil || !isDate(v.On):
		return nil
	case v.Condition == "":
		return []string{"Last inspected " + model.DayInWords(v.On) + "."}
	case v.ConditionOn == v.On || !isDate(v.ConditionOn):
		return []string{"Last inspected " + model.DayInWords(v.On) + ": " + string(v.Condition) + "."}
	default:
		return []string{"Last inspected " + model.DayInWords(v.On) + ". Found " + string(v.Condition) + " on " + model.DayInWords(v.ConditionOn) + "."}
	}
}

func statusSentence(f model.Feature) string {
	on := func(status model.Status) string {
		if date := f.Text(status.DateField()); isDate(date) {
			return " " + model.DayInWords(date)
		}
		return ""
	}
	switch status := f.Status(); status {
	case model.Proposed:
		return "Proposed" + on(status) + ". Nothing is on the ground yet."
	case model.Pegged:
		return "Pegged" + on(status) + ". Not built yet."
	case model.Built:
		if day := on(status); day != "" {
			return "Built" + day + "."
		}
		return "Built. The date was not recorded."
	case model.Failed:
		text := "Failed" + on(status) + ": it no longer does its job."
		if day := on(model.Built); day != "" {
			text += " Built" + day + "."
		}
		return text
	case model.Removed:
		return "Removed" + on(status) + "."
	}
	return "Its stage was not recorded."
}

// surveyorsFields are own fields of works that only say something beside the pegs.
var surveyorsFields = []string{"toleranceM", "row"}

// plainFigures are the figures that a landholder has a use for.
var plainFigures = []string{"lengthM", "areaM2", "crestHeightM", "chainageM"}

// plainNames are for labels of fields and figures that a landholder may not know.
var plainNames = map[string]string{"crestHeightM": "Height", "crestLengthM": "Length across the gully", "runPerRise": "Slope"}

func plainName(kind *model.Kind, name, label string) string {
	if name == "chainageM" {
		if _, inGully := kind.FieldNamed("thalweg"); inGully {
			return "Distance up the gully"
		}
		return "Distance along the track"
	}
	return cmp.Or(plainNames[name], label)
}

// freeTexts are the only free texts, besides names and dangers, that leave with a link.
var freeTexts = []string{"seedMix"}

// factsOf words the figures of a work and the own fields of its kind, in the order of its
// row: measured values, choices and the listed free texts. Fields not in the row never
// leave, nor does a value that the row does not allow. A field that visits measure is as
// the newest of them found it.
func factsOf(kind *model.Kind, f model.Feature, sheet figures.Sheet) []landFact {
	facts := []landFact{}
	told := slices.Clone(surveyorsFields)
	for _, fig := range sheet.Figures {
		if finite(fig.Value) && slices.Contains(plainFigures, fig.Name) {
			told = append(told, fig.Name)
			facts = append(facts, landFact{Label: plainName(kind, fig.Name, fig.Label), Text: measureInWords(fig)})
		}
	}
	measured := map[string]figures.Measured{}
	if sheet.Visited != nil {
		for _, m := range sheet.Visited.Measured {
			measured[m.Name] = m
		}
	}
	for _, field := range kind.Fields {
		told = append(told, field.Basis)
		if slices.Contains(told, field.Name) {
			continue
		}
		text := worded(f, field)
		if m, ok := measured[field.Name]; ok && finite(m.Value) {
			text = asTyped(m.Value) + afterNumber(m.Unit) + byWhat[m.Basis]
			if m.Visit != "" && isDate(m.On) {
				text += ", " + model.DayInWords(m.On)
			}
		}
		if text != "" {
			facts = append(facts, landFact{Label: plainName(kind, field.Name, field.Label), Text: text})
		}
	}
	return facts
}

// worded is the value of a field, "" when it does not leave.
func worded(f model.Feature, field model.Field) string {
	raw, ok := f.Fields[field.Name]
	if !ok || string(raw) == "null" || field.Check(raw) != nil {
		return ""
	}
	switch field.Type {
	case model.Number, model.Integer:
		v, _ := f.Number(field.Name)
		if field.Name == "runPerRise" {
			return "1 in " + asTyped(v)
		}
		return asTyped(v) + afterNumber(field.Unit) + byWhat[f.Basis(field.Name)]
	case model.Choice:
		return f.Text(field.Name)
	case model.YesNo:
		if f.Yes(field.Name) {
			return "yes"
		}
		return "no"
	case model.Text:
		if slices.Contains(freeTexts, field.Name) {
			return f.Text(field.Name)
		}
	}
	return ""
}

// afterNumber is what follows a number on the page: a no-break space and the unit, a degree
// without the space.
func afterNumber(ucum string) string {
	words := model.UnitInWords(ucum)
	if words == "" || words == "°" {
		return words
	}
	return "\u00a0" + words
}

func isDate(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}

// compareNames orders names with the numbers in them by size.
func compareNames(a, b string) int {
	for a != "" && b != "" {
		aText, aDigits, aRest := cutNumber(a)
		bText, bDigits, bRest := cutNumber(b)
		if c := cmp.Compare(aText, bText); c != 0 {
			return c
		}
		if c := cmp.Or(cmp.Compare(len(aDigits), len(bDigits)), cmp.Compare(aDigits, bDigits)); c != 0 {
			return c
		}
		a, b = aRest, bRest
	}
	return cmp.Compare(len(a), len(b))
}

// cutNumber cuts a name after its first run of digits; leading zeros are dropped.
func cutNumber(name string) (text, digits, rest string) {
	isDigit := func(c byte) bool { return '0' <= c && c <= '9' }
	start := 0
	for start < len(name) && !isDigit(name[start]) {
		start++
	}
	end := start
	for end < len(name) && isDigit(name[end]) {
		end++
	}
	digits = name[start:end]
	for len(digits) > 1 && digits[0] == '0' {
		digits = digits[1:]
	}
	return name[:start], digits, name[end:]
}
