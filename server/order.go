package server

import (
	"context"
	"net/url"
	"time"

	"headcut/model/monitor"
	"headcut/model/planning"
)

// Ordered is in which order to go about the eroding places of a property.
type Ordered struct {
	Property Property `json:"property"`
	planning.Order
}

// Order tells it from what the register has, by the server's day.
func (s *Server) Order(ctx context.Context, query url.Values) (Ordered, error) {
	p, err := s.Property(query.Get("property"))
	if err != nil {
		return Ordered{}, err
	}
	today, err := monitor.ParseDay(s.now().Format(time.DateOnly))
	if err != nil {
		return Ordered{}, err
	}
	property, err := s.recorded(ctx, p)
	if err != nil {
		return Ordered{}, err
	}
	order, err := property.Order(today)
	return Ordered{p, order}, err
}
