package server

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"syscall"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// TestAnswersThatAreCutOff: what did not come is told as such; what the asker stopped or cannot write stays
// what it is.
func TestAnswersThatAreCutOff(t *testing.T) {
	ended, stop := context.WithCancel(t.Context())
	stop()
	odd, full := errors.New("odd"), &fs.PathError{Op: "write", Path: "out", Err: syscall.EPIPE}
	for _, c := range []struct {
		ctx       context.Context
		err, want error
	}{
		{t.Context(), nil, nil}, {t.Context(), odd, odd}, {ended, io.EOF, io.EOF}, {ended, nil, nil},
		{t.Context(), io.EOF, NoAnswer}, {t.Context(), io.ErrUnexpectedEOF, NoAnswer}, {t.Context(), syscall.EPIPE, NoAnswer}, {t.Context(), syscall.ECONNRESET, NoAnswer},
		{t.Context(), syscall.ECONNREFUSED, NoAnswer}, {t.Context(), &net.OpError{Op: "dial", Err: odd}, NoAnswer},
		{t.Context(), fmt.Errorf("x: %w", full), full}, {t.Context(), &fs.PathError{Op: "read", Path: "in", Err: syscall.ECONNRESET}, NoAnswer},
	} {
		if got := cutOff(c.ctx, c.err); got != c.want {
			t.Errorf("%v is told as %v, want %v", c.err, got, c.want)
		}
	}
}

// TestAskedOffice: its answer is read into a value or written out, its refusal is one.
func TestAskedOffice(t *testing.T) {
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch r.URL.Path {
		case "/value":
			_, _ = w.Write([]byte(`{"n": 7}`))
		case "/refused":
			refuse(w, http.StatusConflict, &model.Problem{Path: "p", Reason: "no"})
		case "/wordless":
			refuse(w, http.StatusConflict, &model.Problem{})
		default:
			w.WriteHeader(http.StatusBadGateway)
		}
	}))
	defer web.Close()
	client := &http.Client{Transport: elsewhere(web.Listener.Addr().String())}
	var value struct{ N int }
	var out bytes.Buffer
	if err := Ask(t.Context(), client, "GET", "/value", nil, &value); err != nil || value.N != 7 {
		t.Errorf("a value: %+v, %v", value, err)
	}
	if err := Ask(t.Context(), client, "GET", "/value", nil, &out); err != nil || out.String() != `{"n": 7}` {
		t.Errorf("an output: %q, %v", out.String(), err)
	}
	for path, want := range map[string]string{"/refused": "p: no", "/wordless": "the office answered 409 Conflict", "/gone": "the office answered 502 Bad Gateway"} {
		if err := Ask(t.Context(), client, "GET", path, nil, &out); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", path, err, want)
		}
	}
	if out.String() != `{"n": 7}` {
		t.Errorf("a refusal is written out: %q", out.String())
	}
	if err := Ask(t.Context(), client, "GET", "/value\x00", nil, &out); err == nil {
		t.Error("a path that is none is asked for")
	}
}

// elsewhere sends every request to one address.
type elsewhere string

func (e elsewhere) RoundTrip(r *http.Request) (*http.Response, error) {
	r = r.Clone(r.Context())
	r.URL.Host = string(e)
	return http.DefaultTransport.RoundTrip(r)
}

