package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"iter"
	"slices"

	"github.com/paulmach/orb"
	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
)

// Features implements [store.Register]. Each page of features is of one moment; a later
// page may be of a later one.
func (s *Store) Features(ctx context.Context, name string, within *orb.Bound) iter.Seq2[register.Folded, error] {
	if within == nil {
		return s.yieldAll(ctx, s.allFeatures(name, choice{}))
	}
	return func(yield func(register.Folded, error) bool) {
		next, err := s.featuresWithin(name, *within)
		if err != nil {
			yield(register.Folded{}, err)
			return
		}
		for f, err := range s.yieldAll(ctx, func() pages { return next }) {
			if err == nil && !meets(f, *within) {
				continue
			}
			if !yield(f, err) {
				return
			}
		}
	}
}

// FeaturesOf implements [store.Register].
func (s *Store) FeaturesOf(ctx context.Context, name string, kinds ...string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		for f, err := range s.yieldAll(ctx, s.allFeatures(name, choice{kinds: kinds})) {
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
	return s.yieldAll(ctx, s.allFeatures(name, choice{without: without}))
}

// FeaturesNamed implements [store.Register].
func (s *Store) FeaturesNamed(ctx context.Context, name string, ids []string) iter.Seq2[register.Folded, error] {
	return s.yieldAll(ctx, func() pages {
		left := ids
		return func() (page []featureRow, more bool, err error) {
			err = s.view(func(tx *bbolt.Tx) error {
				p, err := readProperty(tx, name)
				if err != nil || p.n == 0 {
					return err
				}
				features, key, size := tx.Bucket(featuresBucket).Cursor(), u32(p.number), 0
				for len(left) > 0 && len(page) < pageEntries && size < featurePageBytes {
					id := left[0]
					key, left = append(key[:4], id...), left[1:]
					found, sealed := features.Seek(key)
					if !bytes.Equal(found, key) {
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
		}
	})
}

// pages reads the next page of features. more is false when it was the last.
type pages func() (page []featureRow, more bool, err error)

// yieldAll yields the features of all pages. begin makes the function that reads them.
func (s *Store) yieldAll(ctx context.Context, begin func() pages) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		next := begin()
		var reader register.FoldedReader
		for more := true; more; {
			page, left, err := next()
			if err == nil {
				err = ctx.Err()
			}
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

// allFeatures returns what begins a reading of the features that c chooses. Unless the
// property grew meanwhile, it is certain at its end that no row was left out: a broken page may
// hide some.
func (s *Store) allFeatures(name string, c choice) func() pages {
	return func() pages {
		var last []byte
		var rows rowDigest
		var begun property
		var reader register.FoldedReader
		return func() (page []featureRow, more bool, err error) {
			err = s.view(func(tx *bbolt.Tx) error {
				p, err := readProperty(tx, name)
				if err != nil || p.n == 0 {
					return err
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
}

// eachFeature passes the features after last to each, sealed, until it has taken a page of them.
func eachFeature(tx *bbolt.Tx, p property, last []byte, each func(key, sealed []byte) (taken int, err error)) (more bool, err error) {
	prefix := u32(p.number)
	from := append(u32(p.number), last...)
	c := tx.Bucket(featuresBucket).Cursor()
	key, sealed, err := seek(c, from)
	if err != nil {
		return false, err
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
			return false, err
		}
		taken += n
		count++
	}
	return false, nil
}

// featuresWithin finds the names of the features that may meet the box, and returns a
// function that reads them page by page.
func (s *Store) featuresWithin(name string, within orb.Bound) (pages, error) {
	var names []string
	var p property
	err := s.view(func(tx *bbolt.Tx) (err error) {
		if p, err = readProperty(tx, name); err != nil || p.n == 0 {
			return err
		}
		for _, box := range halves(within) {
			names = append(names, featuresIn(tx, p.number, box)...)
		}
		return nil
	})
	slices.Sort(names)
	names = slices.Compact(names)
	return func() (page []featureRow, more bool, err error) {
		err = s.view(func(tx *bbolt.Tx) error {
			features, size := tx.Bucket(featuresBucket), 0
			for len(names) > 0 && len(page) < pageEntries && size < featurePageBytes {
				key := textKey(p.number, names[0])
				sealed := features.Get(key)
				if sealed == nil {
					return damaged("the index of places names feature %s, which is not here", names[0])
				}
				_, state, err := unsealState(key, sealed)
				if err != nil {
					return err
				}
				page, names = append(page, featureRow{names[0], bytes.Clone(state)}), names[1:]
				size += len(sealed)
			}
			return nil
		})
		return page, len(names) > 0, err
	}, err
}

// halves cuts a box that crosses the antimeridian there.
func halves(box orb.Bound) []orb.Bound {
	if box.Min[0] <= box.Max[0] {
		return []orb.Bound{box}
	}
	east, west := box, box
	east.Max[0], west.Min[0] = 180, -180
	return []orb.Bound{east, west}
}

// meets tells whether the box of any part of the feature's place meets within.
func meets(f register.Folded, within orb.Bound) bool {
	var geometry json.RawMessage = f.Fields["geometry"]
	if geometry == nil {
		return false
	}
	g, err := model.ParseGeometry(geometry)
	if err != nil || g == nil {
		return false
	}
	for _, part := range parts(g) {
		for _, box := range halves(within) {
			if b := part.Bound(); !b.IsEmpty() && b.Intersects(box) {
				return true
			}
		}
	}
	return false
}

// parts are the points, lines and areas that a place is made of.
func parts(g orb.Geometry) []orb.Geometry {
	var out []orb.Geometry
	switch g := g.(type) {
	case orb.Collection:
		for _, one := range g {
			out = append(out, parts(one)...)
		}
	case orb.MultiPoint:
		for _, one := range g {
			out = append(out, one)
		}
	case orb.MultiLineString:
		for _, one := range g {
			out = append(out, one)
		}
	case orb.MultiPolygon:
		for _, one := range g {
			out = append(out, one)
		}
	default:
		out = append(out, g)
	}
	return out
}
