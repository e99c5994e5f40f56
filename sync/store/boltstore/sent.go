package boltstore

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"sync"

	"headcut/sync/register"
	"headcut/sync/store"
)

// sentIndex is the list of received photos in memory, read when it is first asked for: who sent
// each, in some 50 bytes a photo, since few sets of devices recur.
type sentIndex struct {
	mu    sync.Mutex
	read  bool
	by    map[register.Hash]sentPhoto
	sets  [][]string // of devices
	setAt map[string]uint32
	bytes map[string]int64 // by device
}

type sentPhoto struct {
	size uint32
	set  uint32 // in sets; 0: nobody is known
}

// index is the index, read. Its lock is held.
func (p *Photos) index() (*sentIndex, error) {
	x := &p.sent
	x.mu.Lock()
	if x.read {
		return x, nil
	}
	x.by, x.sets, x.setAt, x.bytes = map[register.Hash]sentPhoto{}, [][]string{nil}, map[string]uint32{"": 0}, map[string]int64{}
	for l, err := range p.lines() {
		if err != nil {
			x.mu.Unlock()
			return nil, err
		}
		x.note(l)
	}
	x.read = true
	return x, nil
}

// add notes lines that were written.
func (x *sentIndex) add(lines ...received) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if !x.read {
		return
	}
	for _, l := range lines {
		x.note(l)
	}
}

func (x *sentIndex) note(l received) {
	was, known := x.by[l.sha]
	if l.device == "" {
		if !known {
			x.by[l.sha] = sentPhoto{}
		}
		return
	}
	devices := x.sets[was.set]
	if slices.Contains(devices, l.device) {
		return
	}
	x.bytes[l.device] += l.size
	devices = append(slices.Clip(devices), l.device)
	name := strings.Join(devices, " ")
	set, there := x.setAt[name]
	if !there {
		set = uint32(len(x.sets))
		x.sets, x.setAt[name] = append(x.sets, devices), set
	}
	x.by[l.sha] = sentPhoto{uint32(l.size), set}
}

// Sent implements [store.Photos].
func (p *Photos) Sent(ctx context.Context, sha register.Hash) ([]string, int64, error) {
	if err := ctx.Err(); err != nil {
		return nil, 0, err
	}
	return p.sentBy(sha)
}

func (p *Photos) sentBy(sha register.Hash) ([]string, int64, error) {
	x, err := p.index()
	if err != nil {
		return nil, 0, err
	}
	defer x.mu.Unlock()
	one := x.by[sha]
	return x.sets[one.set], int64(one.size), nil
}

// Adopt implements [store.Photos].
func (p *Photos) Adopt(ctx context.Context, named func(context.Context) (map[register.Hash][]string, error)) error {
	if old, err := p.beforeSenders(); err != nil || !old {
		return err
	}
	by, err := named(ctx)
	if err != nil {
		return err
	}
	p.listing.Lock()
	defer p.listing.Unlock()
	err = p.writeReceived(func(add func(received) error) error {
		for l, err := range p.lines() {
			if err := cmp.Or(err, ctx.Err()); err != nil {
				return err
			}
			devices := []string{l.device}
			if l.device == "" {
				if info, err := p.disk.stat(p.photo(l.sha)); err == nil { // else it is lost
					l.size = info.Size()
				}
				if devices = by[l.sha]; len(devices) == 0 {
					devices = []string{store.Anybody}
				}
			}
			for _, l.device = range devices {
				if err := add(l); err != nil {
					return err
				}
			}
		}
		return nil
	})
	p.sent.mu.Lock()
	p.sent.read = false // it is read again
	p.sent.mu.Unlock()
	return err
}

// beforeSenders tells whether the list is of an earlier version: then it begins with a line
// without a device, since whoever opens the folder to serve it writes all of the list with them.
func (p *Photos) beforeSenders() (bool, error) {
	for first, err := range p.lines() {
		return err == nil && first.device == "", err
	}
	return false, nil
}

// SentAlso adds what another list knows of who sent the photos that are here.
func (p *Photos) SentAlso(ctx context.Context, from *Photos) error {
	x, err := p.index()
	if err != nil {
		return err
	}
	var lines []received
	for l, lineErr := range from.lines() {
		if err = cmp.Or(lineErr, ctx.Err()); err != nil {
			break
		}
		one, here := x.by[l.sha]
		if here && l.device != "" && !slices.Contains(x.sets[one.set], l.device) {
			lines = append(lines, l)
		}
	}
	x.mu.Unlock()
	if err != nil || len(lines) == 0 {
		return err
	}
	if err := p.noteReceived(lines...); err != nil {
		return p.room(err)
	}
	p.sent.add(lines...)
	return nil
}
