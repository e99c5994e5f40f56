package boltstore

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"

	"headcut/sync/register"
)

// Audited is what a look through a register and its photos found.
type Audited struct {
	Report
	Photos PhotoReport
	// Unfinished: it is a backup that was cut short.
	Unfinished bool
	Awaited    int // photos that features name and that have not come yet, which is no fault
	// With are the photos that features name and that are not here, awaited or missing, by the
	// device whose entry named each first: it may have them.
	With []PhotosWith
}

// PhotosWith are photos that a device may have.
type PhotosWith struct {
	Device, Author string
	Photos         []register.Hash
}

// Audit verifies a register and all its photos. told, unless it is nil, hears what is being
// read and how much of it has been.
func Audit(ctx context.Context, s *Store, p *Photos, told func(what string, done uint64)) (found Audited, err error) {
	if told == nil {
		told = func(string, uint64) {}
	}
	if found.Report, err = s.Verify(ctx, func(n uint64) { told("entries", n) }); err != nil {
		return found, err
	}
	if found.Photos, err = p.Verify(ctx, func(n int) { told("photos", uint64(n)) }); err != nil {
		return found, err
	}
	noted, err := s.photosNoted()
	if err != nil {
		return found, err
	}
	came, err := p.came()
	if err != nil {
		return found, err
	}
	if listed := max(came, uint64(found.Photos.Whole+len(found.Photos.Damaged)+len(found.Photos.Missing))); noted > listed {
		found.Photos.Unlisted = int(noted - listed)
	}
	backup, err := s.OfBackup()
	if err != nil {
		return found, err
	}
	found.Unfinished = backup != nil && backup.Unfinished
	found.Awaited, found.With, err = absentPhotos(ctx, s, p)
	return found, err
}

// absentPhotos counts the photos that features name, that are not here and never were, and tells
// which devices may have those that are not here.
func absentPhotos(ctx context.Context, s *Store, p *Photos) (awaited int, with []PhotosWith, err error) {
	properties, err := s.Properties(ctx)
	if err != nil {
		return 0, nil, err
	}
	unnamed, _, err := p.Unnamed(ctx)
	if err != nil {
		return 0, nil, err
	}
	never := map[register.Hash]bool{} // named, and neither here nor received; few, but for a lost folder
	holders := map[[2]string]*PhotosWith{}
	for _, property := range slices.Sorted(maps.Keys(properties)) { // a photo of two is with who named it in the first
		lacking := map[string][]register.Hash{} // by feature
		for folded, err := range s.Features(ctx, property) {
			if err != nil {
				return 0, nil, err
			}
			for _, sha := range photosNamed(folded.Fields["photos"]) {
				if here, err := p.here(sha); err == nil && !here && unnamed[sha] == "" && !never[sha] {
					never[sha] = true
					lacking[folded.Feature] = append(lacking[folded.Feature], sha)
				}
			}
		}
		for feature, shas := range lacking {
			entries, err := s.EntriesOf(ctx, property, feature)
			if err != nil {
				return 0, nil, err
			}
			for _, sha := range shas {
				noteHolder(holders, entries, sha)
			}
		}
	}
	for _, one := range holders {
		slices.SortFunc(one.Photos, func(a, b register.Hash) int { return bytes.Compare(a[:], b[:]) })
		with = append(with, *one)
	}
	slices.SortFunc(with, func(a, b PhotosWith) int {
		return cmp.Or(cmp.Compare(a.Author, b.Author), cmp.Compare(a.Device, b.Device))
	})
	if len(never) > 0 {
		for one, err := range p.lines() {
			if err != nil {
				return 0, nil, err
			}
			delete(never, one.sha) // it came once, and is told of as missing
		}
	}
	return len(never), with, nil
}

func photosNamed(photos json.RawMessage) (named []register.Hash) {
	if json.Unmarshal(photos, &named) != nil {
		return nil
	}
	return named
}

// noteHolder notes a photo with the device of the entry that named it first.
func noteHolder(holders map[[2]string]*PhotosWith, entries []register.Numbered, sha register.Hash) {
	for _, e := range entries {
		if !slices.Contains(photosNamed(e.Entry.Set.Get("photos")), sha) {
			continue
		}
		by := [2]string{e.Entry.Author, e.Entry.Device}
		if holders[by] == nil {
			holders[by] = &PhotosWith{Device: by[1], Author: by[0]}
		}
		holders[by].Photos = append(holders[by].Photos, sha)
		return
	}
}
