package followup

import (
	"cmp"
	"slices"
	"strings"

	"headcut/model"
)

// Item is a feature as the register has it.
type Item struct {
	model.Feature
	Struck  bool
	Clashes []string // fields that two people set differently, unseen by each other; "strike" for striking out
}

// Named is a feature as people tell it from others.
type Named struct {
	Feature string `json:"feature"`
	Kind    string `json:"kind"`
	Name    string `json:"name,omitempty"`
}

func (item *Item) named() Named { return Named{item.ID, item.Kind, item.Text("name")} }

// called is how a sentence speaks of a feature.
func (item *Item) called() string {
	return cmp.Or(item.Text("name"), "the "+strings.ToLower(kindOf(item.Kind).Label)+" "+item.ID)
}

// kindOf is the row of a kind; of one that nobody knows, a row with its name alone.
func kindOf(name string) *model.Kind {
	if known, ok := model.KindNamed(name); ok {
		return known
	}
	return &model.Kind{Name: name, Label: cmp.Or(name, "feature")}
}

// unsettled is which of these fields two people set differently, as forms call it; "" for none.
func (item *Item) unsettled(fields ...string) string {
	for _, field := range item.Clashes {
		if field == "strike" {
			return "whether it is struck out"
		}
		if field == "kind" || slices.Contains(fields, field) {
			known, _ := kindOf(item.Kind).FieldNamed(field)
			return "its " + strings.ToLower(cmp.Or(known.Label, field))
		}
	}
	return ""
}

// unsettledWords say what to do about a clash.
func unsettledWords(what string) string {
	return "two people recorded " + what + " differently: settle which is right"
}

// byName orders features as a list has them: by name with numbers by size, then by id.
func byName(a, b Named) int {
	return cmp.Or(byNumber(a.Name, b.Name), cmp.Compare(a.Feature, b.Feature))
}

// byNumber compares texts so that D2 comes before D10.
func byNumber(a, b string) int {
	for a != "" && b != "" {
		x, restA := part(a)
		y, restB := part(b)
		if isDigit(x[0]) && isDigit(y[0]) {
			x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if c := cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)); c != 0 {
				return c
			}
		} else if c := cmp.Compare(x, y); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

// part is the run of digits or of other characters at the start of a text, and the rest.
func part(text string) (first, rest string) {
	end := 1
	for end < len(text) && isDigit(text[end]) == isDigit(text[0]) {
		end++
	}
	return text[:end], text[end:]
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
