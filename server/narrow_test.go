package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/exchange"
	"headcut/sync/handover"
	"headcut/sync/wire"
)

// narrowed takes properties from a device by the office's command.
func (s *site) narrowed(t *testing.T, device string, properties ...string) (row DeviceRow) {
	t.Helper()
	raw, err := json.Marshal(Revocation{Device: device, Properties: properties})
	if err != nil {
		t.Fatal(err)
	}
	status, body := ask(t, http.MethodPost, s.admin.URL+"/office/revoke", string(raw))
	if err := json.Unmarshal([]byte(body), &row); err != nil || status != http.StatusOK {
		t.Fatalf("taking %v from %s: %d %s", properties, device, status, body)
	}
	return row
}

// wantShut checks that a conversation cannot push to a property, pull it or begin it.
func (c *connected) wantShut(property string) {
	c.t.Helper()
	if slices.Contains(c.welcome.Properties, property) {
		c.t.Errorf("it is welcomed to %s", property)
	}
	for _, p := range c.welcome.About {
		if p.ID == property || p.Into == property {
			c.t.Errorf("it is told %+v", p)
		}
	}
	for _, f := range []wire.Frame{&wire.Push{Push: 1, Property: property, Entries: []json.RawMessage{c.head(property, 99)}}, &wire.Pull{Property: property}, &wire.Begin{Property: property, Name: "Mine"}} {
		if got, ok := c.asks(f).(*wire.Problem); !ok || got.Problem.Path != "property" {
			c.t.Errorf("%T on %s is answered by %+v, want a problem", f, property, got)
		}
	}
}

// The right to one of a phone's properties is taken away: in the conversation that it has open,
// in every later one, after a restart, and whatever the phone tries. The others stay.
func TestNarrowing(t *testing.T) {
	s := newSite(t)
	mine := s.enrolledAs(t, "d1", "R. Field", "Creek Block", "Ridge")
	creek, ridge := mine.Properties[0].ID, mine.Properties[1].ID
	open := s.connects(t, mine)
	open.wantTaken(creek, 1)
	open.wantTaken(ridge, 1)
	began := time.Now()
	if row := s.narrowed(t, "r. field", "creek block"); !slices.Equal(row.Properties, []string{"Ridge"}) || !row.Revoked.IsZero() {
		t.Errorf("the office is told %+v", row)
	}
	// What is sent with it on its way is refused, or the conversation has ended.
	_ = open.conn.WriteMessage(1, mustAppend(t, &wire.Push{Push: 7, Property: creek, Entries: []json.RawMessage{open.head(creek, 2)}}))
	for {
		_ = open.conn.SetReadDeadline(began.Add(exchange.DefaultTiming.Admit / 2))
		_, data, err := open.conn.ReadMessage()
		if netErr := net.Error(nil); errors.As(err, &netErr) && netErr.Timeout() {
			t.Fatal("the open conversation goes on") // pings keep it alive for ever
		}
		if err != nil {
			break
		}
		if f, _ := wire.Decode(data); f != nil {
			if got, ok := f.(*wire.Receipts); ok {
				t.Errorf("what it sent afterwards was taken: %+v", got)
			}
		}
	}
	for range 2 {
		phone := s.connects(t, mine)
		phone.wantShut(creek)
		s.narrowed(t, "1", "Creek Block") // again: nothing changes
		phone = s.connects(t, mine)
		phone.wantTaken(ridge, 2)
		s.shut()
		s = openSite(t, s.dir, s.at)
	}
	if got := s.namesOf(t, "Creek Block"); len(got) != 1 {
		t.Errorf("the property has %v, want the one head of before", got)
	}
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/revoke", `{"device":"1","properties":["Nowhere"]}`); status == http.StatusOK {
		t.Errorf("a property that is not there was taken away: %s", body)
	}

	// Given back, by the office or by a new code, it is as before; and it can be taken again.
	for i := range 2 {
		if i == 0 {
			if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/widen", `{"device":"1","properties":["Creek Block"]}`); status != http.StatusOK {
				t.Fatalf("giving it back: %d %s", status, body)
			}
		} else {
			p, err := s.Property("Creek Block")
			if err != nil {
				t.Fatal(err)
			}
			code, _, err := s.InviteDevice(t.Context(), "R. Field", p)
			if err != nil {
				t.Fatal(err)
			}
			s.redeemed(t, enrolRequest{Code: code, Device: "d1", Token: mine.Token})
		}
		s.connects(t, mine).wantTaken(creek, uint64(3+i))
		s.narrowed(t, "d1", "Creek Block")
		s.connects(t, mine).wantShut(creek)
	}
}

