package server

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"sync"
	"time"

	"headcut/sync/exchange"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// Photos that features name and that are not here: not sent yet, or lost with the photo folder
// or by a restore. Phones keep what they sent, so each is asked at its connection for those that it
// brought in, some at a time. For the office's lists all are looked for each time.

// How often connections have photos of a property looked for: all of them, which finds those that were
// deleted from the folder, and those that were absent. What entries name since is looked for at once.
const (
	allAgainAfter    = 10 * time.Minute
	absentAgainAfter = 10 * time.Second
)

// absentPhoto is a photo that is not here.
type absentPhoto struct {
	sha     register.Hash
	brought []string // devices, as broughtBy
}

// absentPhotos remembers what was found absent, by property, and the last photo that each device was
// asked for, where it has more than it was asked for at once.
type absentPhotos struct {
	of    sync.Map // *absence
	asked sync.Map // register.Hash
}

type absence struct {
	mu      sync.Mutex
	all     time.Time // when all were looked for
	last    time.Time // when the absent ones were
	at      store.Position
	names   int // that were looked for, as of at
	missing []register.Hash
	photos  []absentPhoto // those of the missing that features still name
}

// wantedPhotos are the absent photos that a device brought in, under its id or a former one, at
// most wire.MaxPhotos: at the next connection it is asked for those that follow.
func (s *Server) wantedPhotos(ctx context.Context, grant exchange.Grant) ([]register.Hash, error) {
	s.office.mu.RLock()
	ids := []string{grant.Device}
	if d := s.office.devices.one(byDevice, grant.Device); d != nil {
		ids = append(ids, d.FormerIDs...)
	}
	s.office.mu.RUnlock()
	var wanted []register.Hash
	has := map[register.Hash]bool{}
	for _, property := range grant.Properties {
		absent, err := s.absentOf(ctx, property, allAgainAfter)
		if err != nil {
			return nil, err
		}
		for _, p := range absent {
			if slices.ContainsFunc(p.brought, func(device string) bool { return slices.Contains(ids, device) }) && !has[p.sha] {
				has[p.sha] = true
				wanted = append(wanted, p.sha)
			}
		}
	}
	if len(wanted) <= wire.MaxPhotos {
		s.absent.asked.Delete(grant.Device)
		return wanted, nil
	}
	if last, asked := s.absent.asked.Load(grant.Device); asked {
		next := slices.Index(wanted, last.(register.Hash)) + 1 // the first again, when that one has come
		wanted = slices.Concat(wanted[next:], wanted[:next])
	}
	s.absent.asked.Store(grant.Device, wanted[wire.MaxPhotos-1])
	return wanted[:wire.MaxPhotos], nil
}

// absentOf looks for the absent photos of a property: for all that it names, unless that was done
// within a time.
func (s *Server) absentOf(ctx context.Context, property string, within time.Duration) ([]absentPhoto, error) {
	found, _ := s.absent.of.LoadOrStore(property, &absence{})
	a := found.(*absence)
	a.mu.Lock()
	defer a.mu.Unlock()
	names := s.photoNames.of(property)
	if _, err := names.brought(ctx, s.store, property, register.Hash{}); err != nil {
		return nil, err
	}
	all, at := names.all()
	now := s.now()
	sought := all
	if now.Sub(a.all).Abs() < within {
		if at == a.at && now.Sub(a.last).Abs() < absentAgainAfter {
			return a.photos, nil
		}
		sought = slices.Concat(a.missing, all[a.names:])
	}
	missing, err := photo.Missing(ctx, s.photos, sought)
	if err != nil {
		return nil, err
	}
	// A photo may have been taken off a feature since: only the few that are missing are looked at.
	var features []string
	for _, sha := range missing {
		features = append(features, names.features(sha)...)
	}
	slices.Sort(features)
	shown := map[register.Hash]bool{}
	for folded, err := range s.store.FeaturesNamed(ctx, property, slices.Compact(features)) {
		if err != nil {
			return nil, err
		}
		var named []register.Hash
		_ = json.Unmarshal(folded.Fields["photos"], &named) // what is no list of photos names none
		for _, sha := range named {
			shown[sha] = true
		}
	}
	photos := []absentPhoto{}
	for _, sha := range missing {
		if shown[sha] {
			photos = append(photos, absentPhoto{sha, names.broughtBy(sha)})
		}
	}
	if len(sought) == len(all) {
		a.all = now
	}
	a.last, a.at, a.names, a.missing, a.photos = now, at, len(all), missing, photos
	return photos, nil
}

// all are the photos that are named, in the order in which they first were, and up to where the
// entries were read.
func (p *namedPhotos) all() ([]register.Hash, store.Position) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.order, p.at // of the order nothing changes but what follows
}

func (p *namedPhotos) features(sha register.Hash) (features []string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, by := range p.named[sha] {
		features = append(features, by.feature.Value())
	}
	return features
}

func (p *namedPhotos) broughtBy(sha register.Hash) []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return broughtBy(p.named[sha])
}

// DevicesAndPhotos is Devices with how many photos each may still have that are not here.
func (s *Server) DevicesAndPhotos(ctx context.Context) ([]DeviceRow, error) {
	rows := s.Devices()
	now := s.presentIDs()
	count := map[string]map[register.Hash]bool{}
	for _, property := range s.allProperties() {
		absent, err := s.absentOf(ctx, property, 0)
		if err != nil {
			return nil, err
		}
		for _, one := range absent {
			for _, device := range one.brought {
				device = cmp.Or(now[device], device)
				if count[device] == nil {
					count[device] = map[register.Hash]bool{}
				}
				count[device][one.sha] = true
			}
		}
	}
	for i := range rows {
		rows[i].PhotosNotHere = len(count[rows[i].Device])
	}
	return rows, nil
}

// notePhotosNotHere completes the rows of properties.
func (s *Server) notePhotosNotHere(ctx context.Context, rows []PropertyRow) error {
	now := s.presentIDs()
	for i := range rows {
		absent, err := s.absentOf(ctx, rows[i].ID, 0)
		if err != nil {
			return err
		}
		rows[i].PhotosNotHere = len(absent)
		s.office.mu.RLock()
		for _, one := range absent {
			for _, device := range one.brought {
				if d := s.office.devices.one(byDevice, cmp.Or(now[device], device)); d != nil && !slices.Contains(rows[i].PhotosWith, d.Author) {
					rows[i].PhotosWith = append(rows[i].PhotosWith, d.Author)
				}
			}
		}
		s.office.mu.RUnlock()
	}
	return nil
}

// presentIDs are the ids that phones have now, by those that they had before they were enrolled
// under another.
func (s *Server) presentIDs() map[string]string {
	s.office.mu.RLock()
	defer s.office.mu.RUnlock()
	now := map[string]string{}
	for _, d := range s.office.devices.rows {
		for _, former := range d.FormerIDs {
			now[former] = d.Device
		}
	}
	return now
}
