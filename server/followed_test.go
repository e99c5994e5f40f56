package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"headcut/sync/handover"
	"headcut/sync/wire"
)

// provenAs is the request of a phone that is enrolled under another id and proves the one before.
func provenAs(code, device string, former enrolAnswer) enrolRequest {
	return enrolRequest{Code: code, Device: device, Token: strings.Repeat(device, 40)[:40], Former: &struct {
		Device string `json:"device"`
		Token  string `json:"token"`
	}{former.Device, former.Token}}
}

// codeAgain is what 'headcut enrol --again' gives.
func (s *site) codeAgain(t *testing.T, which string) Invitation {
	t.Helper()
	var code Invitation
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/invite", fmt.Sprintf(`{"again":%q}`, which)); status != http.StatusOK || json.Unmarshal([]byte(body), &code) != nil {
		t.Fatalf("a code to enrol %s again: %d %s", which, status, body)
	}
	return code
}

func (s *site) rowOf(t *testing.T, device string) DeviceRow {
	t.Helper()
	for _, row := range s.Devices() {
		if row.Device == device {
			return row
		}
	}
	t.Fatalf("no row of %s", device)
	return DeviceRow{}
}

// letsIn reports whether a device's token opens a conversation.
func (s *site) letsIn(t *testing.T, phone enrolAnswer) bool {
	t.Helper()
	_, first := greetedAs(t, s, phone.Device, phone.Token)
	if _, in := first.(*wire.Welcome); in {
		return true
	}
	wantRefused(t, first)
	return false
}

// A phone that was enrolled again is its new id alone: whoever copied the secret of the former one is
// put out, also of the conversation that is open, and comes in by no road.
func TestEnrollingAgainEndsTheFormerID(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "Ann", "Stony Block")
	property := phone.Properties[0].ID
	s.connects(t, phone).wantTaken(property, 1)
	s.cloned(t.Context(), "d1")
	copied, first := greeted(t, s, phone.Token)
	if _, in := first.(*wire.Welcome); !in {
		t.Fatalf("before: %+v", first)
	}
	code := s.codeAgain(t, "Ann")
	again := s.redeemed(t, provenAs(code.Code, "d2", phone))
	wantRefused(t, heardFrom(t, copied))
	if s.letsIn(t, phone) {
		t.Error("the former secret still lets in")
	}
	if res, _ := get(t, s.web.URL+"/photos/"+strings.Repeat("a", 64), phone.Token); res.StatusCode != http.StatusForbidden && res.StatusCode != http.StatusUnauthorized {
		t.Errorf("photos by the former secret: %s", res.Status)
	}
	s.connects(t, again).wantTaken(property, 1, 2)

	was, is := s.rowOf(t, "d1"), s.rowOf(t, "d2")
	if was.FollowedBy != is.Row || was.Revoked.IsZero() || is.FollowedBy != 0 || !is.Revoked.IsZero() {
		t.Errorf("the office's list: %+v, %+v, want the first to be enrolled again as the second", was, is)
	}
	if next := s.codeAgain(t, "Ann"); next.Author != "Ann" { // the one that has rights, not two rows
		t.Errorf("a code again: %+v", next)
	}
	// What is sealed with the former secret may be a copy's: it is handed in, and undone as such.
	items := sealedBy(phone.Token, changedIn(changedIn(saved(t, property, 40, 1)[0], `"d-1"`, `"d1"`), "R. Field", "Ann"))
	got := carryAs(t, s, handover.About{Device: "d1", Author: "Ann", MadeAt: s.at}, clerk, 0, items...)
	if got.New != 1 || got.HandedIn != 1 || got.Intake != 1 || !strings.Contains(fmt.Sprint(got.Notes), "no longer has") {
		t.Errorf("a file under its former number: %+v %v, want it handed in", got, got.Notes)
	}
	if undone, err := s.UndoIntake(t.Context(), 1, ""); err != nil || undone.Struck != 1 {
		t.Errorf("undone: %+v (%v)", undone, err)
	}
	// What is known already counts once, and what the phone saves as it is now is its own.
	if got := carryAs(t, s, handover.About{Device: "d1", Author: "Ann", MadeAt: s.at}, clerk, 0, items...); got.New != 0 || got.Known != 1 {
		t.Errorf("the file once more: %+v %v", got, got.Notes)
	}
	items = sealedBy(again.Token, changedIn(changedIn(saved(t, property, 41, 1)[0], `"d-1"`, `"d2"`), "R. Field", "Ann"))
	if got := carryAs(t, s, handover.About{Device: "d2", Author: "Ann", MadeAt: s.at}, clerk, 0, items...); got.New != 1 || got.HandedIn != 0 {
		t.Errorf("a file under its number: %+v %v, want it to be its own", got, got.Notes)
	}
	s.shut()
	s = openSite(t, s.dir, s.at.Add(time.Minute))
	if s.letsIn(t, phone) || !s.letsIn(t, again) {
		t.Error("after a restart the former secret lets in, or the new one does not")
	}
}

