package boltstore

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"

	"headcut/sync/register"
)

// Audited is what a look through a register and its photos found.
type Audited struct {
	Report
	Photos  PhotoReport
	Awaited int // photos that features name and that have not come yet, which is no fault
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
	found.Awaited, err = awaited(ctx, s, p)
	return found, err
}

// awaited counts the photos that features name, that are not here and never were.
func awaited(ctx context.Context, s *Store, p *Photos) (int, error) {
	properties, err := s.Properties(ctx)
	if err != nil {
		return 0, err
	}
	missing := map[register.Hash]bool{} // named and not here; few, but for a lost folder
	for property := range properties {
		for folded, err := range s.Features(ctx, property, nil) {
			if err != nil {
				return 0, err
			}
			var named []register.Hash
			if json.Unmarshal(folded.Fields["photos"], &named) != nil {
				continue
			}
			for _, sha := range named {
				if _, err := p.disk.stat(p.photo(sha)); errors.Is(err, fs.ErrNotExist) {
					missing[sha] = true
				}
			}
		}
	}
	if len(missing) > 0 {
		err = p.Received(func(sha register.Hash) error {
			delete(missing, sha) // it came once, and is told of as missing
			return nil
		})
	}
	return len(missing), err
}
