package server

import (
	"encoding/json"
	"iter"
	"slices"
	"time"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// sharedOthers are the kinds besides works that a landholder sees: enough to know the
// place by, and what can hurt.
var sharedOthers = []string{"gully-head", "thalweg", "gully-edge", "scald", "track", "fence", "photo-point", "hazard"}

// plainLabels are for kinds whose trade word a landholder may not know.
var plainLabels = map[string][2]string{"thalweg": {"Gully bed", "Gully beds"}}

// shared tells whether a feature may be shown to whoever holds the link.
func shared(f model.Feature) bool {
	if f.Yes("sensitive") {
		return false
	}
	kind, ok := model.KindNamed(f.Kind)
	return ok && (kind.Work || slices.Contains(sharedOthers, f.Kind))
}

// landViewOf builds the view of a property from its features as the store yields them.
// It runs over them more than once. Figures are computed from every feature that is not
// struck, so that leaving a sensitive one out makes no wrong figure of its neighbours;
// those that stand since the last view are taken from kept.
func landViewOf(property string, asOf time.Time, kept *keptSheets, features iter.Seq2[register.Folded, error]) (landView, error) {
	kept.mu.Lock()
	defer kept.mu.Unlock()
	var broken error
	standing := func(yield func(model.Feature) bool) {
		for folded, err := range features {
			if err != nil {
				broken = err
				return
			}
			if !folded.Struck && !yield(folded.Model()) {
				return
			}
		}
	}
	hidden := map[string]bool{} // ids of sensitive features
	heights := map[string]float64{}
	looks := map[string][]look{}
	if err := kept.renew(features); err != nil {
		return landView{}, err
	}
	for f := range standing {
		switch {
		case f.Yes("sensitive"):
			hidden[f.ID] = true
		case f.Kind == "visit":
			l := lookOf(f)
			looks[l.of] = append(looks[l.of], l)
		}
		if height, ok := f.Number("crestHeightM"); ok && height > 0 {
			heights[f.ID] = height
		}
	}
	if broken != nil {
		return landView{}, broken
	}

	v := landView{
		Property: landProperty{Name: property}, AsOf: asOf.Format(time.DateOnly),
		Kinds: []landKind{}, Works: []landWork{}, Others: []landOther{}, Sections: []landSection{}, Cautions: []landDanger{},
	}
	var unchecked map[string]bool // dams whose checks would tell of a hidden feature
	v.Sections, unchecked = landSectionsOf(kept.sheets.Land().LongSections(), hidden, heights)
	used := map[string]bool{}
	for f := range standing {
		if !shared(f) {
			continue
		}
		used[f.Kind] = true
		kind, _ := model.KindNamed(f.Kind)
		if !kind.Work {
			v.Others = append(v.Others, landOtherOf(f, looks[f.ID]))
			if danger := f.Text("danger"); f.Kind == "hazard" && danger != "" {
				v.Cautions = append(v.Cautions, landDanger{Name: f.Text("name"), Danger: danger})
			}
			continue
		}
		sheet, known := kept.sheets.Sheet(f.ID)
		if !known { // arrived since the first pass
			sheet = alone(f)
		}
		if unchecked[f.ID] {
			sheet = alone(f)
		}
		v.Works = append(v.Works, landWorkOf(kind, f, sheet, looks[f.ID]))
	}
	if broken != nil {
		return landView{}, broken
	}
	for _, k := range model.Kinds {
		if used[k.Name] {
			row := landKind{
				Name: k.Name, Label: k.Label, Plural: k.Plural, Work: k.Work,
				Mark: k.Mark, Colour: k.Colour, What: k.What, Care: k.Care,
			}
			if plain, ok := plainLabels[k.Name]; ok {
				row.Label, row.Plural = plain[0], plain[1]
			}
			v.Kinds = append(v.Kinds, row)
		}
	}
	v.sort()
	return v, nil
}

// alone is what a feature tells of itself when nothing is known of the others. Checks are
// against the others, so there are none.
func alone(f model.Feature) figures.Sheet {
	sheet := figures.Survey(func(yield func(model.Feature) bool) { yield(f) }).Of(f)
	sheet.Checks = nil
	return sheet
}

func landWorkOf(kind *model.Kind, f model.Feature, sheet figures.Sheet, looks []look) landWork {
	w := landWork{
		ID: f.ID, Kind: f.Kind, Name: f.Text("name"), Geometry: placeOf(f),
		Figures: []landFigure{}, Checks: []landCheck{}, Cautions: []string{},
		Photos: photosOf(f, looks),
	}
	if status := f.Status(); slices.Contains(model.Statuses, status) {
		w.Status, w.StatusOn = status, f.Text(status.DateField())
	}
	figured := map[string]bool{}
	for _, fig := range sheet.Figures {
		if !finite(fig.Value) || slices.Contains(surveyorsFigures, fig.Name) {
			continue // JSON has no word for it, or a landholder no use
		}
		figured[fig.Name] = true
		w.Figures = append(w.Figures, landFigure{
			Name: fig.Name, Label: fig.Label, Value: fig.Value, Unit: fig.Unit, PlusMinus: fig.PlusMinus, Basis: fig.Basis,
		})
	}
	for _, c := range sheet.Checks {
		w.Checks = append(w.Checks, landCheck{Verdict: c.Verdict, Text: c.Text})
	}
	for _, c := range sheet.Cautions {
		if !slices.Contains(w.Cautions, c.Text) {
			w.Cautions = append(w.Cautions, c.Text)
		}
	}
	w.Facts = factsOf(kind, f, figured)
	w.Plain = plainOf(f, looks)
	return w
}

func landOtherOf(f model.Feature, looks []look) landOther {
	return landOther{ID: f.ID, Kind: f.Kind, Name: f.Text("name"), Geometry: placeOf(f), Photos: photosOf(f, looks)}
}

func placeOf(f model.Feature) json.RawMessage { return model.AppendGeometry(nil, f.Geometry) }

// LandJSON is the body of land.json: what a share link shows of a property, as its page
// reads it. Features may be run over more than once.
func LandJSON(property string, asOf time.Time, features iter.Seq2[register.Folded, error]) ([]byte, error) {
	v, err := landViewOf(property, asOf, newKeptSheets(), features)
	if err != nil {
		return nil, err
	}
	return encodeLandView(v)
}
