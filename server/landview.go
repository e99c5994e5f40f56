package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"headcut/model"
)

// landView is what a share link shows of a property: an allow-list. A value is in it
// because a line of landholder.go put it there; notes, authors, devices, clashes, accuracies
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
	PlusMinus *float64    `json:"plusMinus,omitempty"` // one standard deviation; absent when not known
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

func encodeLandView(v landView) ([]byte, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("the shared view of %q: %w", v.Property.Name, err)
	}
	return body, nil
}
