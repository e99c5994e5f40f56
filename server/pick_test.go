package server

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestLostPhoneIsFoundByWhoAndWhen: who carries two phones learns which row is which, and a name that
// is none, where the names are.
func TestLostPhoneIsFoundByWhoAndWhen(t *testing.T) {
	s := newSite(t)
	first := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	s.enrolledAs(t, "d2", "R. Field", "Stony Block")
	if _, err := s.admitToSync(t.Context(), first.Token); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Label(t.Context(), "2", "old blue"); err != nil {
		t.Fatal(err)
	}
	_, err := s.RevokeDevice(t.Context(), "r. field")
	if day := s.at.Local().Format("2 January 2006"); err == nil || !strings.Contains(err.Error(), "1 (d1, last seen "+day+"), 2 (old blue, never seen)") {
		t.Errorf("revoking one of two: %v", err)
	}
	if _, err := s.RevokeDevice(t.Context(), "Nobody"); err == nil || !strings.Contains(err.Error(), "'headcut devices'") {
		t.Errorf("revoking nobody's: %v", err)
	}
	if row, err := s.RevokeDevice(t.Context(), "Old Blue"); err != nil || row.Row != 2 || row.Revoked.IsZero() {
		t.Errorf("revoking by its label: %+v %v", row, err)
	}
	s.at = s.at.Add(time.Hour)
	if row, err := s.RevokeDevice(t.Context(), "R. Field"); err != nil || row.Row != 1 {
		t.Errorf("the one that is left: %+v %v", row, err)
	}
}

// A number is a row, whatever a phone calls itself or what it begins; a name comes before an id.
func TestNumbersAreRows(t *testing.T) {
	s := newSite(t)
	victor := s.enrolledAs(t, "d1", "Victor", "North")
	if got, err := s.RevokeDevice(t.Context(), "1"); err != nil || got.Device != "d1" {
		t.Fatalf("row 1: %+v (%v)", got, err)
	}
	north := victor.Properties[0]
	code, _, err := s.InviteDevice(t.Context(), "Eve", north)
	if err != nil {
		t.Fatal(err)
	}
	if status, body := s.tries(t, enrolRequest{Code: code, Device: "1", Token: strings.Repeat("e", 40)}); status != 403 || problemIn(t, body).Path != "device" {
		t.Errorf("a phone that calls itself 1: %d %s", status, body)
	}
	eve := s.redeemed(t, enrolRequest{Code: code, Device: "e1", Token: strings.Repeat("e", 40)})
	for _, name := range []string{"12", " 1 2 ", "1\u200b2", "\u0661"} {
		if _, err := s.Label(t.Context(), "1", name); err == nil {
			t.Errorf("the label %q was taken", name)
		}
		if _, _, err := s.PropertyOrNew(t.Context(), name); err == nil {
			t.Errorf("a property %q was made", name)
		}
		if _, err := s.Rename(t.Context(), "North", name); err == nil {
			t.Errorf("a property was renamed %q", name)
		}
	}
	if err := s.begin(t.Context(), eve.Device, "begun", "1"); err != nil || s.propertyOf("begun").Name != "Property 1" {
		t.Errorf("a property begun as 1: %+v (%v), want it kept under a name that is no row", s.propertyOf("begun"), err)
	}

	// An older register has a property and a phone that are called 1: row 1 is meant, and the answer names the others.
	o := s.office
	o.writing.Lock()
	err = o.write(t.Context(), officeAuthor, made(&propertyRecord{filed: filed{id: "old"}, Name: "1"}), made(&deviceRecord{Device: "1", Author: "Old", TokenHash: "x", Properties: []string{north.ID}}))
	o.writing.Unlock()
	if err != nil {
		t.Fatal(err)
	}
	if got, err := s.RevokeDevice(t.Context(), "1"); err != nil || got.Row != 1 || !slices.Equal(got.AlsoCalled, []int{3}) || len(got.Others) > 0 {
		t.Errorf("row 1: %+v (%v), want row 3 named, and no phone that is only called like its person", got, err)
	}
	var renamed PropertyChanged
	if status, body := ask(t, "POST", s.admin.URL+"/office/property", `{"do":"rename","which":"1","name":"North End"}`); status != 200 || json.Unmarshal([]byte(body), &renamed) != nil || renamed.ID != north.ID || !slices.Equal(renamed.AlsoCalled, []int{3}) {
		t.Errorf("renaming row 1: %d %s, want North renamed and row 3 named", status, body)
	}
}

// TestIDsAreNoWords: a phone that asks to be enrolled under a word or an option is refused, and so is one
// with the secret of another. An older register may have such ids: its phones stay what they are, are
// found by their rows and ids, and a name comes before an id.
func TestIDsAreNoWords(t *testing.T) {
	s := newSite(t)
	victor := s.enrolledAs(t, "d1", "Victor", "North")
	north := victor.Properties[0]
	code, _, err := s.InviteDevice(t.Context(), "Eve", north)
	if err != nil {
		t.Fatal(err)
	}
	words := []string{"all", "-", "--", "x", "victor", "-1", "--revoke"}
	for _, id := range words {
		if status, body := s.tries(t, enrolRequest{Code: code, Device: id, Token: strings.Repeat("e", 40)}); status != 403 || problemIn(t, body).Path != "device" {
			t.Errorf("a phone that calls itself %s: %d %s", id, status, body)
		}
	}
	if status, body := s.tries(t, enrolRequest{Code: code, Device: "e1", Token: victor.Token}); status != 403 || problemIn(t, body).Path != "token" {
		t.Errorf("a phone with the secret of another: %d %s", status, body)
	}
	if _, err := s.admitToSync(t.Context(), victor.Token); err != nil {
		t.Errorf("that other is not let in: %v", err)
	}
	for _, name := range []string{"all", "ALL", "a\u200bll"} {
		if _, err := s.Label(t.Context(), "1", name); err == nil {
			t.Errorf("the label %q was taken", name)
		}
		if _, err := s.adminInvite(t.Context(), Invite{Author: name, Properties: []string{"North"}}); err == nil {
			t.Errorf("the author %q was taken", name)
		}
	}

	o := s.office
	for _, id := range words {
		o.writing.Lock()
		err = o.write(t.Context(), officeAuthor, made(&deviceRecord{Device: id, Author: "Old", TokenHash: digest(strings.Repeat("t", 32) + strings.Trim(id, "-")), Properties: []string{north.ID}}))
		o.writing.Unlock()
		if err != nil {
			t.Fatal(err)
		}
	}
	if got, err := s.Label(t.Context(), "Victor", "the first"); err != nil || got.Row != 1 {
		t.Errorf("Victor, beside a phone that calls itself so: %+v (%v)", got, err)
	}
	if code, _, err = s.InviteDevice(t.Context(), "Old", north); err != nil {
		t.Fatal(err)
	}
	s.redeemed(t, enrolRequest{Code: code, Device: "all", Token: strings.Repeat("t", 32) + "all"})
	if got, err := s.Label(t.Context(), "x", "the tablet"); err != nil || got.Row != 5 {
		t.Errorf("by the id x: %+v (%v)", got, err)
	}
	for i, id := range words {
		if id == "victor" || id == "x" {
			continue
		}
		if got, err := s.RevokeDevice(t.Context(), id); err != nil || got.Row != i+2 {
			t.Errorf("revoking %s: %+v (%v), want row %d", id, got, err, i+2)
		}
	}
}