// TestFaultsInWords: by whom a request was made, and whether the office can mend it.
func TestFaultsInWords(t *testing.T) {
	at := time.Date(2026, 5, 13, 2, 7, 0, 0, time.UTC)
	backup := &store.IsBackup{At: at}
	known := &model.Problem{Path: "p", Reason: "no"}
	for _, c := range []struct {
		err            error
		status, office int
		words, toldTo  string // in the answer to anybody, and to the office
	}{
		{store.ErrFull, 507, 500, "", "is on is full: nothing was changed"},
		{backup, 422, 422, "backup of 13 May 2026", "backup of 13 May 2026"},
		{store.ErrReadOnly, 422, 422, "copy the folder to a disk", "copy the folder to a disk"},
		{known, 422, 422, `"no"`, `"no"`},
		{store.ErrDamaged, 500, 500, "the server could not do this", "is damaged"},
		{store.ErrStopped, 500, 500, "the server could not do this", "takes nothing more since writing to it failed"},
		{errors.New("odd"), 500, 500, "the server could not do this", "could not do this"},
	} {
		for pattern, want := range map[string]int{"GET /map/{link}": c.status, "GET /office/devices": c.office} {
			s := newSite(t)
			w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/", nil)
			r.Pattern = pattern
			s.fail(w, r, c.err)
			words := map[bool]string{true: c.words, false: c.toldTo}[pattern == "GET /map/{link}"]
			if w.Code != want || !strings.Contains(w.Body.String(), words) || strings.Contains(w.Body.String(), "odd") || w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("Content-Type") != "application/json" {
				t.Errorf("%v on %s: %d %s, want %d with %q", c.err, pattern, w.Code, w.Body, want, words)
			}
		}
	}
}

// TestWhoMayFollow: a phone by a code that enrols a device again, with the secret of what it was.
func TestWhoMayFollow(t *testing.T) {
	s := newSite(t)
	first, other := s.enrolledAs(t, "d1", "R. Field", "Flat"), s.enrolledAs(t, "d2", "A. Marri", "Flat")
	again, err := s.adminInvite(t.Context(), Invite{Again: "1"})
	if err != nil {
		t.Fatal(err)
	}
	late, err := s.adminInvite(t.Context(), Invite{Again: "1"})
	if err != nil {
		t.Fatal(err)
	}
	of := func(id string) *deviceRecord { return s.office.devices.one(byDevice, id) }
	former := func(device, token string) (req enrolRequest) {
		if err := json.Unmarshal(asJSON(map[string]any{"device": "d9", "former": map[string]string{"device": device, "token": token}}), &req); err != nil {
			t.Fatal(err)
		}
		return req
	}
	for name, c := range map[string]struct {
		was, d *deviceRecord
		req    enrolRequest
		path   string
		reason string
	}{
		"nobody":         {nil, nil, enrolRequest{}, "code", "is not in the office's list any more"},
		"itself":         {of("d1"), of("d1"), enrolRequest{}, "device", "gives the phone a new number"},
		"another":        {of("d1"), of("d2"), enrolRequest{}, "code", "row 1 of the office's list again, and this phone is row 2"},
		"a new phone":    {of("d1"), nil, enrolRequest{Device: "d9"}, "", ""},
		"as it is":       {of("d1"), nil, former("d9", "x"), "", ""},
		"with proof":     {of("d1"), nil, former("d1", first.Token), "", ""},
		"without":        {of("d1"), nil, former("d1", "x"), "former", "has not the secret of that"},
		"of another":     {of("d1"), nil, former("d2", other.Token), "former", "this phone was row 2"},
		"one of nowhere": {of("d1"), nil, former("d7", "x"), "", ""},
	} {
		s.office.mu.RLock()
		p := s.office.mayFollow(c.was, c.d, c.req)
		s.office.mu.RUnlock()
		if (p == nil) != (c.path == "") || p != nil && (p.Path != c.path || !strings.Contains(p.Reason, c.reason)) {
			t.Errorf("%s: %v, want %s %s", name, p, c.path, c.reason)
		}
	}
	code := s.office.codes.rows[len(s.office.codes.rows)-2]
	changes, n := s.office.endCodes(of("d1"), code)
	if all, _ := s.office.endCodes(of("d1"), nil); len(changes) != 1 || n != 1 || len(all) != 2 {
		t.Errorf("of two open codes %d end beside one, %d in all", n, len(all))
	}
	if got := s.redeemed(t, enrolRequest{Code: again.Code, Device: "d3", Token: strings.Repeat("d3", 20)}); got.Author != "R. Field" {
		t.Errorf("enrolled again as %s", got.Author)
	}
	if _, n := s.office.endCodes(of("d1"), nil); n != 0 {
		t.Errorf("%d codes are open after one was used", n)
	}
	if status, body := s.tries(t, enrolRequest{Code: late.Code, Device: "d4", Token: strings.Repeat("d4", 20)}); status == 200 {
		t.Errorf("the code that ended enrols: %s", body)
	}
	s.office.mu.RLock()
	p := s.office.mayFollow(of("d1"), nil, enrolRequest{Device: "d5"})
	s.office.mu.RUnlock()
	if p == nil || p.Path != "code" {
		t.Errorf("what was followed is followed again: %v", p)
	}
}

