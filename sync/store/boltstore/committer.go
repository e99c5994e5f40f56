package boltstore

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime"
	"time"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// commitWork is about how much work, counted in common entries, shares a commit: the flush
// costs the same for one as for this many, and more would only make the others wait.
const commitWork = 1000

// What counts as one common entry of work: bytes of an entry and of a feature's state that
// are read and written again, and entries that a feature is gathered from.
const (
	entryBytesOfWork = 1 << 10
	stateBytesOfWork = 2 << 10
	gatheredOfWork   = 20
)

// job is one Append on its way through the committer.
type job struct {
	property string
	items    []item
	receipts []store.Receipt
	next     int    // of items; those before it are done
	touched  bool   // it is in the present commit
	grown    uint64 // newest number of the property after it, 0 when nothing was added
	cloned   []int  // items whose numbers on the device others have
	unread   string // the feature whose past must be read before it goes on
	past     *past  // what was read for it
	owes     bool   // its device must wait before it goes on
	result   chan error
}

// device is whose turn the job takes.
func (j *job) device() string {
	for i := range j.items {
		if j.items[i].refused == "" {
			return j.items[i].entry.Device
		}
	}
	return ""
}

// item is one entry of a job.
type item struct {
	raw     []byte // part of room
	room    []byte // for its record
	hash    register.Hash
	entry   register.Entry
	refused string // why, when the entry could not even be read
}

