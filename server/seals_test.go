package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"headcut/sync/handover"
	"headcut/sync/register"
	"headcut/sync/wire"
)

const clerk = "A. Clerk"

// twoPhones is a server with the phones d-1 of R. Field and d-2 of W. Other on one property.
func twoPhones(t *testing.T) (s *site, victim, other enrolAnswer, property string) {
	t.Helper()
	s = newSite(t)
	phone := func(device, author, property string) enrolAnswer {
		p, _, err := s.PropertyOrNew(t.Context(), property)
		if err != nil {
			t.Fatal(err)
		}
		code, _, err := s.InviteDevice(t.Context(), author, p)
		if err != nil {
			t.Fatal(err)
		}
		return s.redeemed(t, enrolRequest{Code: code, Device: device})
	}
	victim, other = phone("d-1", "R. Field", "Stony Block"), phone("d-2", "W. Other", "Stony Block")
	phone("d-3", "C. Third", "Elsewhere")
	return s, victim, other, victim.Properties[0].ID
}

// changedIn is the item with one text of its entry changed, and its seal as it was.
func changedIn(item handover.Item, from, to string) handover.Item {
	item.Entry = bytes.ReplaceAll(item.Entry, []byte(from), []byte(to))
	return item
}

// What the phone that it names did not seal goes in as handed in, takes none of that phone's numbers,
// and the phone's own entries then go through, whoever wrote the file.
func TestNoFileTakesAPhonesNumbers(t *testing.T) {
	for _, c := range []struct {
		name string
		why  string // as the office is told
		make func(s *site, victim, other enrolAnswer, property string) (handover.About, []handover.Item)
	}{
		{"unsealed", "without a seal", func(_ *site, _, _ enrolAnswer, p string) (handover.About, []handover.Item) {
			return handover.About{Device: "d-1", Author: "R. Field"}, saved(t, p, 1, 3)
		}},
		{"sealed-by-another-phone", "sealed by another phone", func(_ *site, _, other enrolAnswer, p string) (handover.About, []handover.Item) {
			return handover.About{Device: "d-2", Author: "W. Other"}, sealedBy(other.Token, saved(t, p, 1, 3)...)
		}},
		{"anothers-lines-in-the-phones-file", "sealed by another phone", func(_ *site, _, other enrolAnswer, p string) (handover.About, []handover.Item) {
			return handover.About{Device: "d-1", Author: "R. Field"}, sealedBy(other.Token, saved(t, p, 1, 3)...)
		}},
		{"one-value-changed", "changed since the phone sealed them", func(_ *site, victim, _ enrolAnswer, p string) (handover.About, []handover.Item) {
			items := sealedBy(victim.Token, saved(t, p, 1, 3)...)
			for i := range items {
				items[i] = changedIn(items[i], "Peg", "Bad")
			}
			return handover.About{Device: "d-1", Author: "R. Field"}, items
		}},
		{"device-swapped", "sealed by another phone", func(_ *site, _, other enrolAnswer, p string) (handover.About, []handover.Item) {
			var items []handover.Item
			for _, item := range saved(t, p, 1, 3) {
				items = append(items, changedIn(sealedBy(other.Token, changedIn(item, `"d-1"`, `"d-2"`))[0], `"d-2"`, `"d-1"`))
			}
			return handover.About{Device: "d-2", Author: "W. Other"}, items
		}},
		{"phone-nobody-knows", "not enrolled here", func(_ *site, _, _ enrolAnswer, p string) (handover.About, []handover.Item) {
			var items []handover.Item
			for _, item := range saved(t, p, 1, 3) {
				items = append(items, sealedBy("x", changedIn(item, `"d-1"`, `"d-9"`))...)
			}
			return handover.About{Device: "d-9", Author: "A. Stranger"}, items
		}},
		{"name-not-granted", "than the phone was enrolled for", func(_ *site, victim, _ enrolAnswer, p string) (handover.About, []handover.Item) {
			var items []handover.Item
			for _, item := range saved(t, p, 1, 3) {
				items = append(items, sealedBy(victim.Token, changedIn(item, "R. Field", "The Minister"))...)
			}
			return handover.About{Device: "d-1", Author: "The Minister"}, items
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, victim, other, property := twoPhones(t)
			about, items := c.make(s, victim, other, property)
			about.MadeAt = s.at
			taken := carryAs(t, s, about, clerk, 0, items...)
			if taken.New != 3 || taken.HandedIn != 3 || taken.By != clerk || len(taken.Refused) > 0 || len(taken.Notes) != 1 || !strings.Contains(taken.Notes[0].Error(), c.why) {
				t.Errorf("got %+v %v, want 3 entries handed in because they are %q", taken, taken.Notes, c.why)
			}
			for _, raw := range raws(t, s, property) {
				e, err := register.Decode([]byte(raw))
				if err != nil || !register.IsCopy(string(e.Device)) || !strings.HasSuffix(e.Author, ", handed in by "+clerk) {
					t.Errorf("kept: %s (%v), want it said that the clerk handed it in, under no number of a phone", raw, err)
				}
			}
			s.connects(t, victim).wantTaken(property, 1, 2, 3) // other entries, of the same numbers
			if again := carryAs(t, s, about, "", 0, items...); again.New != 0 || again.Known != 3 || len(again.Notes)+len(again.Refused) > 0 {
				t.Errorf("the same file again: %+v, want all known", again)
			}
		})
	}
}

