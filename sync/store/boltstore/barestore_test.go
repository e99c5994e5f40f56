package boltstore

import (
	"encoding/binary"
	"testing"

	"go.etcd.io/bbolt"
)

// bareStore stores 500 bytes under a rising key and does nothing else.
type bareStore struct {
	db   *bbolt.DB
	jobs chan chan error
	last uint64
}

func openBare(t testing.TB, path string) *bareStore {
	db, err := bbolt.Open(path, 0o600, &bbolt.Options{FreelistType: bbolt.FreelistMapType, InitialMmapSize: mapBytes})
	if err == nil {
		err = db.Update(func(tx *bbolt.Tx) error { _, err := tx.CreateBucket([]byte("b")); return err })
	}
	if err != nil {
		t.Fatal(err)
	}
	b := &bareStore{db: db, jobs: make(chan chan error, 256)}
	go b.loop()
	t.Cleanup(func() { close(b.jobs); _ = db.Close() })
	return b
}

func (b *bareStore) loop() {
	for first := range b.jobs {
		jobs := []chan error{first}
		for more := true; more && len(jobs) < commitWork; {
			select {
			case j, open := <-b.jobs:
				if !open {
					return
				}
				jobs = append(jobs, j)
			default:
				more = false
			}
		}
		err := b.db.Update(func(tx *bbolt.Tx) error {
			for range jobs {
				if err := b.store(tx); err != nil {
					return err
				}
			}
			return nil
		})
		for _, j := range jobs {
			j <- err
		}
	}
}

func (b *bareStore) store(tx *bbolt.Tx) error {
	b.last++
	bucket := tx.Bucket([]byte("b"))
	bucket.FillPercent = 0.95
	return bucket.Put(binary.BigEndian.AppendUint64(make([]byte, 8), b.last), make([]byte, 500))
}

func (b *bareStore) put(batch bool) {
	if batch {
		_ = b.db.Batch(b.store)
		return
	}
	done := make(chan error, 1)
	b.jobs <- done
	<-done
}
