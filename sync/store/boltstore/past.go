package boltstore

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// An entry that others have overtaken is folded by gathering all entries of its feature. Few
// are read by the committer. Many are read by the Append that needs them, one at a time, so
// that others do not wait for it and it takes one processor at most; and of more than
// pastEntries or pastBytes none are.
const (
	pastInline  = 200
	pastEntries = 20_000
	pastBytes   = 32 << 20
	pastPage    = 500 // records read in one transaction
	hiddenAmong = 10_000
)

var errTooLong = &model.Problem{Path: "feature", Reason: fmt.Sprintf("this item has more than %d entries or %d MB of them, and this one was written before others of them had come", pastEntries, pastBytes>>20),
	Fix: "wait until the phone has everything from the server, then make the edit again"}

var errUnread = errors.New("the feature's entries must be read first")

var errOwes = errors.New("the device must wait for what it has had written")

// past is the entries of a feature up to number newest, newest first; no entries when there
// are too many.
type past struct {
	feature string
	newest  uint64
	entries []register.Numbered
}

// history gives the entries of a feature, newest first: nil when there are too many, errUnread
// when they must be read beforehand.
func (b *batch) history(f *feature, read *past) ([]register.Numbered, error) {
	if read != nil && read.feature != f.name {
		read = nil
	}
	if read != nil && read.entries == nil {
		return nil, nil
	}
	all := []register.Numbered{}
	defer func() { b.work += len(all) }()
	for n, bytes := f.newest, 0; n != 0; {
		if read != nil && n == read.newest {
			return slices.Concat(all, read.entries), nil
		}
		if len(all) == pastInline || bytes > 1<<20 {
			return nil, errUnread
		}
		numbered, prev, err := entryOf(b.entries, f.in.number, f.name, n)
		if err != nil {
			return nil, err
		}
		all, n, bytes = append(all, numbered), prev, bytes+len(numbered.Raw)
	}
	return all, nil
}

// entryOf reads one entry of a feature, and the number of the one before it.
func entryOf(entries *bbolt.Bucket, property uint32, feature string, n uint64) (numbered register.Numbered, prev uint64, err error) {
	key := numberKey(property, n)
	r, err := unsealRecord(key, entries.Get(key))
	if err != nil {
		return numbered, 0, err
	}
	if numbered, err = r.copied().numbered(n); err != nil {
		return numbered, 0, err
	}
	if r.prev >= n || numbered.Entry.Feature != feature {
		return numbered, 0, damaged("the list of entries of feature %s is broken at %d", feature, n)
	}
	return numbered, r.prev, nil
}

// readPast reads what a job needs before it goes on.
func (s *Store) readPast(ctx context.Context, j *job) error {
	read := &past{feature: j.unread}
	bytes := 0
	err := s.walk(ctx, j.property, j.unread, func(n uint64, r record) (bool, error) {
		numbered, err := r.copied().numbered(n)
		if err != nil {
			return false, err
		}
		read.newest = max(read.newest, n)
		read.entries, bytes = append(read.entries, numbered), bytes+len(r.raw)
		return len(read.entries) <= pastEntries && bytes <= pastBytes, nil
	})
	if len(read.entries) > pastEntries || bytes > pastBytes {
		read.entries = nil
	}
	j.past, j.unread = read, ""
	return err
}

// walk passes the entries of a feature, the newest first, to each until that wants no more.
func (s *Store) walk(ctx context.Context, name, feature string, each func(n uint64, r record) (more bool, err error)) error {
	n, begun := uint64(0), false
	for more := true; more && (n != 0 || !begun); {
		err := s.viewProperty(ctx, name, func(tx *bbolt.Tx, p property) (err error) {
			if !begun {
				begun = true
				key := textKey(p.number, feature)
				sealed := tx.Bucket(featuresBucket).Get(key)
				if sealed == nil {
					return nil
				}
				if n, _, err = unsealState(key, sealed); err != nil {
					return err
				}
			}
			entries := tx.Bucket(entriesBucket)
			for read := 0; n != 0 && more && read < pastPage; read++ {
				key := numberKey(p.number, n)
				r, err := unsealRecord(key, entries.Get(key))
				if err != nil {
					return err
				}
				if r.prev >= n {
					return damaged("the list of entries of feature %s is broken at %d", feature, n)
				}
				if more, err = each(n, r); err != nil {
					return err
				}
				n = r.prev
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// findHidden looks among the newest entries of their features for those of a job's entries
// that were refused because their numbers are taken. One that is there is hidden by an index of
// ids that has lost it, and no other device's.
func (s *Store) findHidden(ctx context.Context, j *job) error {
	suspects := make(map[string]map[register.Hash]register.ID) // by feature
	for _, i := range j.cloned {
		e := &j.items[i].entry
		if suspects[e.Feature] == nil {
			suspects[e.Feature] = make(map[register.Hash]register.ID)
		}
		suspects[e.Feature][j.items[i].hash] = e.ID
	}
	if len(suspects) == 0 {
		return nil
	}
	select {
	case s.walking <- struct{}{}:
		defer func() { <-s.walking }()
	case <-ctx.Done():
		return ctx.Err()
	}
	looked := 0
	for feature, of := range suspects {
		err := s.walk(ctx, j.property, feature, func(_ uint64, r record) (bool, error) {
			if id, hidden := of[r.hash]; hidden {
				return false, damaged("the index of ids lacks %s", id)
			}
			looked++
			return looked < hiddenAmong, nil
		})
		if err == nil {
			continue
		}
		if errors.Is(err, store.ErrDamaged) {
			s.stop(err)
		}
		return err
	}
	return nil
}
