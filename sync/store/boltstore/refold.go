package boltstore

import (
	"bytes"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
)

// foldAgain rebuilds what is folded by another version of the fold: every feature from
// its entries, and the index of places from the features. It runs on opening, a page of
// features a transaction, and may be broken off and run again.
func (s *Store) foldAgain() error {
	var last []byte
	for {
		done := false
		err := guarded(func() error {
			return s.db.Update(func(tx *bbolt.Tx) error {
				b := newBatch(tx, s.now())
				var err error
				if last, err = b.foldPage(last); err != nil {
					return err
				}
				if done = last == nil; done {
					return putFormat(tx)
				}
				return nil
			})
		})
		if err != nil || done {
			return err
		}
	}
}

// foldPage folds the features after the key last again and returns the last key of them,
// nil when there were none.
func (b *batch) foldPage(last []byte) ([]byte, error) {
	var page []*feature
	c := b.features.Cursor()
	key, sealed := c.Seek(append(last, 0))
	for ; key != nil && len(page) < pageEntries; key, sealed = c.Next() {
		v, err := unseal(key, sealed)
		if err != nil {
			return nil, err
		}
		if len(key) < 4 || len(v) < 8 {
			return nil, damaged("feature %q is cut short", key)
		}
		page = append(page, &feature{key: bytes.Clone(key), pnumber: beU32(key), name: string(key[4:]), newest: beU64(v), touched: true, behind: true})
	}
	if len(page) == 0 {
		return nil, nil
	}
	for _, f := range page {
		all, err := b.entriesOf(f)
		if err != nil {
			return nil, err
		}
		if err := b.clearCells(f, all); err != nil {
			return nil, err
		}
		if err := b.flushFeature(f); err != nil {
			return nil, err
		}
	}
	return page[len(page)-1].key, nil
}

// clearCells takes a feature out of the index of places, wherever the former fold had put
// it: that can only have been where one of its entries says.
func (b *batch) clearCells(f *feature, all []register.Numbered) error {
	for _, n := range all {
		if bound, ok := boundOf(n.Entry.Set["geometry"]); ok {
			if err := b.cells.Delete(cellKey(f.pnumber, bound, f.name)); err != nil {
				return err
			}
		}
	}
	return nil
}
