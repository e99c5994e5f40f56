package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"slices"
	"time"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// landView is what a share link shows of a property: an allow-list. A value is in it
// because a line of this file put it there; notes, authors, devices, clashes, accuracies
// and fields of newer programs never are. Struck and sensitive features are left out.
type landView struct {
	Property landProperty  `json:"property"`
	AsOf     string        `json:"asOf"`  // date on which the view was made
	Kinds    []landKind    `json:"kinds"` // rows in use, in the table's order
	Works    []landWork    `json:"works"`
	Others   []landOther   `json:"others"` // what the works lie among
	Sections []landSection `json:"sections"`
	Cautions []landDanger  `json:"cautions"` // dangers of the place as a whole
}

type landProperty struct {
	Name string `json:"name"`
}

type landKind struct {
	Name   string `json:"name"`
	Label  string `json:"label"`
	Plural string `json:"plural"`
	Work   bool   `json:"work"`
	Mark   string `json:"mark"`
	Colour string `json:"colour"`
	What   string `json:"what,omitempty"`
	Care   string `json:"care,omitempty"`
}

type landWork struct {
	ID       string          `json:"id"`
	Kind     string          `json:"kind"`
	Name     string          `json:"name,omitempty"`
	Status   model.Status    `json:"status,omitempty"`
	StatusOn string          `json:"statusOn,omitempty"` // date, when it is known
	Geometry json.RawMessage `json:"geometry"`           // GeoJSON; null when no place is known
	Figures  []landFigure    `json:"figures"`
	Facts    []landFact      `json:"facts"` // what the officer wrote down, as a person reads it
	Checks   []landCheck     `json:"checks"`
	Cautions []string        `json:"cautions"`
	Plain    []string        `json:"plain"` // sentences on how far the work has come
	Photos   []landPhoto     `json:"photos"`
}

type landFigure struct {
	Name      string      `json:"name"`
	Label     string      `json:"label"`
	Value     float64     `json:"value"`
	Unit      string      `json:"unit"`
	PlusMinus float64     `json:"plusMinus"` // one standard deviation; negative: not known
	Basis     model.Basis `json:"basis"`
}

type landFact struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

type landCheck struct {
	Verdict model.Verdict `json:"verdict"`
	Text    string        `json:"text"`
}

type landPhoto struct {
	SHA string `json:"sha"`
	On  string `json:"on,omitempty"` // date
}

type landOther struct {
	ID       string          `json:"id"`
	Kind     string          `json:"kind"`
	Name     string          `json:"name,omitempty"`
	Geometry json.RawMessage `json:"geometry"`
	Photos   []landPhoto     `json:"photos"`
}

type landDanger struct {
	Name   string `json:"name,omitempty"`
	Danger string `json:"danger"`
}

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

// nameless is a feature that sentences about its neighbours cannot call by its name.
func nameless(f model.Feature) model.Feature {
	f.Fields = maps.Clone(f.Fields)
	delete(f.Fields, "name")
	return f
}

// alone is what a feature tells of itself when nothing is known of the others. Checks are
// against the others, so there are none.
func alone(f model.Feature) figures.Sheet {
	sheet := figures.Survey(func(yield func(model.Feature) bool) { yield(f) }).Of(f)
	sheet.Checks = nil
	return sheet
}

// sort puts works and others in the order of the kinds' table, then by name as people
// count ("Dam 2" before "Dam 10"), then by id.
func (v *landView) sort() {
	rank := map[string]int{}
	for i, k := range model.Kinds {
		rank[k.Name] = i
	}
	slices.SortFunc(v.Works, func(a, b landWork) int {
		return cmp.Or(cmp.Compare(rank[a.Kind], rank[b.Kind]), compareNames(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	slices.SortFunc(v.Others, func(a, b landOther) int {
		return cmp.Or(cmp.Compare(rank[a.Kind], rank[b.Kind]), compareNames(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
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
			Name: fig.Name, Label: fig.Label, Value: fig.Value, Unit: fig.Unit, PlusMinus: known(fig.PlusMinus), Basis: fig.Basis,
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

// look is a dated visit to a feature, of which the day, the condition and the photos are shared.
type look struct {
	of, on, condition string
	photos            []string
}

func lookOf(visit model.Feature) look {
	l := look{of: visit.Text("of"), on: visit.Text("observedOn"), photos: photoList(visit)}
	kind, _ := model.KindNamed("visit")
	if field, ok := kind.FieldNamed("condition"); ok && slices.Contains(field.Choices, visit.Text("condition")) {
		l.condition = visit.Text("condition")
	}
	return l
}

// photosOf lists the photos of a feature and of the visits to it, oldest first, each once.
func photosOf(f model.Feature, looks []look) []landPhoto {
	photos := []landPhoto{}
	add := func(shas []string, on string) {
		for _, sha := range shas {
			if !slices.ContainsFunc(photos, func(p landPhoto) bool { return p.SHA == sha }) {
				photos = append(photos, landPhoto{SHA: sha, On: on})
			}
		}
	}
	add(photoList(f), f.Text("observedOn"))
	for _, l := range looks {
		add(l.photos, l.on)
	}
	slices.SortStableFunc(photos, func(a, b landPhoto) int { return cmp.Compare(a.On, b.On) })
	return photos
}

func photoList(f model.Feature) []string {
	var shas []string
	raw, ok := f.Fields["photos"]
	field := model.Field{Name: "photos", Type: model.Photos}
	if !ok || field.Check(raw) != nil || json.Unmarshal(raw, &shas) != nil {
		return nil
	}
	return shas
}

// sharedPhotos lists the photos that the view shows: no others may be fetched by its link.
func (v *landView) sharedPhotos() map[string]bool {
	all := map[string]bool{}
	for _, w := range v.Works {
		for _, p := range w.Photos {
			all[p.SHA] = true
		}
	}
	for _, o := range v.Others {
		for _, p := range o.Photos {
			all[p.SHA] = true
		}
	}
	return all
}

// LandJSON is the body of land.json: what a share link shows of a property, as its page
// reads it. Features may be run over more than once.
func LandJSON(property string, asOf time.Time, features iter.Seq2[register.Folded, error]) ([]byte, error) {
	v, err := landViewOf(property, asOf, newKeptSheets(), features)
	if err != nil {
		return nil, err
	}
	return encodeLandView(v)
}

func encodeLandView(v landView) ([]byte, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("the shared view of %q: %w", v.Property.Name, err)
	}
	return body, nil
}
