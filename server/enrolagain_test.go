package server

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"headcut/sync/handover"
)

// A code that enrols a phone again ends what it was, whoever redeems it and whatever they prove.
func TestCodeAgainEndsTheFormerNumber(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "Ann", "Stony Block")
	phone2 := s.enrolledAs(t, "d2", "Bea", "Ridge")
	s.connects(t, phone).begins("hut", "Old Hut")
	code := s.codeAgain(t, "Ann")

	// Another phone, by what it was or by what it is, is refused, and loses nothing.
	for name, c := range map[string]struct {
		req  enrolRequest
		path string
	}{
		"another's-former":       {provenAs(code.Code, "d9", phone2), "former"},
		"no-proof":               {provenAs(code.Code, "d9", enrolAnswer{Device: "d1", Token: strings.Repeat("x", 40)}), "former"},
		"enrolled-as-another":    {enrolRequest{Code: code.Code, Device: "d2", Token: phone2.Token}, "code"},
		"under-its-own-number":   {enrolRequest{Code: code.Code, Device: "d1", Token: phone.Token}, "device"}, // the page then asks as a new phone
		"its-own-former-by-name": {provenAs(code.Code, "d1", phone), "device"},
	} {
		status, body := s.tries(t, c.req)
		if p := problemIn(t, body); status != http.StatusForbidden || p.Path != c.path {
			t.Errorf("%s: %d %s, want it refused at %s", name, status, body, c.path)
		}
	}
	if !s.letsIn(t, phone) || !s.letsIn(t, phone2) {
		t.Fatal("a refusal ended a phone")
	}

	second := s.codeAgain(t, "Ann")
	fresh := s.redeemed(t, enrolRequest{Code: code.Code, Device: "d3", Token: strings.Repeat("d3", 20)}) // a new handset proves nothing
	if s.letsIn(t, phone) || !s.letsIn(t, fresh) || !s.letsIn(t, phone2) {
		t.Error("the former number lets in, or the new one does not")
	}
	if len(fresh.Properties) != 2 || s.rowOf(t, "d1").FollowedBy != s.rowOf(t, "d3").Row {
		t.Errorf("the new one has %+v, want what the phone had, and the list to say so", fresh.Properties)
	}
	status, body := s.tries(t, provenAs(second.Code, "d4", phone)) // a copy of the phone, with the other code
	if status != http.StatusForbidden || !strings.Contains(body, "has ended") {
		t.Errorf("the second of two codes: %d %s", status, body)
	}
	if again := s.redeemed(t, enrolRequest{Code: code.Code, Device: "d3", Token: fresh.Token}); len(again.Properties) != 2 || !s.letsIn(t, fresh) {
		t.Errorf("its answer was lost: %+v", again)
	}
}

// What a phone proves to have been moves no right by a code that the office did not make for it: who copied
// a phone, or found a revoked one, gets nothing of it by a code of their own, and ends nobody.
func TestFormerMovesNoRights(t *testing.T) {
	for name, revoked := range map[string]bool{"copied": false, "revoked": true} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			victim := s.enrolledAs(t, "d1", "Vic", "North")
			s.connects(t, victim).begins("hut", "Old Hut")
			if revoked {
				if _, err := s.RevokeDevice(t.Context(), "Vic"); err != nil {
					t.Fatal(err)
				}
			}
			south, _, err := s.PropertyOrNew(t.Context(), "South")
			if err != nil {
				t.Fatal(err)
			}
			code, _, err := s.InviteDevice(t.Context(), "Mallory", south)
			if err != nil {
				t.Fatal(err)
			}
			got := s.redeemed(t, provenAs(code, "d9", victim))
			if len(got.Properties) != 1 || got.Properties[0].ID != south.ID {
				t.Errorf("it has %+v, want South alone", got.Properties)
			}
			if grant, err := s.admitToSync(t.Context(), got.Token); err != nil || !slices.Equal(grant.Authors, []string{"Mallory"}) {
				t.Errorf("it writes as %q (%v), want as itself alone", grant.Authors, err)
			}
			if in := s.letsIn(t, victim); in == revoked {
				t.Errorf("the phone is let in: %v", in)
			}
			// Nor by file: neither as the other, nor under its numbers as itself.
			for i, author := range []string{"Vic", "Mallory"} {
				item := changedIn(changedIn(saved(t, south.ID, 1+i, 1)[0], `"d-1"`, `"d1"`), "R. Field", author)
				taken := carryAs(t, s, handover.About{Device: "d9", Author: author, MadeAt: s.at}, clerk, 0, sealedBy(got.Token, item)...)
				if taken.HandedIn != 1 {
					t.Errorf("by file as %s: %+v %v, want it handed in", author, taken, taken.Notes)
				}
			}
		})
	}
}

// Revoking by a name ends all that the phone ever was, with the codes to enrol it again, and names what the
// same person has besides.
func TestRevokingNamesTheRest(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "Ann", "Stony Block")
	again := s.redeemed(t, provenAs(s.codeAgain(t, "Ann").Code, "d2", phone))
	code := s.codeAgain(t, "Ann")
	got, err := s.RevokeDevice(t.Context(), "Ann")
	if err != nil || got.Row != 2 || !slices.Equal(got.Before, []int{1}) || got.Codes != 1 || len(got.Others) > 0 {
		t.Errorf("revoked: %+v (%v), want row 2, which was row 1, and a code", got, err)
	}
	if s.letsIn(t, phone) || s.letsIn(t, again) {
		t.Error("it is let in still")
	}
	if _, err := s.admitToSync(t.Context(), phone.Token); err == nil || !strings.Contains(err.Error(), "taken away") {
		t.Errorf("what it was before is told %v", err)
	}
	if status, body := s.tries(t, provenAs(code.Code, "d3", again)); status != http.StatusForbidden || !strings.Contains(body, "has ended") {
		t.Errorf("the code of before: %d %s", status, body)
	}
	for _, by := range []enrolAnswer{phone, again} {
		item := changedIn(changedIn(saved(t, phone.Properties[0].ID, 1, 1)[0], `"d-1"`, `"`+by.Device+`"`), "R. Field", "Ann")
		if taken := carryAs(t, s, handover.About{Device: by.Device, Author: "Ann", MadeAt: s.at}, clerk, 0, sealedBy(by.Token, item)...); taken.HandedIn != 1 {
			t.Errorf("a file of %s: %+v %v, want it handed in", by.Device, taken, taken.Notes)
		}
	}
	s.enrolledAs(t, "d5", "Ann", "Stony Block")
	s.enrolledAs(t, "d6", "Ann", "Stony Block")
	if got, err := s.RevokeDevice(t.Context(), "3"); err != nil || !slices.Equal(got.Others, []int{4}) {
		t.Errorf("one of two: %+v (%v), want row 4 named", got, err)
	}
}
