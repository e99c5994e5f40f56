package server

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/followup"
	"headcut/model/planning"
	"headcut/model/recorded"
	"headcut/sync/register"
)

// FiguresRequest asks what is known of a feature, or of a whole property.
type FiguresRequest struct {
	Property string `json:"property"`
	Of       string `json:"of,omitempty"` // id or name of the feature; "": the property
}

// Known answers it.
type Known struct {
	Property Property       `json:"property"`
	Feature  *KnownFeature  `json:"feature,omitempty"`
	Kinds    []KnownKind    `json:"kinds,omitempty"`
	Failing  []KnownFailing `json:"failing,omitempty"` // checks that fail, of works only those that stand
	Clashes  []KnownClash   `json:"clashes,omitempty"` // of all features
}

// KnownFeature is all that is known of a feature.
type KnownFeature struct {
	recorded.Named
	Fields   []KnownField      `json:"fields"`
	Clashes  []KnownClash      `json:"clashes"`
	Figures  []followup.Figure `json:"figures"`
	RestsOn  []recorded.Named  `json:"restsOn"` // what the figures rest on besides the feature
	Checks   []model.Check     `json:"checks"`
	Cautions []model.Caution   `json:"cautions"`
	Visited  *figures.Visited  `json:"visited,omitempty"`

	CrossSections []figures.CrossSection `json:"crossSections,omitempty"` // its own, or those of a gully

	Visits  []KnownVisit `json:"visits"`  // the newest first
	Entries []KnownEntry `json:"entries"` // in the order in which they came
}

// KnownField is a field as the register has it, and the entry that it comes from.
type KnownField struct {
	Name   string          `json:"name"`
	Label  string          `json:"label"`
	Value  json.RawMessage `json:"value"`
	Called string          `json:"called,omitempty"` // the feature that the value refers to
	Unit   string          `json:"unit,omitempty"`
	Basis  model.Basis     `json:"basis,omitempty"`  // of what is measured
	Origin followup.Origin `json:"origin,omitempty"` // of what is measured
	Entry  register.ID     `json:"entry,omitempty"`
	By     string          `json:"by,omitempty"`
	At     string          `json:"at,omitempty"`
}

// KnownVisit is a visit to the feature.
type KnownVisit struct {
	Feature string       `json:"feature"`
	On      string       `json:"on,omitempty"`
	By      string       `json:"by,omitempty"`
	Fields  []KnownField `json:"fields"`
	Photos  int          `json:"photos,omitempty"`
	Clashes []KnownClash `json:"clashes,omitempty"`
}

// KnownEntry is an entry about the feature.
type KnownEntry struct {
	ID     register.ID `json:"id"`
	By     string      `json:"by"`
	At     string      `json:"at,omitempty"`
	Set    []string    `json:"set,omitempty"`    // labels of the fields it set or cleared
	Strike *bool       `json:"strike,omitempty"` // true: it struck the feature out
}

// KnownClash is a field that two people set differently.
type KnownClash struct {
	recorded.Named
	Field  string         `json:"field"`
	Label  string         `json:"label"`
	Values []ClashingWord `json:"values"`
}

// ClashingWord is one side of a clash.
type ClashingWord struct {
	Value json.RawMessage `json:"value"`
	By    string          `json:"by"`
	At    string          `json:"at,omitempty"`
}

// KnownKind counts the features of a kind, those of works by how far they have come.
type KnownKind struct {
	Kind   string               `json:"kind"`
	Plural string               `json:"plural"`
	Work   bool                 `json:"work,omitempty"`
	Count  int                  `json:"count"`
	Status map[model.Status]int `json:"status,omitempty"` // "": not recorded
}

// KnownFailing is a check that fails.
type KnownFailing struct {
	recorded.Named
	Check model.Check `json:"check"`
}

// Figures tells what is known, from what the register has.
func (s *Server) Figures(ctx context.Context, r FiguresRequest) (Known, error) {
	p, err := s.Property(r.Property)
	if err != nil {
		return Known{}, err
	}
	known := Known{Property: p}
	folded := map[string]register.Folded{}
	for f, err := range s.folded(ctx, p.ID) {
		if err != nil {
			return known, err
		}
		if before, twice := folded[f.Feature]; !twice || before.Struck || !f.Struck {
			folded[f.Feature] = f
		}
	}
	property := planning.Survey(p.ID, func(yield func(recorded.Item) bool) {
		for _, f := range folded {
			if !yield(recordedItem(f)) {
				return
			}
		}
	})
	if r.Of == "" {
		known.count(property, folded)
		return known, nil
	}
	item, err := property.Find(r.Of)
	if err != nil {
		return known, err
	}
	_, entries, err := s.entriesOf(ctx, p, item.ID)
	if err != nil {
		return known, err
	}
	known.Feature = knownFeature(property, folded, item, entries)
	return known, nil
}

