package server

import (
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"headcut/sync/store"
)

// AuditStep is one line of the answer to an audit: how far it has come, and at the end what
// was found or why it ended.
type AuditStep struct {
	What  string          `json:"what,omitempty"` // what is being read
	Done  uint64          `json:"done,omitempty"` // how much of it has been
	Found json.RawMessage `json:"found,omitempty"`
	Fault string          `json:"fault,omitempty"`
	// Damaged: the fault is a store.ErrDamaged.
	Damaged bool `json:"damaged,omitempty"`
}

// auditEvery is how often a running audit says how far it has come.
const auditEvery = 200 * time.Millisecond

// adminAudit verifies everything while the server goes on serving.
func (s *Server) adminAudit(w http.ResponseWriter, r *http.Request) {
	out := json.NewEncoder(w)
	say := func(step AuditStep) {
		if out.Encode(step) == nil {
			_ = http.NewResponseController(w).Flush()
		}
	}
	var next time.Time
	found, err := s.audit(r.Context(), func(what string, done uint64) {
		if now := s.now(); now.After(next) {
			next = now.Add(auditEvery)
			say(AuditStep{What: what, Done: done})
		}
	})
	if err != nil {
		say(AuditStep{Fault: err.Error(), Damaged: errors.Is(err, store.ErrDamaged)})
		return
	}
	text, err := json.Marshal(found)
	if err != nil {
		say(AuditStep{Fault: err.Error()})
		return
	}
	say(AuditStep{Found: text})
}
