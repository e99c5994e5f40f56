package boltstore

import (
	"bytes"
	"context"
	"iter"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
)

// Features implements [store.Register]. Each page of features is of one moment; a later
// page may be of a later one.
func (s *Store) Features(ctx context.Context, name string) iter.Seq2[register.Folded, error] {
	return s.chosen(ctx, name, choice{})
}

// FeaturesOf implements [store.Register].
func (s *Store) FeaturesOf(ctx context.Context, name string, kinds ...string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		for f, err := range s.chosen(ctx, name, choice{kinds: kinds}) {
			if kind := (model.Feature{Fields: f.Fields}).Text("kind"); err == nil && !slices.Contains(kinds, kind) {
				continue
			}
			if !yield(f, err) {
				return
			}
		}
	}
}

// FeaturesBut implements [store.Register].
func (s *Store) FeaturesBut(ctx context.Context, name string, without func(id string) bool) iter.Seq2[register.Folded, error] {
	return s.chosen(ctx, name, choice{without: without})
}

func (s *Store) chosen(ctx context.Context, name string, c choice) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) { s.yieldAll(s.allFeatures(ctx, name, c), yield) }
}

// FeaturesNamed implements [store.Register].
func (s *Store) FeaturesNamed(ctx context.Context, name string, ids []string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		left := ids
		s.yieldAll(func() (page []featureRow, more bool, err error) {
			err = s.viewProperty(ctx, name, func(tx *bbolt.Tx, p property) error {
				if p.n == 0 {
					return nil
				}
				features, key, size := tx.Bucket(featuresBucket).Cursor(), u32(p.number), 0
				for len(left) > 0 && len(page) < pageEntries && size < featurePageBytes {
					id := left[0]
					key, left = append(key[:4], id...), left[1:]
					sealed := found(features, key)
					if sealed == nil {
						continue
					}
					_, state, err := unsealState(key, sealed)
					if err != nil {
						return err
					}
					page = append(page, featureRow{id, bytes.Clone(state)})
					size += len(sealed)
				}
				more = len(left) > 0
				return nil
			})
			return page, more, err
		}, yield)
	}
}

// pages reads the next page of features. more is false when it was the last.
type pages func() (page []featureRow, more bool, err error)

// yieldAll yields the features of all pages.
func (s *Store) yieldAll(next pages, yield func(register.Folded, error) bool) {
	var reader register.FoldedReader
	for more := true; more; {
		page, left, err := next()
		if err != nil {
			yield(register.Folded{}, err)
			return
		}
		for _, row := range page {
			f, ok, err := reader.Read(row.id, row.state)
			if err != nil {
				err = damaged("%v", err)
				s.stop(err)
				yield(register.Folded{}, err)
				return
			}
			if ok && !yield(f, nil) {
				return
			}
		}
		more = left
	}
}

// choice is which features of a property a reading copies.
type choice struct {
	kinds   []string             // those of other kinds are passed over, as far as their states tell at once; empty: none are
	without func(id string) bool // those it is true for are passed over, unread; nil: none are
}

// passesOver tells whether a feature is passed over for its kind.
func (c choice) passesOver(reader *register.FoldedReader, state []byte) bool {
	if len(c.kinds) == 0 {
		return false
	}
	kind, known := reader.Kind(state)
	return known && !slices.Contains(c.kinds, kind)
}

// featureRow is a feature's id and encoded state, copied.
type featureRow struct {
	id    string
	state []byte
}

// featurePageBytes bounds what a page of features copies.
const featurePageBytes = 1 << 20

// allFeatures reads the features that c chooses. Unless the property grew meanwhile, it is certain at
// its end that no row was left out: a broken page may hide some.
func (s *Store) allFeatures(ctx context.Context, name string, c choice) pages {
	var last []byte
	var rows rowDigest
	var begun property
	var reader register.FoldedReader
	return func() (page []featureRow, more bool, err error) {
		err = s.viewProperty(ctx, name, func(tx *bbolt.Tx, p property) (err error) {
			if p.n == 0 {
				return nil
			}
			if last == nil {
				begun = p
			}
			more, err = eachFeature(tx, p, last, func(key, sealed []byte) (size int, err error) {
				last = append(last[:0], key[4:]...)
				id := string(last)
				if len(sealed) >= sealLen {
					rows.swap(nil, sealed)
				}
				if c.without != nil && c.without(id) {
					return 0, nil
				}
				_, state, err := unsealState(key, sealed)
				if err != nil || c.passesOver(&reader, state) {
					return 0, err
				}
				page = append(page, featureRow{id, bytes.Clone(state)})
				return len(state), nil
			})
			if err == nil && !more && p == begun && rows != p.features {
				return damaged("%s has features that do not come up: %d of %d did", name, rows.count, p.features.count)
			}
			return err
		})
		return page, more, err
	}
}

// eachFeature passes the features after last to each, sealed, until it has taken a page of them.
func eachFeature(tx *bbolt.Tx, p property, last []byte, each func(key, sealed []byte) (taken int, err error)) (more bool, err error) {
	prefix := u32(p.number)
	from := append(u32(p.number), last...)
	c := tx.Bucket(featuresBucket).Cursor()
	key, sealed, err := seek(c, from)
	if err != nil {
		return more, err
	}
	if last != nil && bytes.Equal(key, from) {
		key, sealed = c.Next()
	}
	for taken, count := 0, 0; bytes.HasPrefix(key, prefix); key, sealed = c.Next() {
		if count == pageEntries || taken >= featurePageBytes {
			return true, nil
		}
		n, err := each(key, sealed)
		if err != nil {
			return more, err
		}
		taken += n
		count++
	}
	return more, nil
}
