package server

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"
	"unique"

	"headcut/sync/intake"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
)

// photoNames knows the photos that the entries of each property name, and which devices brought
// each in. Of a property it reads each entry once, when a photo is asked for after the entry
// came, and keeps some 200 bytes for each photo; after a start of the server it reads a
// property's entries at its first photo.
//
// A hash may be learnt by who has no right to the photo. So naming it is not enough: a photo is a
// property's when one of the devices that brought its name in there has sent its bytes too.
type photoNames struct{ by sync.Map } // *namedPhotos

type namedPhotos struct {
	mu    sync.Mutex
	at    store.Position // the entries up to here have been read
	named map[register.Hash][]naming
	order []register.Hash // as they were first named
}

// naming is the first entry by which a device names a photo on a feature.
type naming struct {
	feature, device unique.Handle[string] // each kept once
	seq             uint64
	saw             map[string]uint64 // a claim
	number          uint64            // in the register
	capped          register.Stamp
	arrived         time.Time
}

// sawIt reports whether who wrote n had seen that other names the photo there: then n passes the name on,
// as every edit of a list of photos does, and says nothing of the device having the photo. The register
// believes no claim to have seen what was not written yet, and neither is it believed here: two that
// had each seen the other would leave nobody who brought the name in.
func (n *naming) sawIt(other *naming) bool {
	return n.feature == other.feature && n.device != other.device && n.saw[other.device.Value()] >= other.seq &&
		!other.inRegister().WrittenAfter(n.inRegister())
}

func (n *naming) inRegister() *register.Numbered {
	return &register.Numbered{N: n.number, Capped: n.capped, Arrived: register.ArrivedAt(n.arrived)}
}

// broughtBy are the devices that brought the name of a photo in, each on a feature where it had
// seen nobody name it.
func broughtBy(all []naming) (devices []string) {
	for i := range all {
		device := all[i].device.Value()
		if !slices.ContainsFunc(all, func(other naming) bool { return all[i].sawIt(&other) }) && !slices.Contains(devices, device) {
			devices = append(devices, device)
		}
	}
	return devices
}

// photoRights is what a device may learn of a photo by the properties that it may read.
func (s *Server) photoRights(ctx context.Context, token string, sha register.Hash) (rights photo.Rights, err error) {
	grant, err := s.admitToSync(ctx, token)
	if err != nil {
		return rights, err
	}
	sent, err := s.senders(ctx, sha)
	if err != nil {
		return rights, err
	}
	for _, property := range grant.Properties {
		brought, err := s.photoNames.of(property).brought(ctx, s.store, property, sha)
		if err != nil {
			return rights, err
		}
		switch {
		case slices.ContainsFunc(brought, sent):
			rights.Read = true
		case slices.Contains(brought, grant.Device):
			rights.Owes = true
		}
	}
	return rights, nil
}

// hasPhoto reports whether a photo is one of a property's.
func (s *Server) hasPhoto(ctx context.Context, property string, sha register.Hash) (bool, error) {
	sent, err := s.senders(ctx, sha)
	if err != nil {
		return false, err
	}
	for _, part := range s.parts(property) {
		brought, err := s.photoNames.of(part).brought(ctx, s.store, part, sha)
		if err != nil || slices.ContainsFunc(brought, sent) {
			return err == nil, err
		}
	}
	return false, nil
}

// senders reports of a device whether it has sent a photo whole, under its id or one that it was enrolled under
// afterwards. The office answers for what it takes in from files.
func (s *Server) senders(ctx context.Context, sha register.Hash) (sent func(device string) bool, err error) {
	devices, _, err := s.photos.Sent(ctx, sha)
	if err != nil {
		return nil, err
	}
	all := slices.Clone(devices)
	s.office.mu.RLock()
	for _, device := range devices {
		if d := s.office.devices.one(byDevice, device); d != nil {
			all = append(all, d.FormerIDs...)
		}
	}
	s.office.mu.RUnlock()
	anybody, byHand := slices.Contains(devices, store.Anybody), slices.Contains(devices, noPhone)
	return func(device string) bool {
		if register.IsCopy(device) { // handed in, with no proof of whose it is: the bytes must have come in a file too
			return anybody || byHand && s.deviceUnknown(device)
		}
		return anybody || slices.Contains(all, device) || s.tookIn(device)
	}, nil
}

// tookIn reports whether an entry's device is the office taking in a file, and no phone that was enrolled
// under such an id.
func (s *Server) tookIn(device string) bool {
	return strings.HasPrefix(device, intake.DevicePrefix) && s.deviceUnknown(device)
}

// namersOfPhotos are the devices that brought in each photo named by any property: those taken to
// have sent what came before it was kept who did.
func (s *Server) namersOfPhotos(ctx context.Context) (map[register.Hash][]string, error) {
	all := map[register.Hash][]string{}
	for _, property := range s.allProperties() {
		p := s.photoNames.of(property)
		if _, err := p.brought(ctx, s.store, property, register.Hash{}); err != nil {
			return nil, err
		}
		p.mu.Lock()
		for sha, names := range p.named {
			all[sha] = union(all[sha], broughtBy(names))
		}
		p.mu.Unlock()
	}
	for _, devices := range all {
		slices.Sort(devices)
	}
	return all, nil
}

func (n *photoNames) of(property string) *namedPhotos {
	p, _ := n.by.LoadOrStore(property, &namedPhotos{named: map[register.Hash][]naming{}})
	return p.(*namedPhotos)
}

// brought is broughtBy of a photo, as of now.
func (p *namedPhotos) brought(ctx context.Context, entries store.Register, property string, sha register.Hash) ([]string, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for {
		page, next, err := entries.RawAfter(ctx, property, p.at, namesAtOnce)
		if err != nil {
			return nil, err
		}
		if len(page) == 0 {
			return broughtBy(p.named[sha]), nil
		}
		for _, e := range page {
			p.note(&e)
		}
		p.at = next
	}
}

// namesAtOnce is how many entries are read at once for the photos that they name.
const namesAtOnce = 1000

// note finds the hashes in an entry's text: the strings of 64 hexadecimal digits.
func (p *namedPhotos) note(n *register.Numbered) {
	raw := n.Raw
	const digits = 2 * len(register.Hash{})
	var by *naming
	for i := 0; i+digits+1 < len(raw); i++ {
		if raw[i] != '"' || raw[i+digits+1] != '"' {
			continue
		}
		var sha register.Hash
		if sha.UnmarshalText(raw[i+1:i+1+digits]) != nil {
			continue
		}
		if by == nil {
			e, err := register.Decode(raw)
			if err != nil {
				return // of a newer version, which nothing here shows
			}
			by = &naming{feature: unique.Make(e.Feature), device: unique.Make(e.Device), seq: e.DeviceSeq, saw: e.Saw,
				number: n.N, capped: n.Capped, arrived: n.Arrived.Time()}
		}
		p.add(sha, *by)
	}
}

// add keeps of each device and feature the first naming.
func (p *namedPhotos) add(sha register.Hash, by naming) {
	all := p.named[sha]
	at := slices.IndexFunc(all, func(n naming) bool { return n.feature == by.feature && n.device == by.device })
	if len(all) == 0 {
		p.order = append(p.order, sha)
	}
	if at < 0 {
		p.named[sha] = append(all, by)
	} else if by.seq < all[at].seq {
		all[at] = by
	}
}
