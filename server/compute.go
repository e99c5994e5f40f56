package server

import (
	"io"
	"net/http"
	"runtime"
	"strconv"
	"sync"

	"headcut/model"
	"headcut/model/compute"
)

// catalogue is made once: it is long, and anybody may ask for it.
var catalogue = sync.OnceValue(compute.Catalogue)

// handleComputations lists what POST /compute/NAME can work out, each with the schemas of
// its input and output, its limits, cautions and sources.
func (s *Server) handleComputations(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(catalogue()) // the client has gone if this fails
}

// handleComputation describes one computation as the list does.
func (s *Server) handleComputation(w http.ResponseWriter, r *http.Request) {
	c, ok := compute.Named(r.PathValue("name"))
	if !ok {
		_, err := compute.Run(r.PathValue("name"), nil) // its refusal has the nearest name
		refuse(w, http.StatusNotFound, err)
		return
	}
	answerJSON(w, c)
}

// handleCompute answers one computation, to the byte as the command line and the browser
// do. It needs no rights: it knows only what it is sent. What it costs is held back, and it
// ends when its caller hangs up.
func (s *Server) handleCompute(w http.ResponseWriter, r *http.Request) {
	who := client(r)
	if !s.mayCompute(w, who) {
		return
	}
	release, ok := s.turns.hold(who, r.ContentLength)
	if !ok {
		tooBusy(w)
		return
	}
	defer release()
	in, err := io.ReadAll(io.LimitReader(r.Body, compute.MaxInput+1))
	if err != nil {
		refuse(w, http.StatusBadRequest, &model.Problem{Reason: "the input did not come whole", Fix: "send it again"})
		return
	}
	if len(in) > compute.MaxInput {
		dropRest(r)
	}
	name := r.PathValue("name")
	text, refused := []byte(nil), true
	if c, known := compute.Named(name); !known {
		text, refused = compute.Answer(name, in) // its refusal has the nearest name
	} else if text, refused = s.inTurn(w, r, who, c, in); text == nil {
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	if refused {
		w.WriteHeader(refusalStatus(name, in))
	}
	_, _ = w.Write(text) // the client has gone if this fails
}

// inTurn waits for its turn and computes; nil when it has refused to.
func (s *Server) inTurn(w http.ResponseWriter, r *http.Request, who string, c compute.Computation, in []byte) (text []byte, refused bool) {
	leave, ok := s.turns.enter(r.Context())
	if !ok {
		return nil, true // the caller has gone
	}
	defer leave()
	if !s.mayCompute(w, who) { // it may have spent the rest while this one waited
		return nil, true
	}
	text, refused, steps := c.AnswerUnless(func() bool {
		runtime.Gosched() // a device that waits for its acknowledgement goes first
		return r.Context().Err() != nil
	}, in)
	s.computing.spend(who, steps, s.now())
	return text, refused
}

// mayCompute refuses a client that has spent its allowance.
func (s *Server) mayCompute(w http.ResponseWriter, who string) bool {
	wait := s.computing.wait(who, s.now())
	if wait == 0 {
		return true
	}
	after := strconv.Itoa(int(wait.Seconds()) + 1)
	w.Header().Set("Retry-After", after)
	refuse(w, http.StatusTooManyRequests, &model.Problem{Reason: "this server has computed much for you in a short time",
		Fix: "try again in " + after + " s; headcut compute on your own machine has no such limit"})
	return false
}

func tooBusy(w http.ResponseWriter) {
	w.Header().Set("Retry-After", "5")
	refuse(w, http.StatusServiceUnavailable, &model.Problem{Reason: "this server is computing as much as it may at once",
		Fix: "try again in 5 s; headcut compute on your own machine has no such limit"})
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
