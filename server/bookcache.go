package server

import (
	"context"
	"encoding/json"
	"errors"
	"iter"
	"maps"
	"slices"
	"sync"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// How many properties' books stay in memory, those last looked at, and of how many features
// in all, some 2.3 KB each. That of the one that was looked at last stays in any case.
const (
	mostBooks        = 1000
	mostBookFeatures = 150_000
)

// bookCache are the books of the properties that were looked at last.
type bookCache struct {
	mu   sync.Mutex
	last []cachedBook // the latest first
}

type cachedBook struct {
	id   string
	book *landBook
}

// of returns the book of a property, in which nothing may have been taken in yet.
func (k *bookCache) of(id string) *landBook {
	k.mu.Lock()
	defer k.mu.Unlock()
	at := slices.IndexFunc(k.last, func(b cachedBook) bool { return b.id == id })
	b := cachedBook{id, nil}
	if at >= 0 {
		b = k.last[at]
		k.last = slices.Delete(k.last, at, at+1)
	} else {
		b.book = newLandBook()
	}
	k.last = slices.Insert(k.last, 0, b)
	k.trim()
	return b.book
}

// bound drops the oldest books when those that were made meanwhile are too many.
func (k *bookCache) bound() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.trim()
}

// trim keeps to the limits. mu is held.
func (k *bookCache) trim() {
	features := int64(0)
	for i, b := range k.last {
		if features += b.book.features.Load(); i == mostBooks || i > 0 && features > mostBookFeatures {
			clear(k.last[i:])
			k.last = k.last[:i]
			return
		}
	}
}

// withBook runs work on the book of a property as the register is now. It is only ever an
// entry's work behind, unless the property has to be read from its beginning.
func (s *Server) withBook(ctx context.Context, property string, work func(*landBook) error) error {
	defer s.kept.bound()
	b := s.kept.of(property)
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := s.renewBook(ctx, property, b); err != nil {
		return err
	}
	return work(b)
}

// renewBook takes in what came since the last time. Should it not get to its end, the next
// call reads the property from its beginning.
func (s *Server) renewBook(ctx context.Context, property string, b *landBook) error {
	want, err := s.version(ctx, property) // before the features are read: what arrives meanwhile counts as newer
	if err != nil {
		return err
	}
	at := b.at
	b.at = version{}
	if at.near(want, max(mostRenewed, b.features.Load())) {
		at, err = s.entriesSince(ctx, at, func(_ string, ids []string) error {
			return b.take(s.ofParts(at.parts, func(part string) iter.Seq2[register.Folded, error] { return s.store.FeaturesNamed(ctx, part, ids) }))
		})
		if err == nil {
			b.at = at
			return b.pack()
		}
		if !errors.Is(err, store.ErrForked) {
			return err
		}
	}
	return when(s.views.reading, func() error {
		b.begin()
		if want, err = s.version(ctx, property); err != nil {
			return err
		}
		if err := b.take(s.ofParts(want.parts, func(part string) iter.Seq2[register.Folded, error] { return s.store.Features(ctx, part) })); err != nil {
			return err
		}
		if err := b.pack(); err != nil {
			return err
		}
		b.at = want
		return nil
	})
}

// entriesSince names the features of the entries that came since at, register by register, and
// returns up to where it has read.
func (s *Server) entriesSince(ctx context.Context, at version, changed func(part string, ids []string) error) (version, error) {
	at.ends = slices.Clone(at.ends)
	for i, part := range at.parts {
		for {
			entries, next, err := s.store.EntriesAfter(ctx, part, at.ends[i], entriesAtOnce)
			if err != nil {
				return version{}, err
			}
			if len(entries) == 0 {
				break
			}
			ids := map[string]bool{}
			for _, e := range entries {
				ids[e.Entry.Feature] = true
			}
			if err := changed(part, slices.Sorted(maps.Keys(ids))); err != nil {
				return version{}, err
			}
			at.ends[i] = next
		}
	}
	return at, nil
}

// entriesAtOnce is how many entries are looked at together.
const entriesAtOnce = 500

// nameless is a feature that sentences about its neighbours cannot call by its name.
func nameless(f model.Feature) model.Feature { return withField(f, "name", nil) }

// withField is a feature with another value of a field, or without it.
func withField(f model.Feature, name string, value json.RawMessage) model.Feature {
	f.Fields = maps.Clone(f.Fields)
	if f.Fields[name] = value; value == nil {
		delete(f.Fields, name)
	}
	return f
}
