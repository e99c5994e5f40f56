package server

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"headcut/model"
)

// plainOf says in sentences how far a work has come and what the last look at it found.
func plainOf(f model.Feature, looks []look) []string {
	plain := []string{statusSentence(f)}
	dated := slices.DeleteFunc(slices.Clone(looks), func(l look) bool { return l.condition == "" || !isDate(l.on) })
	if len(dated) > 0 {
		last := slices.MaxFunc(dated, func(a, b look) int { return cmp.Compare(a.on, b.on) })
		plain = append(plain, "Last looked at on "+model.DayInWords(last.on)+": "+last.condition+".")
	}
	return plain
}

func statusSentence(f model.Feature) string {
	on := func(status model.Status) string {
		if date := f.Text(status.DateField()); isDate(date) {
			return " on " + model.DayInWords(date)
		}
		return ""
	}
	switch status := f.Status(); status {
	case model.Proposed:
		return "Proposed" + on(status) + ". Nothing is on the ground yet."
	case model.Pegged:
		return "Pegged out" + on(status) + ". It is not built yet."
	case model.Built:
		if day := on(status); day != "" {
			return "Built" + day + "."
		}
		return "Built. The day was not written down."
	case model.Failed:
		text := "Failed" + on(status) + ": it no longer does its job."
		if day := on(model.Built); day != "" {
			text += " It was built" + day + "."
		}
		return text
	case model.Removed:
		return "Taken away" + on(status) + "."
	}
	return "How far it has come was not written down."
}

// surveyorsFields are own fields of works that only say something beside the pegs.
var surveyorsFields = []string{"chainageM", "toleranceM", "row"}

// surveyorsFigures are figures of the same sort.
var surveyorsFigures = []string{"offsetM"}

// freeTexts are the only free texts, besides names and dangers, that leave with a link.
var freeTexts = []string{"seedMix"}

// factsOf words the own fields of a work's kind, in the order of its row: measured
// values, choices and the listed free texts. Fields not in the row never leave, nor does
// a value that the row does not allow. Those already computed as figures are passed over.
func factsOf(kind *model.Kind, f model.Feature, figured map[string]bool) []landFact {
	facts := []landFact{}
	for _, field := range kind.Fields {
		raw, ok := f.Fields[field.Name]
		if !ok || string(raw) == "null" || figured[field.Name] || slices.Contains(surveyorsFields, field.Name) || field.Check(raw) != nil {
			continue
		}
		var text string
		switch field.Type {
		case model.Number, model.Integer:
			v, _ := f.Number(field.Name)
			text = strconv.FormatFloat(v, 'f', -1, 64) + afterNumber(field.Unit)
		case model.Choice:
			text = f.Text(field.Name)
		case model.YesNo:
			text = "no"
			if f.Yes(field.Name) {
				text = "yes"
			}
		case model.Text:
			if slices.Contains(freeTexts, field.Name) {
				text = f.Text(field.Name)
			}
		}
		if text != "" {
			facts = append(facts, landFact{Label: field.Label, Text: text})
		}
	}
	return facts
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
