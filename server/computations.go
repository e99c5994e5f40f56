package server

import (
	"net/http"
	"path"

	"headcut/model"
	"headcut/viewer"
)

// mediaTypes of the built files that computations in a browser are made of.
var mediaTypes = map[string]string{".wasm": "application/wasm", ".js": "text/javascript; charset=utf-8", ".json": "application/json"}

// handleComputationsFile gives a file of the computations, compressed as the browser
// likes, and reports whether there is one of that name. The list of them must be asked for
// again each time; the others carry a hash in their names. Their policy lets the worker
// among them compile the program.
func (s *Server) handleComputationsFile(w http.ResponseWriter, r *http.Request, name string) bool {
	kind := mediaTypes[path.Ext(name)]
	if kind == "" {
		return false
	}
	if !s.computations.has(name) {
		if name != viewer.ComputationsList {
			return false
		}
		refuse(w, http.StatusNotFound, &model.Problem{Path: name, Reason: "this server was built without the computations for browsers", Fix: "build it with make"})
		return true
	}
	h := w.Header()
	h.Set("Content-Security-Policy", viewer.ComputingPolicy)
	h.Set("Content-Type", kind)
	h.Set("Cache-Control", "public, "+keepForever)
	if name == viewer.ComputationsList {
		h.Set("Cache-Control", "no-cache")
	}
	s.sendBuilt(w, r, s.computations, name)
	return true
}
