package server

import (
	"net/http"
	"strings"

	"headcut/model"
	"headcut/sync/photo"
)

// handleLinkPhoto gives a photo of a feature that the link shows, and no other, without what
// its camera wrote into it: that may name a sensitive place, and whose phone it was.
func (s *Server) handleLinkPhoto(w http.ResponseWriter, r *http.Request) {
	p, ok := s.openLink(w, r)
	if !ok {
		return
	}
	name := strings.ToLower(r.PathValue("sha"))
	sha, err := photo.ParseSHA(name)
	if err != nil {
		refuse(w, http.StatusBadRequest, err)
		return
	}
	shown := false
	err = s.withBook(r.Context(), p.ID, func(b *linkBook) error {
		shown = b.shows(sha.String())
		return nil
	})
	if err == nil && shown { // also when a phone named there what is another property's
		shown, err = s.hasPhoto(r.Context(), p.ID, sha)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	missing := &model.Problem{Path: "photo", Reason: "this photo has not arrived yet, or is not part of this map", Fix: "look again after the officer's next sync"}
	if !shown {
		refuse(w, http.StatusNotFound, missing)
		return
	}
	size := asShared
	if r.URL.Query().Get("small") == "1" {
		size = asSmall
	}
	s.sendDrawn(w, r, drawing{sha, size}, missing)
}
