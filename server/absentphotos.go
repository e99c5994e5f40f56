package server

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"sync"
	"time"

	"headcut/sync/exchange"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// Photos that features name and that are not here: not sent yet, or lost with the photo folder
// or by a restore. Phones keep what they sent, so each is asked at its connection, once an hour,
// for those that it brought in. For the office's lists they are looked for each time.

const (
	askedAgainAfter  = time.Hour
	lookedAgainAfter = 10 * time.Minute // for connections
)

// absentPhoto is a photo that is not here.
type absentPhoto struct {
	sha     register.Hash
	brought []string // devices, as broughtBy
}

// absentPhotos remembers what was found absent, by property, and which devices were asked when.
type absentPhotos struct {
	of    sync.Map // *absence
	asked sync.Map // time.Time
}

type absence struct {
	mu     sync.Mutex
	looked time.Time
	photos []absentPhoto
}

// due reports whether a device is to be asked, and notes that it is.
func (a *absentPhotos) due(device string, now time.Time) bool {
	if at, asked := a.asked.Load(device); asked && now.Sub(at.(time.Time)).Abs() < askedAgainAfter {
		return false
	}
	a.asked.Store(device, now)
	return true
}

// wantedPhotos are the absent photos that a device brought in, under its id or a former one, at
// most wire.MaxPhotos: the rest an hour later. None when the device was asked a short while ago.
func (s *Server) wantedPhotos(ctx context.Context, grant exchange.Grant) ([]register.Hash, error) {
	if !s.absent.due(grant.Device, s.now()) {
		return nil, nil
	}
	s.office.mu.RLock()
	ids := []string{grant.Device}
	if d := s.office.devices.one(byDevice, grant.Device); d != nil {
		ids = append(ids, d.FormerIDs...)
	}
	s.office.mu.RUnlock()
	var wanted []register.Hash
	for _, property := range grant.Properties {
		absent, err := s.absentOf(ctx, property, lookedAgainAfter)
		if err != nil {
			return nil, err
		}
		for _, p := range absent {
			if slices.ContainsFunc(p.brought, func(device string) bool { return slices.Contains(ids, device) }) && !slices.Contains(wanted, p.sha) {
				wanted = append(wanted, p.sha)
			}
			if len(wanted) == wire.MaxPhotos {
				return wanted, nil
			}
		}
	}
	return wanted, nil
}

// absentOf looks for the absent photos of a property, unless that was done a short while ago.
func (s *Server) absentOf(ctx context.Context, property string, within time.Duration) ([]absentPhoto, error) {
	found, _ := s.absent.of.LoadOrStore(property, &absence{})
	a := found.(*absence)
	a.mu.Lock()
	defer a.mu.Unlock()
	if !a.looked.IsZero() && s.now().Sub(a.looked).Abs() < within {
		return a.photos, nil
	}
	names := s.photoNames.of(property)
	if _, err := names.brought(ctx, s.store, property, register.Hash{}); err != nil {
		return nil, err
	}
	missing, err := photo.Missing(ctx, s.photos, names.all())
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
	a.looked, a.photos = s.now(), nil
	for _, sha := range missing {
		if shown[sha] {
			a.photos = append(a.photos, absentPhoto{sha, names.broughtBy(sha)})
		}
	}
	return a.photos, nil
}

// all are the photos that are named, in the order of their hashes.
func (p *namedPhotos) all() []register.Hash {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.SortedFunc(maps.Keys(p.named), func(a, b register.Hash) int { return bytes.Compare(a[:], b[:]) })
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
