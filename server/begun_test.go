package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// enrolledAs redeems a code for a device and returns its token.
func (s *site) enrolledAs(t *testing.T, device, author string, names ...string) enrolAnswer {
	t.Helper()
	all, _, err := s.propertiesOrNew(t.Context(), names, true)
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), author, all...)
	if err != nil {
		t.Fatal(err)
	}
	return s.redeemed(t, enrolRequest{Code: code, Device: device, Token: strings.Repeat(device, 40)[:40]})
}

func (s *site) tries(t *testing.T, req enrolRequest) (status int, body string) {
	t.Helper()
	raw, err := json.Marshal(req)
	if err != nil {
		t.Fatal(err)
	}
	return ask(t, http.MethodPost, s.web.URL+"/enrol", string(raw))
}

func (s *site) redeemed(t *testing.T, req enrolRequest) enrolAnswer {
	t.Helper()
	status, body := s.tries(t, req)
	var got enrolAnswer
	if err := json.Unmarshal([]byte(body), &got); err != nil || status != http.StatusOK {
		t.Fatalf("enrolling: %d %s", status, body)
	}
	return got
}

// connected is a conversation of one device, frame by frame.
type connected struct {
	t       *testing.T
	conn    *websocket.Conn
	device  string
	author  string
	welcome *wire.Welcome
}

func (s *site) connects(t *testing.T, as enrolAnswer) *connected {
	t.Helper()
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(s.web.URL, "http")+"/sync", nil)
	if err != nil {
		t.Fatal(err)
	}
	s.phones.Store(conn, nil)
	c := &connected{t: t, conn: conn, device: as.Device, author: as.Author}
	c.say(&wire.Hello{Version: wire.Version, Token: as.Token, Device: as.Device})
	heard := heardFrom(t, conn)
	for hint, ok := heard.(*wire.Hint); ok; hint, ok = heard.(*wire.Hint) { // of what was taken just before
		t.Log("before the welcome comes ", hint)
		heard = heardFrom(t, conn)
	}
	welcome, ok := heard.(*wire.Welcome)
	if !ok {
		t.Fatalf("no welcome, but %+v", heard)
	}
	c.welcome = welcome
	return c
}

func (c *connected) say(f wire.Frame) {
	c.t.Helper()
	raw, err := wire.Append(nil, f)
	if err != nil {
		c.t.Fatal(err)
	}
	if err := c.conn.WriteMessage(websocket.TextMessage, raw); err != nil {
		c.t.Fatal(err)
	}
}

// asks says something and gives the next frame that is no hint.
func (c *connected) asks(f wire.Frame) wire.Frame {
	c.t.Helper()
	c.say(f)
	for {
		frame := heardFrom(c.t, c.conn)
		if _, hint := frame.(*wire.Hint); !hint {
			return frame
		}
	}
}

