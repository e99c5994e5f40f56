package boltstore

import (
	"encoding/binary"
	"fmt"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
)

// feature is a folded feature while a transaction adds to it.
type feature struct {
	key     []byte
	in      *property
	name    string
	newest  uint64 // number of its newest entry, 0 while it has none
	state   *register.State
	size    int                 // of its row, or a little more
	behind  bool                // state must be gathered again from all entries
	all     []register.Numbered // these, when they have been read
	touched bool
	former  []byte // checksum of its row, as it counts in its property; nil when it does not
}

// openFeature reads the feature of an entry of so many bytes; not one that the entry would make
// too large, which is errTooLarge.
func (b *batch) openFeature(p *property, e *register.Entry, bytes int) (*feature, error) {
	name := e.Feature
	b.key = appendTextKey(b.key[:0], p.number, name)
	f, known := b.feature[string(b.key)]
	var sealed []byte
	var size int
	if known {
		size = f.size
	} else {
		sealed = found(b.featureAt, b.key)
		size = len(sealed)
	}
	switch {
	case e.Strike == nil && size+bytes > featureBytes:
		return nil, errTooLarge
	case known:
		return f, nil
	}
	key := string(b.key)
	f = &feature{key: []byte(key), in: p, name: name}
	if sealed == nil {
		f.state = register.NewState(name)
	} else {
		var err error
		if f.newest, f.state, err = unsealFeature(f.key, sealed); err != nil {
			return nil, err
		}
		f.former = slices.Clone(sealed[:sealLen])
		f.size = size
		b.work += f.size / stateBytesOfWork
		b.rewritten += f.size
	}
	b.feature[key] = f
	return f, nil
}

// unsealFeature reads a row of the features bucket; nothing shares its memory.
func unsealFeature(key, sealed []byte) (newest uint64, state *register.State, err error) {
	newest, raw, err := unsealState(key, sealed)
	if err != nil {
		return 0, nil, err
	}
	state, err = register.DecodeState(string(key[4:]), raw)
	if err != nil {
		return 0, nil, damaged("%v", err)
	}
	return newest, state, nil
}

// unsealState gives the number of the feature's newest entry, and its state as it is encoded,
// which shares memory with sealed.
func unsealState(key, sealed []byte) (newest uint64, state []byte, err error) {
	v, err := unseal(key, sealed)
	if err != nil {
		return 0, nil, err
	}
	if len(v) < 8 || len(key) < 4 {
		return 0, nil, damaged("feature %q is cut short", key)
	}
	return beU64(v), v[8:], nil
}

// featureBytes is how large a feature may be, all its fields together: it is read and written
// with every entry. The largest that officers have is a level run that two of them have edited
// at once, half a megabyte.
const featureBytes = 2 << 20

var errTooLarge error = &model.Problem{Path: "feature", Reason: fmt.Sprintf("this item has grown to its limit of %d MB", featureBytes>>20),
	Fix: "record what is new as another item; this one can still be struck out"}

// fold folds in an entry that is about to be put. It returns false when the feature has too
// many entries for that, and errUnread when they must be read first.
func (b *batch) fold(f *feature, n register.Numbered, read *past) (bool, error) {
	if !f.behind && !f.state.Apply(n) {
		all, err := b.history(f, read)
		if err != nil || all == nil {
			return false, err
		}
		f.behind, f.all = true, all
		b.work += len(all) / gatheredOfWork
		for i := range all {
			b.rewritten += len(all[i].Raw)
		}
		b.gathered++
	}
	if f.behind {
		f.all = append(f.all, n)
	}
	f.newest, f.touched = n.N, true
	f.size += len(n.Raw)
	return true, nil
}

// flushFeature writes a feature.
func (b *batch) flushFeature(f *feature) error {
	if !f.touched {
		return nil
	}
	if f.behind {
		if f.all == nil {
			var err error
			if f.all, err = b.entriesOf(f); err != nil {
				return err
			}
		}
		f.state = register.Gather(f.name, f.all)
	}
	b.row = f.state.Append(binary.BigEndian.AppendUint64(b.row[:sealLen], f.newest))
	sealed := slices.Clone(summed(f.key, b.row))
	f.in.features.swap(f.former, sealed)
	return b.features.Put(f.key, sealed)
}

// entriesOf reads all entries of a feature, newest first.
func (b *batch) entriesOf(f *feature) ([]register.Numbered, error) {
	return entriesOf(b.entries, f.in.number, f.name, f.newest)
}

func entriesOf(entries *bbolt.Bucket, property uint32, feature string, newest uint64) ([]register.Numbered, error) {
	var all []register.Numbered
	for n := newest; n != 0; {
		numbered, prev, err := entryOf(entries, property, feature, n)
		if err != nil {
			return nil, err
		}
		all, n = append(all, numbered), prev
	}
	return all, nil
}
