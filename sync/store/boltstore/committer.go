package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// commitEntries is about how many entries share a commit: the flush costs the same for
// one as for this many, and more would only make the first ones wait.
const commitEntries = 1000

// job is one Append on its way through the committer.
type job struct {
	property string
	items    []item
	receipts []store.Receipt
	grown    uint64 // newest number of the property after it, 0 when nothing was added
	result   chan error
}

// item is one entry of a job.
type item struct {
	raw     []byte
	entry   register.Entry
	refused string // why, when the entry could not even be read
}

// Append implements [store.Register]. When ctx ends while the entries wait for their
// commit, it is unknown whether they were taken: send them again.
func (s *Store) Append(ctx context.Context, property string, raw []json.RawMessage) ([]store.Receipt, error) {
	if !register.ValidID(property) {
		return nil, &model.Problem{Path: "property", Reason: fmt.Sprintf("%q is not a property's id", property)}
	}
	j := &job{property: property, items: make([]item, len(raw)), receipts: make([]store.Receipt, len(raw)), result: make(chan error, 1)}
	for i, text := range raw {
		j.items[i] = readItem(property, text)
	}
	if s.closed.Load() {
		return nil, store.ErrClosed
	}
	if err := s.refusal(); err != nil {
		return nil, err
	}
	if len(raw) == 0 {
		return j.receipts, nil
	}
	select {
	case s.jobs <- j:
	case <-s.quit:
		return nil, store.ErrClosed
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	select {
	case err := <-j.result:
		return j.answer(err)
	case <-ctx.Done():
		return nil, ctx.Err()
	case <-s.done:
	}
	select { // it may have been among the last
	case err := <-j.result:
		return j.answer(err)
	default:
		return nil, store.ErrClosed
	}
}

func (j *job) answer(err error) ([]store.Receipt, error) {
	if err != nil {
		return nil, err
	}
	return j.receipts, nil
}

func readItem(property string, text []byte) item {
	if len(text) > register.EntryBytes {
		_, err := register.Decode(text)
		return item{refused: inWords(err)}
	}
	it := item{raw: bytes.Clone(text)} // the caller may go before the committer is done
	var err error
	if it.entry, err = register.Decode(it.raw); err != nil {
		it.refused = inWords(err)
	} else if it.entry.Property != property {
		p := model.Problem{Path: "property", Reason: fmt.Sprintf("%q is not %q, whose register this is", it.entry.Property, property),
			Fix: "send the entry to its own property"}
		it.refused = p.Words()
	}
	return it
}

// inWords is why an entry is refused, as the officer whose phone sent it reads it.
func inWords(err error) string {
	if p, ok := errors.AsType[*model.Problem](err); ok {
		return p.Words()
	}
	return err.Error()
}

// refusal is the error of a store that takes nothing more.
func (s *Store) refusal() error {
	switch why := s.Stopped(); {
	case why == nil:
		return nil
	case errors.Is(why, store.ErrDamaged):
		return why
	default:
		return fmt.Errorf("%w (%v)", store.ErrStopped, why)
	}
}

func (s *Store) commitLoop() {
	defer close(s.done)
	for {
		select {
		case j := <-s.jobs:
			s.commit(s.drain(j))
		case <-s.quit:
			for {
				select {
				case j := <-s.jobs:
					s.commit(s.drain(j))
				default:
					return
				}
			}
		}
	}
}

// yields is how often the committer lets others run before it goes with what it has: the
// devices just answered are about to send again, and share the commit if they may.
const yields = 3

// drain takes what waits, without waiting for more.
func (s *Store) drain(first *job) []*job {
	jobs, entries := []*job{first}, len(first.items)
	for yielded := 0; entries < commitEntries && yielded <= yields; {
		select {
		case j := <-s.jobs:
			jobs = append(jobs, j)
			entries += len(j.items)
		default:
			runtime.Gosched()
			yielded++
		}
	}
	return jobs
}

// commit makes jobs durable and answers them.
func (s *Store) commit(jobs []*job) {
	err := s.refusal()
	if err == nil {
		err = guarded(func() error {
			return s.update(func(tx *bbolt.Tx) error { return s.appendAll(tx, jobs) })
		})
		switch {
		case err == nil: // what went into a file that is no more there is not acknowledged
			if err = s.inPlace(); err != nil {
				err = s.refusal()
			}
		case full(err):
			err = fmt.Errorf("%w (%v)", store.ErrFull, err)
		default:
			s.stop(err)
			err = s.refusal()
		}
	}
	for _, j := range jobs {
		j.result <- err
		if err == nil && j.grown > 0 {
			s.tell(j.property, j.grown)
		}
	}
}

func (s *Store) appendAll(tx *bbolt.Tx, jobs []*job) error {
	b := newBatch(tx, s.now().UTC())
	for _, j := range jobs {
		j.grown = 0
		for i := range j.items {
			r, err := b.add(j.property, &j.items[i])
			if err != nil {
				return err
			}
			j.receipts[i] = r
			if r.N > 0 && !r.Known {
				j.grown = r.N
			}
		}
	}
	return b.flush()
}
