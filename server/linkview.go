package server

import (
	"encoding/json"

	"headcut/model"
	"headcut/model/figures"
)

// linkView is what a share link shows of a property: an allow-list. A value is in it
// because a line of linkitem.go put it there; notes, devices, clashes, accuracies and
// fields of newer programs never are, nor any name of a person but that of whoever
// inspected last. Features that are struck out or kept off (see
// keptOff) are left out.
//
// Of a small property the lists are in it; of a larger one it names their blocks, each of
// which is asked for by its name.
type linkView struct {
	Property  linkProperty `json:"property"`
	LastEntry string       `json:"lastEntry,omitempty"` // date of the newest entry on what is shown
	Inspected []string     `json:"inspected"`           // sentences: the last inspection, and how many works had one
	Done      []linkCount  `json:"done"`                // what was done, in numbers
	Kinds     []linkKind   `json:"kinds"`               // rows in use, in the table's order

	Watch    json.RawMessage `json:"watch,omitempty"`    // of watchRow: what to watch for now, worst first
	Hazards  json.RawMessage `json:"hazards,omitempty"`  // of watchRow
	Works    json.RawMessage `json:"works,omitempty"`    // of linkItem
	Others   json.RawMessage `json:"others,omitempty"`   // of linkItem: what the works lie among
	Sections json.RawMessage `json:"sections,omitempty"` // of linkSection

	Blocks *listIndexes `json:"blocks,omitempty"` // instead of those five
}

type listIndexes struct {
	Watch    listIndex `json:"watch"`
	Hazards  listIndex `json:"hazards"`
	Works    listIndex `json:"works"`
	Others   listIndex `json:"others"`
	Sections listIndex `json:"sections"`
}

// listIndex are where a list is found: its blocks, in order, each a JSON array.
type listIndex struct {
	Count int      `json:"count"` // of all rows
	Names []string `json:"names"`
}

type linkProperty struct {
	Name string `json:"name"`
}

// inspection is the newest visit.
type inspection struct {
	On     string // date
	By     string // as the entry of the visit is signed
	seenAt string // when that was written
}

// linkCount is "24", "works built 2025–2026".
type linkCount struct {
	Count int       `json:"count"`
	Text  string    `json:"text"`
	State itemState `json:"state,omitempty"` // of the works that are counted
}

// itemState is how an item on the ground does: empty while nothing is known to be wrong.
type itemState string

const (
	failedState    itemState = "failed"
	attentionState itemState = "attention"
	dangerState    itemState = "danger"
)

// watchRow is a sentence about one item, for the top of the page.
type watchRow struct {
	ID    string    `json:"id"`
	Text  string    `json:"text"`
	State itemState `json:"state,omitempty"`
}

type linkKind struct {
	Name   string `json:"name"`
	Label  string `json:"label"`
	Plural string `json:"plural"`
	Work   bool   `json:"work"`
	Mark   string `json:"mark"`
	Colour string `json:"colour"`
	What   string `json:"what,omitempty"`
	Care   string `json:"care,omitempty"`
}

// linkItem is a work, or something that works lie among.
type linkItem struct {
	ID       string          `json:"id"`
	Kind     string          `json:"kind"`
	Name     string          `json:"name,omitempty"`
	Status   model.Status    `json:"status,omitempty"`   // of a work; failed too when an inspection found that
	StatusOn string          `json:"statusOn,omitempty"` // date, when it is known
	BuiltOn  string          `json:"builtOn,omitempty"`  // date
	State    itemState       `json:"state,omitempty"`
	Geometry json.RawMessage `json:"geometry"`       // GeoJSON; null when no place is known
	Wrong    []string        `json:"wrong"`          // sentences: what makes its state
	Plain    []string        `json:"plain"`          // sentences: how far it has come, and what is no worry
	Seen     string          `json:"seen,omitempty"` // sentence: when it was last inspected, or that it never was
	Facts    []linkFact      `json:"facts"`          // what was measured and written down, as a person reads it
	Photos   []linkPhoto     `json:"photos"`         // oldest first, those without a date last

	figures   []model.Figure  // those in Facts, for files
	unproven  []model.Caution // of the levels it was pegged by, for files
	visited   *figures.Visited
	inspected bool // since it was built
}

type linkFact struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

type linkPhoto struct {
	SHA string `json:"sha"`
	On  string `json:"on,omitempty"` // date; "" when it is not known
}
