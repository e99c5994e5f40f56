package server

import (
	"context"
	"iter"
	"slices"
	"sync"

	"headcut/model"
	"headcut/sync/register"
)

// linkPhotos remembers which photos the page of each property shows, as of the newest entry
// of each register that the property is kept in: a page asks for dozens of them.
type linkPhotos struct {
	mu    sync.Mutex
	known map[string]shownPhotos // by property
}

type shownPhotos struct {
	newest []uint64
	shas   map[string]bool
}

// shows tells whether the page of a property shows a photo.
func (s *Server) shows(ctx context.Context, property, sha string) (bool, error) {
	var newest []uint64 // before the features are read, so that what arrives meanwhile counts as newer
	for _, part := range s.parts(property) {
		n, err := s.store.Newest(ctx, part)
		if err != nil {
			return false, err
		}
		newest = append(newest, n)
	}
	l := &s.linkPhotos
	l.mu.Lock()
	defer l.mu.Unlock()
	if kept, ok := l.known[property]; ok && slices.Equal(kept.newest, newest) {
		return kept.shas[sha], nil
	}
	shas, err := photosShown(s.folded(ctx, property))
	if err != nil {
		return false, err
	}
	if l.known == nil || len(l.known) >= mostKept {
		l.known = map[string]shownPhotos{}
	}
	l.known[property] = shownPhotos{newest, shas}
	return shas[sha], nil
}

// photosShown are the photos that a page shows of these features, by the rule of
// [photosOf]: those of what is shared and of the visits to it.
func photosShown(features iter.Seq2[register.Folded, error]) (map[string]bool, error) {
	shas := map[string]bool{}
	show := func(f model.Feature) {
		for _, sha := range photoList(f) {
			shas[sha] = true
		}
	}
	open := map[string]bool{}
	var visits []model.Feature
	for folded, err := range features {
		if err != nil {
			return nil, err
		}
		f := folded.Model()
		switch {
		case folded.Struck || f.Yes("sensitive"):
		case f.Kind == "visit":
			visits = append(visits, f)
		case shared(f):
			open[f.ID] = true
			show(f)
		}
	}
	for _, v := range visits {
		if open[v.Text("of")] {
			show(v)
		}
	}
	return shas, nil
}