// A file of one phone with a line of another and one of a property that the phone never had: each
// line is judged by itself.
func TestEveryLineIsJudgedByItself(t *testing.T) {
	s, victim, other, property := twoPhones(t)
	elsewhere, err := s.Property("Elsewhere")
	if err != nil {
		t.Fatal(err)
	}
	good := sealedBy(victim.Token, saved(t, property, 1, 2)...)
	his := sealedBy(other.Token, changedIn(changedIn(saved(t, property, 3, 1)[0], `"d-1"`, `"d-2"`), "R. Field", "W. Other"))
	moved := good[1]
	moved.Property = elsewhere.ID
	items := append(append(good, his...), sealedBy(victim.Token, saved(t, elsewhere.ID, 4, 1)...)...)
	items = append(items, moved)
	taken := carry(t, s, 0, items...)
	if taken.New != 4 || taken.HandedIn != 1 || len(taken.Refused) != 1 || !strings.Contains(taken.Notes[0].Error(), "never had a right to") {
		t.Errorf("got %+v %v, want 3 as sent, 1 handed in, and 1 that is filed under another property refused", taken, taken.Notes)
	}
	if receipts, err := s.store.Append(t.Context(), property, []json.RawMessage{good[0].Entry, his[0].Entry}); err != nil || !receipts[0].Known || !receipts[1].Known {
		t.Errorf("sent afterwards: %+v (%v), want both phones' lines to be in as sent", receipts, err)
	}
}

// When the phone sends what was handed in, and goes on, nothing clashes and no value is another's.
func TestHandedInGivesWayToThePhone(t *testing.T) {
	s, victim, _, property := twoPhones(t)
	own := func(seq uint64, says string, saw map[string]uint64) json.RawMessage {
		e := register.Entry{Version: 1, ID: register.ID(fmt.Sprintf("01890000-0000-7000-8000-%012d", seq)), Property: property, Feature: "f", Device: "d-1", DeviceSeq: seq,
			Stamp: register.Next(0, s.at) + register.Stamp(seq), SeenAt: "2026-03-01T18:00:00+10:00", Author: "R. Field", Saw: saw}
		if strike := says == "strike"; strike {
			e.Strike = &strike
		} else if err := json.Unmarshal([]byte(says), &e.Set); err != nil {
			t.Fatal(err)
		}
		raw, err := register.Encode(e)
		if err != nil {
			t.Fatal(err)
		}
		return raw
	}
	all := []json.RawMessage{own(1, `{"kind":"peg","name":"A"}`, nil), own(2, `{"name":"B"}`, nil), own(3, `{"name":"C"}`, nil), own(4, "strike", nil)}
	send := func(raws ...json.RawMessage) {
		t.Helper()
		got, ok := s.connects(t, victim).asks(&wire.Push{Push: 1, Property: property, Entries: raws}).(*wire.Receipts)
		if !ok || got.Receipts[len(raws)-1].N == 0 {
			t.Fatalf("sent: %+v", got)
		}
	}
	folded := func() register.Folded {
		t.Helper()
		entries, err := s.store.EntriesOf(t.Context(), property, "f")
		if err != nil {
			t.Fatal(err)
		}
		return register.Fold("f", entries)
	}
	send(all[0])
	item := func(i int) handover.Item { return handover.Item{Property: property, Entry: all[i]} }
	if taken := carry(t, s, 0, item(0), item(1)); taken.Known != 1 || taken.HandedIn != 1 {
		t.Errorf("handed in: %+v, want the entry that was sent to be known, and the other handed in", taken)
	}
	if f := folded(); len(f.Clashes) > 0 || string(f.Fields["name"]) != `"B"` {
		t.Errorf("after handing in: %+v, want B, which followed A", f)
	}
	// A second file, with the first two again, one of them changed on the way.
	taken := carry(t, s, 0, item(0), changedIn(item(1), `"B"`, `"X"`), item(2))
	if taken.HandedIn != 2 || taken.Known != 1 {
		t.Errorf("handed in again: %+v", taken)
	}
	send(all[1], all[2])
	if f := folded(); len(f.Clashes) > 0 || string(f.Fields["name"]) != `"C"` {
		t.Errorf("after the phone sent its own: %+v, want C and no clash", f)
	}
	send(all[3])
	if f := folded(); len(f.Clashes) > 0 || !f.Struck {
		t.Errorf("after the phone struck it out: %+v, want it struck, no clash", f)
	}
}

