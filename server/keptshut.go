package server

import (
	"context"
	"fmt"
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
	changes = append(changes, setShut(o.devices.rows, second(now), func(d *deviceRecord) bool { return d.KeptShutOn.IsZero() && d.RevokedOn.IsZero() })...)
	changes = append(changes, setShut(o.links.rows, second(now), func(l *linkRecord) bool { return l.state(now) == linkOpen })...)
	if err := o.write(ctx, officeAuthor, changes...); err != nil {
		return KeptShut{}, err
	}
	return o.keptShut(), nil
}

// holder is the record of who is let in.
type holder[R any] interface {
	filable[R]
	rights() *access
}

// setShut has those of some records kept shut since a moment, or opened where that is none.
func setShut[R any, P holder[R]](records []P, on moment, which func(P) bool) (changes []change) {
	for _, r := range records {
		if which(r) {
			changes = append(changes, changed(r, func(r P) { r.rights().KeptShutOn = on }))
		}
	}
	return changes
}

// isShut reports whether a record is kept shut and was not revoked since.
func isShut[R any, P holder[R]](r P) bool {
	return !r.rights().KeptShutOn.IsZero() && r.rights().RevokedOn.IsZero()
}

// WaitForOffice is how many devices and links are kept shut.
func (s *Server) WaitForOffice() KeptShut { return reading(s, (*office).keptShut) }

func (o *office) keptShut() KeptShut {
	return KeptShut{len(setShut(o.devices.rows, moment{}, isShut)), len(setShut(o.links.rows, moment{}, isShut))}
}

// everybody stands for every device or link where one is named.
const everybody = "all"

// Confirmation opens what a restore left shut.
type Confirmation struct {
	Device string `json:"device,omitempty"` // id, row, label, who carries it, or "all"
	Link   string `json:"link,omitempty"`   // row, or "all"
}

// Confirm lets devices in, or opens links, that a restore left shut, and returns how many.
func (s *Server) Confirm(ctx context.Context, c Confirmation) (KeptShut, error) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	var devices []*deviceRecord
	var links []*linkRecord
	switch {
	case c.Device == everybody:
		devices = o.devices.rows
	case c.Link == everybody:
		links = o.links.rows
	case c.Device != "":
		d, err := o.pickDevice(c.Device)
		if err != nil {
			return KeptShut{}, err
		}
		if !d.RevokedOn.IsZero() {
			return KeptShut{}, &model.Problem{Path: "--confirm", Reason: fmt.Sprintf("the rights of the phone of %s (row %d) were taken away on %s", d.Author, d.row, DayWords(d.RevokedOn.Time)),
				Fix: fmt.Sprintf("a new code lets it in again: headcut enrol --again %d, or with --property if it is to have others", d.row)}
		}
		devices = []*deviceRecord{d}
	case c.Link != "":
		l, err := s.pickLink(c.Link)
		if err != nil {
			return KeptShut{}, err
		}
		if l.state(s.now()) == linkEnded {
			name, how, on := o.property(l.Property).Name, "was withdrawn", l.RevokedOn.Time
			if l.RevokedOn.IsZero() {
				how, on = "ended", l.Until.Time
			}
			return KeptShut{}, &model.Problem{Path: "--confirm", Reason: fmt.Sprintf("the link to %s (row %d) %s on %s", name, l.row, how, DayWords(on)),
				Fix: "make a new link: headcut share --property " + quote(name)}
		}
		links = []*linkRecord{l}
	default:
		return KeptShut{}, &model.Problem{Reason: "nothing to confirm was named", Fix: "give a row, or all"}
	}
	letIn, opened := setShut(devices, moment{}, isShut), setShut(links, moment{}, isShut)
	return KeptShut{len(letIn), len(opened)}, o.write(ctx, officeAuthor, append(letIn, opened...)...)
}

// DayWords is a day as the office reads it, in the server's zone.
func DayWords(at time.Time) string { return at.Local().Format("2 January 2006") }

// shutProblem asks a device to come back when the office has confirmed it.
func shutProblem(since time.Time) error {
	return exchange.NotYet{Problem: &model.Problem{Reason: fmt.Sprintf("the register was restored on %s, and the office has not confirmed this phone yet", DayWords(since)),
		Fix: "nothing is lost: continue recording, and tell the office; the phone tries again by itself"}}
}
