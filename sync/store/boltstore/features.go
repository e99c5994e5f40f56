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
		return s.yieldAll(ctx, s.allFeatures(name), nil)
	}
	return func(yield func(register.Folded, error) bool) {
		next, err := s.featuresWithin(name, *within)
		if err != nil {
			yield(register.Folded{}, err)
			return
		}
		for f, err := range s.yieldAll(ctx, func() func() ([]featureRow, error) { return next }, nil) {
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
	return s.yieldAll(ctx, s.allFeatures(name), kinds)
}

// FeaturesNamed implements [store.Register].
func (s *Store) FeaturesNamed(ctx context.Context, name string, ids []string) iter.Seq2[register.Folded, error] {
	return s.yieldAll(ctx, func() func() ([]featureRow, error) {
		left := ids
		return func() (page []featureRow, err error) {
			err = s.view(func(tx *bbolt.Tx) error {
				p, err := readProperty(tx, name)
				if err != nil || p.n == 0 {
					return err
				}
				features, size := tx.Bucket(featuresBucket), 0
				for len(left) > 0 && len(page) < pageEntries && size < featurePageBytes {
					key := textKey(p.number, left[0])
					left = left[1:]
					if sealed := features.Get(key); sealed != nil {
						page = append(page, featureRow{key, bytes.Clone(sealed)})
						size += len(sealed)
					}
				}
				return nil
			})
			return page, err
		}
	}, nil)
}

// yieldAll reads pages until an empty one, and yields their features; those of kinds alone
// unless that is empty. begin makes the function that reads the next page.
func (s *Store) yieldAll(ctx context.Context, begin func() func() ([]featureRow, error), kinds []string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		next := begin()
		var reader register.FoldedReader
		for {
			page, err := next()
			if err == nil {
				err = ctx.Err()
			}
			if err != nil {
				yield(register.Folded{}, err)
				return
			}
			if len(page) == 0 {
				return
			}
			for _, row := range page {
				f, ok, err := readFeature(&reader, row, kinds)
				if err != nil {
					s.stop(err)
					yield(register.Folded{}, err)
					return
				}
				if ok && !yield(f, nil) {
					return
				}
			}
		}
	}
}

// readFeature reads a row; ok is false when it is of no entries or of another kind.
func readFeature(reader *register.FoldedReader, row featureRow, kinds []string) (f register.Folded, ok bool, err error) {
	_, v, err := unsealState(row.key, row.sealed)
	if err != nil {
		return f, false, err
	}
	if len(kinds) > 0 {
		if kind, known := reader.Kind(v); known && !slices.Contains(kinds, kind) {
			return f, false, nil
		}
	}
	if f, ok, err = reader.Read(string(row.key[4:]), v); err != nil {
		return f, false, damaged("%v", err)
	}
	if ok && len(kinds) > 0 {
		ok = slices.Contains(kinds, f.Model().Kind)
	}
	return f, ok, nil
}

// featureRow is a row of the features bucket, copied.
type featureRow struct{ key, sealed []byte }

// featurePageBytes bounds what a page of features copies.
const featurePageBytes = 1 << 20

// allFeatures returns a function that begins a reading: one that reads the next page; the page after the last is
// empty. Unless the property grew meanwhile, it is then certain that no row was left out:
// a broken page may hide some.
func (s *Store) allFeatures(name string) func() func() ([]featureRow, error) {
	return func() func() ([]featureRow, error) { return s.featurePages(name) }
}

func (s *Store) featurePages(name string) func() ([]featureRow, error) {
	var last []byte
	var rows tally
	var begun property
	return func() (page []featureRow, err error) {
		err = s.view(func(tx *bbolt.Tx) error {
			p, err := readProperty(tx, name)
			if err != nil || p.n == 0 {
				return err
			}
			if last == nil {
				begun = p
			}
			if page, err = readFeatures(tx, p, last); err != nil {
				return err
			}
			for _, row := range page {
				rows.swap(nil, row.sealed)
			}
			if len(page) == 0 && p == begun && rows != p.features {
				return damaged("%s has features that do not come up: %d of %d did", name, rows.count, p.features.count)
			}
			return nil
		})
		if len(page) > 0 {
			last = page[len(page)-1].key[4:]
		}
		return page, err
	}
}

// readFeatures copies the features that come after last.
func readFeatures(tx *bbolt.Tx, p property, last []byte) (page []featureRow, err error) {
	prefix := u32(p.number)
	from := append(u32(p.number), last...)
	c := tx.Bucket(featuresBucket).Cursor()
	key, sealed, err := seek(c, from)
	if err != nil {
		return nil, err
	}
	if last != nil && bytes.Equal(key, from) {
		key, sealed = c.Next()
	}
	for size := 0; bytes.HasPrefix(key, prefix) && len(page) < pageEntries && size < featurePageBytes; key, sealed = c.Next() {
		if _, err := unseal(key, sealed); err != nil {
			return nil, err
		}
		page = append(page, featureRow{bytes.Clone(key), bytes.Clone(sealed)})
		size += len(sealed)
	}
	return page, nil
}

// featuresWithin finds the names of the features that may meet the box, and returns a
// function that reads them page by page.
func (s *Store) featuresWithin(name string, within orb.Bound) (func() ([]featureRow, error), error) {
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
	return func() (page []featureRow, err error) {
		err = s.view(func(tx *bbolt.Tx) error {
			features, size := tx.Bucket(featuresBucket), 0
			for len(names) > 0 && len(page) < pageEntries && size < featurePageBytes {
				key := textKey(p.number, names[0])
				sealed := bytes.Clone(features.Get(key))
				if sealed == nil {
					return damaged("the index of places names feature %s, which is not here", names[0])
				}
				page, names = append(page, featureRow{key, sealed}), names[1:]
				size += len(sealed)
			}
			return nil
		})
		return page, err
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