// What was handed in is undone as any intake is, and what the phone sealed is not.
func TestHandedInIsUndone(t *testing.T) {
	s, victim, _, property := twoPhones(t)
	items := append(sealedBy(victim.Token, saved(t, property, 1, 1)...), saved(t, property, 2, 2)...)
	taken := carryAs(t, s, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at}, clerk, 0, items...)
	if taken.Intake != 1 || taken.HandedIn != 2 {
		t.Fatalf("got %+v, want intake 1 with 2 entries handed in", taken)
	}
	if all := s.Intakes(t.Context()); len(all) != 1 || all[0].New != 2 || all[0].Author != clerk || all[0].Property.Name != "Stony Block" {
		t.Errorf("the intakes are %+v", all)
	}
	undone, err := s.UndoIntake(t.Context(), 1, "")
	if err != nil || undone.Struck != 2 || len(undone.Kept) > 0 {
		t.Errorf("undone: %+v (%v), want 2 struck out", undone, err)
	}
	for f, err := range s.store.Features(t.Context(), property) {
		if err != nil || f.Struck != (f.Feature != "f-1") {
			t.Errorf("%s is struck: %v (%v)", f.Feature, f.Struck, err)
		}
	}
}

// A phone seals with what it has now what it wrote under ids from which the office enrolled it again; nobody
// else's seal counts for them, nor does another code make one that does.
func TestFormerIDsAreSealedByTheNewOne(t *testing.T) {
	s, victim, other, property := twoPhones(t)
	if _, err := s.RevokeDevice(t.Context(), "d-1"); err != nil {
		t.Fatal(err)
	}
	stony, err := s.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	ordinary, _, err := s.InviteDevice(t.Context(), "R. Field", stony)
	if err != nil {
		t.Fatal(err)
	}
	phone := func(code, device string) enrolAnswer {
		req := provenAs(code, device, victim)
		req.Token = strings.Repeat(device[2:], 40)
		return s.redeemed(t, req)
	}
	copied := phone(ordinary, "d-5")
	proven := phone(s.codeAgain(t, "d-1").Code, "d-4")
	for i, c := range []struct {
		by   enrolAnswer
		hand int
	}{{proven, 0}, {copied, 1}, {victim, 1}, {other, 1}} {
		taken := carryAs(t, s, handover.About{Device: c.by.Device, Author: c.by.Author, MadeAt: s.at}, "", 0, sealedBy(c.by.Token, saved(t, property, 1+i, 1)...)...)
		if taken.New != 1 || taken.HandedIn != c.hand {
			t.Errorf("sealed by %s: %+v %v, want %d handed in", c.by.Device, taken, taken.Notes, c.hand)
		}
	}
}

