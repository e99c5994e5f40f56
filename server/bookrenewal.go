package server

import (
	"context"
	"encoding/json"
	"errors"
	"iter"
	"maps"
	"slices"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Books stay in memory of so many features in all, some 2.3 KB each, those last looked at; an empty
// one counts as leastBook. That of the one that was looked at last stays in any case.
const (
	mostBookFeatures = 150_000
	leastBook        = 150
)

// mostRenewed is how many entries at most are looked at one by one: when more have come, the
// property is read from its beginning.
const mostRenewed = 5000

// withBook runs work on the book of a property as the register is now. It is only ever an
// entry's work behind, unless the property has to be read from its beginning.
func (s *Server) withBook(ctx context.Context, property string, work func(*linkBook) error) error {
	b := s.books.of(property, newLinkBook)
	b.mu.Lock()
	defer b.mu.Unlock()
	err := s.renewBook(context.WithoutCancel(ctx), property, b) // others wait for it too
	s.books.weigh(property, b, max(leastBook, b.sheets.Len()))
	if err != nil {
		return err
	}
	return work(b)
}

// renewBook takes in what came since the last time. Should it not get to its end, the next
// call reads the property from its beginning.
func (s *Server) renewBook(ctx context.Context, property string, b *linkBook) error {
	want, err := s.version(ctx, property) // before the features are read: what arrives meanwhile counts as newer
	if err != nil {
		return err
	}
	at := b.at
	b.at = version{}
	if at.near(want, max(mostRenewed, int64(b.sheets.Len()))) {
		at, err = s.entriesSince(ctx, at, func(ids []string) error {
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
	return when(s.reading, func() error {
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

// when runs what reads a whole property, when there is a place for it.
func when(places chan struct{}, work func() error) error {
	places <- struct{}{}
	defer func() { <-places }()
	return work()
}

// entriesSince names the features of the entries that came since at, register by register, and
// returns up to where it has read.
func (s *Server) entriesSince(ctx context.Context, at version, changed func(ids []string) error) (version, error) {
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
			if err := changed(slices.Sorted(maps.Keys(ids))); err != nil {
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
