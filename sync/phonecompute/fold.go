package phonecompute

import (
	"fmt"
	"time"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/sync/register"
)

// keptEntry is an entry as the phone keeps it. N and ArrivedMS are 0 until the server has told
// them: the entry's stamp then counts as it is.
type keptEntry struct {
	N         uint64 `json:"n,omitempty"`
	ArrivedMS int64  `json:"arrivedMS,omitempty"` // milliseconds since 1970
	Text      string `json:"text"`                // the entry's exact bytes
}

type foldQuestion struct {
	Features []struct {
		Feature string      `json:"feature"`
		Entries []keptEntry `json:"entries"` // all that the phone has of the feature, in any order
	} `json:"features"`
}

type foldAnswer struct {
	Features []foldedFeature `json:"features"`
}

// foldedFeature is a feature as the page keeps it.
type foldedFeature struct {
	register.Folded
	Saw   map[string]uint64 `json:"saw"`   // by device, its highest deviceSeq about the feature
	Stamp register.Stamp    `json:"stamp"` // the greatest so far
}

// Fold works out features from all the entries of each. An entry that cannot be read
// fails the question, naming it: the phone then keeps what it had.
func Fold(question []byte) ([]byte, error) {
	var q foldQuestion
	if err := read(question, &q); err != nil {
		return nil, err
	}
	a := foldAnswer{Features: make([]foldedFeature, 0, len(q.Features))}
	for i, f := range q.Features {
		entries := make([]register.Numbered, 0, len(f.Entries))
		for k, e := range f.Entries {
			n, err := e.numbered()
			if err != nil {
				return nil, inside(err, fmt.Sprintf("features[%d].entries[%d]", i, k))
			}
			entries = append(entries, n)
		}
		state := register.Gather(f.Feature, entries)
		a.Features = append(a.Features, foldedFeature{Folded: state.Folded(), Saw: state.Saw(""), Stamp: state.Stamp()})
	}
	return jsonvalue.Marshal(a)
}

func (k keptEntry) numbered() (register.Numbered, error) {
	e, err := register.Decode([]byte(k.Text))
	if err != nil {
		return register.Numbered{}, err
	}
	n := register.Numbered{N: k.N, Capped: e.Stamp, Entry: e}
	if k.ArrivedMS != 0 {
		arrived := time.UnixMilli(k.ArrivedMS)
		n.Arrived, n.Capped = register.ArrivedAt(arrived), register.Capped(e.Stamp, arrived)
	}
	return n, nil
}

func inside(err error, path string) *model.Problem {
	if p, ok := err.(*model.Problem); ok {
		return p.Within(path)
	}
	return &model.Problem{Path: path, Reason: err.Error()}
}