// What a phone wrote under a former id, of a property that the former one had and it has no more, is handed
// in, and not called one that the phone never had.
func TestFormerIDsPropertiesCount(t *testing.T) {
	s, victim, _, property := twoPhones(t)
	again := s.redeemed(t, provenAs(s.codeAgain(t, "d-1").Code, "d4", victim))
	s.narrowed(t, "d4", "Stony Block")
	taken := carryAs(t, s, handover.About{Device: "d4", Author: "R. Field", MadeAt: s.at}, "", 0, sealedBy(again.Token, saved(t, property, 1, 1)...)...)
	if taken.HandedIn != 1 || strings.Contains(fmt.Sprint(taken.Notes), "never had") {
		t.Errorf("got %+v %v, want it handed in, and nothing said of a property that it never had", taken, taken.Notes)
	}
}

// The photos of a file are those of the phone that saved it when a line of what it may send has its seal,
// and of no phone when a line that goes in by hand has one.
func TestWhosePhotosAFileHas(t *testing.T) {
	s, victim, other, property := twoPhones(t)
	elsewhere := s.Properties()[0].ID
	if _, err := s.Widen(t.Context(), "d-1", s.Properties()[0]); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Narrow(t.Context(), "d-1", "Elsewhere"); err != nil {
		t.Fatal(err)
	}
	own, lost := sealedBy(victim.Token, saved(t, property, 1, 1)...), sealedBy(victim.Token, saved(t, elsewhere, 2, 1)...)
	his := sealedBy(other.Token, changedIn(saved(t, property, 3, 1)[0], `"d-1"`, `"d-2"`))
	for name, c := range map[string]struct {
		lines []handover.Item
		want  []string
	}{
		"none":                     {nil, []string{noPhone}},
		"without a seal":           {saved(t, property, 1, 1), []string{noPhone}},
		"its own":                  {own, []string{"d-1"}},
		"another's":                {his, []string{noPhone}},
		"its own and another's":    {slices.Concat(his, own, his), []string{"d-1"}},
		"what it lost":             {lost, []string{noPhone}},
		"what it lost, twice":      {slices.Concat(lost, lost), []string{noPhone}},
		"its own and what it lost": {slices.Concat(own, lost), []string{"d-1", noPhone}},
		"what it lost and its own": {slices.Concat(lost, own), []string{"d-1", noPhone}},
	} {
		judge := s.sealJudge("d-1")
		for _, line := range c.lines {
			e, err := register.Decode(line.Entry)
			if err != nil {
				t.Fatal(err)
			}
			judge.of(line, &e)
		}
		if got := judge.photographers(); !slices.Equal(got, c.want) {
			t.Errorf("%s: the photos are of %v, want %v", name, got, c.want)
		}
	}
}

// An entry that the phone sent under a new id after it was enrolled again is known when the file of
// its former id comes.
func TestFileOfAFormerIDIsKnown(t *testing.T) {
	s, victim, other, property := twoPhones(t)
	items := sealedBy(victim.Token, saved(t, property, 1, 1)...)
	sent := changedIn(items[0], `"device":"d-1","deviceSeq":1`, `"device":"d-2","deviceSeq":7`)
	if receipts, err := s.store.Append(t.Context(), property, []json.RawMessage{sent.Entry}); err != nil || receipts[0].N == 0 {
		t.Fatalf("%+v %v", receipts, err)
	}
	if taken := carry(t, s, 0, items...); taken.Known != 1 || taken.New != 0 {
		t.Errorf("got %+v, want it known", taken)
	}
	// One that says something else under its id is another: both are kept.
	squat := changedIn(changedIn(saved(t, property, 2, 1)[0], `"d-1"`, `"d-2"`), "Peg 2", "Nothing here")
	squat = changedIn(squat, "R. Field", "W. Other")
	got, ok := s.connects(t, other).asks(&wire.Push{Push: 1, Property: property, Entries: []json.RawMessage{squat.Entry}}).(*wire.Receipts)
	if !ok || got.Receipts[0].N == 0 {
		t.Fatalf("another phone takes an id: %+v", got)
	}
	honest := sealedBy(victim.Token, saved(t, property, 2, 1)...)
	lacks, ok := s.connects(t, victim).asks(&wire.Missing{Property: property, IDs: []register.ID{"01890000-0000-7000-8000-000000000002"}}).(*wire.Lacks)
	if !ok || len(lacks.IDs) != 1 {
		t.Errorf("the phone that asks is told that %+v is lacking, want its id: what is there is another's", lacks)
	}
	got, ok = s.connects(t, victim).asks(&wire.Push{Push: 1, Property: property, Entries: []json.RawMessage{honest[0].Entry}}).(*wire.Receipts)
	if !ok || !strings.Contains(got.Receipts[0].Refused, "save it to a file and give that to the office") {
		t.Errorf("the phone whose id was taken is told %+v, want what to do", got)
	}
	squat.Property = s.Properties()[0].ID // Elsewhere
	squat = changedIn(changedIn(squat, property, squat.Property), `-000000000002"`, `-000000000009"`)
	if receipts, err := s.store.Append(t.Context(), squat.Property, []json.RawMessage{squat.Entry}); err != nil || receipts[0].N == 0 {
		t.Fatalf("an id on another property: %+v %v", receipts, err)
	}
	honest = append(honest, sealedBy(victim.Token, saved(t, property, 9, 1)...)...)
	if taken := carry(t, s, 0, honest...); taken.HandedIn != 2 || !strings.Contains(taken.Notes[0].Error(), "under ids that the register has other entries for") {
		t.Errorf("its file: got %+v %v, want the entry in", taken, taken.Notes)
	}
}

