package storage

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"headcut/sync/register"
)

// A phone of several properties: what it alone has of each is copied, comes back when the
// database is lost, and goes over to a new device id, each property by its own numbers.
func TestSeveralProperties(t *testing.T) {
	parts(t, map[string]func(tab){
		"lost-and-brought-back":   severalComeBack,
		"new-device-id":           severalRelabelled,
		"lost-just-after-a-code":  lostJustAfterACode,
		"begun-is-in-the-copy":    begunIsCopied,
		"lost-while-one-is-empty": oneIsEmpty,
	})
}

const ridge = "ridge-block"

const both = `properties: [{id: "` + property + `", name: "Stony Block"}, {id: "` + ridge + `", name: "Ridge Block"}]`

// several enrols for two properties, begins a third, and records on each: a head with a photo, a
// peg. It gives the ids.
func (s tab) several() []string {
	s.t.Helper()
	did[any](s, `store.enrol({...store.self(), `+both+`})`)
	hut := did[struct{ ID string }](s, `store.beginProperty("Old Hut")`).ID
	ids := []string{property, ridge, hut}
	for _, id := range ids {
		did[[]saved](s, fmt.Sprintf(`store.capture(%q, [{set: {kind: "gully-head", name: %q}, photo: %s}, {set: {kind: "peg"}}])`, id, id, photo))
	}
	did[any](s, `store.keepDraft("book of ridge", {rows: [1]})`)
	s.comesTo(copied{Entries: 6, Photos: 3, Drafts: 1})
	return ids
}

// wantNumbered checks that the outbox of each property counts from 1, without a gap, as one device.
func (s tab) wantNumbered(device string, ids []string, each int) {
	s.t.Helper()
	of := map[string][]uint64{}
	for _, e := range s.unsent() {
		of[e.Property] = append(of[e.Property], e.DeviceSeq)
		if string(e.Device) != device {
			s.t.Errorf("an entry of %s is of device %s, want %s", e.Property, e.Device, device)
		}
	}
	for _, id := range ids {
		want := make([]uint64, each)
		for i := range want {
			want[i] = uint64(i + 1)
		}
		if slices.Sort(of[id]); !slices.Equal(of[id], want) {
			s.t.Errorf("the entries of %s count %v, want %v", id, of[id], want)
		}
	}
	if len(of) != len(ids) {
		s.t.Errorf("entries wait of %d properties, want %d", len(of), len(ids))
	}
}

// wantNamed checks which properties the phone knows: the begun one as begun, none barred.
func (s tab) wantNamed(hut string) {
	s.t.Helper()
	want := fmt.Sprintf(`Stony Block,Ridge Block,Old Hut (%s begun)`, hut)
	if got := did[string](s, `store.self().properties.map(p => p.name + (p.begun ? " (" + p.id + " begun)" : "") + (p.barred ? " barred" : "")).join()`); got != want {
		s.t.Errorf("the phone knows %s, want %s", got, want)
	}
}

// sendAll sends each property's outbox to a register, and checks that it has so many of each.
func (s tab) sendAll(ids []string, each int) {
	s.t.Helper()
	d := newDesk(s.t)
	for _, id := range ids {
		texts := did[[]json.RawMessage](s, fmt.Sprintf("store.outbox.waiting(%q, 1000, 1e7).then(all => all.map(e => JSON.parse(e.text)))", id))
		if len(texts) != each {
			s.t.Errorf("%s offers %d entries, want %d", id, len(texts), each)
		}
		raw := did[[]string](s, fmt.Sprintf("store.outbox.waiting(%q, 1000, 1e7).then(all => all.map(e => e.text))", id))
		entries := make([]json.RawMessage, len(raw))
		for i, text := range raw {
			entries[i] = json.RawMessage(text)
		}
		receipts, err := d.Append(s.t.Context(), id, entries)
		if err != nil {
			s.t.Fatal(err)
		}
		said, err := json.Marshal(receipts)
		if err != nil {
			s.t.Fatal(err)
		}
		did[any](s, fmt.Sprintf("store.outbox.settle(%q, %s)", id, said))
		for _, r := range receipts {
			if r.Refused != "" || r.Known {
				s.t.Errorf("%s: %+v, want it taken", id, r)
			}
		}
	}
	if got := s.counts(); got.Unsent != 0 {
		s.t.Errorf("after all was sent the counts are %+v", got)
	}
}

// byProperty are the texts that wait, of each property in the order of capture.
const byProperty = `store.outbox.all().then(a => [...new Set(a.entries.map(e => e.property))].sort().map(id => [id, a.entries.filter(e => e.property === id).map(e => e.text)]))`

