package server

import (
	"io/fs"
	"mime"
	"net/http"
	"path"

	"headcut/model"
)

// dataPlace is where the landholder's page reads what it shows. It is a block of data and
// no script, so the policy that forbids inline scripts says nothing about it.
const dataPlace = `<script type="application/json" id="land">`

// handleMap gives the landholder's page. Of an open link the page carries what it shows, so
// that a phone with poor signal need not ask a second time; of others it holds nothing of
// the property, asks for land.json with the same secret, and words for a person what is
// wrong with the link. The status says the same to programs.
func (s *Server) handleMap(w http.ResponseWriter, r *http.Request) {
	p, state := s.linkOf(r)
	if state != linkOpen {
		status, _ := state.refusal()
		s.page(w, r, "landholder.html", status)
		return
	}
	view, err := s.packedView(r.Context(), p.ID)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	view.page.send(w, r, "text/html; charset=utf-8", askAgain)
}

func (s *Server) handleFront(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = w.Write([]byte("Headcut is running. Devices enrol here with a one-time code; landholders open the link they were sent.\n"))
}

func (s *Server) page(w http.ResponseWriter, r *http.Request, name string, status int) {
	body, err := fs.ReadFile(s.pages, name)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	w.WriteHeader(status)
	_, _ = w.Write(body) // the reader has gone if this fails
}

// handleAsset gives a built file. Names carry a hash of the content, so they may be kept
// for ever.
func (s *Server) handleAsset(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	if changesInPlace(name) || isPacked(name) {
		refuse(w, http.StatusNotFound, nothingHere)
		return
	}
	if s.handleComputationsFile(w, r, name) {
		return
	}
	if !s.pages.has(name) {
		refuse(w, http.StatusNotFound, nothingHere)
		return
	}
	w.Header().Set("Cache-Control", "public, "+keepForever)
	w.Header().Set("Content-Type", mime.TypeByExtension(path.Ext(name)))
	s.sendBuilt(w, r, s.pages, name)
}

// refusal says to programs and people what is wrong with a link that is not open.
func (state linkState) refusal() (status int, problem *model.Problem) {
	switch state {
	case linkEnded:
		return http.StatusGone, &model.Problem{Path: "link", Reason: "this link has expired or been withdrawn", Fix: "ask the officer for a new one"}
	case linkShut: // RFC 4918, section 11.3: no proxy in between says that
		return http.StatusLocked, &model.Problem{Path: "link", Reason: "the register was restored, and the office has to confirm this link first", Fix: "ask the officer; the same link opens again once that is done"}
	}
	return http.StatusNotFound, &model.Problem{Path: "link", Reason: "map not found", Fix: "check that the whole link was copied"}
}

// openLink finds the property of a request's link, or has refused the request.
func (s *Server) openLink(w http.ResponseWriter, r *http.Request) (Property, bool) {
	p, state := s.linkOf(r)
	if state != linkOpen {
		status, problem := state.refusal()
		refuse(w, status, problem)
	}
	return p, state == linkOpen
}

// openView finds what a request's link shows, or has refused the request and gives nil.
func (s *Server) openView(w http.ResponseWriter, r *http.Request) *packedView {
	p, ok := s.openLink(w, r)
	if !ok {
		return nil
	}
	view, err := s.packedView(r.Context(), p.ID)
	if err != nil {
		s.fail(w, r, err)
		return nil
	}
	return view
}

func (s *Server) handleLinkData(w http.ResponseWriter, r *http.Request) {
	if view := s.openView(w, r); view != nil {
		view.json.send(w, r, "application/json", askAgain)
	}
}

// handleBlock gives a block of the lists that a link shows now, and no other. Its name is made from its
// content, so a browser may keep it without asking again: land.json names those still shown.
func (s *Server) handleBlock(w http.ResponseWriter, r *http.Request) {
	view := s.openView(w, r)
	if view == nil {
		return
	}
	block := view.blocks[r.PathValue("block")]
	if block == nil {
		refuse(w, http.StatusNotFound, &model.Problem{Path: "block", Reason: "this part of the map has changed", Fix: "ask for land.json again"})
		return
	}
	block.send(w, r, "application/json", "private, "+keepForever)
}