// A number of a phone is taken all the same, as by a copy of the phone, or in a register of an older
// version: the phone is told what to do, one command makes its code, and all it has goes in.
func TestPhoneWhoseNumbersAreTakenEnrolsAgain(t *testing.T) {
	s, victim, _, property := twoPhones(t)
	for _, forged := range saved(t, property, 1, 3) {
		if receipts, err := s.store.Append(t.Context(), property, []json.RawMessage{forged.Entry}); err != nil || receipts[0].N == 0 {
			t.Fatalf("%+v %v", receipts, err)
		}
	}
	phone := s.connects(t, victim)
	got, ok := phone.sends(property, 1, 2, 3, 4).(*wire.Receipts)
	if !ok || !got.Receipts[0].Cloned || !got.Receipts[2].Cloned || got.Receipts[3].N == 0 || !strings.Contains(got.Receipts[0].Refused, "Enrol again") {
		t.Fatalf("got %+v, want 3 told to enrol again, and 4 taken", got)
	}
	var row DeviceRow
	for _, r := range s.Devices() {
		if r.Device == "d-1" {
			row = r
		}
	}
	if row.Cloned.IsZero() {
		t.Errorf("the office's list says of the phone: %+v, want that others have its numbers", row)
	}
	items := []handover.Item{{Property: property, Entry: phone.head(property, 1)}}
	taken := carry(t, s, 0, sealedBy(victim.Token, items...)...)
	if want := fmt.Sprintf("headcut enrol --again %d", row.Row); taken.HandedIn != 1 || !strings.Contains(taken.Notes[0].Error(), want) {
		t.Errorf("its file: %+v %v, want it taken in, and %q said", taken, taken.Notes, want)
	}
	var code Invitation
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/invite", fmt.Sprintf(`{"again":"%d"}`, row.Row)); status != http.StatusOK || json.Unmarshal([]byte(body), &code) != nil {
		t.Fatalf("a code to enrol again: %d %s", status, body)
	}
	if code.Author != "R. Field" || len(code.Properties) != 1 || code.Properties[0].ID != property {
		t.Errorf("a code to enrol again: %+v, want it for the same person and property", code)
	}
	again := s.redeemed(t, enrolRequest{Code: code.Code, Device: "d-4", Token: strings.Repeat("d4", 20)})
	s.connects(t, again).wantTaken(property, 1, 2, 3)
}

