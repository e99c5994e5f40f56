package server

import (
	"encoding/json"

	"headcut/model"
	"headcut/model/figures"
)

// landView is what a share link shows of a property: an allow-list. A value is in it
// because a line of landholder.go put it there; notes, devices, clashes, accuracies and
// fields of newer programs never are, nor any name of a person but that of whoever
// inspected last. Features that are struck out or kept off (see
// keptOff) are left out.
//
// Of a small property the lists are in it; of a larger one it names their blocks, each of
// which is asked for by its name.
type landView struct {
	Property  landProperty `json:"property"`
	LastEntry string       `json:"lastEntry,omitempty"` // date of the newest entry on what is shown
	Inspected []string     `json:"inspected"`           // sentences: the last inspection, and how many works had one
	Done      []landCount  `json:"done"`                // what was done, in numbers
	Kinds     []landKind   `json:"kinds"`               // rows in use, in the table's order

	Watch    json.RawMessage `json:"watch,omitempty"`    // of landWatch: what to watch for now, worst first
	Hazards  json.RawMessage `json:"hazards,omitempty"`  // of landWatch
	Works    json.RawMessage `json:"works,omitempty"`    // of landItem
	Others   json.RawMessage `json:"others,omitempty"`   // of landItem: what the works lie among
	Sections json.RawMessage `json:"sections,omitempty"` // of landSection

	Blocks *landLists `json:"blocks,omitempty"` // instead of those five
}

type landLists struct {
	Watch    landBlocks `json:"watch"`
	Hazards  landBlocks `json:"hazards"`
	Works    landBlocks `json:"works"`
	Others   landBlocks `json:"others"`
	Sections landBlocks `json:"sections"`
}

// landBlocks are where a list is found: its blocks, in order, each a JSON array.
type landBlocks struct {
	Count int      `json:"count"` // of all rows
	Names []string `json:"names"`
}

type landProperty struct {
	Name string `json:"name"`
}

// landInspection is the newest visit.
type landInspection struct {
	On     string // date
	By     string // as the entry of the visit is signed
	seenAt string // when that was written
}

// landCount is "24", "works built 2025–2026".
type landCount struct {
	Count int       `json:"count"`
	Text  string    `json:"text"`
	State landState `json:"state,omitempty"` // of the works that are counted
}

// landState is how an item on the ground does: empty while nothing is known to be wrong.
type landState string

const (
	failedState    landState = "failed"
	attentionState landState = "attention"
	dangerState    landState = "danger"
)

// landWatch is a sentence about one item, for the top of the page.
type landWatch struct {
	ID    string    `json:"id"`
	Text  string    `json:"text"`
	State landState `json:"state,omitempty"`
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

// landItem is a work, or something that works lie among.
type landItem struct {
	ID       string          `json:"id"`
	Kind     string          `json:"kind"`
	Name     string          `json:"name,omitempty"`
	Status   model.Status    `json:"status,omitempty"`   // of a work; failed too when an inspection found that
	StatusOn string          `json:"statusOn,omitempty"` // date, when it is known
	BuiltOn  string          `json:"builtOn,omitempty"`  // date
	State    landState       `json:"state,omitempty"`
	Geometry json.RawMessage `json:"geometry"`       // GeoJSON; null when no place is known
	Wrong    []string        `json:"wrong"`          // sentences: what makes its state
	Plain    []string        `json:"plain"`          // sentences: how far it has come, and what is no worry
	Seen     string          `json:"seen,omitempty"` // sentence: when it was last inspected, or that it never was
	Facts    []landFact      `json:"facts"`          // what was measured and written down, as a person reads it
	Photos   []landPhoto     `json:"photos"`         // oldest first, those without a date last

	figures   []model.Figure // those in Facts, for files
	visited   *figures.Visited
	inspected bool // since it was built
}

type landFact struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

type landPhoto struct {
	SHA string `json:"sha"`
	On  string `json:"on,omitempty"` // date; "" when it is not known
}