func severalComeBack(s tab) {
	ids := s.several()
	before := struct {
		counts          count
		entries, photos json.RawMessage
	}{s.counts(), did[json.RawMessage](s, byProperty), did[json.RawMessage](s, hashes)}
	s.loseDatabase()
	did[any](s, "store.bringBack()")
	s.want("brought back", before.counts)
	if got := did[json.RawMessage](s, byProperty); string(got) != string(before.entries) {
		s.t.Errorf("the entries came back as\n%s\nwant\n%s", got, before.entries)
	}
	if got := did[json.RawMessage](s, hashes); string(got) != string(before.photos) {
		s.t.Errorf("the photos came back as %s, want %s", got, before.photos)
	}
	s.wantNamed(ids[2])
	for _, id := range ids {
		did[[]saved](s, fmt.Sprintf(`store.capture(%q, [{set: {kind: "peg"}}])`, id))
	}
	s.wantNumbered("phone-1", ids, 3)
	if got := did[string](s, `store.draft("book of ridge").then(JSON.stringify)`); got != `{"rows":[1]}` {
		s.t.Errorf("the draft came back as %s", got)
	}
	s.sendAll(ids, 3)
}

// Another phone has the id: all of the properties go over to a new one, and are lost and brought
// back under it.
func severalRelabelled(s tab) {
	ids := s.several()
	photos := did[json.RawMessage](s, hashes)
	did[any](s, `store.enrol({device: "phone-2", token: "t-phone-2", author: "R. Field", `+both+`})`)
	s.wantNumbered("phone-2", ids, 2)
	s.wantNamed(ids[2])
	for _, id := range ids {
		did[[]saved](s, fmt.Sprintf(`store.capture(%q, [{set: {kind: "peg"}}])`, id))
		if !did[bool](s, fmt.Sprintf("store.outbox.resendDue(%q)", id)) {
			s.t.Errorf("%s: under its new id the phone does not ask what the server has", id)
		}
	}
	s.comesTo(copied{Entries: 9, Photos: 3, Drafts: 1})
	s.loseDatabase()
	did[any](s, "store.bringBack()")
	s.wantNumbered("phone-2", ids, 3)
	s.wantNamed(ids[2])
	if got := did[json.RawMessage](s, hashes); string(got) != string(photos) {
		s.t.Errorf("the photos came back as %s, want %s", got, photos)
	}
	s.sendAll(ids, 3)
}

// The database is lost in the moment after a code was granted, which names neither the begun
// property nor what the phone had before.
func lostJustAfterACode(s tab) {
	ids := s.several()
	name := did[string](s, "store.db.name")
	did[any](s, `store.enrol({device: "phone-2", token: "t-phone-2", author: "R. Field", properties: [{id: "`+property+`", name: "Stony Block"}]}).then(() => store.close())`)
	did[any](s, deleteDatabase)
	s.load()
	s.open(fmt.Sprintf("{name: %q}", name))
	if got := trouble(s); got != "gone" {
		s.t.Fatalf("without its database the trouble is %q, want gone", got)
	}
	did[any](s, "store.bringBack()")
	s.wantNumbered("phone-2", ids, 2)
	if got := did[string](s, `store.self().properties.map(p => p.name + (p.begun ? " begun" : "") + (p.barred ? " barred" : "")).join()`); got != "Stony Block,Ridge Block barred,Old Hut begun" {
		s.t.Errorf("the phone knows %s, want all three by their names", got)
	}
}

// A property that was begun, with nothing recorded on it yet, is in the copy.
func begunIsCopied(s tab) {
	did[any](s, `store.enrol({...store.self(), `+both+`})`)
	hut := did[struct{ ID string }](s, `store.beginProperty("Old Hut")`).ID
	s.loseDatabase()
	did[any](s, "store.bringBack()")
	s.wantNamed(hut)
	did[[]saved](s, fmt.Sprintf(`store.capture(%q, [{set: {kind: "peg"}}])`, hut))
	s.wantNumbered("phone-1", []string{hut}, 1)
}

// All of one property is sent, of the other not: neither count starts again.
func oneIsEmpty(s tab) {
	ids := s.several()
	d := newDesk(s.t)
	d.push(s)
	s.comesTo(copied{Entries: 4, Photos: 3, Drafts: 1})
	s.loseDatabase()
	did[any](s, "store.bringBack()")
	for _, id := range ids {
		did[[]saved](s, fmt.Sprintf(`store.capture(%q, [{set: {kind: "peg"}}])`, id))
	}
	var all []string
	for _, e := range s.unsent() {
		all = append(all, fmt.Sprint(e.Property == property, " ", e.DeviceSeq))
	}
	slices.Sort(all)
	if want := []string{"false 1", "false 1", "false 2", "false 2", "false 3", "false 3", "true 3"}; !slices.Equal(all, want) {
		s.t.Errorf("the entries that wait count %v, want %v", all, want)
	}
	for _, e := range s.unsent() {
		if _, err := register.Encode(e); err != nil {
			s.t.Error(err)
		}
	}
}