// TestFrontSaysWhatItIs: who opens the address alone is told what it is for.
func TestFrontSaysWhatItIs(t *testing.T) {
	s := newSite(t)
	if status, body := ask(t, "GET", s.web.URL+"/", ""); status != 200 || !strings.Contains(body, "Headcut is running") {
		t.Errorf("the front: %d %s", status, body)
	}
	for _, path := range []string{"/field/assets/x.js?kept", "/desk/assets/x.js?kept=1"} {
		if status, body := ask(t, "GET", s.web.URL+path, ""); status != 404 || problemIn(t, body).Path != "kept" {
			t.Errorf("%s: %d %s", path, status, body)
		}
	}
}

// TestHashesInEntries: texts of 64 digits alone are the hashes of photos.
func TestHashesInEntries(t *testing.T) {
	sha := strings.Repeat("5e", 32)
	for _, c := range []struct {
		text string
		want int
	}{
		{`["` + sha + `"]`, 1}, {`["` + sha + `","` + strings.Repeat("5f", 32) + `"]`, 2}, {`["` + sha + `0"]`, 0}, {`["0` + sha + `"]`, 0}, {`["` + sha[:63] + `"]`, 0}, {`["` + sha[:63] + `g"]`, 0}, {`[]`, 0},
	} {
		p := namedPhotos{named: map[register.Hash][]naming{}}
		raw := json.RawMessage(`{"v":1,"id":"01890000-0000-7000-8000-000000000001","property":"p","feature":"f","device":"d","deviceSeq":1,"stamp":"0000000000100000","seenAt":"2026-03-01T18:00:00+10:00","author":"A","set":{"photos":` + c.text + `}}`)
		p.note(&register.Numbered{Raw: raw, N: 1})
		if len(p.named) != c.want {
			t.Errorf("%s names %d photos, want %d", c.text, len(p.named), c.want)
		}
	}
}

// TestAbsentPhotosAreLookedForOnce: each time those that were missing and what is new, and all of them
// after a while.
func TestAbsentPhotosAreLookedForOnce(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Flat")
	if err != nil {
		t.Fatal(err)
	}
	property, maker := p.ID, &storetest.Maker{Property: p.ID, Device: "d1"}
	names := func(sha register.Hash) {
		t.Helper()
		if _, err := s.bolt.Append(t.Context(), property, []json.RawMessage{maker.Entry("f-"+sha.String()[:8], nil, "photos", `["`+sha.String()+`"]`)}); err != nil {
			t.Fatal(err)
		}
	}
	looked := &lookedFor{Photos: s.photos}
	s.photos = looked
	names(putBy(t, s, "d1", quarters(t, 64, 48)))
	names(register.Hash{2})
	find := func(what string, opened, want int) {
		t.Helper()
		looked.n = 0
		got, err := s.absentOf(t.Context(), property, time.Hour)
		if err != nil || len(got) != want || looked.n != opened {
			t.Errorf("%s: %d absent, %v, after looking for %d; want %d after %d", what, len(got), err, looked.n, want, opened)
		}
	}
	find("at first", 2, 1)
	find("at once again", 0, 1)
	s.at = s.at.Add(absentAgainAfter)
	find("a while later, those that were missing", 1, 1)
	names(register.Hash{3})
	find("one more named", 2, 2)
	s.at = s.at.Add(time.Hour)
	find("much later, all", 3, 2)
}

// lookedFor counts the photos that are looked for.
type lookedFor struct {
	store.Photos
	n int
}

func (l *lookedFor) Sent(ctx context.Context, sha register.Hash) ([]string, int64, error) {
	l.n++
	return l.Photos.Sent(ctx, sha)
}

func (l *lookedFor) Open(ctx context.Context, sha register.Hash) (io.ReadSeekCloser, error) {
	l.n++
	return l.Photos.Open(ctx, sha)
}

