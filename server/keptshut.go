package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"time"

	"headcut/model"
	"headcut/sync/exchange"
)

// After a restore nobody knows which rights were taken away since the backup, and after a salvage
// not which revocations were lost. So every device and link that the register would let in is kept
// shut until the office confirms it, and codes that were not used yet are over. A phone is
// asked to come back later and keeps what it has.

// KeptShut is how many devices and links wait for the office to confirm them.
type KeptShut struct {
	Devices int `json:"devices"`
	Links   int `json:"links"`
}

// KeepShut is called on a register that was just restored. Called again it changes nothing more.
func (s *Server) KeepShut(ctx context.Context) (KeptShut, error) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	now := s.now()
	var changes []change
	for _, c := range o.codes.rows {
		if c.open(now) {
			changes = append(changes, changed(c, func(c *codeRecord) { c.Until = second(now.Add(-time.Second)) }))
		}
	}
	for _, d := range o.devices.rows {
		if d.KeptShutOn.IsZero() && d.RevokedOn.IsZero() {
			changes = append(changes, changed(d, func(d *deviceRecord) { d.KeptShutOn = second(now) }))
		}
	}
	for _, l := range o.links.rows {
		if l.state(now) == linkOpen {
			changes = append(changes, changed(l, func(l *linkRecord) { l.KeptShutOn = second(now) }))
		}
	}
	if err := o.write(ctx, officeAuthor, changes...); err != nil {
		return KeptShut{}, err
	}
	return o.keptShut(), nil
}

// WaitForOffice is how many devices and links are kept shut.
func (s *Server) WaitForOffice() KeptShut {
	s.office.mu.RLock()
	defer s.office.mu.RUnlock()
	return s.office.keptShut()
}

func (o *office) keptShut() KeptShut { return KeptShut{len(o.shutDevices()), len(o.shutLinks())} }

// shutDevices and shutLinks are what is kept shut and was not revoked since.
func (o *office) shutDevices() []*deviceRecord {
	return slices.DeleteFunc(slices.Clone(o.devices.rows), func(d *deviceRecord) bool { return d.KeptShutOn.IsZero() || !d.RevokedOn.IsZero() })
}

func (o *office) shutLinks() []*linkRecord {
	return slices.DeleteFunc(slices.Clone(o.links.rows), func(l *linkRecord) bool { return l.KeptShutOn.IsZero() || !l.RevokedOn.IsZero() })
}

// Confirmation opens what a restore left shut.
type Confirmation struct {
	Device string `json:"device,omitempty"` // id, row, label, who carries it, or "all"
	Link   string `json:"link,omitempty"`   // row, or "all"
}

// Confirm lets devices in, or opens links, that a restore left shut, and tells how many.
func (s *Server) Confirm(ctx context.Context, c Confirmation) (KeptShut, error) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	devices, links, err := s.shutBy(c)
	if err != nil {
		return KeptShut{}, err
	}
	var changes []change
	for _, d := range devices {
		changes = append(changes, changed(d, func(d *deviceRecord) { d.KeptShutOn = moment{} }))
	}
	for _, l := range links {
		changes = append(changes, changed(l, func(l *linkRecord) { l.KeptShutOn = moment{} }))
	}
	return KeptShut{len(devices), len(links)}, o.write(ctx, officeAuthor, changes...)
}

// shutBy is what a confirmation names and is kept shut.
func (s *Server) shutBy(c Confirmation) (devices []*deviceRecord, links []*linkRecord, err error) {
	o := s.office
	switch {
	case c.Device == "all":
		return o.shutDevices(), nil, nil
	case c.Link == "all":
		return nil, o.shutLinks(), nil
	case c.Device != "":
		d, err := o.pickDevice(c.Device)
		switch {
		case err != nil:
			return nil, nil, err
		case !d.RevokedOn.IsZero():
			return nil, nil, &model.Problem{Path: "--confirm", Reason: fmt.Sprintf("the rights of the phone of %s (row %d) were taken away on %s", d.Author, d.row, DayWords(d.RevokedOn.Time)),
				Fix: fmt.Sprintf("a new code lets it in again: headcut enrol --again %d, or with --property if it is to have others", d.row)}
		case d.KeptShutOn.IsZero():
			return nil, nil, nil
		}
		return []*deviceRecord{d}, nil, nil
	case c.Link != "":
		l, err := s.pickLink(c.Link)
		switch {
		case err != nil:
			return nil, nil, err
		case !l.RevokedOn.IsZero():
			return nil, nil, &model.Problem{Path: "--confirm", Reason: fmt.Sprintf("the link to %s (row %d) was withdrawn on %s", o.property(l.Property).Name, l.row, DayWords(l.RevokedOn.Time)),
				Fix: "make a new link: headcut share --property " + quote(o.property(l.Property).Name)}
		case l.KeptShutOn.IsZero():
			return nil, nil, nil
		}
		return nil, []*linkRecord{l}, nil
	}
	return nil, nil, &model.Problem{Reason: "nothing to confirm was named", Fix: "give a row, or all"}
}

// DayWords is a day as the office reads it, in the server's zone.
func DayWords(at time.Time) string { return at.Local().Format("2 January 2006") }

// shutProblem tells a device that it is to come back when the office has confirmed it.
func shutProblem(since time.Time) error {
	return exchange.NotYet{Problem: &model.Problem{Reason: fmt.Sprintf("the register was restored on %s, and the office has not confirmed this phone yet", DayWords(since)),
		Fix: "nothing is lost: continue recording, and tell the office; the phone tries again by itself"}}
}

func (s *Server) adminConfirm(w http.ResponseWriter, r *http.Request) {
	asked(s, w, r, func(c Confirmation) (KeptShut, error) { return s.Confirm(r.Context(), c) })
}
