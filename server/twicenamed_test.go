package server

import (
	"strings"
	"testing"
)

// A body that names a member twice is refused: what reads it on its way may take the first.
func TestBodyThatNamesAMemberTwice(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "R. Field", p)
	if err != nil {
		t.Fatal(err)
	}
	for _, twice := range []string{`"code":"zzzzz-zzzzz","code":"` + code + `","device":"d-1b"`, `"code":"` + code + `","device":"d-1a","device":"d-1b"`, `"code":"` + code + `","device":"d-1a","DEVICE":"d-1b"`} {
		status, body := ask(t, "POST", s.web.URL+"/enrol", `{`+twice+`,"author":"R. Field"}`)
		if status != 400 || !strings.Contains(body, "stands twice") {
			t.Errorf("%s: %d %s, want it refused", twice, status, body)
		}
	}
}
