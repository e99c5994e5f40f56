package server

import (
	"context"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/model"
)

// Share is ShareFor nobody in particular.
func (s *Server) Share(ctx context.Context, p Property, until time.Time) (secret string, err error) {
	return s.ShareFor(ctx, p, "", until)
}

// ShareFor makes a link's secret that shows one property's works to whoever holds it, until
// a day or until it is taken back; who is it for, "" when that is not known.
func (s *Server) ShareFor(ctx context.Context, p Property, who string, until time.Time) (secret string, err error) {
	if !until.After(s.now()) {
		return "", &model.Problem{Path: "until", Reason: "the link would have ended already", Fix: "give a later day"}
	}
	if p.Begun {
		return "", notAccepted(p)
	}
	secret = newToken()
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	err = s.office.write(ctx, uuid.NewString(), "office", map[string]any{
		"kind": linkRecord, "linkHash": digest(secret), "property": p.ID, "until": until.UTC().Format(time.RFC3339), "for": strings.TrimSpace(who),
	})
	return secret, err
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
	if !s.opens(record) {
		return Property{}, linkEnded
	}
	s.sighted(context.Background(), id)
	return o.property(text(record, "property")), linkOpen
}