// head is an entry of a gully head.
func (c *connected) head(property string, seq uint64) json.RawMessage {
	c.t.Helper()
	hash := register.HashOf(fmt.Append(nil, property, c.device))
	raw, err := register.Encode(register.Entry{
		Version: 1, ID: register.ID(fmt.Sprintf("%x-%x-7000-8000-%012d", hash[:4], hash[4:6], seq)), Property: property, Feature: fmt.Sprint("f-", c.device, "-", property, "-", seq),
		Device: c.device, DeviceSeq: seq, Stamp: register.Stamp(1 << 20), SeenAt: "2026-03-01T18:00:00+10:00", Author: cmp.Or(c.author, "R. Field"),
		Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`), "name": json.RawMessage(fmt.Sprintf(`"Head %d of %s"`, seq, property))}),
	})
	if err != nil {
		c.t.Fatal(err)
	}
	return raw
}

func (c *connected) sends(property string, seqs ...uint64) wire.Frame {
	c.t.Helper()
	push := &wire.Push{Push: 1, Property: property}
	for _, seq := range seqs {
		push.Entries = append(push.Entries, c.head(property, seq))
	}
	return c.asks(push)
}

func (c *connected) wantTaken(property string, seqs ...uint64) {
	c.t.Helper()
	got, ok := c.sends(property, seqs...).(*wire.Receipts)
	if !ok || len(got.Receipts) != len(seqs) || slices.ContainsFunc(got.Receipts, func(r store.Receipt) bool { return r.Refused != "" }) {
		c.t.Fatalf("sent to %s: %+v", property, got)
	}
}

func (c *connected) begins(property, name string) {
	c.t.Helper()
	got, ok := c.asks(&wire.Begin{Property: property, Name: name}).(*wire.Begun)
	if !ok || got.Property.ID != property || got.Property.Name != name {
		c.t.Fatalf("beginning %s: %+v", property, got)
	}
}

// namesOf are the names of the features that an export of a property holds.
func (s *site) namesOf(t *testing.T, property string) []string {
	t.Helper()
	status, body := ask(t, http.MethodGet, s.admin.URL+"/office/export?"+url.Values{"property": {property}, "format": {"geojson"}}.Encode(), "")
	if status != http.StatusOK {
		t.Fatalf("exporting %s: %d %s", property, status, body)
	}
	var all struct {
		Features []struct {
			Properties struct {
				Name string `json:"name"`
			} `json:"properties"`
		} `json:"features"`
	}
	if err := json.Unmarshal([]byte(body), &all); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range all.Features {
		names = append(names, f.Properties.Name)
	}
	slices.Sort(names)
	return names
}

func (s *site) change(t *testing.T, change PropertyChange) (Property, string) {
	t.Helper()
	raw, _ := json.Marshal(change)
	status, body := ask(t, http.MethodPost, s.admin.URL+"/office/property", string(raw))
	var p Property
	if status != http.StatusOK {
		return p, problemIn(t, body).Reason
	}
	if err := json.Unmarshal([]byte(body), &p); err != nil {
		t.Fatal(err)
	}
	return p, ""
}

// A property that a phone began: its entries are acknowledged before the office has
// accepted it, nobody but that phone and the office sees it, and it survives a restart.
func TestPropertyBegunByAPhone(t *testing.T) {
	s := newSite(t)
	mine := s.enrolledAs(t, "d1", "R. Field", "Creek Block")
	other := s.enrolledAs(t, "d2", "K. Ranger", "Creek Block")
	phone := s.connects(t, mine)
	if got, ok := phone.sends("hut", 1).(*wire.Problem); !ok || got.Problem.Path != "property" {
		t.Fatalf("entries for a property that nobody began: %+v, want a problem", got)
	}
	phone.begins("hut", "Old Hut")
	phone.begins("hut", "Old Hut") // its answer was lost
	phone.wantTaken("hut", 1, 2)
	if got, ok := s.connects(t, other).asks(&wire.Pull{Property: "hut"}).(*wire.Problem); !ok || got.Problem.Path != "property" {
		t.Errorf("another phone pulls it: %+v, want a problem", got)
	}
	if got, ok := s.connects(t, other).asks(&wire.Begin{Property: "hut", Name: "Mine"}).(*wire.Problem); !ok || got.Problem.Path != "property" {
		t.Errorf("another phone begins it too: %+v, want a problem", got)
	}
	for _, path := range []string{"/office/share", "/office/invite"} {
		body := map[string]string{"/office/share": `{"property":"Old Hut","days":7}`, "/office/invite": `{"properties":["Old Hut"],"author":"X"}`}[path]
		if status, said := ask(t, http.MethodPost, s.admin.URL+path, body); status == http.StatusOK || !strings.Contains(said, "not accepted yet") {
			t.Errorf("%s before it is accepted: %d %s", path, status, said)
		}
	}

	s.shut()
	s = openSite(t, s.dir, s.at)
	rows, err := s.PropertyRows(t.Context())
	if err != nil || len(rows) != 2 || !rows[1].Begun || rows[1].By != "R. Field" || rows[1].Entries != 2 || rows[1].Row != 2 || !slices.Equal(rows[1].Devices, []string{"R. Field"}) {
		t.Fatalf("the office's list: %+v (%v)", rows, err)
	}
	phone = s.connects(t, mine)
	if !slices.Contains(phone.welcome.About, wire.Property{ID: "hut", Name: "Old Hut", Begun: true}) {
		t.Errorf("its own phone is told %+v", phone.welcome.About)
	}
	if _, problem := s.change(t, PropertyChange{Do: "accept", Which: "Old Hut", Name: "Creek Block"}); !strings.Contains(problem, "is called") {
		t.Errorf("accepting it under a name that is taken: %q", problem)
	}
	if p, problem := s.change(t, PropertyChange{Do: "accept", Which: "2", Name: "Hut Paddock"}); problem != "" || p.Begun || p.Name != "Hut Paddock" {
		t.Fatalf("accepting: %+v %s", p, problem)
	}
	if p, problem := s.change(t, PropertyChange{Do: "accept", Which: "2"}); problem != "" || p.Name != "Hut Paddock" {
		t.Errorf("accepting again: %+v %s", p, problem)
	}
	phone = s.connects(t, mine)
	if !slices.Contains(phone.welcome.About, wire.Property{ID: "hut", Name: "Hut Paddock"}) {
		t.Errorf("after it was accepted its phone is told %+v", phone.welcome.About)
	}
	phone.wantTaken("hut", 3)
	if got := s.namesOf(t, "Hut Paddock"); len(got) != 3 {
		t.Errorf("it has %v, want 3 heads", got)
	}
}

// A stolen phone fills no list.
func TestAPhoneBeginsOnlySoMany(t *testing.T) {
	s := newSite(t)
	phone := s.connects(t, s.enrolledAs(t, "d1", "R. Field", "Creek Block"))
	for i := range MaxBegun {
		phone.begins(fmt.Sprint("p", i), fmt.Sprint("Place ", i))
	}
	got, ok := phone.asks(&wire.Begin{Property: "more", Name: "One more"}).(*wire.Problem)
	if !ok || !strings.Contains(got.Problem.Reason, "wait for the office") || got.Closing {
		t.Fatalf("one more: %+v, want a problem that leaves the conversation", got)
	}
	if _, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Place 3", Into: "Creek Block"}); problem != "" {
		t.Fatal(problem)
	}
	phone = s.connects(t, enrolAnswer{Token: strings.Repeat("d1", 40)[:40], Device: "d1"})
	phone.begins("more", "One more")
	for _, name := range []string{"", "office", "UPPER", strings.Repeat("x", 65)} {
		if got, ok := phone.asks(&wire.Begin{Property: name, Name: "X"}).(*wire.Problem); !ok || got.Problem.Path != "property" {
			t.Errorf("beginning %q: %+v, want a problem", name, got)
		}
	}
}

// Merged, a property's features are the other's, on every way out of the register; what the
// phone still sends to it follows; who had the other has it too; and it can be taken back.
func TestMergeLosesNothing(t *testing.T) {
	s := newSite(t)
	mine := s.enrolledAs(t, "d1", "R. Field", "Ridge")
	other := s.enrolledAs(t, "d2", "K. Ranger", "Creek Block")
	theirs := s.connects(t, other)
	creek := other.Properties[0].ID
	theirs.wantTaken(creek, 1)
	phone := s.connects(t, mine)
	phone.begins("hut", "Creek block again")
	phone.wantTaken("hut", 1, 2)
	if _, problem := s.change(t, PropertyChange{Do: "merge", Which: "Creek block again", Into: "Creek Block"}); !strings.Contains(problem, "R. Field (row 1)") {
		t.Errorf("a merge that lets a phone into the whole: %q, want it refused with the phone's name", problem)
	}
	for range 2 {
		if p, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Creek block again", Into: "Creek Block"}); problem != "" || p.ID != creek {
			t.Fatalf("merging: %+v %s", p, problem)
		}
	}
	phone = s.connects(t, mine)
	for _, want := range []wire.Property{{ID: "hut", Name: "Creek block again", Into: creek}, {ID: creek, Name: "Creek Block"}} {
		if !slices.Contains(phone.welcome.About, want) {
			t.Errorf("its phone is told %+v, want %+v in it", phone.welcome.About, want)
		}
	}
	phone.wantTaken("hut", 3)     // recorded before it knew
	phone.wantTaken(creek, 1)     // and after
	theirs = s.connects(t, other) // who had the other
	if got, ok := theirs.asks(&wire.Pull{Property: "hut"}).(*wire.Page); !ok || len(got.Entries) != 3 {
		t.Errorf("the other phone pulls %+v, want 3 entries", got)
	}
	if got := s.namesOf(t, "Creek Block"); len(got) != 5 {
		t.Errorf("the property has %v, want 5 heads", got)
	}
	if got := s.namesOf(t, "Creek block again"); len(got) != 5 {
		t.Errorf("by the name that was merged: %v, want the same 5", got)
	}
	p, err := s.Property("Creek Block")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	for range 2 { // the second time from what is kept of the first
		if _, body := ask(t, http.MethodGet, s.web.URL+"/map/"+secret+"/land.json", ""); strings.Count(body, `"Head `) != 5 {
			t.Errorf("the landholder sees %d heads, want 5", strings.Count(body, `"Head `))
		}
	}
	if _, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Creek Block", Into: "Creek block again"}); problem == "" {
		t.Error("a property was merged into itself")
	}
	if _, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Creek Block", Into: "Ridge"}); !strings.Contains(problem, "link") {
		t.Errorf("a property with an open link was merged: %q", problem)
	}
	if p, problem := s.change(t, PropertyChange{Do: "accept", Which: "3", Name: "Hut"}); problem != "" || p.Into != "" {
		t.Errorf("taking it back: %+v %s", p, problem)
	}
	if got := s.namesOf(t, "Hut"); len(got) != 3 {
		t.Errorf("taken back it has %v, want 3 heads", got)
	}
	if got := s.namesOf(t, "Creek Block"); len(got) != 2 {
		t.Errorf("the other has %v, want 2 heads", got)
	}
}

