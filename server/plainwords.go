package server

import (
	"cmp"
	"iter"
	"slices"
	"strings"
	"time"

	"headcut/model"
	"headcut/model/figures"
)

// seenOf says when a work was last inspected since it was built and how it was found, or
// that it never was. found is the day of a condition that the item shows already.
func seenOf(f model.Feature, visited *figures.Visited, found string) string {
	if status := f.Status(); status != model.Built && status != model.Failed {
		return inspected(visited, found)
	}
	switch inspectedOn := visitedOn(visited); {
	case inspectedOn != "" && inspectedOn >= dated(f.Text("builtOn")):
		return inspected(visited, found)
	case f.Status() == model.Failed: // somebody saw that
		return ""
	case inspectedOn != "":
		return "Not inspected since then. The inspection before was on " + model.DayInWords(inspectedOn) + "."
	}
	return "Not inspected yet."
}

// inspected says when the last inspection was and what it found, unless that is shown already.
func inspected(visited *figures.Visited, found string) string {
	on := visitedOn(visited)
	if on == "" || on == found {
		return ""
	}
	text := "Last inspected " + model.DayInWords(on)
	switch v := visited; {
	case v.Condition == "" || isDate(v.ConditionOn) && v.ConditionOn == found:
		return text + "."
	case v.ConditionOn == on || !isDate(v.ConditionOn):
		return text + ": " + string(v.Condition) + "."
	default:
		return text + ". Found " + string(v.Condition) + " on " + model.DayInWords(v.ConditionOn) + "."
	}
}

// visitedOn is the day of the newest visit, "" when there is none.
func visitedOn(visited *figures.Visited) string {
	if visited == nil {
		return ""
	}
	return dated(visited.On)
}

// statusSentence says how far a work has come. That it failed is said by its state.
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
		if day := on(model.Built); day != "" {
			return "Built" + day + "."
		}
		return ""
	case model.Removed:
		return "Removed" + on(status) + "."
	}
	return "Its stage was not recorded."
}

// surveyorsFields are own fields of works that only say something beside the pegs.
var surveyorsFields = []string{"toleranceM", "row", "toeLevelM", "targetCrestLevelM", "fromBelowM"}

// plainFigures are the figures that a landholder has a use for.
var plainFigures = []string{"lengthM", "areaM2", "crestHeightM", "chainageM"}

// plainNames are for labels of fields and figures that a landholder may not know.
var plainNames = map[string]string{
	"crestHeightM": "Height", "crestLengthM": "Length across the gully", "runPerRise": "Slope", "sedimentDepthM": "Depth of silt caught",
	"headDepthM": "Height of the drop", "catchmentHa": "Land draining to it", "dispersive": "Soil washes away when wet (dispersive)",
	"stoneMm": "Usual size of stone", "gradePct": "Fall along the bank", "pitSpacingM": "Distance between pits",
}

func plainName(kind *model.Kind, name, label string) string {
	if name == "chainageM" {
		if _, inGully := kind.FieldNamed("thalweg"); inGully {
			return "Distance up the gully"
		}
		return strings.Replace(label, "Chainage", "Distance", 1) // its label says from where
	}
	return cmp.Or(plainNames[name], label)
}

// freeTexts are the only free texts, besides names and dangers, that leave with a link.
var freeTexts = []string{"seedMix"}

// figuresOf are the figures of a sheet that a landholder has a use for, by plain names.
func figuresOf(kind *model.Kind, sheet figures.Sheet) []model.Figure {
	var out []model.Figure
	for _, fig := range sheet.Figures {
		if finite(fig.Value) && slices.Contains(plainFigures, fig.Name) {
			fig.Label = plainName(kind, fig.Name, fig.Label)
			out = append(out, fig)
		}
	}
	return out
}

// factsOf are the facts of a feature, and whether two records of its catchment disagree.
func (g *linkBook) factsOf(kind *model.Kind, f model.Feature, sheet figures.Sheet) []linkFact {
	facts := factsOf(kind, f, sheet)
	doubt := g.sheets.PropertyFigures().MismatchOf(f)
	if f.Kind != "gully-head" || doubt == nil {
		return facts
	}
	words := ", in doubt: ask the officer"
	if !g.hidden[doubt.Mapped] {
		words = " was written down and " + rounded(doubt.MappedHa, 1) + "\u00a0ha mapped: the officer has to find out which is right"
	}
	for i := range facts {
		if facts[i].Label == plainNames["catchmentHa"] {
			facts[i].Text += words
		}
	}
	return facts
}

// factsOf words the figures of a work and the own fields of its kind, in the order of its
// row: measured values, choices and the listed free texts. Fields not in the row never
// leave, nor does a value that the row does not allow. A field that visits measure is as
// the newest of them found it.
func factsOf(kind *model.Kind, f model.Feature, sheet figures.Sheet) []linkFact {
	facts := []linkFact{}
	shown := figuresOf(kind, sheet)
	for _, fig := range shown {
		facts = append(facts, linkFact{Label: fig.Label, Text: measureInWords(fig)})
	}
	measured := map[string]string{}
	if sheet.Visited != nil {
		for _, m := range sheet.Visited.Measured {
			if finite(m.Value) {
				measured[m.Name] = asTyped(m.Value) + afterNumber(m.Unit) + byWhat[m.Basis]
			}
			if finite(m.Value) && m.Visit != "" && isDate(m.On) {
				measured[m.Name] += ", " + model.DayInWords(m.On)
			}
		}
	}
	unproven := len(sheet.Unproven()) > 0
	for field := range ownFields(kind, shown) {
		if text := cmp.Or(measured[field.Name], worded(f, field)); text != "" {
			if unproven && slices.Contains(figures.PeggedFields, field.Name) {
				text += byWhat[model.Unproven]
			}
			facts = append(facts, linkFact{Label: plainName(kind, field.Name, field.Label), Text: text})
		}
	}
	return facts
}

// ownFields are the fields of a kind that say something besides the figures that are shown.
func ownFields(kind *model.Kind, shown []model.Figure) iter.Seq[model.Field] {
	return func(yield func(model.Field) bool) {
		told := slices.Clone(surveyorsFields)
		for _, fig := range shown {
			told = append(told, fig.Name)
		}
		for _, field := range kind.Fields {
			if told = append(told, field.Basis); !slices.Contains(told, field.Name) && !yield(field) {
				return
			}
		}
	}
}

// worded is the value of a field, "" when it does not leave.
func worded(f model.Feature, field model.Field) string {
	raw := f.Fields[field.Name]
	if string(raw) == "null" || field.Check(raw) != nil {
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
		if side := f.Text(field.Name); strings.HasPrefix(field.Hint, "looking down") {
			return side + ", " + field.Hint
		} else {
			return side
		}
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