// What a phone whose right was taken may still have in hand gives nothing back: the code that it
// was enrolled with, the id that it had before, and a property that it began itself.
func TestNarrowedGetsNothingBackByItself(t *testing.T) {
	s := newSite(t)
	creek, _, err := s.PropertyOrNew(t.Context(), "Creek Block")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "R. Field", creek)
	if err != nil {
		t.Fatal(err)
	}
	ask1 := enrolRequest{Code: code, Device: "d1", Token: strings.Repeat("d1", 40)[:40]}
	mine := s.redeemed(t, ask1)
	phone := s.connects(t, mine)
	phone.begins("hut", "Old Hut")
	phone.wantTaken("hut", 1)
	phone.begins("shed", "Shed")
	s.narrowed(t, "d1", creek.Name, "Old Hut")
	for range 2 {
		if got := s.redeemed(t, ask1); len(got.Properties) != 1 || got.Properties[0].ID != "shed" {
			t.Errorf("with its old code it is given %+v", got.Properties)
		}
	}
	phone = s.connects(t, mine)
	phone.wantShut(creek.ID)
	phone.wantShut("hut")

	// Enrolled again it keeps what it has now, and a code of before gives back nothing that was taken since.
	second := s.redeemed(t, provenAs(s.codeAgain(t, "d1").Code, "d1b", mine))
	phone = s.connects(t, second)
	phone.wantShut(creek.ID)
	phone.wantShut("hut")
	if _, err := s.Widen(t.Context(), "d1b", creek); err != nil {
		t.Fatal(err)
	}
	before := s.codeAgain(t, "d1b")
	s.narrowed(t, "d1b", creek.Name)
	third := s.redeemed(t, provenAs(before.Code, "d1c", second))
	if len(third.Properties) != 1 || third.Properties[0].ID != "shed" {
		t.Errorf("it is given %+v, want the shed alone", third.Properties)
	}

	// A merge gives it neither: the part that it has stays, by itself.
	if _, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Shed", Into: "Creek Block"}); problem != "" {
		t.Fatal(problem)
	}
	phone = s.connects(t, third)
	phone.wantShut(creek.ID)
	if !slices.Contains(phone.welcome.About, wire.Property{ID: "shed", Name: "Shed"}) {
		t.Errorf("it is told %+v, want the shed by itself", phone.welcome.About)
	}
}

// Rights taken from a property that others were merged into are taken from those too.
func TestNarrowingAMergedProperty(t *testing.T) {
	s := newSite(t)
	mine := s.enrolledAs(t, "d1", "R. Field", "Ridge")
	phone := s.connects(t, mine)
	phone.begins("hut", "Old Hut")
	s.enrolledAs(t, "d2", "K. Ranger", "Creek Block")
	if _, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Old Hut", Into: "Creek Block"}); problem != "" {
		t.Fatal(problem)
	}
	creek, err := s.Property("Creek Block")
	if err != nil {
		t.Fatal(err)
	}
	s.connects(t, mine).wantTaken(creek.ID, 1)
	if row := s.narrowed(t, "d1", "Creek Block"); !slices.Equal(row.Properties, []string{"Ridge"}) {
		t.Errorf("it has now %v", row.Properties)
	}
	phone = s.connects(t, mine)
	phone.wantShut(creek.ID)
	phone.wantShut("hut")
}

