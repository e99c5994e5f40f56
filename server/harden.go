package server

import (
	"net/http"

	"headcut/viewer"
)

// harden adds the headers every page and answer carries. The policy allows nothing but
// our own files: no inline script or style, no frame, no other host.
func (s *Server) harden(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", viewer.ContentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer") // a share link is a secret
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("X-Robots-Tag", "noindex, nofollow, noarchive, noimageindex") // files have no meta element to say so
		if s.secure.Load() || r.TLS != nil && staysSecure("https://"+r.Host) {
			h.Set("Strict-Transport-Security", "max-age=31536000; includeSubDomains")
		}
		if len(r.TransferEncoding) > 0 { // RFC 9112, 6.1: it may have had a length too, by which something in front counts
			h.Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}

// caught turns a panic in one request into an answer; the server and the other requests
// go on.
func (s *Server) caught(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if p := recover(); p != nil {
				if p == http.ErrAbortHandler {
					panic(p) // asked for: it cuts the connection so that a half file is seen as one
				}
				s.log.Error("request panicked", "method", r.Method, "route", r.Pattern, "panic", p)
				refuse(w, http.StatusInternalServerError, errInternal)
			}
		}()
		next.ServeHTTP(w, r)
	})
}