// TestMergedIsTakenApart: an edit of a merged feature is written under the part that keeps it, so that
// nothing of it stays behind when the part is taken out; and the office hears that a right to the whole
// was taken with that to its part, which taking the part out does not give back.
func TestMergedIsTakenApart(t *testing.T) {
	s := newSite(t)
	mine := s.enrolledAs(t, "d1", "R. Field", "Ridge")
	other := s.enrolledAs(t, "d2", "K. Ranger", "Creek Block")
	creek := other.Properties[0].ID
	phone := s.connects(t, mine)
	phone.begins("hut", "Hut")
	phone.wantTaken("hut", 1)
	if _, problem := s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: "Hut", Into: "Creek Block"}); problem != "" {
		t.Fatal(problem)
	}
	theirs := s.connects(t, other)
	edit := func(property string) string {
		t.Helper()
		e, err := register.Decode(theirs.head("hut", 1))
		if err != nil {
			t.Fatal(err)
		}
		e.Property, e.Feature, e.Set = property, "f-d1-hut-1", model.FieldValuesOf(map[string]json.RawMessage{"notes": json.RawMessage(`"an edit"`)})
		raw, err := register.Encode(e)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := theirs.asks(&wire.Push{Push: 1, Property: property, Entries: []json.RawMessage{raw}}).(*wire.Receipts)
		if !ok || len(got.Receipts) != 1 {
			t.Fatalf("sent to %s: %+v", property, got)
		}
		return got.Receipts[0].Refused
	}
	if refused := edit(creek); !strings.Contains(refused, `"Hut"`) {
		t.Errorf("an edit under the other property: %q, want it refused", refused)
	}
	if refused := edit("hut"); refused != "" {
		t.Errorf("an edit under its own property is refused: %s", refused)
	}
	theirs.wantTaken(creek, 2) // what is new there

	revoked, err := s.Narrow(t.Context(), "d1", "Creek Block")
	if err != nil || !slices.Equal(revoked.With, []string{"Hut"}) {
		t.Errorf("taking the whole: %+v (%v), want the part named", revoked, err)
	}
	if again, err := s.Narrow(t.Context(), "d1", "Creek Block"); err != nil || len(again.With) > 0 {
		t.Errorf("taking it again: %+v (%v), want nothing", again, err)
	}
	status, body := ask(t, http.MethodPost, s.admin.URL+"/office/property", `{"do":"accept","which":"Hut"}`)
	var accepted PropertyChanged
	if json.Unmarshal([]byte(body), &accepted) != nil || status != http.StatusOK || !slices.Equal(accepted.TakenFrom, []string{"R. Field (row 1)"}) {
		t.Errorf("taking the part out: %d %s, want said from whom it was taken", status, body)
	}
	if got := s.namesOf(t, "Creek Block"); len(got) != 1 {
		t.Errorf("the other has %v, want its own head alone", got)
	}
}

