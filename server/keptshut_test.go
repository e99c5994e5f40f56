package server

import (
	"bytes"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"headcut/sync/wire"
)

// A restored register lets in nobody of whom it cannot know that they may still come: the office
// confirms phones and links, and revokes those that were revoked since the backup.
func TestRestoreUndoesNoRevocation(t *testing.T) {
	dir := t.TempDir()
	s := openSite(t, dir, time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC))
	kept, lost := s.enrolledAs(t, "d1", "R. Field", "Stony Block"), s.enrolledAs(t, "d2", "A. Lost", "Stony Block")
	p, unused := s.invited(t, "Stony Block")
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 1, 0))
	if err != nil {
		t.Fatal(err)
	}
	// So far the backup goes. After it, d2 was revoked and the link withdrawn, which nobody here knows.
	if shut, err := s.KeepShut(t.Context()); err != nil || shut != (KeptShut{2, 1}) {
		t.Fatalf("kept shut: %+v (%v), want two phones and a link", shut, err)
	}
	s.shut()
	s = openSite(t, dir, s.at.Add(time.Minute))
	waits := func(token string) {
		t.Helper()
		conn, first := greeted(t, s, token)
		later, ok := first.(*wire.Later)
		if !ok || later.WithinMS == 0 {
			t.Fatalf("a phone after a restore hears %+v, want to come back later", first)
		}
		// A problem at token or device would have the phone give up until it is enrolled again.
		if p, ok := heardFrom(t, conn).(*wire.Problem); !ok || p.Problem.Path != "" || !strings.Contains(p.Problem.Reason, "restored on 1 March 2026") {
			t.Errorf("and is told %+v, want why it waits", p)
		}
	}
	waits(kept.Token)
	waits(lost.Token)
	sha := put(t, s, quarters(t, 32, 32)).String()
	if res, body := get(t, s.web.URL+"/photos/"+sha, kept.Token); res.StatusCode != http.StatusServiceUnavailable || res.Header.Get("Retry-After") == "" {
		t.Errorf("a photo meanwhile: %s %s, want to come back later", res.Status, body)
	}
	if status, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/land.json", ""); status != http.StatusLocked ||
		!strings.Contains(body, "the office has to confirm this link first") || strings.Contains(body, "withdrawn") {
		t.Errorf("the link is answered with %d %s, want that the office has to confirm it", status, body)
	}
	var log bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&log, nil))
	if status, _ := ask(t, "GET", s.web.URL+"/map/"+secret, ""); status != http.StatusLocked {
		t.Errorf("its page is answered with %d", status)
	}
	s.log = slog.New(slog.DiscardHandler)
	if !strings.Contains(log.String(), "status=423") || strings.Contains(log.String(), secret) {
		t.Errorf("the log tells of the visitor of a link that is kept shut %q", &log)
	}
	if rows, err := s.PropertyRows(t.Context()); err != nil || len(rows[0].Devices) == 0 || !strings.HasSuffix(rows[0].Devices[0], " (kept shut)") {
		t.Errorf("the properties list phones that are kept shut as %+v, %v", rows, err)
	}
	if status, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+unused+`","device":"d3"}`); status != http.StatusForbidden || !strings.Contains(body, "expired") {
		t.Errorf("a code of before the backup: %d %s, want it over", status, body)
	}
	if rows := s.Devices(); rows[0].Shut.IsZero() || rows[1].Shut.IsZero() || s.Links()[0].Shut.IsZero() || s.WaitForOffice() != (KeptShut{2, 1}) {
		t.Errorf("the lists do not say what is shut: %+v", rows)
	}

	// The office lets one in, and revokes the other.
	for _, step := range []struct{ path, body, want string }{
		{"/office/revoke", `{"device":"2"}`, `"d2"`},
		{"/office/confirm", `{"device":"1"}`, `"devices":1`},
		{"/office/confirm", `{"device":"all"}`, `"devices":0`},
		{"/office/confirm", `{"link":"1"}`, `"links":1`},
	} {
		if status, body := ask(t, "POST", s.admin.URL+step.path, step.body); status != http.StatusOK || !strings.Contains(body, step.want) {
			t.Errorf("%s %s: %d %s, want %s", step.path, step.body, status, body, step.want)
		}
	}
	if status, body := ask(t, "POST", s.admin.URL+"/office/confirm", `{"device":"2"}`); status == http.StatusOK || !strings.Contains(body, "(row 2)") || !strings.Contains(body, "headcut enrol --again 2") {
		t.Errorf("a revoked phone is confirmed: %s", body)
	}
	s.connects(t, kept).wantTaken(p.ID, 1)
	_, again := greeted(t, s, lost.Token)
	wantRefused(t, again)
	if status, _ := ask(t, "GET", s.web.URL+"/map/"+secret+"/land.json", ""); status != http.StatusOK {
		t.Errorf("the confirmed link is answered with %d", status)
	}
	if left := s.WaitForOffice(); left != (KeptShut{}) {
		t.Errorf("%+v still wait", left)
	}
}

// A code that the office gives after the restore is its word for that phone.
func TestNewCodeConfirmsAPhone(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	if _, err := s.KeepShut(t.Context()); err != nil {
		t.Fatal(err)
	}
	s.at = s.at.Add(time.Minute)
	again := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	if again.Token != phone.Token {
		t.Fatal("it has another token now")
	}
	s.connects(t, again).wantTaken(again.Properties[0].ID, 1)
}
