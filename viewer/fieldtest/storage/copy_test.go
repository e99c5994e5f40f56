package storage

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"headcut/sync/store/storetest"
	"headcut/viewer/fieldtest/phone"
)

// What only this phone has is copied outside of the database, and comes back from there
// with no signal when the browser has lost the database.
func TestCopy(t *testing.T) {
	parts(t, map[string]func(tab){
		"all-comes-back":      allComesBack,
		"counts-on":           countsOn,
		"sent-is-not-copied":  sentIsNotCopied,
		"unsaved-is-no-copy":  unsavedIsNoCopy,
		"both-marks-are-lost": bothMarksLost,
		"older-copy-goes-on":  olderCopyGoesOn,
		"long-journal":        longJournal,
		"numbers-never-fall":  numbersNeverFall,
		"not-sent-too-early":  notSentTooEarly,
	})
}

type copied struct{ Entries, Photos, Drafts int }

func (s tab) copied() copied { s.t.Helper(); return did[copied](s, "store.copied()") }

// comesTo waits until the copy holds so much.
func (s tab) comesTo(want copied) {
	s.t.Helper()
	if !s.Comes(fmt.Sprintf(`store.copied().then(c => c !== null && c.entries === %d && c.photos === %d && c.drafts === %d)`, want.Entries, want.Photos, want.Drafts), phone.Patience) {
		s.t.Fatalf("the copy has %+v, want %+v", s.copied(), want)
	}
}

// loseDatabase deletes it as a browser does, and opens the page again.
func (s tab) loseDatabase() {
	s.t.Helper()
	name := phone.Eval[string](s.Page, "store.db.name")
	number(s, "(store.close(), 1)")
	did[any](s, deleteDatabase)
	s.load()
	s.open(fmt.Sprintf("{name: %q}", name))
	if got := trouble(s); got != "gone" {
		s.t.Fatalf("without its database the trouble is %q, want gone", got)
	}
}

const photo = `{bytes: crypto.getRandomValues(new Uint8Array(60_000)).buffer, takenFor: ""}`

// hashes are those of the bytes of the photos that wait.
const hashes = `store.outbox.photosWaiting().then(async all => { const found = [];
	for (const p of all) found.push([p.sha, [...new Uint8Array(await crypto.subtle.digest("SHA-256", await p.bytes()))].map(b => b.toString(16).padStart(2, "0")).join(""), p.feature, p.size]);
	return found.sort(); })`

func allComesBack(s tab) {
	s.capture(about(`{kind: "gully-head", headDepthM: 1.5}`))
	head := s.capture(`[{set: {kind: "gully-head", name: "with a photo"}, photo: ` + photo + `}, {set: {kind: "peg"}, photo: ` + photo + `}]`)
	did[any](s, fmt.Sprintf(`store.capture(%q, [{feature: %q, strike: true}])`, property, head[1].Feature))
	did[any](s, `store.keepDraft("book 1", {rows: [{bs: 1.435}], texts: {reading: "0.9"}})`)
	did[any](s, `store.keepDraft("gone", 1)`)
	did[any](s, `store.keepDrafts(new Map([["photo/raw", new Uint8Array([255, 216, 255, 7]).buffer], ["gone", undefined]]))`)
	s.comesTo(copied{Entries: 4, Photos: 2, Drafts: 2})
	before := struct {
		counts   count
		entries  json.RawMessage
		photos   json.RawMessage
		features map[string]standing
	}{s.counts(), did[json.RawMessage](s, "store.outbox.all().then(a => a.entries)"), did[json.RawMessage](s, hashes), s.features()}
	s.loseDatabase()
	if got := s.copied(); got != (copied{4, 2, 2}) {
		s.t.Fatalf("after the loss the copy has %+v", got)
	}
	did[any](s, "store.bringBack()")
	if got := trouble(s); got != "" {
		s.t.Errorf("brought back, the trouble is %q", got)
	}
	s.want("brought back", before.counts)
	if got := did[json.RawMessage](s, "store.outbox.all().then(a => a.entries)"); string(got) != string(before.entries) {
		s.t.Errorf("the entries that came back are\n%s\nwant\n%s", got, before.entries)
	}
	if got := did[json.RawMessage](s, hashes); string(got) != string(before.photos) {
		s.t.Errorf("the photos that came back are %s, want %s", got, before.photos)
	}
	for id, want := range before.features {
		if got := s.features()[id]; !sameStanding(s.t, got, want) {
			s.t.Errorf("feature %s came back as %+v, want %+v", id, got, want)
		}
	}
	if got := did[string](s, `Promise.all([store.draft("book 1"), store.draft("photo/raw").then(b => [...new Uint8Array(b)]), store.draft("gone")]).then(JSON.stringify)`); got != `[{"rows":[{"bs":1.435}],"texts":{"reading":"0.9"}},[255,216,255,7],null]` {
		s.t.Errorf("the drafts came back as %s", got)
	}
	s.wantFolded("brought back")
	d := newDesk(s.t)
	d.push(s)
	if got := len(d.registered()); got != 4 {
		s.t.Errorf("the register took %d entries, want 4", got)
	}
	s.load()
	s.open(`{name: "all-comes-back"}`)
	if got := trouble(s); got != "" {
		s.t.Errorf("after a start the trouble is %q", got)
	}
}