// A second code adds its properties to those that the phone has, also when it is asked with
// twice, and the office adds more without a code; a connected phone learns of it at once.
func TestWidening(t *testing.T) {
	s := newSite(t)
	first := s.enrolledAs(t, "d1", "R. Field", "Creek Block", "Ridge")
	if len(first.Properties) != 2 {
		t.Fatalf("a code for two properties gives %+v", first.Properties)
	}
	hut, _, err := s.PropertyOrNew(t.Context(), "Hut")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "R. Field", hut)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		got := s.redeemed(t, enrolRequest{Code: code, Device: "d1", Token: first.Token})
		if len(got.Properties) != 3 || got.Token != first.Token || got.Device != "d1" {
			t.Fatalf("a second code gives %+v", got)
		}
	}
	phone := s.connects(t, first)
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/widen", `{"device":"r. field","properties":["Scald Block"]}`); status != http.StatusOK {
		t.Fatalf("widening: %d %s", status, body)
	}
	if later, ok := heardFrom(t, phone.conn).(*wire.Later); !ok {
		t.Errorf("the connected phone was not sent to ask again, but told %+v", later)
	}
	if got := s.connects(t, first).welcome.About; len(got) != 4 || got[3].Name != "Scald Block" {
		t.Errorf("it is told %+v", got)
	}
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/widen", `{"device":"nobody","properties":["Nowhere"]}`); status == http.StatusOK {
		t.Errorf("a phone that is not there was given a property: %s", body)
	}
	if _, err := s.Property("Nowhere"); err == nil {
		t.Error("and the property was made")
	}

	// Enrolled again the phone keeps what it had; when that was taken away, what the code names and
	// what it began itself.
	phone = s.connects(t, first)
	phone.begins("own", "Own Place")
	second := s.redeemed(t, provenAs(s.codeAgain(t, "d1").Code, "d1b", first))
	if len(second.Properties) != 5 {
		t.Errorf("a new id of the same phone has %+v, want 5", second.Properties)
	}
	again := s.codeAgain(t, "d1b")
	if _, err := s.RevokeDevice(t.Context(), "d1b"); err != nil {
		t.Fatal(err)
	}
	if status, body := s.tries(t, provenAs(again.Code, "d1c", second)); status != http.StatusForbidden || !strings.Contains(body, "has ended") {
		t.Errorf("by a code of before its rights were taken away: %d %s", status, body)
	}
	if got := s.redeemed(t, provenAs(s.codeAgain(t, "d1b").Code, "d1c", second)); len(got.Properties) != 5 {
		t.Errorf("by a code of after: %+v, want 5", got.Properties)
	}
}

