package server

import (
	"bufio"
	"cmp"
	"net"
	"net/http"
	"strings"
)

// refusalsLogged is how many refusals a minute of one address are logged.
const refusalsLogged = 20

// noted logs who was turned away, for whoever examines an attack: from where, at which
// route and with which status, never what was asked for, since the address of a link is its
// secret. A flood from one address does not fill the log.
func (s *Server) noted(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a := &notedAnswer{ResponseWriter: w}
		next.ServeHTTP(a, r)
		if from := s.from(r); turnedAway(r.Pattern, a.status) && !s.refusals.spend(from, s.now()) {
			s.log.Info("refused", "route", r.Pattern, "status", a.status, "from", from)
		}
	})
}

// from is where a request comes from, as far as that is known.
func (s *Server) from(r *http.Request) string { return cmp.Or(client(r), "an unknown proxy") }

func turnedAway(route string, status int) bool {
	switch status {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusGone, http.StatusLocked, http.StatusRequestEntityTooLarge, http.StatusTooManyRequests, http.StatusServiceUnavailable:
		return true
	case http.StatusNotFound: // a guess at a link, and no mistyped address
		return strings.Contains(route, "{link}")
	}
	return false
}

// notedAnswer knows the status of an answer.
type notedAnswer struct {
	http.ResponseWriter
	status int
}

func (a *notedAnswer) WriteHeader(status int) {
	a.status = status
	a.ResponseWriter.WriteHeader(status)
}

// Unwrap is for http.ResponseController.
func (a *notedAnswer) Unwrap() http.ResponseWriter { return a.ResponseWriter }

// Hijack implements [http.Hijacker].
func (a *notedAnswer) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	return http.NewResponseController(a.ResponseWriter).Hijack()
}
