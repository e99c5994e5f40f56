package boltstore

import (
	"bytes"
	"errors"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
)

// foldAgain rebuilds what is folded by another version of the fold: every feature from
// its entries. It runs on opening, a page of features a transaction, and may be broken off and
// run again.
func (s *Store) foldAgain() error {
	var last []byte
	names, err := s.propertyNames()
	if err != nil {
		return err
	}
	for {
		done := false
		err := s.write(func(tx *bbolt.Tx) error {
			b := newBatch(tx, s.now())
			var err error
			if last, err = b.foldPage(last, names); err != nil {
				return err
			}
			if done = last == nil; done {
				err = putFormat(tx, register.Version, register.StateVersion)
			}
			return errors.Join(err, b.flush())
		})
		if err != nil || done {
			return err
		}
	}
}

func (s *Store) propertyNames() (map[uint32]string, error) {
	names := make(map[uint32]string)
	err := s.view(func(tx *bbolt.Tx) error {
		return eachProperty(tx, func(name string, p property) error {
			names[p.number] = name
			return nil
		})
	})
	return names, err
}

// foldPage folds the features after the key last again and returns the last key of them,
// nil when there were none.
func (b *batch) foldPage(last []byte, names map[uint32]string) ([]byte, error) {
	if last == nil {
		for _, name := range names {
			p, err := b.openProperty(name)
			if err != nil {
				return nil, err
			}
			p.features = rowDigest{}
		}
	}
	var page []*feature
	c := b.features.Cursor()
	key, sealed, err := seek(c, append(last, 0))
	if err != nil {
		return nil, err
	}
	for ; key != nil && len(page) < pageEntries; key, sealed = c.Next() {
		newest, _, err := unsealState(key, sealed)
		if err != nil {
			return nil, err
		}
		in, err := b.openProperty(names[beU32(key)])
		if err != nil {
			return nil, err
		}
		page = append(page, &feature{key: bytes.Clone(key), in: in, name: string(key[4:]), newest: newest, touched: true, behind: true})
	}
	if len(page) == 0 {
		return nil, nil
	}
	for _, f := range page {
		if err := b.flushFeature(f); err != nil {
			return nil, err
		}
	}
	return page[len(page)-1].key, nil
}
