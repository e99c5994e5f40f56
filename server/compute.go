package server

import (
	"errors"
	"io"
	"net/http"

	"headcut/model"
	"headcut/model/compute"
)

// handleComputations lists what POST /compute/NAME can work out, each with its inputs,
// outputs, units, limits and sources.
func (s *Server) handleComputations(w http.ResponseWriter, _ *http.Request) {
	answerJSON(w, compute.All())
}

// handleCompute answers one computation. It needs no rights: it knows only what it is sent.
func (s *Server) handleCompute(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	if _, ok := compute.Named(name); !ok {
		refuse(w, http.StatusNotFound, &model.Problem{Path: "name", Reason: "there is no computation called " + quote(name), Fix: "GET /compute lists them"})
		return
	}
	in, err := io.ReadAll(http.MaxBytesReader(w, r.Body, computeLimit))
	if err != nil {
		status := http.StatusBadRequest
		if _, large := errors.AsType[*http.MaxBytesError](err); large {
			status = http.StatusRequestEntityTooLarge
		}
		refuse(w, status, &model.Problem{Reason: "the input could not be read", Fix: err.Error()})
		return
	}
	out, err := compute.Run(name, in)
	if err != nil {
		refuse(w, http.StatusUnprocessableEntity, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	_, _ = w.Write(out) // the client has gone if this fails
}