// Numbers go on where they were, though what had them is sent and no mark is as new.
func countsOn(s tab) {
	d := newDesk(s.t)
	s.capture(about(`{kind: "gully-head"}`))
	s.WaitFor(`caches.open("headcut-marks").then(c => c.keys()).then(keys => keys.some(k => k.url.endsWith("/counts-on")) && Object.keys(localStorage).some(k => k.endsWith("/counts-on")))`)
	old := did[string](s, `JSON.stringify(localStorage)`)
	oldMarks := did[string](s, `caches.open("headcut-marks").then(async c => (await c.match((await c.keys()).find(k => k.url.endsWith("/counts-on")))).text())`)
	s.capture(about(`{headDepthM: 1}`))
	s.capture(about(`{headDepthM: 2}`))
	d.push(s)
	s.comesTo(copied{})
	number(s, "(store.close(), 1)")
	did[any](s, fmt.Sprintf(`(Object.assign(localStorage, JSON.parse(%q)), caches.open("headcut-marks").then(async c => c.put((await c.keys()).find(k => k.url.endsWith("/counts-on")), new Response(%q))))`, old, oldMarks))
	did[any](s, deleteDatabase)
	s.load()
	s.open(`{name: "counts-on"}`)
	did[any](s, "store.bringBack()")
	s.capture(about(`{headDepthM: 3}`))
	if got := s.unsent(); len(got) != 1 || got[0].DeviceSeq != 4 || got[0].Device != "phone-1" {
		s.t.Errorf("the first entry after coming back is %+v, want number 4 of phone-1", got)
	}
	d.pull(s)
	d.push(s)
	if got := len(d.registered()); got != 4 {
		s.t.Errorf("the register has %d entries, want 4", got)
	}
}

func sentIsNotCopied(s tab) {
	d := newDesk(s.t)
	s.capture(`[{set: {kind: "peg"}, photo: ` + photo + `}, {set: {kind: "peg"}}]`)
	s.comesTo(copied{Entries: 2, Photos: 1})
	d.push(s)
	s.comesTo(copied{Photos: 1})
	did[any](s, `store.outbox.photosWaiting().then(all => store.outbox.photoSent(all[0].sha))`)
	s.comesTo(copied{})
	if got := did[int](s, `caches.open("headcut-spare/sent-is-not-copied").then(c => c.keys()).then(all => all.filter(r => r.url.includes("/bytes/")).length)`); got != 0 {
		s.t.Errorf("bytes of %d photos are copied that the server has", got)
	}
}

// What the database did not take must not come back as if it had been saved.
func unsavedIsNoCopy(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, `(IDBDatabase.prototype.transactionAsIs = IDBDatabase.prototype.transaction, IDBDatabase.prototype.transaction = function (...of) {
		const tx = this.transactionAsIs(...of); if (of[1] === "readwrite") { tx.commit = () => tx.abort(); } return tx; }, 1)`)
	if got := tried[any](s, fmt.Sprintf(`store.capture(%q, [{set: {kind: "peg"}, photo: %s}])`, property, photo)); got.Kind == "" {
		s.t.Fatal("a broken write was called saved")
	}
	did[any](s, `(IDBDatabase.prototype.transaction = IDBDatabase.prototype.transactionAsIs, 1)`)
	s.comesTo(copied{Entries: 1})
}

