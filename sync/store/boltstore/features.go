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
	return func(yield func(register.Folded, error) bool) {
		next := s.allFeatures(name)
		if within != nil {
			var err error
			if next, err = s.featuresWithin(name, *within); err != nil {
				yield(register.Folded{}, err)
				return
			}
		}
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
				_, state, err := unsealFeature(row.key, row.sealed)
				if err != nil {
					s.stop(err)
					yield(register.Folded{}, err)
					return
				}
				f := state.Folded()
				if state.Empty() || within != nil && !meets(f, *within) {
					continue
				}
				if !yield(f, nil) {
					return
				}
			}
		}
	}
}

// featureRow is a row of the features bucket, copied.
type featureRow struct{ key, sealed []byte }

// featurePageBytes bounds what a page of features copies.
const featurePageBytes = 1 << 20

// allFeatures returns a function that reads the next page; the page after the last is
// empty. Unless the property grew meanwhile, it is then certain that no row was left out:
// a broken page may hide some.
func (s *Store) allFeatures(name string) func() ([]featureRow, error) {
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