// Who has access, and when they last used it, survives a restart; rows stay.
func TestDevicesAndLinks(t *testing.T) {
	s := newSite(t)
	first := s.enrolledAs(t, "d1", "R. Field", "Creek Block")
	s.enrolledAs(t, "d2", "R. Field", "Creek Block")
	s.connects(t, first)
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/revoke", `{"device":"R. Field"}`); status == http.StatusOK || !strings.Contains(problemIn(t, body).Fix, "2 (d2, never seen)") {
		t.Errorf("a name that two go by: %d %s", status, body)
	}
	for range 2 {
		if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/revoke", `{"device":"2"}`); status != http.StatusOK {
			t.Fatalf("revoking by row: %d %s", status, body)
		}
	}
	var link Shared
	_, body := ask(t, http.MethodPost, s.admin.URL+"/office/share", `{"property":"creek block","for":"The Smiths","days":7}`)
	if err := json.Unmarshal([]byte(body), &link); err != nil {
		t.Fatal(err)
	}
	if status, _ := ask(t, http.MethodGet, s.web.URL+link.Path+"/land.json", ""); status != http.StatusOK {
		t.Fatal("the link does not open")
	}
	s.shut()
	s = openSite(t, s.dir, s.at)
	devices, links := s.Devices(), s.Links()
	if len(devices) != 2 || devices[0].Seen.IsZero() || !devices[1].Seen.IsZero() || devices[1].Revoked.IsZero() || !devices[0].Revoked.IsZero() || devices[1].Row != 2 {
		t.Errorf("devices: %+v", devices)
	}
	if len(links) != 1 || links[0].Seen.IsZero() || links[0].For != "The Smiths" || links[0].Property != "Creek Block" {
		t.Errorf("links: %+v", links)
	}
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/unshare", `{"link":"the smiths"}`); status != http.StatusOK {
		t.Fatalf("taking a link back by whom it is for: %d %s", status, body)
	}
	if status, _ := ask(t, http.MethodGet, s.web.URL+link.Path+"/land.json", ""); status != http.StatusGone {
		t.Errorf("a link that was taken back answers %d", status)
	}
}
