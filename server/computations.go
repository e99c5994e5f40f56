package server

import (
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/viewer"
)

// mediaTypes of the built files that computations in a browser are made of.
var mediaTypes = map[string]string{".wasm": "application/wasm", ".js": "text/javascript; charset=utf-8", ".json": "application/json"}

// packings are the ways in which those files were compressed when they were built, the
// smallest first, with the ending of the compressed file's name.
var packings = []struct{ name, ending string }{{"br", ".br"}, {"gzip", ".gz"}}

// handleComputationsFile gives a file of the computations, compressed as the browser
// likes, and reports whether there is one of that name. The list of them must be asked for
// anew each time; the others carry a hash in their names. Their policy lets the worker
// among them compile the program.
func (s *Server) handleComputationsFile(w http.ResponseWriter, r *http.Request, name string) bool {
	kind := mediaTypes[path.Ext(name)]
	if kind == "" {
		return false
	}
	content, err := fs.ReadFile(s.computations, name)
	if err != nil {
		if name != viewer.ComputationsList {
			return false
		}
		refuse(w, http.StatusNotFound, &model.Problem{Path: name, Reason: "this server was built without the computations for browsers", Fix: "build it with make"})
		return true
	}
	h := w.Header()
	h.Set("Content-Security-Policy", viewer.ComputingPolicy)
	h.Set("Content-Type", kind)
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	if name == viewer.ComputationsList {
		h.Set("Cache-Control", "no-cache")
	}
	for _, p := range packings {
		if !accepts(r, p.name) {
			continue
		}
		if packed, err := fs.ReadFile(s.computations, name+p.ending); err == nil {
			content = packed
			h.Set("Content-Encoding", p.name)
			break
		}
	}
	h.Set("Content-Length", strconv.Itoa(len(content)))
	_, _ = w.Write(content) // the browser has gone if this fails
	return true
}

// accepts tells whether a request's Accept-Encoding names a coding and does not refuse it.
func accepts(r *http.Request, coding string) bool {
	for _, one := range strings.Split(strings.Join(r.Header.Values("Accept-Encoding"), ","), ",") {
		name, weight, _ := strings.Cut(strings.ReplaceAll(one, " ", ""), ";")
		if strings.EqualFold(name, coding) {
			return strings.Trim(strings.TrimPrefix(weight, "q="), "0.") != "" || weight == ""
		}
	}
	return false
}
