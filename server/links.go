package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"headcut/model"
)

// LinkRow is a landholder's link as the office's list shows it; its secret is not kept.
type LinkRow struct {
	Row      int       `json:"row"` // stays the same for ever
	Property string    `json:"property"`
	For      string    `json:"for,omitempty"`
	Made     time.Time `json:"made"`
	Until    time.Time `json:"until"`
	Seen     time.Time `json:"seen,omitzero"` // as for a device
	Revoked  time.Time `json:"revoked,omitzero"`
	Shut     time.Time `json:"shut,omitzero"` // as for a device
}

// Links lists every link that was ever made.
func (s *Server) Links() []LinkRow {
	return reading(s, func(o *office) []LinkRow { return model.Each(o.links.rows, o.linkRow) })
}

func (o *office) linkRow(l *linkRecord) LinkRow {
	return LinkRow{Row: l.row, Property: o.property(l.Property).Name, For: l.For, Made: l.made, Until: l.Until.Time,
		Seen: o.sights.of(l.id, l.SeenOn.Time), Revoked: l.RevokedOn.Time, Shut: l.KeptShutOn.Time}
}

// mostForLetters is how long the name may be that a link is for.
const mostForLetters = 100

// Share makes a link's secret that shows one property's works to whoever holds it, until
// a day or until it is taken back; who is it for, "" when that is not known.
func (s *Server) Share(ctx context.Context, p Property, who string, until time.Time) (secret string, err error) {
	if !until.After(s.now()) {
		return "", &model.Problem{Path: "until", Reason: "the link would have ended already", Fix: "give a later day"}
	}
	if p.Begun {
		return "", notAccepted(p)
	}
	if who = oneLine(who); utf8.RuneCountInString(who) > mostForLetters {
		return "", &model.Problem{Path: "for", Reason: fmt.Sprintf("has %d letters and may have %d", utf8.RuneCountInString(who), mostForLetters), Fix: "name whom the link is for more shortly"}
	}
	secret = newToken()
	s.office.writing.Lock()
	defer s.office.writing.Unlock()
	return secret, s.office.write(ctx, officeAuthor, made(&linkRecord{LinkHash: digest(secret), Property: p.ID, Until: second(until), For: who}))
}

// linkState is whether a link is open: it may never have been made, have ended, or be left shut by a
// restore.
type linkState int

const (
	linkUnknown linkState = iota
	linkEnded
	linkShut
	linkOpen
)

// state is what a link shows now.
func (l *linkRecord) state(now time.Time) linkState {
	switch {
	case !l.RevokedOn.IsZero() || l.Until.IsZero() || now.After(l.Until.Time):
		return linkEnded
	case !l.KeptShutOn.IsZero():
		return linkShut
	}
	return linkOpen
}

// linkOf is what the secret in a request's address shows; the answer ends when the link does.
func (s *Server) linkOf(r *http.Request) (Property, linkState) {
	secret := r.PathValue("link")
	if l := reading(s, func(o *office) *linkRecord { return o.links.one(bySecret, digest(secret)) }); l != nil {
		s.while(r, l.id, func() bool { // l.id never changes
			return reading(s, func(o *office) bool { l := o.links.of(l.id); return l != nil && l.state(s.now()) == linkOpen })
		})
	}
	return s.link(r.Context(), secret)
}

func (s *Server) link(ctx context.Context, secret string) (Property, linkState) {
	o := s.office
	o.mu.RLock()
	l := o.links.one(bySecret, digest(secret))
	if secret == "" || l == nil {
		o.mu.RUnlock()
		return Property{}, linkUnknown
	}
	p, state, id, seen := o.property(l.Property), l.state(s.now()), l.id, l.SeenOn.Time
	o.mu.RUnlock()
	if state != linkOpen {
		return Property{}, state
	}
	s.sighted(ctx, id, seen)
	return p, linkOpen
}

// RevokeLink takes a link back by its secret, by its row, by the name of whom it was made for, or by its
// property when that has only one.
func (s *Server) RevokeLink(ctx context.Context, which string) (LinkRow, error) {
	row, id, err := s.endLink(ctx, which)
	s.answers.recheck(id)
	return row, err
}

func (s *Server) endLink(ctx context.Context, which string) (row LinkRow, id string, err error) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	l := o.links.one(bySecret, digest(which))
	if l == nil {
		if l, err = s.pickLink(which); err != nil {
			return LinkRow{}, "", err
		}
	}
	if l.RevokedOn.IsZero() {
		if err := o.write(ctx, officeAuthor, changed(l, func(l *linkRecord) { l.RevokedOn = second(s.now()) })); err != nil {
			return LinkRow{}, "", err
		}
	}
	return o.linkRow(l), l.id, nil
}

// pickLink finds a link by its row, whom it is for or its property; by the last two one that has ended
// only when no other goes by them.
func (s *Server) pickLink(which string) (*linkRecord, error) {
	o := s.office
	called := slices.Clone(o.links.many(byName, spelt(strings.TrimSpace(which))))
	for _, p := range o.properties.many(byName, spelt(strings.TrimSpace(which))) {
		called = append(called, o.links.many(byProperty, p.id)...)
	}
	open := slices.DeleteFunc(slices.Clone(called), func(l *linkRecord) bool { return l.state(s.now()) == linkEnded })
	if len(open) > 0 {
		called = open
	}
	return pick(&o.links, which, called)
}
