package boltstore

import (
	"cmp"
	"errors"
	"iter"
	"os"
	"slices"

	"go.etcd.io/bbolt"
)

// foundRecord is where a record lies in a file.
type foundRecord struct {
	property, size uint32 // size of its value
	n              uint64
	at             int64 // of its key, which its value follows
}

// recordKey is how long a record's key is (numberKey).
const recordKey = 12

// propertyRow is what the newest row of a property says.
type propertyRow struct {
	id     string
	newest uint64
}

// foundNotes are the places of all records that were found, in a file of their own by property,
// number and place, which is removed afterwards.
type foundNotes struct {
	db      *bbolt.DB
	pending []foundRecord
	rows    map[uint32]propertyRow // by the number of a property
	err     error                  // of properties
}

// noteAtOnce is how many places are noted in one transaction.
const noteAtOnce = 5_000

var placesBucket = []byte("places")

func openNotes(path string) (*foundNotes, error) {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) { // of one that was cut short
		return nil, err
	}
	db, err := bbolt.Open(path, 0o600, &bbolt.Options{NoSync: true, NoFreelistSync: true, FreelistType: bbolt.FreelistMapType})
	if err != nil {
		return nil, err
	}
	err = db.Update(func(tx *bbolt.Tx) error { _, err := tx.CreateBucket(placesBucket); return err })
	return &foundNotes{db: db, rows: map[uint32]propertyRow{}}, err
}

func (r *foundNotes) close() error {
	path := r.db.Path() // which closing forgets
	return errors.Join(r.db.Close(), os.Remove(path))
}

// note writes what is pending, once it is much or all is wanted.
func (r *foundNotes) note(all bool) error {
	if len(r.pending) == 0 || len(r.pending) < noteAtOnce && !all {
		return nil
	}
	slices.SortFunc(r.pending, func(a, b foundRecord) int {
		return cmp.Or(cmp.Compare(a.property, b.property), cmp.Compare(a.n, b.n), cmp.Compare(a.at, b.at))
	})
	err := r.db.Update(func(tx *bbolt.Tx) error {
		places := tx.Bucket(placesBucket)
		for _, one := range r.pending {
			if err := places.Put(append(numberKey(one.property, one.n), u64(uint64(one.at))...), u32(one.size)); err != nil {
				return err
			}
		}
		return nil
	})
	r.pending = r.pending[:0]
	return err
}

// properties gives the number of each property and its records, by their numbers, all of which
// are to be taken; r.err then tells whether all could be read.
func (r *foundNotes) properties() iter.Seq2[uint32, iter.Seq[foundRecord]] {
	return func(yield func(uint32, iter.Seq[foundRecord]) bool) {
		r.err = r.db.View(func(tx *bbolt.Tx) error {
			places := tx.Bucket(placesBucket).Cursor()
			key, value := places.First()
			for key != nil {
				number := beU32(key)
				records := func(yield func(foundRecord) bool) {
					for key != nil && beU32(key) == number {
						one := foundRecord{property: number, n: beU64(key[4:]), at: int64(beU64(key[12:])), size: beU32(value)}
						key, value = places.Next()
						if !yield(one) {
							return
						}
					}
				}
				if !yield(number, records) {
					return nil
				}
			}
			return nil
		})
	}
}
