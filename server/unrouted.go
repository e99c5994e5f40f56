package server

import (
	"net/http"

	"headcut/model"
)

var nothingHere = &model.Problem{Reason: "there is nothing at this address", Fix: "check that all of it was copied"}

// routed serves mux, and answers what mux has nothing for with a Problem.
func routed(mux *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if none, pattern := mux.Handler(r); pattern == "" {
			none.ServeHTTP(&unrouted{ResponseWriter: w, method: r.Method}, r)
			return
		}
		mux.ServeHTTP(w, r)
	})
}

// unrouted takes the status and the headers that mux answers with, and puts a Problem in place of its text.
type unrouted struct {
	http.ResponseWriter
	method string
}

// WriteHeader implements [http.ResponseWriter].
func (u *unrouted) WriteHeader(status int) {
	problem := nothingHere
	if status == http.StatusMethodNotAllowed {
		problem = &model.Problem{Path: "method", Reason: u.method + " is not for this address", Fix: "use one of " + u.Header().Get("Allow")}
	}
	refuse(u.ResponseWriter, status, problem)
}

// Write implements [http.ResponseWriter].
func (u *unrouted) Write(text []byte) (int, error) { return len(text), nil }
