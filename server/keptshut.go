package server

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"headcut/model"
	"headcut/sync/exchange"
)

// After a restore nobody knows which rights were taken away since the backup. So every device and
// link that the backup would let in is kept shut until the office confirms it, and codes
// that were not used yet are over. A phone is asked to come back later and keeps what it has.

// KeptShut is how many devices and links wait for the office to confirm them.
type KeptShut struct {
	Devices int `json:"devices"`
	Links   int `json:"links"`
}

// keptShutOn is the field of a device or a link that waits, with the time of the restore.
const keptShutOn = "keptShutOn"

// KeepShut is called on a register that was just restored. Called again it changes nothing more.
func (s *Server) KeepShut(ctx context.Context) (KeptShut, error) {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	now := s.now().UTC().Format(time.RFC3339)
	for _, id := range o.all(codeRecord) {
		until, ok := instant(o.records[id], "until")
		if text(o.records[id], "usedOn") != "" || !ok || s.now().After(until) {
			continue
		}
		before := s.now().Add(-time.Second).UTC().Format(time.RFC3339)
		if err := o.write(ctx, id, "office", map[string]any{"until": before}); err != nil {
			return KeptShut{}, err
		}
	}
	for _, kind := range []string{deviceRecord, linkRecord} {
		for _, id := range o.all(kind) {
			record := o.records[id]
			if text(record, keptShutOn) != "" || text(record, "revokedOn") != "" || kind == linkRecord && !s.opens(record) {
				continue
			}
			if err := o.write(ctx, id, "office", map[string]any{keptShutOn: now}); err != nil {
				return KeptShut{}, err
			}
		}
	}
	return o.keptShut(), nil
}

// WaitForOffice is how many devices and links are kept shut.
func (s *Server) WaitForOffice() KeptShut {
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	return s.office.keptShut()
}

func (o *office) keptShut() KeptShut {
	return KeptShut{len(o.shut(deviceRecord)), len(o.shut(linkRecord))}
}

// shut lists what of a kind is kept shut and was not revoked since. The caller holds o.mu.
func (o *office) shut(kind string) []string {
	var ids []string
	for _, id := range o.all(kind) {
		if text(o.records[id], keptShutOn) != "" && text(o.records[id], "revokedOn") == "" {
			ids = append(ids, id)
		}
	}
	return ids
}

// Confirmation opens what a restore left shut.
type Confirmation struct {
	Device string `json:"device,omitempty"` // id, row, label, who carries it, or "all"
	Link   string `json:"link,omitempty"`   // row, or "all"
}

// Confirm lets devices in, or opens links, that a restore left shut, and tells how many.
func (s *Server) Confirm(ctx context.Context, c Confirmation) (KeptShut, error) {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	var ids []string
	var err error
	done := KeptShut{}
	switch {
	case c.Device == "all":
		ids = o.shut(deviceRecord)
	case c.Link == "all":
		ids = o.shut(linkRecord)
	case c.Device != "":
		ids = make([]string, 1)
		ids[0], err = o.pickDevice(c.Device)
	case c.Link != "":
		ids = make([]string, 1)
		ids[0], err = s.pickLink(c.Link)
	default:
		err = &model.Problem{Reason: "nothing to confirm was named", Fix: "give a row, or all"}
	}
	if err != nil {
		return done, err
	}
	for _, id := range ids {
		record := o.records[id]
		if text(record, "revokedOn") != "" {
			return done, &model.Problem{Reason: "its rights were taken away", Fix: "give a new code or link"}
		}
		if text(record, keptShutOn) == "" {
			continue
		}
		if err := o.write(ctx, id, "office", map[string]any{keptShutOn: ""}); err != nil {
			return done, err
		}
		if text(record, "kind") == deviceRecord {
			done.Devices++
		} else {
			done.Links++
		}
	}
	return done, nil
}

// shutProblem tells a device that it is to come back when the office has confirmed it.
func shutProblem(since string) error {
	on := since
	if at, err := time.Parse(time.RFC3339, since); err == nil {
		on = at.Format("2 January 2006")
	}
	return exchange.NotYet{Problem: &model.Problem{Reason: fmt.Sprintf("the register was restored from a backup on %s, and the office has not confirmed this phone yet", on),
		Fix: "nothing is lost: continue recording, and tell the office; the phone tries again by itself"}}
}

func (s *Server) doorKeepShut(w http.ResponseWriter, r *http.Request) {
	shut, err := s.KeepShut(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answerJSON(w, shut)
}

func (s *Server) doorConfirm(w http.ResponseWriter, r *http.Request) {
	asked(s, w, r, func(c Confirmation) (KeptShut, error) { return s.Confirm(r.Context(), c) })
}
