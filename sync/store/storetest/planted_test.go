package storetest_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"math/rand/v2"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
	"headcut/sync/store/storetest"
)

// recorder is a T that notes failures instead of failing.
type recorder struct {
	ctx context.Context
	mu  sync.Mutex
	why []string
}

func (r *recorder) Helper()                  {}
func (r *recorder) Logf(string, ...any)      {}
func (r *recorder) Context() context.Context { return r.ctx }
func (r *recorder) Errorf(format string, args ...any) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.why = append(r.why, fmt.Sprintf(format, args...))
}
func (r *recorder) Fatalf(format string, args ...any) {
	r.Errorf(format, args...)
	runtime.Goexit()
}

// failures runs a check on s and returns what it found.
func failures(t *testing.T, name string, s store.Register) []string {
	t.Helper()
	i := slices.IndexFunc(storetest.Checks, func(c storetest.Check) bool { return c.Name == name })
	if i < 0 {
		t.Fatalf("there is no check %s", name)
	}
	r := &recorder{ctx: t.Context()}
	done := make(chan struct{})
	go func() {
		defer close(done)
		storetest.Checks[i].Run(r, s)
	}()
	<-done
	return r.why
}

// honest is a store that keeps its promises, for the planted ones to break one each.
func honest(t *testing.T) store.Register {
	t.Helper()
	s, err := boltstore.Open(filepath.Join(t.TempDir(), "register.db"), boltstore.Options{NoFlush: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

// TestPlantedStoresFail: a store that breaks a promise does not get through the suite.
func TestPlantedStoresFail(t *testing.T) {
	cases := []struct {
		name, check string
		plant       func(store.Register) store.Register
	}{
		{"numbers-before-commit", "readers-see-every-number", func(s store.Register) store.Register { return &serial{Register: s, random: storetest.Random(t)} }},
		{"forgets-the-last", "numbers-and-chains", func(s store.Register) store.Register { return forgetful{s} }},
		{"forgets-the-last-at-random", "random-against-a-map", func(s store.Register) store.Register { return forgetful{s} }},
		{"rewrites-bytes", "keeps-bytes", func(s store.Register) store.Register { return rewriting{s} }},
		{"never-forked", "forks", func(s store.Register) store.Register { return unforked{s} }},
		{"behind", "pages", func(s store.Register) store.Register { return behind{s} }},
		{"short", "pages", func(s store.Register) store.Register { return short{s} }},
		{"lacks-nothing", "missing", func(s store.Register) store.Register { return complete{s} }},
		{"without-ignored", "some-features", func(s store.Register) store.Register { return butNothing{s} }},
		{"kinds-ignored", "some-features", func(s store.Register) store.Register { return anyKind{s} }},
		{"one-entry-alone", "some-features", func(s store.Register) store.Register { return lastEntry{s} }},
		{"silent", "watch", func(s store.Register) store.Register { return silent{s} }},
		{"hides-strikes", "clash-and-strike", func(s store.Register) store.Register { return hiding{s} }},
		{"takes-all-ids", "same-id-other-content", func(s store.Register) store.Register { return gullible{s} }},
		{"never-closes", "closed", func(s store.Register) store.Register { return ajar{s} }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if why := failures(t, c.check, honest(t)); len(why) > 0 {
				t.Fatalf("%s fails on an honest store: %s", c.check, why[0])
			}
			why := failures(t, c.check, c.plant(honest(t)))
			if len(why) == 0 {
				t.Fatalf("%s passes on a store that %s", c.check, c.name)
			}
			t.Logf("%s: %.200s", c.check, why[0])
		})
	}
}

// serial takes numbers from a sequence and shows an entry only once its commit is
// through, so that a reader may pass over a number that is still on its way.
type serial struct {
	store.Register
	random  *rand.Rand
	mu      sync.Mutex
	last    uint64
	visible []register.Numbered
}

func (s *serial) Append(_ context.Context, _ string, raw []json.RawMessage, _ ...store.May) ([]store.Receipt, error) {
	out := make([]store.Receipt, len(raw))
	for i, text := range raw {
		s.mu.Lock()
		s.last++
		n := register.Numbered{N: s.last, Hash: register.HashOf(text), Raw: text}
		late := time.Duration(0)
		if s.random.IntN(5) == 0 {
			late = time.Duration(s.random.IntN(8000)) * time.Microsecond
		}
		s.mu.Unlock()
		time.Sleep(late)
		s.mu.Lock()
		s.visible = append(s.visible, n)
		slices.SortFunc(s.visible, func(a, b register.Numbered) int { return int(a.N) - int(b.N) })
		s.mu.Unlock()
		out[i] = store.Receipt{N: n.N}
	}
	return out, nil
}

func (s *serial) EntriesAfter(_ context.Context, _ string, at store.Position, limit int) ([]register.Numbered, store.Position, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []register.Numbered
	for _, n := range s.visible {
		if n.N > at.N && len(out) < limit {
			out = append(out, n)
			at.N, at.Hash = n.N, register.Chain(at.Hash, n.Hash)
		}
	}
	return out, at, nil
}

// forgetful acknowledges the last of several entries without keeping it.
type forgetful struct{ store.Register }

func (s forgetful) Append(ctx context.Context, property string, raw []json.RawMessage, _ ...store.May) ([]store.Receipt, error) {
	if len(raw) < 2 {
		return s.Register.Append(ctx, property, raw)
	}
	r, err := s.Register.Append(ctx, property, raw[:len(raw)-1])
	if err != nil {
		return nil, err
	}
	last := r[len(r)-1]
	return append(r, store.Receipt{N: last.N + 1, HighSeq: last.HighSeq + 1}), nil
}

type rewriting struct{ store.Register }

func (s rewriting) EntriesAfter(ctx context.Context, property string, at store.Position, limit int) ([]register.Numbered, store.Position, error) {
	page, next, err := s.Register.EntriesAfter(ctx, property, at, limit)
	for i := range page {
		var b bytes.Buffer
		_ = json.Compact(&b, page[i].Raw)
		page[i].Raw = b.Bytes()
	}
	return page, next, err
}

// unforked goes on from the number of a foreign position.
type unforked struct{ store.Register }

func (s unforked) EntriesAfter(ctx context.Context, property string, at store.Position, limit int) ([]register.Numbered, store.Position, error) {
	page, next, err := s.Register.EntriesAfter(ctx, property, at, limit)
	if err != nil {
		return s.Register.EntriesAfter(ctx, property, store.Position{}, limit)
	}
	return page, next, err
}

// behind tells of the last entry late.
type behind struct{ store.Register }

func (s behind) Newest(ctx context.Context, property string) (uint64, error) {
	n, err := s.Register.Newest(ctx, property)
	return max(n, 1) - 1, err
}

// short gives an end that an entry stands after.
type short struct{ store.Register }

func (s short) End(ctx context.Context, property string) (store.Position, error) {
	at, err := s.Register.End(ctx, property)
	at.N = max(at.N, 1) - 1
	return at, err
}

type complete struct{ store.Register }

func (complete) Missing(context.Context, string, []register.ID, ...store.May) ([]register.ID, error) {
	return nil, nil
}

type anyKind struct{ store.Register }

func (s anyKind) FeaturesOf(ctx context.Context, property string, _ ...string) iter.Seq2[register.Folded, error] {
	return s.Register.Features(ctx, property)
}

type butNothing struct{ store.Register }

func (s butNothing) FeaturesBut(ctx context.Context, property string, _ func(string) bool) iter.Seq2[register.Folded, error] {
	return s.Register.Features(ctx, property)
}

type lastEntry struct{ store.Register }

func (s lastEntry) EntriesOf(ctx context.Context, property, feature string) ([]register.Numbered, error) {
	all, err := s.Register.EntriesOf(ctx, property, feature)
	return all[max(0, len(all)-1):], err
}

type silent struct{ store.Register }

func (silent) Watch(ctx context.Context, _ string) (<-chan uint64, error) {
	c := make(chan uint64)
	context.AfterFunc(ctx, func() { close(c) })
	return c, nil
}

// hiding leaves out what was struck.
type hiding struct{ store.Register }

func (s hiding) Features(ctx context.Context, property string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		for f, err := range s.Register.Features(ctx, property) {
			if !f.Struck && !yield(f, err) {
				return
			}
		}
	}
}

// gullible calls every refusal a known entry.
type gullible struct{ store.Register }

func (s gullible) Append(ctx context.Context, property string, raw []json.RawMessage, _ ...store.May) ([]store.Receipt, error) {
	r, err := s.Register.Append(ctx, property, raw)
	for i := range r {
		r[i].Refused, r[i].Known = "", true
	}
	return r, err
}

// ajar goes on after it was closed.
type ajar struct{ store.Register }

func (ajar) Close() error { return nil }

func (ajar) Watch(context.Context, string) (<-chan uint64, error) {
	c := make(chan uint64)
	close(c)
	return c, nil
}
