package server

import (
	"encoding/json"
	"strings"
	"testing"

	"headcut/sync/wire"
)

// A phone writes under the name that the office granted it, and under those of the ids that it
// proves to have had: what it had not sent under them goes along when it is enrolled again.
func TestAuthorIsTheOneGranted(t *testing.T) {
	s := newSite(t)
	first := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	property := first.Properties[0].ID
	phone := s.connects(t, first)
	wants := func(c *connected, author string, seq uint64, taken bool) {
		t.Helper()
		c.author = author
		got, ok := c.asks(&wire.Push{Push: 1, Property: property, Entries: []json.RawMessage{c.head(property, seq)}}).(*wire.Receipts)
		if !ok {
			t.Fatalf("no receipts")
		}
		if r := got.Receipts[0]; (r.N > 0) != taken || !taken && !strings.HasPrefix(r.Refused, "Author") {
			t.Errorf("%s's entry by %q: got %+v, want it taken: %v", c.device, author, r, taken)
		}
	}
	wants(phone, "R. Field", 1, true)
	wants(phone, "The Minister", 2, false)
	wants(phone, "r. field", 2, false)
	wants(phone, "R. Field", 2, true)

	enrols := func(invite Invite, device string, former enrolAnswer) enrolAnswer {
		t.Helper()
		invite.Author = "Robin Field"
		raw, err := json.Marshal(invite)
		if err != nil {
			t.Fatal(err)
		}
		var code Invitation
		if status, body := ask(t, "POST", s.admin.URL+"/office/invite", string(raw)); status != 200 || json.Unmarshal([]byte(body), &code) != nil {
			t.Fatalf("a code: %d %s", status, body)
		}
		return s.redeemed(t, provenAs(code.Code, device, former))
	}
	ordinary := enrols(Invite{Properties: []string{"Stony Block"}}, "d3", first) // what it was gives no name
	wants(s.connects(t, ordinary), "R. Field", 1, false)
	wants(s.connects(t, ordinary), "Robin Field", 1, true)
	proven := enrols(Invite{Again: "d1"}, "d2", first)
	wants(s.connects(t, proven), "R. Field", 1, true)
	wants(s.connects(t, proven), "Robin Field", 2, true)
	third := enrols(Invite{Again: "d2"}, "d4", proven) // and so on, from id to id
	wants(s.connects(t, third), "R. Field", 1, true)
}

// Whoever has a code enrols under the name that the office gave it to, whatever name the request has.
func TestCodeNamesTheAuthor(t *testing.T) {
	for _, c := range []struct{ office, asks, want string }{
		{"Mallory", "Ann", "Mallory"},
		{"Mallory", "mallory", "Mallory"},
		{"Mallory", "", "Mallory"},
		{"", " Ann ", "Ann"}, // the office named nobody
	} {
		t.Run(c.office+"-"+c.asks, func(t *testing.T) {
			s := newSite(t)
			s.enrolledAs(t, "d1", "Ann", "Stony Block")
			p, err := s.Property("Stony Block")
			if err != nil {
				t.Fatal(err)
			}
			code, _, err := s.InviteDevice(t.Context(), c.office, p)
			if err != nil {
				t.Fatal(err)
			}
			raw, err := json.Marshal(map[string]string{"code": code, "device": "d2", "author": c.asks, "token": strings.Repeat("d2", 20)})
			if err != nil {
				t.Fatal(err)
			}
			for range 2 { // the second time its answer was lost
				var answer enrolAnswer
				if _, body := ask(t, "POST", s.web.URL+"/enrol", string(raw)); json.Unmarshal([]byte(body), &answer) != nil || answer.Author != c.want {
					t.Errorf("enrolled: %s, want it answered with %q", body, c.want)
				}
			}
			if grant, err := s.admitToSync(t.Context(), strings.Repeat("d2", 20)); err != nil || len(grant.Authors) != 1 || grant.Authors[0] != c.want {
				t.Errorf("it may write as %q (%v), want as %q alone", grant.Authors, err, c.want)
			}
		})
	}
}

// The office cannot give out a code whose name no entry could carry.
func TestCodeHasAName(t *testing.T) {
	s := newSite(t)
	for _, c := range []struct {
		author string
		want   int
	}{{"  Ann\tField ", 200}, {" ", 422}, {strings.Repeat("é", 200), 200}, {strings.Repeat("é", 201), 422}} {
		body, err := json.Marshal(map[string]any{"properties": []string{"Stony Block"}, "author": c.author})
		if err != nil {
			t.Fatal(err)
		}
		status, said := ask(t, "POST", s.admin.URL+"/office/invite", string(body))
		if status != c.want || c.want == 200 && !strings.Contains(said, `"author":"`+strings.Join(strings.Fields(c.author), " ")+`"`) {
			t.Errorf("a code for %q: %d %s, want %d", c.author, status, said, c.want)
		}
	}
}