// TestChecksThatFail: the office hears how far a check is, and why it ended.
func TestChecksThatFail(t *testing.T) {
	for _, c := range []struct {
		found any
		err   error
		want  string
	}{
		{map[string]int{"n": 7}, nil, `{"what":"entries","done":1}|{"found":{"n":7}}`},
		{nil, errors.New("it stopped"), `{"what":"entries","done":1}|{"fault":"it stopped"}`},
		{nil, store.ErrDamaged, `{"what":"entries","done":1}|{"fault":"` + store.ErrDamaged.Error() + `","damaged":true}`},
		{func() {}, nil, `{"what":"entries","done":1}|{"fault":"json: unsupported type: func()"}`},
	} {
		s := newSite(t)
		s.audit = func(_ context.Context, told func(string, uint64)) (any, error) {
			told("entries", 1)
			told("entries", 2) // too soon
			return c.found, c.err
		}
		w := httptest.NewRecorder()
		s.adminAudit(w, httptest.NewRequest("GET", "/", nil))
		if got := strings.ReplaceAll(strings.TrimSpace(w.Body.String()), "\n", "|"); got != c.want {
			t.Errorf("heard %s, want %s", got, c.want)
		}
	}
}

// TestClonedIsWrittenOnce, and of no device that nobody knows.
func TestClonedIsWrittenOnce(t *testing.T) {
	s := newSite(t)
	s.enrolledAs(t, "d1", "R. Field", "Flat")
	var log bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&log, nil))
	s.cloned(t.Context(), "nobody")
	if log.Len() > 0 {
		t.Errorf("of nobody: %s", &log)
	}
	first := s.at
	s.cloned(t.Context(), "d1")
	s.at = s.at.Add(time.Hour)
	s.cloned(t.Context(), "d1")
	if n := strings.Count(log.String(), "enrol it again"); n != 1 || !s.Devices()[0].Cloned.Equal(first) {
		t.Errorf("said %d times, since %v: %s", n, s.Devices()[0].Cloned, &log)
	}
	log.Reset()
	s.enrolledAs(t, "d2", "A. Marri", "Flat")
	if err := s.bolt.Close(); err != nil {
		t.Fatal(err)
	}
	s.cloned(t.Context(), "d2")
	if !strings.Contains(log.String(), "could not be written down") {
		t.Errorf("of a store that fails: %s", &log)
	}
}

// TestLabelsAndPropertiesThatAreRefused: too long a label, and a property that nobody has accepted.
func TestLabelsAndPropertiesThatAreRefused(t *testing.T) {
	s := newSite(t)
	as := s.enrolledAs(t, "d1", "R. Field", "Flat")
	for n, want := range map[int]bool{100: true, 101: false} {
		if _, err := s.Label(t.Context(), "1", strings.Repeat("x", n)); (err == nil) != want {
			t.Errorf("a label of %d letters: %v", n, err)
		}
	}
	begun := as.Properties[0]
	begun.Begun = true
	if _, err := s.Widen(t.Context(), "1", begun); err == nil {
		t.Error("a property that nobody has accepted is given")
	}
	s.room.counted.Store(true)
	s.room.took("d1", begun.ID, 90)
	rows, err := s.PropertyRows(t.Context())
	if err != nil || rows[0].Room == nil || rows[0].Room.Bytes != 90 {
		t.Errorf("the list has %+v, %v", rows, err)
	}
	s.room.counted.Store(false)
	if rows, err = s.PropertyRows(t.Context()); err != nil || rows[0].Room != nil {
		t.Errorf("before anybody has counted the list has %+v, %v", rows, err)
	}
	for origin, want := range map[string]bool{"": true, "http://a.example:8080": true, "http://A.example:8080": true, "http://b.example": false, "%zz": false, "https://known.example": true, "null": false} {
		if _, err := s.Announce(t.Context(), "https://known.example"); err != nil {
			t.Fatal(err)
		}
		r := httptest.NewRequest("GET", "http://a.example:8080/", nil)
		r.Header.Set("Origin", origin)
		if got := s.ownOrigin(r); got != want {
			t.Errorf("from %q: own %t", origin, got)
		}
	}
}