// With no mark left a phone would seem new, but for the copy.
func bothMarksLost(s tab) {
	s.capture(`[{set: {kind: "peg"}, photo: ` + photo + `}]`)
	s.comesTo(copied{Entries: 1, Photos: 1})
	number(s, "(store.close(), 1)")
	did[any](s, `(localStorage.clear(), caches.delete("headcut-marks"))`)
	did[any](s, deleteDatabase)
	s.load()
	s.open(`{name: "both-marks-are-lost"}`)
	wantAlarm(s, "gone")
	s.enrol("phone-2")
	s.want("enrolled again", count{Entries: 1, Unsent: 1, PhotosUnsent: 1, PhotoBytesUnsent: 60_000})
	if got := s.unsent(); got[0].Device != "phone-2" || got[0].DeviceSeq != 1 {
		s.t.Errorf("what came back is %+v, want number 1 of phone-2", got[0])
	}
}

func olderCopyGoesOn(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, copyOf)
	s.capture(about(`{headDepthM: 1}`))
	s.comesTo(copied{Entries: 2})
	did[any](s, putBack)
	troubled(s, "behind", fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}])`, property))
	did[any](s, "store.bringBack()")
	s.capture(about(`{note: "after"}`))
	for i, e := range s.unsent() {
		if e.Device != "phone-1" || e.DeviceSeq != uint64(i+1) {
			s.t.Errorf("entry %d is %d of %s, want %d of phone-1", i, e.DeviceSeq, e.Device, i+1)
		}
	}
	s.want("brought back", count{Entries: 3, Unsent: 3})
	s.wantRefolded("brought back")
}

// The copy is brought in step with the database while more is recorded: what it says of
// the numbers given must not fall behind by that.
func numbersNeverFall(s tab) {
	fell := did[[]string](s, fmt.Sprintf(`(async () => {
		const cache = await caches.open("headcut-spare/numbers-never-fall"), fell = [];
		const said = async () => { let seq = 0;
			const pieces = (await cache.keys()).map(r => r.url).filter(u => u.includes("/journal/")).sort((a, b) => a.split("/").at(-1) - b.split("/").at(-1));
			for (const piece of pieces) for (const line of (await (await cache.match(piece)).text()).split("\n")) {
				const {keep, value} = JSON.parse(line || "{}");
				if (keep?.startsWith("seq/")) seq = value;
			}
			return seq; };
		for (let given = 1; given <= 12; given++) {
			await Promise.all([store.outbox.offerAgain(%q, [], []), new Promise(r => setTimeout(r, given)).then(() => store.capture(%q, [{set: {kind: "peg"}}]))]);
			for (let tries = 0; tries < 300 && await said() !== given; tries++) await new Promise(r => setTimeout(r, 20));
			if (await said() !== given) fell.push(await said() + " of " + given);
		}
		return fell; })()`, property, property))
	if len(fell) > 0 {
		s.t.Errorf("the copy tells fewer numbers than were given: %v", fell)
	}
}

// The server must not know a number that only the database has: what is not copied yet
// is not sent.
func notSentTooEarly(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	s.comesTo(copied{Entries: 1})
	did[any](s, `(Worker.prototype.put = Worker.prototype.postMessage, Worker.prototype.postMessage = function (...of) { setTimeout(() => this.put(...of), 100); }, 1)`) // a slow copy
	early := did[[]int](s, fmt.Sprintf(`(async () => {
		const kept = store.capture(%q, [{feature: %q, set: {headDepthM: 1}}]), seen = [];
		let done = false;
		void kept.then(() => (done = true));
		while (!done) { const n = (await store.outbox.waiting(%q, 10, 1e6)).length; if (!done) seen.push(n); }
		seen.push((await store.outbox.waiting(%q, 10, 1e6)).length);
		return seen; })()`, property, gully, property, property))
	for _, n := range early[:len(early)-1] {
		if n != 1 {
			s.t.Errorf("%d entries would be sent while one of them is not copied yet: %v", n, early)
			break
		}
	}
	if early[len(early)-1] != 2 {
		s.t.Errorf("once saved %d entries would be sent, want 2", early[len(early)-1])
	}
}

// A journal of many pieces is rewritten as one, and says the same.
func longJournal(s tab) {
	for i := range 450 {
		did[any](s, fmt.Sprintf(`store.keepDraft("book %d", {n: %d})`, i%3, i))
	}
	s.capture(about(`{kind: "gully-head"}`))
	s.comesTo(copied{Entries: 1, Drafts: 3})
	if got := did[int](s, `caches.open("headcut-spare/long-journal").then(c => c.keys()).then(all => all.length)`); got > 200 {
		s.t.Errorf("the journal has %d pieces, want at most 200", got)
	}
	s.loseDatabase()
	did[any](s, "store.bringBack()")
	if got := did[string](s, `Promise.all([0, 1, 2].map(n => store.draft("book " + n))).then(JSON.stringify)`); got != `[{"n":447},{"n":448},{"n":449}]` {
		s.t.Errorf("the drafts came back as %s", got)
	}
}

// Copies of photos give way when the room is needed for a photo that is nowhere yet.
func TestCopiesGiveWay(t *testing.T) {
	s := tabOf(t, phone.New(t, phone.NewOffice(t)).Page)
	s.limit(24 << 20) // before anything is written; 5 of them are ballast, copies would take half of the rest
	s.open("{}")
	s.enrol("phone-1")
	const large = `[{set: {kind: "note"}, photo: {bytes: (b => { for (let i = 0; i < b.length; i += 65536) crypto.getRandomValues(b.subarray(i, i + 65536)); return b.buffer; })(new Uint8Array(2**20)), takenFor: ""}}]`
	taken, copiedMost := 0, 0
	for ; taken < 40; taken++ {
		if got := tried[any](s, fmt.Sprintf("store.capture(%q, %s)", property, large)); got.Kind != "" {
			break
		}
		copiedMost = max(copiedMost, s.copied().Photos)
	}
	if got := s.copied().Photos; taken < 16 || copiedMost < 4 || got != 0 {
		t.Errorf("%d photos of 1 MiB went in where 24 are allowed; %d were copied at most and %d at last; want 16 or more, 4 or more, none", taken, copiedMost, got)
	}
	if got := s.counts(); got.PhotosUnsent != taken {
		t.Errorf("%d photos wait, want %d", got.PhotosUnsent, taken)
	}
	if got := s.copied().Entries; got != taken {
		t.Errorf("%d entries are copied, want %d: they are small", got, taken)
	}
}

// The browser is killed at random moments, and has lost its database when it starts again.
// All that was called saved comes back.
func TestKilledAndLost(t *testing.T) {
	p, s := newPhone(t)
	random := storetest.Random(t)
	called := map[string]bool{}
	photos := 0
	for round := range phone.Campaign(4, 40) {
		number(s, `(globalThis.said = [], (async () => { for (let n = 0; ; n++) {
			const some = await store.capture("`+property+`", [{set: {kind: "note", n}, ...(n % 5 === 4 && {photo: `+photo+`})}]);
			said.push({...some[0], photo: n % 5 === 4}); } })(), 1)`)
		time.Sleep(time.Duration(100+random.IntN(900)) * time.Millisecond)
		for _, one := range phone.Eval[[]struct {
			Entry string
			Photo bool
		}](s.Page, "said") {
			called[one.Entry] = true
			if one.Photo {
				photos++
			}
		}
		p.Kill()
		p.Start()
		s = tabOf(t, p.Page)
		s.open("{}")
		s.loseDatabase()
		did[any](s, "store.bringBack()")
		var there []string
		for i, e := range s.unsent() {
			there = append(there, string(e.ID))
			if e.DeviceSeq != uint64(i+1) {
				t.Fatalf("in round %d entry %d has number %d", round, i, e.DeviceSeq)
			}
		}
		for id := range called {
			if !slices.Contains(there, id) {
				t.Errorf("in round %d entry %s, which was called saved, did not come back", round, id)
			}
		}
		got := did[[][]any](s, hashes)
		if len(got) < photos {
			t.Errorf("in round %d %d photos came back, %d were called saved", round, len(got), photos)
		}
		for _, one := range got {
			if one[0] != one[1] {
				t.Errorf("in round %d photo %v came back with other bytes", round, one[0])
			}
		}
	}
	t.Logf("%d entries and %d photos were called saved, all came back each time", len(called), photos)
}