// A property that a file says a phone began is that phone's only when the phone sealed it; else the
// phone takes it over by saying so itself.
func TestBegunPropertyIsSealedToo(t *testing.T) {
	s, victim, other, _ := twoPhones(t)
	file := func(begun ...handover.Begun) Taken {
		return carryAs(t, s, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at, Properties: begun}, "", 0)
	}
	sealed := handover.Begun{ID: "creek", Name: "Creek"}
	sealed.Seal = handover.KeyOf(victim.Token).SealBegun(sealed)
	for _, b := range []handover.Begun{sealed, {ID: "forged", Name: "Forged"}, {ID: "renamed", Name: "Renamed", Seal: sealed.Seal}} {
		file(b)
	}
	has := func(device, property string) bool {
		st := s.standing(device)
		for _, p := range st.had {
			if p == property {
				return true
			}
		}
		return false
	}
	if !has("d-1", "creek") || has("d-1", "forged") || has("d-1", "renamed") || !s.propertyOf("forged").Begun {
		t.Errorf("the phone has creek: %v, forged: %v, renamed: %v; want what it sealed alone, and the rest to wait for the office", has("d-1", "creek"), has("d-1", "forged"), has("d-1", "renamed"))
	}
	for i := range 2 * MaxBegun {
		file(handover.Begun{ID: fmt.Sprint("forged-", i), Name: fmt.Sprint("Forged ", i)})
	}
	s.connects(t, victim).begins("own", "Own") // its own count is as it was
	s.connects(t, victim).begins("forged", "Forged")
	if !has("d-1", "forged") {
		t.Error("the phone that began a property does not get it after an unsealed file brought it")
	}
	if got, ok := s.connects(t, other).asks(&wire.Begin{Property: "forged", Name: "Mine"}).(*wire.Problem); !ok {
		t.Errorf("another phone takes it too: %+v", got)
	}
}

// No phone enrols under an id that the register keeps for what an office writes.
func TestOfficeIDsAreNoPhones(t *testing.T) {
	s, _, _, property := twoPhones(t)
	for _, id := range []string{register.CopyDevice("k7m2x9qd", "d-1"), "intake-0123", "office-1", "undo-1"} {
		code, _, err := s.InviteDevice(t.Context(), "R. Field", Property{ID: property, Name: "Stony Block"})
		if err != nil {
			t.Fatal(err)
		}
		if status, body := ask(t, http.MethodPost, s.web.URL+"/enrol", fmt.Sprintf(`{"code":%q,"device":%q}`, code, id)); status != http.StatusForbidden {
			t.Errorf("enrolling as %s: %d %s", id, status, body)
		}
	}
}

// What was begun, sealed and photographed on a phone that was shut out, or that a restore left shut, is handed in; the rest of its
// file is its own.
func TestShutOutPhoneHandsIn(t *testing.T) {
	for name, shut := range map[string]func(s *site) error{
		"revoked":  func(s *site) error { _, err := s.RevokeDevice(t.Context(), "d-1"); return err },
		"restored": func(s *site) error { _, err := s.KeepShut(t.Context()); return err },
	} {
		t.Run(name, func(t *testing.T) {
			s, victim, _, property := twoPhones(t)
			if err := shut(s); err != nil {
				t.Fatal(err)
			}
			begun := handover.Begun{ID: "creek", Name: "Creek"}
			begun.Seal = handover.KeyOf(victim.Token).SealBegun(begun)
			taken := quarters(t, 64, 48)
			items := saved(t, property, 1, 1, taken)
			e, err := register.Decode(items[0].Entry)
			if err != nil {
				t.Fatal(err)
			}
			e.Set = e.Set.With("photos", json.RawMessage(`["`+register.HashOf(taken).String()+`"]`))
			if items[0].Entry, err = register.Encode(e); err != nil {
				t.Fatal(err)
			}
			got := carryAs(t, s, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at, Properties: []handover.Begun{begun}}, clerk, 0, sealedBy(victim.Token, items...)...)
			if got.HandedIn != 1 || got.PhotosNew != 1 || got.Intake != 1 {
				t.Errorf("got %+v %v, want it handed in", got, got.Notes)
			}
			if by := s.office.properties.of("creek").BegunBy; by == "d-1" {
				t.Error("the property that it began is its own")
			}
			reader := s.enrolledAs(t, "d9", "N. Reader", "Stony Block")
			if res, _ := get(t, s.web.URL+"/photos/"+register.HashOf(taken).String(), reader.Token); res.StatusCode != http.StatusOK {
				t.Errorf("its photo: %s, want it read", res.Status)
			}
		})
	}
}
