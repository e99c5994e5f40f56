package server

import (
	"context"
	"errors"
	"slices"
	"sync"

	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
)

// shownPhotos knows by their hashes which photos the page of a property shows, by the rule
// of [photosOf]: those of what is shared and of the visits to it. An entry that arrives has
// only its own feature looked at again.
type shownPhotos struct {
	mu    sync.RWMutex
	open  map[string]int                  // by id of a feature: in how many of the property's registers it is shared
	off   map[string]int                  // and in how many it is kept off: of visits too
	holds map[partFeature]holding         // what is shared, and visits
	by    map[register.Hash][]partFeature // by photo
}

func newShownPhotos() *shownPhotos {
	return &shownPhotos{open: map[string]int{}, off: map[string]int{}, holds: map[partFeature]holding{}, by: map[register.Hash][]partFeature{}}
}

// partFeature is a feature in one of the registers that a property is kept in.
type partFeature struct{ part, id string }

// holding is a feature that shows photos while the feature of an id is shared: itself, or of
// a visit what was visited.
type holding struct {
	of     string
	visit  bool
	off    bool
	photos []register.Hash
}

// mostRenewed is how many entries at most are looked at one by one: when more have come, the
// property is read from its beginning.
const mostRenewed = 5000

// shows tells whether the page of a property shows a photo.
func (s *Server) shows(ctx context.Context, property string, sha register.Hash) (bool, error) {
	want, err := s.version(ctx, property)
	if err != nil {
		return false, err
	}
	v := s.views.view(property)
	whole := context.WithoutCancel(ctx) // others wait for it too
	shown, err := v.photos.of(ctx, want, func(former *shownPhotos, at version) (*shownPhotos, version, error) {
		if former != nil && at.near(want, mostRenewed) {
			next, err := s.renewPhotos(whole, former, at)
			if !errors.Is(err, store.ErrForked) {
				s.views.weigh(property, v, &v.photoBytes, former.size())
				return former, next, err
			}
		}
		var made *shownPhotos
		err := when(s.views.building, func() (err error) {
			if at, err = s.version(whole, property); err != nil { // before the features are read: what arrives meanwhile counts as newer
				return err
			}
			made, err = s.readPhotos(whole, at.parts)
			return err
		})
		if err == nil {
			s.views.weigh(property, v, &v.photoBytes, made.size())
		}
		return made, at, err
	})
	if err != nil {
		return false, err
	}
	return shown.shows(sha), nil
}

// near tells whether at most so many entries of each register lead from v to w.
func (v version) near(w version, most int64) bool {
	if len(v.parts) == 0 || !slices.Equal(v.parts, w.parts) {
		return false
	}
	for i, end := range v.ends {
		if end.Epoch != w.ends[i].Epoch || end.N+uint64(most) < w.ends[i].N {
			return false
		}
	}
	return true
}

// readPhotos reads every feature of a property.
func (s *Server) readPhotos(ctx context.Context, parts []string) (*shownPhotos, error) {
	p := newShownPhotos()
	for _, part := range parts {
		for folded, err := range s.store.Features(ctx, part) {
			if err != nil {
				return nil, err
			}
			p.change(part, folded)
		}
	}
	return p, nil
}

// renewPhotos looks again at the features of the entries that came since at.
func (s *Server) renewPhotos(ctx context.Context, p *shownPhotos, at version) (version, error) {
	return s.entriesSince(ctx, at, func(part string, ids []string) error {
		for folded, err := range s.store.FeaturesNamed(ctx, part, ids) {
			if err != nil {
				return err
			}
			p.change(part, folded)
		}
		return nil
	})
}

// change takes in a feature as it is now.
func (p *shownPhotos) change(part string, folded register.Folded) {
	f := agreed(folded)
	p.mu.Lock()
	defer p.mu.Unlock()
	at := partFeature{part, f.ID}
	p.forget(at)
	now := holding{of: f.ID}
	switch {
	case folded.Struck:
		return
	case keptOff(folded):
		now.off = true
		p.off[f.ID]++
		p.holds[at] = now
		return
	case f.Kind == "visit":
		now.of, now.visit = f.Text("of"), true
	case sharedKind(f.Kind):
		p.open[f.ID]++
	default:
		return
	}
	for _, text := range photoList(f) {
		if sha, err := photo.ParseSHA(text); err == nil {
			now.photos = append(now.photos, sha)
			p.by[sha] = append(p.by[sha], at)
		}
	}
	p.holds[at] = now
}

// forget takes out a feature as it was. mu is held.
func (p *shownPhotos) forget(at partFeature) {
	was, ok := p.holds[at]
	if !ok {
		return
	}
	delete(p.holds, at)
	switch {
	case was.off:
		if p.off[was.of]--; p.off[was.of] == 0 {
			delete(p.off, was.of)
		}
	case !was.visit:
		if p.open[was.of]--; p.open[was.of] == 0 {
			delete(p.open, was.of)
		}
	}
	for _, sha := range was.photos {
		p.by[sha] = slices.DeleteFunc(p.by[sha], func(other partFeature) bool { return other == at })
		if len(p.by[sha]) == 0 {
			delete(p.by, sha)
		}
	}
}

func (p *shownPhotos) shows(sha register.Hash) bool {
	p.mu.RLock()
	defer p.mu.RUnlock()
	return slices.ContainsFunc(p.by[sha], func(at partFeature) bool {
		of := p.holds[at].of
		return p.open[of] > 0 && p.off[of] == 0 && p.off[at.id] == 0
	})
}

// size is about how many bytes it takes.
func (p *shownPhotos) size() int {
	p.mu.RLock()
	defer p.mu.RUnlock()
	return 256*len(p.holds) + 256*len(p.by)
}
