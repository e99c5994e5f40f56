// Package recorded has the features of a property as the register has them, for what works on all of
// a property: planning, and what came of the works.
package recorded

import (
	"cmp"
	"iter"
	"slices"
	"strings"

	"headcut/model"
)

// Item is a feature as the register has it.
type Item struct {
	model.Feature
	Version string // tells this state of it from others; "" where nobody asks
	Struck  bool
	Clashes []string // fields that two people set differently, unseen by each other; "strike" for striking out
}

// Named is a feature as people tell it from others.
type Named struct {
	Feature string `json:"feature"`
	Kind    string `json:"kind"`
	Name    string `json:"name,omitempty"`
}

// ByID takes features in any order, also those struck out. Of two with one id the later stands, unless it
// was struck out.
func ByID(items iter.Seq[Item]) map[string]*Item {
	all := map[string]*Item{}
	for item := range items {
		if before := all[item.ID]; before == nil || !item.Struck {
			all[item.ID] = &item
		}
	}
	return all
}

// Named is the item as people tell it from others.
func (item *Item) Named() Named { return Named{item.ID, item.Kind, item.Text("name")} }

// Called is how a sentence speaks of the item: one without a name by the day on which it was recorded, or
// by its id.
func (item *Item) Called() string {
	which := item.ID
	if day := item.Text("observedOn"); day != "" {
		which = "of " + model.DayInWords(day)
	}
	return cmp.Or(item.Text("name"), "the "+KindWords(item.Kind)+" "+which)
}

// Unsettled is which of these fields two people set differently, as forms call it, also whether it is
// struck out or which kind it is; "" for none.
func (item *Item) Unsettled(fields ...string) string {
	for _, field := range item.Clashes {
		if field == "strike" {
			return "whether it is struck out"
		}
		if field == "kind" || slices.Contains(fields, field) {
			known, _ := KindOf(item.Kind).FieldNamed(field)
			return "its " + strings.ToLower(cmp.Or(known.Label, field))
		}
	}
	return ""
}

// KindOf is the row of a kind; of one that nobody knows, a row with its name alone.
func KindOf(name string) *model.Kind {
	if known, ok := model.KindNamed(name); ok {
		return known
	}
	return &model.Kind{Name: name, Label: cmp.Or(name, "feature")}
}

// KindWords is a kind as a sentence has it.
func KindWords(kind string) string { return strings.ToLower(KindOf(kind).Label) }
