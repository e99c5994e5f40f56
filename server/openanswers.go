package server

import (
	"errors"
	"net/http"
	"sync"
	"time"
)

// openAnswers are the answers that are on their way to somebody who may lose the right to them, by who that
// is: a device's id, or a link's.
type openAnswers struct {
	mu  sync.Mutex
	all map[string]map[*pacedAnswer]struct{}
}

// answerKey is where a request's context has its answer.
type answerKey struct{}

// errEnded is of an answer whose reader may not have it any more.
var errEnded = errors.New("who asked may not read this any more")

// while lets the answer to a request go on only as long as may allows it. That is asked when the rights of
// who change (recheck), and between pieces of a long answer: a link has its last day. What the system has
// taken of an answer to send cannot be called back.
func (s *Server) while(r *http.Request, who string, may func() bool) {
	a, ok := r.Context().Value(answerKey{}).(*pacedAnswer)
	if !ok {
		return
	}
	a.mu.Lock()
	a.who, a.may = who, may
	a.mu.Unlock()
	u := &s.answers
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.all == nil {
		u.all = map[string]map[*pacedAnswer]struct{}{}
	}
	if u.all[who] == nil {
		u.all[who] = map[*pacedAnswer]struct{}{}
	}
	u.all[who][a] = struct{}{}
}

// recheck ends the answers to who that may not go on.
func (u *openAnswers) recheck(who string) {
	u.mu.Lock()
	var answers []*pacedAnswer
	for a := range u.all[who] {
		answers = append(answers, a)
	}
	u.mu.Unlock()
	for _, a := range answers {
		if !a.may() {
			a.end()
		}
	}
}

// done forgets an answer, and tells whether it was ended before it was whole.
func (u *openAnswers) done(a *pacedAnswer) (ended bool) {
	u.mu.Lock()
	delete(u.all[a.who], a)
	if len(u.all[a.who]) == 0 {
		delete(u.all, a.who)
	}
	u.mu.Unlock()
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.ended
}

// end lets nothing more of an answer out, also of a piece that its reader keeps waiting.
func (a *pacedAnswer) end() {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.ended = true
	_ = a.line.SetWriteDeadline(time.Now()) // one that has none ends with this piece
}

// goOn moves the deadline for the next piece on, unless the answer has ended.
func (a *pacedAnswer) goOn() error {
	now := time.Now()
	if began := !a.set.IsZero(); began && a.may != nil && now.Sub(a.set) > a.rule.Silence/30 && !a.may() {
		a.end()
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.ended {
		return errEnded
	}
	if now.Sub(a.set) > a.rule.Silence/30 {
		a.set = now
		_ = a.line.SetWriteDeadline(now.Add(a.rule.Silence)) // one that has none ends by itself
	}
	return nil
}
