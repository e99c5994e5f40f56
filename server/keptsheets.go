package server

import (
	"iter"
	"maps"
	"slices"
	"sync"
	"sync/atomic"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// keptSheets are the figures of a property as a landholder sees them. An entry that
// arrives has only those sheets worked out again that rest on it.
type keptSheets struct {
	mu     sync.Mutex
	sheets *figures.Keeper
	filled bool
	n      uint64 // number of the newest entry that is in them

	features atomic.Int64 // from which they were worked out
}

func newKeptSheets() *keptSheets { return &keptSheets{sheets: figures.NewKeeper()} }

// renew takes in what changed since the last time. After an error of the store the next
// call takes it in again.
func (k *keptSheets) renew(features iter.Seq2[register.Folded, error]) error {
	var changed []model.Feature
	var struck []string
	newest := k.n
	count := int64(0)
	for f, err := range features {
		count++
		switch {
		case err != nil:
			return err
		case k.filled && f.N <= k.n:
			continue
		case f.Struck:
			struck = append(struck, f.Feature)
		case f.Model().Yes("sensitive") && f.Model().Kind == "visit":
			struck = append(struck, f.Feature) // what it found is kept to the office
		case f.Model().Yes("sensitive"):
			changed = append(changed, nameless(f.Model()))
		default:
			changed = append(changed, f.Model())
		}
		newest = max(newest, f.N)
	}
	k.sheets.Change(slices.Values(changed), struck)
	k.filled, k.n = true, newest
	k.features.Store(count)
	return nil
}

// How many properties' figures stay in memory, those last looked at, and of how many features
// in all: 100,000 take some 250 MB. Those of the one that was looked at last stay in any case.
const (
	mostKept         = 8
	mostKeptFeatures = 150_000
)

// keptProperties are the figures of the properties that were looked at last.
type keptProperties struct {
	mu   sync.Mutex
	last []keptProperty // the latest first
}

type keptProperty struct {
	id     string
	sheets *keptSheets
}

// of returns the figures of a property, in which nothing may have been taken in yet.
func (k *keptProperties) of(id string) *keptSheets {
	k.mu.Lock()
	defer k.mu.Unlock()
	at := slices.IndexFunc(k.last, func(p keptProperty) bool { return p.id == id })
	p := keptProperty{id, newKeptSheets()}
	if at >= 0 {
		p = k.last[at]
		k.last = slices.Delete(k.last, at, at+1)
	}
	k.last = slices.Insert(k.last, 0, p)
	k.trim()
	return p.sheets
}

// bound drops the oldest figures when those that were worked out meanwhile are too many.
func (k *keptProperties) bound() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.trim()
}

// trim keeps to the limits. mu is held.
func (k *keptProperties) trim() {
	features := int64(0)
	for i, p := range k.last {
		if features += p.sheets.features.Load(); i == mostKept || i > 0 && features > mostKeptFeatures {
			clear(k.last[i:])
			k.last = k.last[:i]
			return
		}
	}
}

// nameless is a feature that sentences about its neighbours cannot call by its name.
func nameless(f model.Feature) model.Feature {
	f.Fields = maps.Clone(f.Fields)
	delete(f.Fields, "name")
	return f
}
