package boltstore

import (
	"context"
	"encoding/binary"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
)

// Bounds of what one read transaction copies.
const (
	pageEntries = 1000
	pageBytes   = 4 << 20
)

// EntriesAfter implements [store.Register]; it returns at most 1,000 entries and about
// 4 MiB at a time.
func (s *Store) EntriesAfter(ctx context.Context, name string, at store.Position, limit int) ([]register.Numbered, store.Position, error) {
	page, end, err := s.RawAfter(ctx, name, at, limit)
	if err != nil {
		return nil, at, err
	}
	for i := range page {
		n := &page[i]
		if n.Entry, err = register.Decode(n.Raw); err != nil {
			err := damaged("entry %d cannot be read: %v", n.N, err)
			s.stop(err)
			return nil, at, err
		}
	}
	return page, end, nil
}

// RawAfter implements [store.Register].
func (s *Store) RawAfter(ctx context.Context, name string, at store.Position, limit int) ([]register.Numbered, store.Position, error) {
	limit = min(limit, pageEntries)
	var page []record
	end := at
	err := s.viewProperty(ctx, name, func(tx *bbolt.Tx, p property) (err error) {
		if err := s.checkPosition(tx, name, p, at); err != nil {
			return err
		}
		page, err = readPage(tx, p, at, limit)
		return err
	})
	if err != nil {
		return nil, at, err
	}
	out := make([]register.Numbered, len(page))
	end.Epoch = s.epoch()
	for i, r := range page {
		end.N++
		end.Hash = register.Chain(end.Hash, r.hash)
		if end.Hash != r.chain {
			err := damaged("entry %d of %s is not the one that was chained there", end.N, name)
			s.stop(err)
			return nil, at, err
		}
		out[i] = register.Numbered{N: end.N, Capped: r.capped, Arrived: register.ArrivedAt(r.arrived), Hash: r.hash, Raw: r.raw}
	}
	return out, end, nil
}

// Newest implements [store.Register].
func (s *Store) Newest(ctx context.Context, name string) (n uint64, err error) {
	err = s.viewProperty(ctx, name, func(_ *bbolt.Tx, p property) error {
		n = p.n
		return nil
	})
	return n, err
}

func readPage(tx *bbolt.Tx, p property, at store.Position, limit int) (page []record, err error) {
	c := tx.Bucket(entriesBucket).Cursor()
	bytes := 0
	for n := at.N + 1; n <= p.n && len(page) < limit && bytes < pageBytes; n++ {
		want := numberKey(p.number, n)
		var key, sealed []byte
		if n == at.N+1 {
			key, sealed = c.Seek(want)
		} else {
			key, sealed = c.Next()
		}
		if string(key) != string(want) {
			return nil, damaged("entry %d is missing", n)
		}
		r, err := unsealRecord(key, sealed)
		if err != nil {
			return nil, err
		}
		page = append(page, r.copied())
		bytes += len(r.raw)
	}
	return page, nil
}

// readProperty finds a property; one without entries is the zero property.
func readProperty(tx *bbolt.Tx, name string) (property, error) {
	sealed := tx.Bucket(propsBucket).Get([]byte(name))
	if sealed == nil {
		return property{}, nil
	}
	return unsealProperty([]byte(name), sealed)
}

// checkPosition returns a *store.Fork when at is not a position of this register.
func (s *Store) checkPosition(tx *bbolt.Tx, name string, p property, at store.Position) error {
	if at == (store.Position{}) {
		return nil
	}
	if at.Epoch == s.epoch() && at.N <= p.n {
		here, err := s.position(tx, p, at.N)
		if err != nil || here == at {
			return err
		}
	}
	marks, err := s.marks(tx, p, min(at.N, p.n, s.branch(name, at.Epoch)))
	if err != nil {
		return err
	}
	return &store.Fork{Epochs: slices.Clone(s.epochs), Marks: marks}
}

// branch is up to where a property's register is still that of a former epoch.
func (s *Store) branch(name string, epoch register.ID) uint64 {
	branch := ^uint64(0)
	for i := len(s.epochs) - 1; i >= 0 && s.epochs[i].ID != epoch; i-- {
		branch = min(branch, s.epochs[i].Branch[name])
	}
	return branch
}

// marks are positions at n and ever farther before it, down to the beginning.
func (s *Store) marks(tx *bbolt.Tx, p property, n uint64) ([]store.Position, error) {
	var marks []store.Position
	for step := uint64(1); ; step *= 2 {
		mark, err := s.position(tx, p, n)
		if err != nil {
			return nil, err
		}
		marks = append(marks, mark)
		if n == 0 {
			return marks, nil
		}
		n -= min(n, step)
	}
}

func (s *Store) position(tx *bbolt.Tx, p property, n uint64) (store.Position, error) {
	here := store.Position{Epoch: s.epoch(), N: n}
	if n == 0 {
		return here, nil
	}
	key := numberKey(p.number, n)
	r, err := unsealRecord(key, tx.Bucket(entriesBucket).Get(key))
	here.Hash = r.chain
	return here, err
}

// End implements [store.Register].
func (s *Store) End(ctx context.Context, name string) (at store.Position, err error) {
	err = s.viewProperty(ctx, name, func(_ *bbolt.Tx, p property) error {
		at = store.Position{Epoch: s.epoch(), N: p.n, Hash: p.chain}
		return nil
	})
	return at, err
}

// Missing implements [store.Register].
func (s *Store) Missing(ctx context.Context, name string, ids []register.ID, may ...store.May) ([]register.ID, error) {
	var missing []register.ID
	for page := range slices.Chunk(ids, pageEntries) {
		err := s.viewProperty(ctx, name, func(tx *bbolt.Tx, p property) error {
			for _, id := range page {
				here, err := hasID(tx, p, id, may)
				if err != nil {
					return err
				}
				if !here {
					missing = append(missing, id)
				}
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return missing, nil
}

// EntriesOf implements [store.Register].
func (s *Store) EntriesOf(ctx context.Context, name, feature string) (all []register.Numbered, err error) {
	err = s.viewProperty(ctx, name, func(tx *bbolt.Tx, p property) error {
		if p.n == 0 {
			return nil
		}
		key := textKey(p.number, feature)
		sealed := tx.Bucket(featuresBucket).Get(key)
		if sealed == nil {
			return nil
		}
		newest, _, err := unsealState(key, sealed)
		if err != nil {
			return err
		}
		all, err = entriesOf(tx.Bucket(entriesBucket), p.number, feature, newest)
		return err
	})
	slices.Reverse(all)
	return all, err
}

func hasID(tx *bbolt.Tx, p property, id register.ID, may []store.May) (bool, error) {
	key := idKey(id)
	if key == nil {
		return false, nil
	}
	sealed := tx.Bucket(idsBucket).Get(key)
	if sealed == nil {
		return false, nil
	}
	at, err := unsealSized(key, sealed, 12)
	if err != nil {
		return false, err
	}
	if binary.BigEndian.Uint32(at) != p.number || len(may) == 0 {
		return binary.BigEndian.Uint32(at) == p.number, nil
	}
	r, err := unsealRecord(at, tx.Bucket(entriesBucket).Get(at))
	if err != nil {
		return false, err
	}
	e, err := register.Decode(r.raw)
	if err != nil {
		return false, damaged("entry %s cannot be read: %v", id, err)
	}
	return !slices.ContainsFunc(may, func(ok store.May) bool { return ok(&e) != nil }), nil
}
