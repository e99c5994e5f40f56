package server

import (
	"context"
	"sync"

	"headcut/sync/register"
	"headcut/sync/store"
)

// photoNames knows the photos that the entries of each property name. Of a property it reads
// each entry once, when a photo is asked for after the entry came, and keeps some 40 bytes for
// each photo; after a start of the server it reads a property's entries at its first photo.
type photoNames struct {
	mu sync.Mutex
	by map[string]*namedPhotos
}

type namedPhotos struct {
	mu    sync.Mutex
	at    store.Position // the entries up to here have been read
	named map[register.Hash]struct{}
}

// mayReadPhoto tells whether a device may read a photo: an entry of a property that it may read
// names it.
func (s *Server) mayReadPhoto(ctx context.Context, token string, sha register.Hash) (bool, error) {
	grant, err := s.admitToSync(ctx, token)
	if err != nil {
		return false, err
	}
	for _, property := range grant.Properties {
		if named, err := s.photoNames.of(property).has(ctx, s.store, property, sha); named || err != nil {
			return named, err
		}
	}
	return false, nil
}

func (n *photoNames) of(property string) *namedPhotos {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.by == nil {
		n.by = map[string]*namedPhotos{}
	}
	p := n.by[property]
	if p == nil {
		p = &namedPhotos{named: map[register.Hash]struct{}{}}
		n.by[property] = p
	}
	return p
}

func (p *namedPhotos) has(ctx context.Context, entries store.Register, property string, sha register.Hash) (bool, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for {
		if _, named := p.named[sha]; named {
			return true, nil
		}
		page, next, err := entries.RawAfter(ctx, property, p.at, namesAtOnce)
		if err != nil || len(page) == 0 {
			return false, err
		}
		for _, e := range page {
			p.note(e.Raw)
		}
		p.at = next
	}
}

// namesAtOnce is how many entries are read at once for the photos that they name.
const namesAtOnce = 1000

// note finds the hashes in an entry's text: the strings of 64 hexadecimal digits.
func (p *namedPhotos) note(raw []byte) {
	const digits = 2 * len(register.Hash{})
	for i := 0; i+digits+1 < len(raw); i++ {
		if raw[i] != '"' || raw[i+digits+1] != '"' {
			continue
		}
		var sha register.Hash
		if sha.UnmarshalText(raw[i+1:i+1+digits]) == nil {
			p.named[sha] = struct{}{}
			i += digits
		}
	}
}
