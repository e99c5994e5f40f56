package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"

	"headcut/model"
	"headcut/sync/store"
)

// TestFaultsAreAnswered: whatever goes wrong, the answer is a problem with what to do, under a status of
// its own, and tells a stranger nothing of the inside.
func TestFaultsAreAnswered(t *testing.T) {
	s := newSite(t)
	for name, c := range map[string]struct {
		err    error
		status int
		says   string
	}{
		"nobody's":       {errors.New("/data/register.db: bad page 7"), http.StatusInternalServerError, "the server could not do this"},
		"full":           {fmt.Errorf("append: %w", store.ErrFull), http.StatusInsufficientStorage, ""},
		"read only":      {fmt.Errorf("append: %w", store.ErrReadOnly), http.StatusUnprocessableEntity, store.ErrReadOnly.Error()},
		"the asker's":    {&model.Problem{Path: "a", Reason: "is odd", Fix: "mend it"}, http.StatusUnprocessableEntity, "is odd"},
		"within another": {fmt.Errorf("office: %w", &model.Problem{Reason: "is odd", Fix: "mend it"}), http.StatusUnprocessableEntity, "is odd"},
	} {
		w := httptest.NewRecorder()
		s.fail(w, httptest.NewRequest(http.MethodGet, "/", nil), c.err)
		p := new(model.Problem)
		if err := json.Unmarshal(w.Body.Bytes(), p); err != nil || w.Code != c.status || p.Reason == "" || c.says != "" && p.Reason != c.says {
			t.Errorf("%s: %d %s, want %d and %q", name, w.Code, w.Body, c.status, c.says)
		}
	}
}
