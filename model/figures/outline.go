package figures

import (
	"bytes"
	"encoding/hex"
	"iter"
	"strings"

	"headcut/model"
)

// Outline knows which features of a property belong together, because the figures of one
// rest on another: a gully's thalweg, its dams, the level runs that went there, what they
// pegged, and visits with what they are of. Whoever surveys such a group alone gets the same figures as from a
// survey of everything, in memory that does not grow with the property: an Outline keeps ids,
// and the catchments, of which there are few.
type Outline struct {
	ids    []shortID
	index  map[shortID]int32
	named  map[string]int32 // ids that are no UUIDs: they have no short form
	names  map[int32]string // the same the other way
	parent []int32          // a forest: the root stands for the group

	homeless map[[2]int]int32      // by cell: dams that name no thalweg, as one of them
	mapped   map[string]*catchment // any head may lie on the edge of any
}

// OutlineKinds are the kinds that an Outline has to be given.
var OutlineKinds = append([]string{"thalweg", "check-dam", "level-run", "visit", "catchment"}, peggedKinds...)

// NewOutline returns an Outline of no features.
func NewOutline() *Outline {
	return &Outline{index: map[shortID]int32{}, named: map[string]int32{}, names: map[int32]string{}, homeless: map[[2]int]int32{}, mapped: map[string]*catchment{}}
}

// Add takes in a feature of OutlineKinds; others stand alone and are passed over.
func (o *Outline) Add(f model.Feature) {
	switch f.Kind {
	case "thalweg":
		o.node(f.ID)
	case "check-dam":
		at := o.node(f.ID)
		if thalweg := f.Text("thalweg"); thalweg != "" {
			o.join(at, o.node(thalweg))
		} else if fix, ok := fixOf(f.Geometry); ok {
			cell := cellOf(fix)
			if other, ok := o.homeless[cell]; ok {
				o.join(at, other)
			} else {
				o.homeless[cell] = at
			}
		}
		if below := f.Text("damBelow"); below != "" {
			o.join(at, o.node(below))
		}
	case "catchment":
		o.mapped[f.ID] = newCatchment(f)
	case "visit":
		if of := f.Text("of"); of != "" {
			o.join(o.node(f.ID), o.node(of))
		}
	case "level-run":
		at := o.node(f.ID)
		for _, row := range f.LevelRows("rows") {
			if row.Feature != "" {
				o.join(at, o.node(row.Feature))
			}
		}
	default:
		if run := f.Text("levelRun"); run != "" {
			o.join(o.node(f.ID), o.node(run))
		}
	}
}

// Homeless tells whether dams name no thalweg: each thalweg must then be given to Near.
func (o *Outline) Homeless() bool { return len(o.homeless) > 0 }

// Near joins a thalweg with the dams that name none and may stand in it.
func (o *Outline) Near(f model.Feature) {
	newThalweg(f).cells(func(cell [2]int) {
		if dam, ok := o.homeless[cell]; ok {
			o.join(o.node(f.ID), dam)
		}
	})
}

// Survey surveys a group, or nothing: the PropertyFigures answer for the group's features, or for those
// that are in none.
func (o *Outline) Survey(group iter.Seq[model.Feature]) *PropertyFigures {
	l := newPropertyFigures()
	l.mapped = o.mapped
	return l.survey(func(yield func(model.Feature) bool) {
		for f := range group {
			if f.Kind != "catchment" && !yield(f) {
				return
			}
		}
	})
}

// Has tells whether a feature is in a group.
func (o *Outline) Has(id string) bool {
	_, ok := o.at(id)
	return ok
}

func (o *Outline) at(id string) (at int32, ok bool) {
	if short, isUUID := shorten(id); isUUID {
		at, ok = o.index[short]
	} else {
		at, ok = o.named[id]
	}
	return at, ok
}

// Groups yields the ids of whole groups, each time at least so many ids while there are, in
// an order that depends on the features alone. The ids of features that were only named may
// be among them. The slice is used again.
func (o *Outline) Groups(least int) iter.Seq[[]string] {
	order := make([]int32, len(o.ids))
	first := make([]int32, len(o.ids)) // of a root: the group's member of the lowest id
	for i := range order {
		order[i], first[i] = int32(i), -1
	}
	for i := range order {
		if root := o.root(int32(i)); first[root] < 0 || o.compare(int32(i), first[root]) < 0 {
			first[root] = int32(i)
		}
	}
	model.SortStable(order, func(a, b int32) int {
		if x, y := first[o.root(a)], first[o.root(b)]; x != y {
			return o.compare(x, y)
		}
		return o.compare(a, b)
	})
	return func(yield func([]string) bool) {
		var group []string
		for i, at := range order {
			group = append(group, o.idOf(at))
			last := i == len(order)-1 || o.root(order[i+1]) != o.root(at)
			if last && (len(group) >= least || i == len(order)-1) {
				if !yield(group) {
					return
				}
				group = group[:0]
			}
		}
	}
}

// compare orders features by their ids.
func (o *Outline) compare(a, b int32) int {
	if len(o.names) == 0 { // the same order, in less time
		return bytes.Compare(o.ids[a][:], o.ids[b][:])
	}
	return strings.Compare(o.idOf(a), o.idOf(b))
}

func (o *Outline) node(id string) int32 {
	if at, ok := o.at(id); ok {
		return at
	}
	at := int32(len(o.ids))
	short, isUUID := shorten(id)
	if o.ids, o.parent = append(o.ids, short), append(o.parent, at); isUUID {
		o.index[short] = at
	} else {
		o.named[id], o.names[at] = at, id
	}
	return at
}

// shortID is a UUID in 16 bytes: an Outline of a large property is nearly all ids.
type shortID [16]byte

func shorten(id string) (short shortID, isUUID bool) {
	if len(id) != 36 || strings.Count(id, "-") != 4 {
		return short, false
	}
	_, err := hex.Decode(short[:], []byte(strings.ReplaceAll(id, "-", "")))
	return short, err == nil && short.String() == id // not one written with capitals, or parted elsewhere
}

// String is the UUID as ids are written.
func (short shortID) String() string {
	digits := hex.EncodeToString(short[:])
	return digits[:8] + "-" + digits[8:12] + "-" + digits[12:16] + "-" + digits[16:20] + "-" + digits[20:]
}

func (o *Outline) idOf(at int32) string {
	if name, ok := o.names[at]; ok {
		return name
	}
	return o.ids[at].String()
}

// root follows parents, and shortens the way for the next time.
func (o *Outline) root(at int32) int32 {
	for o.parent[at] != at {
		o.parent[at] = o.parent[o.parent[at]]
		at = o.parent[at]
	}
	return at
}

func (o *Outline) join(a, b int32) {
	if a, b = o.root(a), o.root(b); a != b {
		o.parent[max(a, b)] = min(a, b)
	}
}
