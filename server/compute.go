package server

import (
	"io"
	"net/http"
	"strconv"

	"headcut/model"
	"headcut/model/compute"
)

// handleComputations lists what POST /compute/NAME can work out, each with the schemas of
// its input and output, its limits, cautions and sources.
func (s *Server) handleComputations(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(compute.Catalogue()) // the client has gone if this fails
}

// handleComputation describes one computation as the list does.
func (s *Server) handleComputation(w http.ResponseWriter, r *http.Request) {
	c, ok := compute.Named(r.PathValue("name"))
	if !ok {
		_, err := compute.Run(r.PathValue("name"), nil) // which tells the nearest name
		refuse(w, http.StatusNotFound, err)
		return
	}
	answerJSON(w, c)
}

// handleCompute answers one computation, to the byte as the command line and the browser
// do. It needs no rights: it knows only what it is sent. What it costs is held back.
func (s *Server) handleCompute(w http.ResponseWriter, r *http.Request) {
	length := r.ContentLength
	if length < 0 || length > compute.MaxInput {
		length = compute.MaxInput + 1 // it is read no further than that
	}
	who := client(r)
	if wait := s.computing.take(who, length, s.now()); wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(int(wait.Seconds())+1))
		refuse(w, http.StatusTooManyRequests, &model.Problem{Reason: "this server has computed much for you in a short time",
			Fix: "try again in " + strconv.Itoa(int(wait.Seconds())+1) + " s; headcut compute on your own machine has no such limit"})
		return
	}
	in, err := io.ReadAll(io.LimitReader(r.Body, compute.MaxInput+1))
	s.computing.giveBack(who, length-int64(len(in)))
	if err != nil {
		refuse(w, http.StatusBadRequest, &model.Problem{Reason: "the input could not be read", Fix: err.Error()})
		return
	}
	text, refused := compute.Answer(r.PathValue("name"), in)
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	if refused {
		w.WriteHeader(refusalStatus(r.PathValue("name"), in))
	}
	_, _ = w.Write(text) // the client has gone if this fails
}

func refusalStatus(name string, in []byte) int {
	if _, known := compute.Named(name); !known {
		return http.StatusNotFound
	}
	if len(in) > compute.MaxInput {
		return http.StatusRequestEntityTooLarge
	}
	return http.StatusUnprocessableEntity
}
