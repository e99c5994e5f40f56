package server

import (
	"context"
	"time"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/sync/register"
)

// FollowUpRequest asks what came of the works of a property, and what is due.
type FollowUpRequest struct {
	Property string `json:"property"`
	followup.Request
}

// FollowedUp answers it.
type FollowedUp struct {
	Property Property `json:"property"`
	followup.Report
}

// FollowUp tells it from what the register has, by the server's day.
func (s *Server) FollowUp(ctx context.Context, r FollowUpRequest) (FollowedUp, error) {
	p, err := s.Property(r.Property)
	if err != nil {
		return FollowedUp{}, err
	}
	if r.Today, err = monitor.ParseDay(s.now().Format(time.DateOnly)); err != nil {
		return FollowedUp{}, err
	}
	var failed error
	report, err := followup.Of(p.ID, func(yield func(recorded.Item) bool) {
		for f, err := range s.folded(ctx, p.ID) {
			if failed = err; err != nil || !yield(recorded.Item{Feature: f.Model(), Struck: f.Struck, Clashes: clashing(f)}) {
				return
			}
		}
	}, r.Request)
	if failed != nil {
		return FollowedUp{}, failed
	}
	return FollowedUp{p, report}, err
}

// clashing are the fields of a feature that are in clash.
func clashing(f register.Folded) []string {
	return model.Each(f.Clashes, func(c register.Clash) string { return c.Field })
}
