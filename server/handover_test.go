package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/handover"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// saved is what a phone would hand over: n entries of a property from deviceSeq first on,
// then photos.
func saved(t *testing.T, property string, first, n int, photos ...[]byte) []handover.Item {
	t.Helper()
	var items []handover.Item
	for i := range n {
		seq := first + i
		raw, err := register.Encode(register.Entry{
			Version: 1, ID: register.ID(fmt.Sprintf("01890000-0000-7000-8000-%012d", seq)), Property: property,
			Feature: fmt.Sprint("f-", seq), Device: "d-1", DeviceSeq: uint64(seq),
			Stamp:  register.Next(0, time.Date(2026, 3, 1, 8, 0, seq, 0, time.UTC)),
			SeenAt: "2026-03-01T18:00:00+10:00", Author: "R. Field",
			Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"peg"`), "name": fmt.Appendf(nil, `"Peg %d"`, seq)}),
		})
		if err != nil {
			t.Fatal(err)
		}
		items = append(items, handover.Item{Property: property, Entry: raw})
	}
	for _, p := range photos {
		items = append(items, handover.Item{SHA: register.HashOf(p), Photo: p})
	}
	return items
}

// sealedBy are items as a phone with this token hands them over.
func sealedBy(token string, items ...handover.Item) []handover.Item {
	items = slices.Clone(items)
	for i, item := range items {
		if item.Entry != nil {
			items[i].Seal = handover.KeyOf(token).Seal(item.Property, item.Entry)
		}
	}
	return items
}

// carry takes a file of items of the phone d-1 in by the admin API.
func carry(t *testing.T, s *site, cut int, items ...handover.Item) Taken {
	t.Helper()
	return carryAs(t, s, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at}, "", cut, items...)
}

func carryAs(t *testing.T, s *site, about handover.About, by string, cut int, items ...handover.Item) Taken {
	t.Helper()
	var file bytes.Buffer
	if err := handover.Write(&file, about, items); err != nil {
		t.Fatal(err)
	}
	return carryFile(t, s, by, file.Bytes()[:file.Len()-cut])
}

func carryFile(t *testing.T, s *site, by string, file []byte) Taken {
	t.Helper()
	var taken Taken
	req, err := http.NewRequestWithContext(t.Context(), "POST", s.admin.URL+"/office/intake?file=saved.tar&author="+url.QueryEscape(by), bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if err := json.NewDecoder(res.Body).Decode(&taken); err != nil || res.StatusCode != 200 {
		t.Fatalf("intake: %s %v", res.Status, err)
	}
	return taken
}

// raws are the entries of a property as they are kept.
func raws(t *testing.T, s *site, property string) []string {
	t.Helper()
	page, _, err := s.store.RawAfter(t.Context(), property, store.Position{}, 10_000)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, e := range page {
		all = append(all, string(e.Raw))
	}
	return all
}

func TestHandoverGoesInOnceByWhateverRoad(t *testing.T) {
	s := newSite(t)
	token := enrolled(t, s)
	p, err := s.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	whole, half := quarters(t, 64, 48), quarters(t, 48, 64)
	items := sealedBy(token, saved(t, p.ID, 1, 5, whole, half)...)

	// The phone had signal for a moment: two entries and half of a photo are here already.
	if _, err := s.store.Append(t.Context(), p.ID, []json.RawMessage{items[0].Entry, items[1].Entry}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.photos.WriteAt(t.Context(), store.Sending{Device: "d-1", SHA: register.HashOf(half)}, 0, int64(len(half)), bytes.NewReader(half[:300])); err != nil {
		t.Fatal(err)
	}
	taken := carry(t, s, 0, items...)
	if taken.New != 3 || taken.Known != 2 || taken.PhotosNew != 2 || len(taken.Refused)+len(taken.Notes) != 0 || taken.From != "R. Field" {
		t.Errorf("the first time: got %+v, want 3 new, 2 known, 2 photos", taken)
	}
	taken = carry(t, s, 0, items...)
	if taken.New != 0 || taken.Known != 5 || taken.PhotosNew != 0 || taken.PhotosKnown != 2 {
		t.Errorf("the second time: got %+v, want all known", taken)
	}
	// And then the phone has signal after all.
	receipts, err := s.store.Append(t.Context(), p.ID, []json.RawMessage{items[3].Entry})
	if err != nil || !receipts[0].Known || receipts[0].HighSeq != 5 {
		t.Errorf("sent after it was handed over: got %+v (%v), want it known, and 5 the highest", receipts, err)
	}
	kept := raws(t, s, p.ID)
	for _, item := range items[:5] {
		if n := count(kept, string(item.Entry)); n != 1 {
			t.Errorf("the entry %s is kept %d times, want once and to the byte", item.Entry, n)
		}
	}
	for _, photo := range [][]byte{whole, half} {
		f, err := s.photos.Open(t.Context(), register.HashOf(photo))
		if err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		if _, err := got.ReadFrom(f); err != nil || !bytes.Equal(got.Bytes(), photo) {
			t.Errorf("a photo has %d other bytes (%v)", got.Len(), err)
		}
		_ = f.Close()
	}
}

func count(all []string, one string) int {
	n := 0
	for _, s := range all {
		if s == one {
			n++
		}
	}
	return n
}

func TestHandoverTellsWhatIsNotTaken(t *testing.T) {
	s := newSite(t)
	token := enrolled(t, s)
	p, err := s.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	picture := quarters(t, 32, 32)
	damaged := saved(t, p.ID, 2, 1)[0]
	damaged.Entry = json.RawMessage(`{"v":1,"id":"nonsense"}`)
	for _, c := range []struct {
		name         string
		items        []handover.Item
		cut          int
		isNew        int
		photos       int
		refused, say string
	}{
		{"property-of-another-server", append(saved(t, "elsewhere", 20, 3), saved(t, p.ID, 23, 1)...), 0, 1, 0, "3 entries are of the property elsewhere", "where the phone is enrolled"},
		{"damaged-entry-among-good-ones", append(saved(t, p.ID, 1, 1), append([]handover.Item{damaged}, saved(t, p.ID, 3, 1)...)...), 0, 2, 0, "nonsense", ""},
		{"photo-cut-short", append(saved(t, p.ID, 30, 2), saved(t, p.ID, 0, 0, picture)...), 1024 + 512, 2, 0, "cut short", "save the file on the phone again"},
		{"the-office-register", saved(t, "office", 40, 2), 0, 0, 0, "2 entries are of the property office", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			taken := carry(t, s, c.cut, sealedBy(token, c.items...)...)
			var told []string
			for _, p := range taken.Refused {
				told = append(told, p.Error())
			}
			all := strings.Join(told, "\n")
			if taken.New != c.isNew || taken.PhotosNew != c.photos || !strings.Contains(all, c.refused) || !strings.Contains(all, c.say) {
				t.Errorf("got %+v, want %d new and told of %q and %q", taken, c.isNew, c.refused, c.say)
			}
		})
	}
	s.at = s.at.Add(time.Hour)
	if _, err := s.RevokeDevice(t.Context(), "d-1"); err != nil {
		t.Fatal(err)
	}
	if taken := carry(t, s, 0, sealedBy(token, saved(t, p.ID, 50, 1)...)...); taken.New != 1 || taken.HandedIn != 1 || len(taken.Notes) != 1 || !strings.Contains(taken.Notes[0].Reason, "may not send them any more") {
		t.Errorf("a phone whose rights were taken away hands over: got %+v, want its entry taken by the office's hand, which is told", taken)
	}
}

// TestHandedInGoesUnderThePartThatKeepsIt: two properties were merged, and a file names the one for an item of
// the other, or for one that the file itself has under the other. Written there it would be a second item of
// the same id, and stay when the two are taken apart again.
func TestHandedInGoesUnderThePartThatKeepsIt(t *testing.T) {
	for _, sealed := range []bool{true, false} {
		s := newSite(t)
		phone := s.enrolledAs(t, "d1", "R. Field", "Stony Block", "Back Country")
		stony, back := phone.Properties[0].ID, phone.Properties[1].ID
		maker := &storetest.Maker{Property: back, Device: "d-2"}
		if _, err := s.bolt.Append(t.Context(), back, []json.RawMessage{maker.Entry("old-peg", nil, "kind", `"peg"`, "name", `"Old peg"`)}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Merge(t.Context(), "Back Country", "Stony Block"); err != nil {
			t.Fatal(err)
		}
		of := func(property, feature, name string, seq uint64) handover.Item {
			var saw map[string]uint64
			if feature == "old-peg" {
				saw = map[string]uint64{"d-2": 1}
			}
			raw, err := register.Encode(register.Entry{Version: 1, Saw: saw, ID: register.ID(fmt.Sprintf("01890000-0000-7000-8000-%08d%04d", len(name), seq)), Property: property, Feature: feature,
				Device: "d1", DeviceSeq: seq, Stamp: register.Stamp(s.at.UnixMilli()<<16) + register.Stamp(seq), SeenAt: s.at.Format(time.RFC3339), Author: "R. Field",
				Set: model.FieldValues{{Name: "name", Raw: json.RawMessage(`"` + name + `"`)}, {Name: "kind", Raw: json.RawMessage(`"peg"`)}}})
			if err != nil {
				t.Fatal(err)
			}
			return handover.Item{Property: property, Entry: raw}
		}
		items := []handover.Item{of(back, "new-peg", "New peg", 1), of(stony, "new-peg", "Newer peg", 1), of(stony, "old-peg", "Older peg", 2), of(stony, "own-peg", "Own peg", 3)}
		if sealed {
			items = sealedBy(phone.Token, items...)
		}
		handed := map[bool]int{true: 2, false: 4}[sealed]
		taken := carry(t, s, 0, items...)
		if taken.New != 4 || taken.HandedIn != handed || len(taken.Refused) > 0 {
			t.Errorf("sealed %t: %+v %v, want 4 in, %d of them handed in", sealed, taken, taken.Refused, handed)
		}
		told := false
		for _, note := range taken.Notes {
			told = told || strings.Contains(note.Reason, "2 entries under another property")
		}
		if !told {
			t.Errorf("sealed %t: the office is told %v", sealed, taken.Notes)
		}
		if under, other := raws(t, s, stony), raws(t, s, back); len(under) != 1 || len(other) != 4 {
			t.Errorf("sealed %t: %d entries under the property and %d under what was merged with it, want 1 and 4: %v", sealed, len(under), len(other), under)
		}
		if again := carry(t, s, 0, items...); again.New != 0 || again.Known != 4 {
			t.Errorf("sealed %t: the same file again: %+v, want all known", sealed, again)
		}
		if name := string(foldedOf(t, s, back, "old-peg").Fields["name"]); name != `"Older peg"` {
			t.Errorf("sealed %t: it is called %s", sealed, name)
		}
		if undone, err := s.UndoIntake(t.Context(), taken.Intake, clerk); err != nil || undone.Struck+undone.Restored == 0 {
			t.Errorf("sealed %t: undone: %+v, %v", sealed, undone, err)
		}
		if name := string(foldedOf(t, s, back, "old-peg").Fields["name"]); name != `"Old peg"` {
			t.Errorf("sealed %t: after undoing it is called %s", sealed, name)
		}
	}
}
