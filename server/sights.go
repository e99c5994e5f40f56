package server

import (
	"context"
	"sync"
	"time"
)

// sights are when devices and links were last used: in this run of the server to the moment,
// and once a day in the register, so that the lists still know after a restart.
type sights struct {
	mu  sync.Mutex
	at  map[string]time.Time // by record
	due []string             // records whose day is not written yet
}

// note remembers that a record is used now, and reports whether that is to be written.
func (v *sights) note(id string, written, now time.Time) (due bool) {
	v.mu.Lock()
	defer v.mu.Unlock()
	before := written
	if at, ok := v.at[id]; ok {
		before = at
	}
	if v.at == nil {
		v.at = map[string]time.Time{}
	}
	v.at[id] = now
	const day = 24 * time.Hour // of UTC, as Truncate counts them
	if !before.IsZero() && before.Truncate(day).Equal(now.Truncate(day)) {
		return false
	}
	v.due = append(v.due, id)
	return true
}

func (v *sights) takeDue() []string {
	v.mu.Lock()
	defer v.mu.Unlock()
	due := v.due
	v.due = nil
	return due
}

// of is when a record was last used, the zero time if it never was.
func (v *sights) of(id string, written time.Time) time.Time {
	v.mu.Lock()
	defer v.mu.Unlock()
	if at, ok := v.at[id]; ok {
		return at
	}
	return written
}

// sighted notes that a device or a link is used now. Who comes first on a day writes for all that
// came meanwhile too. A failure to write it denies nobody access. The caller holds no lock
// of the office.
func (s *Server) sighted(ctx context.Context, id string, written time.Time) {
	o := s.office
	now := o.now()
	if !o.sights.note(id, written, now) {
		return
	}
	o.writing.Lock()
	defer o.writing.Unlock()
	var changes []change
	for _, id := range o.sights.takeDue() {
		if d := o.devices.of(id); d != nil {
			changes = append(changes, changed(d, func(d *deviceRecord) { d.SeenOn = second(now) }))
		} else if l := o.links.of(id); l != nil {
			changes = append(changes, changed(l, func(l *linkRecord) { l.SeenOn = second(now) }))
		}
	}
	if err := o.write(context.WithoutCancel(ctx), officeAuthor, changes...); err != nil {
		s.log.Warn("when devices or links were last used could not be written down", "error", err)
	}
}
