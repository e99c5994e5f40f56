package server

import (
	"context"
	"time"

	"github.com/google/uuid"

	"headcut/model"
)

// Share makes a link's secret that shows one property's works to whoever holds it, until
// a day or until it is taken back.
func (s *Server) Share(ctx context.Context, p Property, until time.Time) (secret string, err error) {
	if !until.After(s.now()) {
		return "", &model.Problem{Path: "until", Reason: "the link would have ended already", Fix: "give a later day"}
	}
	secret = newToken()
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	err = s.office.write(ctx, uuid.NewString(), "office", map[string]any{
		"kind": linkRecord, "linkHash": digest(secret), "property": p.ID, "until": until.UTC().Format(time.RFC3339),
	})
	return secret, err
}

// Unshare takes a link back at once.
func (s *Server) Unshare(ctx context.Context, secret string) error {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	id := o.find(linkRecord, "linkHash", digest(secret))
	if id == "" {
		return &model.Problem{Path: "link", Reason: "there is no such link"}
	}
	return o.write(ctx, id, "office", map[string]any{"revokedOn": s.now().UTC().Format(time.RFC3339)})
}

// linkState tells a link that never was from one that has ended.
type linkState int

const (
	linkUnknown linkState = iota
	linkEnded
	linkOpen
)

func (s *Server) link(secret string) (Property, linkState) {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	id := o.find(linkRecord, "linkHash", digest(secret))
	if secret == "" || id == "" {
		return Property{}, linkUnknown
	}
	record := o.records[id]
	until, ok := instant(record, "until")
	if !ok || s.now().After(until) || text(record, "revokedOn") != "" {
		return Property{}, linkEnded
	}
	property := text(record, "property")
	return Property{ID: property, Name: text(o.records[property], "name")}, linkOpen
}