// Who has a copy of an ended secret and a code for something else gets nothing of the phone's by it.
func TestEndedSecretProvesNoProperty(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "Ann", "Stony Block")
	again := s.redeemed(t, provenAs(s.codeAgain(t, "Ann").Code, "d2", phone))
	s.letsIn(t, again)
	far, _, err := s.PropertyOrNew(t.Context(), "Far Block")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "Mallory", far)
	if err != nil {
		t.Fatal(err)
	}
	if got := s.redeemed(t, provenAs(code, "d3", phone)); len(got.Properties) != 1 || got.Properties[0].ID != far.ID {
		t.Errorf("it got %+v, want what its code is for", got.Properties)
	}
	if !s.letsIn(t, again) || s.rowOf(t, "d2").FollowedBy != 0 {
		t.Error("the honest phone was put out by it")
	}
}

// A phone whose answer was lost is put out as who it was, and comes in by the same code, and by another one.
func TestEnrollingAgainOutlivesALostAnswer(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "Ann", "Stony Block", "Ridge")
	first := provenAs(s.codeAgain(t, "Ann").Code, "d2", phone)
	second := s.redeemed(t, first) // and it does not hear it
	s.at = s.at.Add(48 * time.Hour)
	if got := s.redeemed(t, first); got.Token != first.Token || len(got.Properties) != 2 || !s.letsIn(t, got) {
		t.Errorf("the same again: %+v, want it granted", got)
	}

	// The next time it loses the answer and the code, and gets another.
	lost := s.redeemed(t, provenAs(s.codeAgain(t, "Ann").Code, "d3", second))
	got := s.redeemed(t, provenAs(s.codeAgain(t, "Ann").Code, "d4", second))
	if len(got.Properties) != 2 || !s.letsIn(t, got) {
		t.Errorf("with another code: %+v, want all that it had", got)
	}
	if s.letsIn(t, lost) || s.letsIn(t, second) || s.letsIn(t, phone) {
		t.Error("what it was before still lets in")
	}
	if s.rowOf(t, "d2").FollowedBy != 3 || s.rowOf(t, "d3").FollowedBy != 4 {
		t.Errorf("the list: %+v, want one row to follow the other", s.Devices())
	}
	if code := s.codeAgain(t, "1"); code.Again != 4 { // by what it was, too
		t.Errorf("a code for row 1 is for row %d, want the one that it is now", code.Again)
	}
}

// Names find phones that have no rights any more, where no phone that has some goes by them.
func TestRevokedPhonesGoByTheirNames(t *testing.T) {
	s := newSite(t)
	s.enrolledAs(t, "d1", "Ann", "Stony Block")
	if _, err := s.Label(t.Context(), "Ann", "tablet"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.RevokeDevice(t.Context(), "tablet"); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Ann", "TABLET", "d1", "1"} {
		if code := s.codeAgain(t, name); code.Author != "Ann" || len(code.Properties) != 1 || code.Properties[0].Name != "Stony Block" {
			t.Errorf("enrolling %s again: %+v", name, code)
		}
		if row, err := s.RevokeDevice(t.Context(), name); err != nil || row.Row != 1 {
			t.Errorf("revoking %s once more: %+v %v", name, row, err)
		}
	}
	s.enrolledAs(t, "d2", "Ann", "Ridge")
	if code := s.codeAgain(t, "Ann"); len(code.Properties) != 1 || code.Properties[0].Name != "Ridge" {
		t.Errorf("enrolling again the one that has rights: %+v", code)
	}
}