func mustAppend(t *testing.T, f wire.Frame) []byte {
	t.Helper()
	raw, err := wire.Append(nil, f)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// Two phones of one person are told apart by what they run on, and by the office's label.
func TestDevicesOfOnePerson(t *testing.T) {
	s := newSite(t)
	for device, agent := range map[string]string{
		"d1": "Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 (KHTML, like Gecko) Mobile Safari/537.36",
		"d2": "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Mobile/15E148 Safari/604.1",
	} {
		all, _, err := s.propertiesOrNew(t.Context(), []string{"Creek Block"}, true)
		if err != nil {
			t.Fatal(err)
		}
		code, _, err := s.InviteDevice(t.Context(), "R. Field", all...)
		if err != nil {
			t.Fatal(err)
		}
		req, err := http.NewRequest(http.MethodPost, s.web.URL+"/enrol", strings.NewReader(fmt.Sprintf(`{"code":%q,"device":%q}`, code, device)))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("User-Agent", agent)
		req.Header.Set("Content-Type", "application/json")
		res, err := http.DefaultClient.Do(req)
		if err != nil || res.StatusCode != http.StatusOK {
			t.Fatalf("enrolling: %v %v", res, err)
		}
		res.Body.Close()
	}
	labels := func() (all []string) {
		for _, row := range s.Devices() {
			all = append(all, row.Device+" "+row.Label)
		}
		slices.Sort(all)
		return all
	}
	if got := labels(); !slices.Equal(got, []string{"d1 Android 14", "d2 iPhone"}) {
		t.Errorf("the list tells apart %v", got)
	}
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/label", `{"device":"d2","label":"tablet in the ute"}`); status != http.StatusOK {
		t.Fatalf("labelling: %d %s", status, body)
	}
	s.shut()
	s = openSite(t, s.dir, s.at)
	if got := labels(); !slices.Equal(got, []string{"d1 Android 14", "d2 tablet in the ute"}) {
		t.Errorf("after a restart the list tells apart %v", got)
	}
	if row := s.narrowed(t, "Tablet in the ute", "Creek Block"); row.Device != "d2" || len(row.Properties) != 0 {
		t.Errorf("by its label another was found: %+v", row)
	}
	for agent, want := range map[string]string{"": "", "curl": "", "X (": "", "X ()": "", "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101": "Linux x86_64",
		"Y (" + strings.Repeat("z", 99) + ")": strings.Repeat("z", 40), "Y (a\x00b\xff)": "ab"} {
		if got := systemWords(agent); got != want {
			t.Errorf("systemWords(%q) = %q, want %q", agent, got, want)
		}
	}
}

// A file of a phone that has lost a right goes in as handed in, since whoever has the phone can seal it:
// the office is told, and can undo it.
func TestHandoverOfANarrowedPhone(t *testing.T) {
	s := newSite(t)
	all, _, err := s.propertiesOrNew(t.Context(), []string{"Creek Block", "Ridge"}, true)
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "R. Field", all...)
	if err != nil {
		t.Fatal(err)
	}
	mine := s.redeemed(t, enrolRequest{Code: code, Device: "d-1"})
	creek, ridge := mine.Properties[0].ID, mine.Properties[1].ID
	s.narrowed(t, "d-1", "Creek Block")
	told := func(taken Taken) (notes []string) {
		for _, n := range taken.Notes {
			notes = append(notes, n.Reason)
		}
		return notes
	}
	if got := carry(t, s, 0, sealedBy(mine.Token, saved(t, ridge, 1, 2)...)...); got.New != 2 || len(got.Notes) != 0 {
		t.Errorf("of the property that it has: %+v", got)
	}
	by := func(want int, property string, from, n int) {
		t.Helper()
		items := sealedBy(mine.Token, saved(t, property, from, n)...)
		got := carryAs(t, s, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at}, clerk, 0, items...)
		if got.New != n || got.HandedIn != want || (want > 0) != (got.Intake > 0) || len(got.Refused) > 0 {
			t.Errorf("got %+v %v, want %d of %d handed in", got, told(got), want, n)
		}
		if want > 0 && (len(got.Notes) != 1 || !strings.Contains(got.Notes[0].Error(), "may not send them any more") || !strings.Contains(got.Notes[0].Error(), "undo this intake")) {
			t.Errorf("the office is told %v, want why, and what to do", told(got))
		}
		if again := carry(t, s, 0, items...); again.Known != n || again.New != 0 {
			t.Errorf("the same file again: %+v, want all known", again)
		}
		if want > 0 {
			if undone, err := s.UndoIntake(t.Context(), got.Intake, ""); err != nil || undone.Struck != want || len(undone.Kept) > 0 {
				t.Errorf("undone: %+v (%v), want %d struck out", undone, err, want)
			}
		}
	}
	by(2, creek, 11, 2)
	if _, err := s.RevokeDevice(t.Context(), "d-1"); err != nil {
		t.Fatal(err)
	}
	by(1, ridge, 3, 1)
	if got := carry(t, s, 0, sealedBy(mine.Token, saved(t, ridge, 1, 2)...)...); got.Known != 2 {
		t.Errorf("what went in as sent before: %+v, want it known", got)
	}
}