// Append implements [store.Register]. When ctx ends while the entries wait for their
// commit, it is unknown whether they were taken: send them again.
func (s *Store) Append(ctx context.Context, property string, raw []json.RawMessage, may ...store.May) ([]store.Receipt, error) {
	if !register.ValidID(property) {
		return nil, &model.Problem{Path: "property", Reason: fmt.Sprintf("%q is not a property's id", property)}
	}
	j := &job{property: property, items: make([]item, len(raw)), receipts: make([]store.Receipt, len(raw)), result: make(chan error, 1)}
	room := roomFor(raw)
	for i, text := range raw {
		room = j.items[i].read(property, text, room, may)
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
	for {
		err := s.await(ctx, j)
		if errors.Is(err, errUnread) || errors.Is(err, errOwes) {
			continue
		}
		if err == nil {
			err = s.findHidden(ctx, j)
		}
		if err != nil {
			return nil, err
		}
		return j.receipts, nil
	}
}

// await has a job committed, after what it needs has been read. When it fails, the job may still be
// the committer's, and is not to be touched any more.
func (s *Store) await(ctx context.Context, j *job) error {
	if j.unread != "" { // one job at a time: what it needs may be much
		select {
		case s.walking <- struct{}{}:
			defer func() { <-s.walking }()
		case <-ctx.Done():
			return ctx.Err()
		}
		if err := s.readPast(ctx, j); err != nil {
			return err
		}
	}
	for j.owes = false; ; { // outside the queue, where others have their place
		wait := s.rewrites.wait(j.device(), time.Now())
		if wait == 0 {
			break
		}
		select {
		case <-time.After(wait):
		case <-s.quit:
			return store.ErrClosed
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	select {
	case s.room <- struct{}{}:
	case <-s.quit:
		return store.ErrClosed
	case <-ctx.Done():
		return ctx.Err()
	}
	s.queue.put(j)
	select {
	case err := <-j.result:
		return err
	case <-ctx.Done():
		return ctx.Err()
	case <-s.done:
	}
	select { // it may have been among the last
	case err := <-j.result:
		return err
	default:
		return store.ErrClosed
	}
}

// roomFor is memory for the records of all entries of a job, in one piece.
func roomFor(raw []json.RawMessage) []byte {
	size := 0
	for _, text := range raw {
		if len(text) <= register.EntryBytes {
			size += recordStart + len(text)
		}
	}
	return make([]byte, size)
}

// read reads an entry into the front of room, and gives what is left of it.
func (it *item) read(property string, text, room []byte, may []store.May) (left []byte) {
	if len(text) > register.EntryBytes {
		_, err := register.DecodeNew(text)
		it.refused = inWords(err)
		return room
	}
	it.room, it.raw, left = unsealed(text, room) // the caller may go before the committer is done
	it.hash = register.HashOf(it.raw)
	var err error
	if it.entry, err = register.DecodeNew(it.raw); err != nil {
		it.refused = inWords(err)
		return left
	}
	for _, allows := range may {
		if p := allows(&it.entry); p != nil {
			it.refused = p.Words()
			return left
		}
	}
	if it.entry.Property != property {
		p := model.Problem{Path: "property", Reason: fmt.Sprintf("%q is not %q, whose register this is", it.entry.Property, property),
			Fix: "send the entry to its own property"}
		it.refused = p.Words()
	}
	return left
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
	case errors.Is(why, store.ErrDamaged), errors.Is(why, store.ErrReadOnly):
		return why
	default:
		return fmt.Errorf("%w (%v)", store.ErrStopped, why)
	}
}

func (s *Store) commitLoop() {
	defer close(s.done)
	for {
		select {
		case <-s.queue.wake:
			for s.queue.next() != nil {
				s.commit()
			}
		case <-s.quit:
			for s.queue.next() != nil {
				s.commit()
			}
			return
		}
	}
}

// commit makes what waits durable, as much as shares a commit, and answers the jobs that are
// over.
func (s *Store) commit() {
	var jobs []*job
	err := s.refusal()
	if err == nil {
		err = guarded(func() error {
			return s.update(func(tx *bbolt.Tx) error { return s.appendTurns(newBatch(tx, s.now().UTC()), &jobs) })
		})
		switch {
		case err == nil: // what went into a file that is no more there is not acknowledged
			if err = s.inPlace(); err != nil {
				err = s.refusal()
			}
		case full(err):
			err = fmt.Errorf("%w (%w)", store.ErrFull, err)
		default:
			s.stop(err)
			err = s.refusal()
		}
	} else if j := s.queue.next(); j != nil {
		jobs = append(jobs, j)
	}
	for _, j := range jobs {
		j.touched = false
		if err == nil && j.grown > 0 {
			s.tell(j.property, j.grown)
		}
		answer := err
		switch {
		case err != nil:
			s.queue.drop(j)
		case j.unread != "":
			answer = errUnread
		case j.owes:
			answer = errOwes
		case j.next < len(j.items):
			continue // the rest is for another commit
		}
		j.past = nil
		<-s.room
		j.result <- answer
	}
}

// yields is how often the committer lets others run before it goes with what it has: the
// devices just answered are about to send again, and share the commit if they may.
const yields = 3

// appendTurns puts into a batch what waits, device by device, without waiting for more. It
// notes the jobs of which it took something.
func (s *Store) appendTurns(b *batch, jobs *[]*job) error {
	for yielded := 0; b.work < commitWork && yielded <= yields; {
		j := s.queue.next()
		if j == nil {
			runtime.Gosched()
			yielded++
			continue
		}
		if !j.touched {
			j.touched, j.grown = true, 0
			*jobs = append(*jobs, j)
		}
		gathered := b.gathered
		device := j.device()
		j.owes = s.rewrites.wait(device, time.Now()) > 0
		for took := 0; j.next < len(j.items) && j.unread == "" && !j.owes && took < turnWork; {
			before, rewritten, once := b.work, b.rewritten, b.gathered > gathered
			raw := len(j.items[j.next].raw)
			if err := b.item(j); err != nil {
				return err
			}
			if b.rewritten > rewritten && !s.noFlush {
				now := time.Now()
				s.rewrites.charge(device, b.rewritten-rewritten, raw, now)
				j.owes = j.next < len(j.items) && s.rewrites.wait(device, now) > 0
			}
			if b.gathered > gathered && !once { // what follows of its feature would have it gathered again
				took = turnWork - frameEntries
				continue
			}
			took += b.work - before
		}
		s.queue.turn(j.next == len(j.items) || j.unread != "" || j.owes)
	}
	return b.flush()
}

// item adds the job's next entry. When its feature's past must be read first, the job says so.
func (b *batch) item(j *job) error {
	it := &j.items[j.next]
	b.work += 1 + len(it.raw)/entryBytesOfWork
	r, err := b.add(j, it)
	if errors.Is(err, errUnread) {
		j.unread = it.entry.Feature
		return nil
	}
	if err != nil {
		return err
	}
	if j.receipts[j.next] = r; r.Cloned {
		j.cloned = append(j.cloned, j.next)
	}
	if r.N > 0 && !r.Known {
		j.grown = r.N
	}
	j.next++
	return nil
}
