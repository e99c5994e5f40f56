package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/store"
	"headcut/sync/wire"
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

// TestRefusalsAreInPlainWords: what is no JSON, or other JSON than a door takes, is refused in words that
// are not those of Go's libraries, which are for programmers.
func TestRefusalsAreInPlainWords(t *testing.T) {
	s := newSite(t)
	phone := s.connects(t, s.enrolledAs(t, "d1", "R. Field", "Stony Block"))
	property := phone.welcome.Properties[0]
	plain := func(door, said string) {
		t.Helper()
		for _, words := range []string{"json", "invalid character", "unmarshal", "strconv", "EOF", "http:", "unexpected end", "unknown field", "looking for", "max depth", "Go ", "float64"} {
			if strings.Contains(said, words) {
				t.Errorf("%s says %q: %s", door, words, said)
			}
		}
	}
	texts := []string{"", "\xff\xfe", "{", "[]", `"x"`, "nul", `{"code":1}`, `{"device":[]}`, `{"days":"x"}`, `{"days":1e400}`, `{"days":1.5}`, `{"nobody":1}`, `{} {}`, strings.Repeat(`{"a":`, 20_000), `{"code":"` + strings.Repeat("a", 3<<20) + `"}`}
	for _, text := range texts {
		for _, path := range []string{"/enrol", "/compute/line", "/compute/area"} {
			status, body := ask(t, http.MethodPost, s.web.URL+path, text)
			if status < 400 {
				t.Errorf("%s takes %.20q", path, text)
			}
			plain(path, body)
		}
		for _, path := range []string{"/office/property", "/office/widen", "/office/label", "/office/confirm", "/office/invite", "/office/revoke", "/office/share", "/office/unshare"} {
			_, body := ask(t, http.MethodPost, s.admin.URL+path, text)
			plain(path, body)
		}
		if len(text) < wire.MaxBytes {
			if _, err := wire.Decode([]byte(text)); err != nil {
				plain("a frame", err.Error())
			}
			if _, err := wire.Decode([]byte(`{"type":"push","push":` + text + `}`)); err != nil {
				plain("a push", err.Error())
			}
		}
	}
	for i, geometry := range []string{`{"type":"Point","coordinates":[1e308,"x"]}`, `{"type":"Point","coordinates":{}}`, `[1,2]`, `{"type":"Polygon","coordinates":[1]}`} {
		entry := strings.Replace(string(phone.head(property, uint64(i+1))), `"kind":`, `"geometry":`+geometry+`,"kind":`, 1)
		got, ok := phone.asks(&wire.Push{Push: 1, Property: property, Entries: []json.RawMessage{json.RawMessage(entry)}}).(*wire.Receipts)
		if !ok || got.Receipts[0].Refused == "" {
			t.Errorf("a geometry of %s: %+v, want it refused", geometry, got)
			continue
		}
		plain(geometry, got.Receipts[0].Refused)
	}
	if _, err := asSmall.draw([]byte("no picture")); err == nil {
		t.Error("what is no picture is made small")
	} else {
		plain("a photo", err.Error())
	}
}

// TestLinkIsForSomebodyWithAName: whom a link is for fits a line of the office's list.
func TestLinkIsForSomebodyWithAName(t *testing.T) {
	s := newSite(t)
	s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	for who, want := range map[string]string{"": "", " Pat \x1b[31m of\nStony  Block ": "Pat [31m of Stony Block", strings.Repeat("é", mostForLetters): strings.Repeat("é", mostForLetters)} {
		if _, err := s.adminShare(t.Context(), ShareRequest{Property: "Stony Block", For: who, Days: 7}); err != nil {
			t.Errorf("for %q: %v", who, err)
		}
		if rows := s.Links(); rows[len(rows)-1].For != want {
			t.Errorf("for %q it is listed as %q, want %q", who, rows[len(rows)-1].For, want)
		}
	}
	if _, err := s.adminShare(t.Context(), ShareRequest{Property: "Stony Block", For: strings.Repeat("x", 5000), Days: 7}); err == nil || !strings.Contains(err.Error(), "5000 letters") {
		t.Errorf("for 5,000 letters: %v", err)
	}
}