// count tells of the whole property: how many there are, which checks fail, what is in clash.
func (known *Known) count(property *planning.Property, folded map[string]register.Folded) {
	at := map[string]int{}
	known.Kinds, known.Failing, known.Clashes = []KnownKind{}, []KnownFailing{}, []KnownClash{}
	for item := range property.All() {
		known.Clashes = append(known.Clashes, knownClashes(item, folded[item.ID])...)
		if item.Kind == model.SettingsKind || item.Kind == model.PlanKind {
			continue
		}
		if _, seen := at[item.Kind]; !seen {
			at[item.Kind] = len(known.Kinds)
			known.Kinds = append(known.Kinds, KnownKind{Kind: item.Kind, Plural: cmp.Or(item.Kind, "No kind recorded"), Status: map[model.Status]int{}})
			if kind, ok := model.KindNamed(item.Kind); ok {
				known.Kinds[at[item.Kind]].Plural, known.Kinds[at[item.Kind]].Work = kind.Plural, kind.Work
			}
		}
		row := &known.Kinds[at[item.Kind]]
		row.Count++
		if row.Work {
			row.Status[item.Status()]++
		}
		if row.Work && item.Status() != model.Built {
			continue
		}
		for _, check := range property.Sheet(item).Checks {
			if check.Verdict == model.Fails {
				known.Failing = append(known.Failing, KnownFailing{item.Named(), check})
			}
		}
	}
	order := func(kind string) int {
		return slices.IndexFunc(model.Kinds, func(k model.Kind) bool { return k.Name == kind })
	}
	slices.SortFunc(known.Kinds, func(a, b KnownKind) int {
		return cmp.Or(cmp.Compare(order(a.Kind), order(b.Kind)), cmp.Compare(a.Kind, b.Kind))
	})
}

func knownFeature(property *planning.Property, folded map[string]register.Folded, item *recorded.Item, entries []register.Numbered) *KnownFeature {
	sheet := property.Sheet(item)
	out := &KnownFeature{Named: item.Named(), Fields: knownFields(folded, item, entries), Clashes: knownClashes(item, folded[item.ID]),
		Checks: sheet.Checks, Cautions: sheet.Cautions, Visited: sheet.Visited, Visits: []KnownVisit{}, Entries: []KnownEntry{}}
	out.Figures = model.Each(sheet.Figures, func(f model.Figure) followup.Figure {
		return followup.FigureOf(f, item.ID)
	})
	out.RestsOn = model.Each(property.RestsOn(item), (*recorded.Item).Named)
	out.CrossSections = property.CrossSections(item)
	for visit := range property.All() {
		if visit.Kind != "visit" || visit.Text("of") != item.ID {
			continue
		}
		v := KnownVisit{Feature: visit.ID, On: visit.Text("observedOn"), By: folded[visit.ID].Recorded.Author, Photos: len(photoList(visit.Feature)), Clashes: knownClashes(visit, folded[visit.ID])}
		for _, f := range knownFields(folded, visit, nil) {
			if !slices.Contains([]string{"kind", "of", "observedOn", "photos"}, f.Name) {
				v.Fields = append(v.Fields, f)
			}
		}
		out.Visits = append(out.Visits, v)
	}
	slices.SortFunc(out.Visits, func(a, b KnownVisit) int { return cmp.Or(cmp.Compare(b.On, a.On), cmp.Compare(b.Feature, a.Feature)) })
	for i := range entries {
		e := &entries[i].Entry
		row := KnownEntry{ID: e.ID, By: e.Author, At: knownTime(e.SeenAt), Strike: e.Strike}
		for name := range e.Set.All() {
			row.Set = append(row.Set, labelOf(item.Kind, name))
		}
		out.Entries = append(out.Entries, row)
	}
	return out
}

// knownFields are the fields of a feature in the order of forms, those that no kind knows last.
func knownFields(folded map[string]register.Folded, item *recorded.Item, entries []register.Numbered) []KnownField {
	fields := model.CommonFields
	if kind, ok := model.KindNamed(item.Kind); ok {
		fields = kind.AllFields()
	}
	all := []KnownField{}
	for _, field := range fields {
		if value, ok := item.Fields[field.Name]; ok {
			all = append(all, knownField(folded, item, field, value, entries))
		}
	}
	for name, value := range model.FieldValuesOf(item.Fields).All() {
		if !slices.ContainsFunc(fields, func(f model.Field) bool { return f.Name == name }) {
			all = append(all, knownField(folded, item, model.Field{Name: name, Label: name}, value, entries))
		}
	}
	return all
}

func knownField(folded map[string]register.Folded, item *recorded.Item, field model.Field, value json.RawMessage, entries []register.Numbered) KnownField {
	out := KnownField{Name: field.Name, Label: field.Label, Value: value, Unit: field.Unit}
	if other, ok := folded[model.TextOf(value)]; ok && field.Type == model.Reference {
		out.Called = model.TextOf(other.Fields["name"])
	}
	if field.Basis != "" {
		out.Basis = item.Basis(field.Name)
	}
	if field.Basis != "" || field.Type == model.Number {
		out.Origin = followup.Observed
		if out.Basis == model.FromPlan || strings.HasPrefix(field.Name, "target") {
			out.Origin = followup.Planned
		}
	}
	// The newest entry that says so; of words of an older program, the newest that set the field.
	var from *register.Numbered
	same := false
	for i := range entries {
		said, ok := entries[i].Entry.Set.Value(field.Name)
		if is := bytes.Equal(said, value); ok && (is || !same) && (from == nil || is != same || entries[i].Capped >= from.Capped) {
			from, same = &entries[i], is
		}
	}
	if from != nil {
		out.Entry, out.By, out.At = from.Entry.ID, from.Entry.Author, knownTime(from.Entry.SeenAt)
	}
	return out
}

func knownClashes(item *recorded.Item, f register.Folded) []KnownClash {
	all := []KnownClash{}
	for _, clash := range f.Clashes {
		row := KnownClash{Named: item.Named(), Field: clash.Field, Label: labelOf(item.Kind, clash.Field)}
		if clash.Field == "strike" {
			row.Label = "Struck out"
		}
		for _, side := range clash.Values {
			row.Values = append(row.Values, ClashingWord{side.Value, side.Author, knownTime(side.SeenAt)})
		}
		all = append(all, row)
	}
	return all
}
