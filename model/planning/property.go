package planning

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/recorded"
)

// Property is what was recorded on one property. Once surveyed it does not change, so goroutines may
// share it.
type Property struct {
	id      string
	items   map[string]*recorded.Item
	order   []*recorded.Item // by id, without those struck out
	figures *figures.PropertyFigures
	kept    *Kept // nil: nothing is kept from one plan to the next
}

// Survey takes the features of a property, also those struck out, in any order. Of two with one id the
// later stands, unless it was struck out.
func Survey(property string, items iter.Seq[recorded.Item]) *Property {
	p := Over(property, recorded.ByID(items), nil, nil)
	p.figures = figures.Survey(func(yield func(model.Feature) bool) {
		for _, item := range p.order {
			if !yield(item.Feature) {
				return
			}
		}
	})
	return p
}

// Over is the same of features by their ids, whose figures are there already: those of the features
// that are not struck out. It stands until one of them changes. With kept it is for one goroutine, nil is for any.
func Over(property string, items map[string]*recorded.Item, of *figures.PropertyFigures, kept *Kept) *Property {
	p := &Property{id: property, items: items, figures: of, kept: kept}
	for _, id := range model.Keys(items) {
		if item := items[id]; !item.Struck {
			p.order = append(p.order, item)
		}
	}
	return p
}

// All yields the features that are not struck out, by id.
func (p *Property) All() iter.Seq[*recorded.Item] { return slices.Values(p.order) }

// Sheet is what is worked out for a feature of the property.
func (p *Property) Sheet(item *recorded.Item) figures.Sheet { return p.figures.Of(item.Feature) }

// CrossSections are those of a feature: its own, or those of a gully.
func (p *Property) CrossSections(item *recorded.Item) []figures.CrossSection {
	if item.Kind != "cross-section" && item.Kind != "thalweg" {
		return nil
	}
	return slices.DeleteFunc(p.figures.CrossSections(), func(c figures.CrossSection) bool { return c.Feature != item.ID && c.Thalweg != item.ID })
}

// RestsOn are the other features that its sheet rests on, by id.
func (p *Property) RestsOn(item *recorded.Item) []*recorded.Item {
	return model.Each(p.figures.RestsOn(item.Feature), func(id string) *recorded.Item { return p.items[id] })
}

// of yields the features of these kinds that are not struck out.
func (p *Property) of(kinds ...string) iter.Seq[*recorded.Item] {
	return func(yield func(*recorded.Item) bool) {
		for _, item := range p.order {
			if slices.Contains(kinds, item.Kind) && !yield(item) {
				return
			}
		}
	}
}

// Find is the feature of an id, or the only one of a name among some kinds.
func (p *Property) Find(named string, kinds ...string) (*recorded.Item, error) {
	named = strings.TrimSpace(named)
	if item := p.items[named]; item != nil && !item.Struck {
		return item, nil
	}
	var found, other []*recorded.Item
	var names []string
	for _, item := range p.order {
		is := strings.EqualFold(item.Text("name"), named)
		switch {
		case slices.Contains(kinds, item.Kind):
			names = append(names, item.Called())
			if is {
				found = append(found, item)
			}
		case is:
			other = append(other, item)
		}
	}
	if len(found) == 0 {
		found = other
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		ids := model.Each(found, func(item *recorded.Item) string { return item.ID })
		return nil, &model.Problem{Path: "of", Reason: fmt.Sprintf("%d features are called %s", len(found), named), Fix: "give the id of one: " + strings.Join(ids, ", ")}
	}
	fix := "give the name or the id of a feature of this property"
	if near := model.NearestName(named, names); near != "" {
		fix = "did you mean " + near + "?"
	}
	return nil, &model.Problem{Path: "of", Reason: "there is no feature called " + named, Fix: fix}
}

// settings are the property's own; of one that was joined to another under its older id. nil: none.
func (p *Property) settings() *recorded.Item {
	if own := p.items[model.SettingsID(p.id)]; own != nil && !own.Struck {
		return own
	}
	for item := range p.of(model.SettingsKind) {
		return item
	}
	return nil
}
