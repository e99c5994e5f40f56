package storage

import (
	"fmt"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A browser that has promised to keep the store, and one that has not: the page is told.
func TestRow05PersistenceIsAskedAndTold(t *testing.T) {
	type storage struct {
		Kept                 bool
		UsedBytes, FreeBytes float64
	}
	for name, options := range map[string][]phone.Option{"promised": {phone.Durable()}, "not-promised": nil} {
		t.Run(name, func(t *testing.T) {
			_, s := newPhone(t, options...)
			want := name == "promised"
			if want {
				s.WaitFor(`navigator.storage.persisted()`)
			}
			got := did[storage](s, "index.storageNow()")
			if got.Kept != want || got.FreeBytes <= 0 {
				t.Errorf("the storage is %+v, want kept %v, some free", got, want)
			}
		})
	}
}

func TestDisk(t *testing.T) {
	parts(t, map[string]func(tab){
		"row-06-every-write-is-strict":          row06Strict,
		"row-06-saved-means-complete":           row06Complete,
		"row-09-connection-dropped":             row09Dropped,
		"row-09-dropped-after-it-was-written":   row09DroppedLate,
		"row-09-unknown-errors-for-ever":        row09ForEver,
		"row-10-photos-are-bytes":               row10Bytes,
		"one-photo-of-two-features":             onePhotoTwice,
		"drafts":                                drafts,
		"watchers":                              watchers,
		"row-20-migration-adds":                 row20Migration,
		"row-20-older-page-after-an-upgrade":    row20OlderPage,
		"capture-with-one-bad-request-is-whole": wholeOrNothing,
	})
}

func row06Strict(s tab) {
	number(s, `(globalThis.spied = [], (real => IDBDatabase.prototype.transaction = function(stores, mode, options) {
		spied.push([mode ?? "readonly", options?.durability ?? "default"].join(" ")); return real.call(this, stores, mode, options); })(IDBDatabase.prototype.transaction), 1)`)
	d := newDesk(s.t)
	s.capture(`[{set: {note: "x"}, photo: {bytes: new ArrayBuffer(9), takenFor: ""}}]`)
	did[any](s, `store.keepDraft("book", {rows: [1]})`)
	did[any](s, `store.dropDraft("book")`)
	d.push(s)
	d.pull(s)
	did[any](s, `store.outbox.photosWaiting().then(all => store.outbox.photoSent(all[0].sha))`)
	did[any](s, fmt.Sprintf("store.outbox.offerAgain(%q, [], [])", property))
	did[any](s, fmt.Sprintf("store.outbox.resendDone(%q)", property))
	s.enrol("phone-2")
	s.counts()
	writes := 0
	for _, how := range phone.Eval[[]string](s.Page, "spied") {
		if strings.HasPrefix(how, "readwrite") {
			if writes++; how != "readwrite strict" {
				s.t.Errorf("a write was %q, want strict", how)
			}
		}
	}
	if writes < 9 {
		s.t.Errorf("%d writes were seen, want at least 9", writes)
	}
}

// The promise of a capture must not be kept before the transaction's complete event, also
// when all its requests have long succeeded. Here they are held up, and the page's word that
// nothing more is to come is not passed on.
func row06Complete(s tab) {
	number(s, `(globalThis.order = [], IDBTransaction.prototype.commit = () => {}, (real => IDBDatabase.prototype.transaction = function(...given) {
		const tx = real.apply(this, given);
		if (given[1] === "readwrite" && tx.objectStoreNames.contains("entries")) {
			tx.addEventListener("complete", () => order.push("complete"));
			const hold = store => { const r = store.get("hold"); let left = 40; r.onsuccess = function again() { if (left-- > 0) store.get("hold").onsuccess = again; else order.push("requests"); }; };
			hold(tx.objectStore(tx.objectStoreNames[0]));
		}
		return tx; })(IDBDatabase.prototype.transaction), 1)`)
	did[any](s, fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}]).then(() => { order.push("saved"); })`, property))
	if got := phone.Eval[string](s.Page, `order.join(", ")`); !strings.HasSuffix(got, "requests, complete, saved") {
		s.t.Errorf("the order is %s, want saved last, after complete", got)
	}
}

// The browser drops the connection in the background: the next capture opens it again.
func row09Dropped(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, `store.db.open().then(db => { db.close(); })`)
	s.capture(about(`{headDepthM: 1}`))
	for _, wrong := range []string{"UnknownError", "AbortError", "InvalidStateError"} {
		number(s, `(real => { IDBDatabase.prototype.transaction = function() { IDBDatabase.prototype.transaction = real;
			throw new DOMException("Connection to Indexed Database server lost", "`+wrong+`"); }; return 1; })(IDBDatabase.prototype.transaction)`)
		s.capture(about(`{note: "` + wrong + `"}`))
	}
	s.want("after four lost connections", count{Entries: 5, Unsent: 5})
	s.wantFolded("after four lost connections")
}

// The browser says that a write failed though it is on disk: it must not be written twice.
func row09DroppedLate(s tab) {
	number(s, `(real => { EventTarget.prototype.addEventListener = function(type, listener, ...rest) {
		if (this instanceof IDBTransaction && this.mode === "readwrite" && type === "complete" && !globalThis.lied) return;
		if (this instanceof IDBTransaction && this.mode === "readwrite" && type === "abort" && !globalThis.lied) {
			real.call(this, "complete", listener); setTimeout(() => globalThis.lied = true); return; }
		return real.call(this, type, listener, ...rest); }; return 1; })(EventTarget.prototype.addEventListener)`)
	saved := s.capture(`[{set: {kind: "gully-head"}}, {set: {note: "second"}}]`)
	if !phone.Eval[bool](s.Page, "globalThis.lied") {
		s.t.Fatal("the write was not reported as failed")
	}
	s.want("after the lie", count{Entries: 2, Unsent: 2})
	all := s.unsent()
	if len(all) != 2 || string(all[0].ID) != saved[0].Entry || all[1].DeviceSeq != 2 {
		s.t.Errorf("the phone holds %v, want the two that were saved", all)
	}
	s.capture(about(`{note: "next"}`))
	if got := s.unsent()[2].DeviceSeq; got != 3 {
		s.t.Errorf("the next entry has deviceSeq %d, want 3", got)
	}
	s.wantFolded("after the lie")
}

func row09ForEver(s tab) {
	number(s, `(globalThis.realTransaction = IDBDatabase.prototype.transaction, IDBDatabase.prototype.transaction = () => { throw new DOMException("is closing", "InvalidStateError"); }, 1)`)
	troubled(s, "closed", "store.capture(\""+property+"\", [{set: {note: \"x\"}}])")
	number(s, `(IDBDatabase.prototype.transaction = realTransaction, 1)`)
	s.capture(`[{set: {note: "pressed again"}}]`)
	s.want("after it was pressed again", count{Entries: 1, Unsent: 1})
}

func row10Bytes(s tab) {
	got := s.capture(`[{photo: {bytes: new Uint8Array([255, 216, 1, 2]).buffer, takenFor: "gully-7"}}]`)
	if got[0].Feature != "gully-7" {
		s.t.Errorf("the photo is of feature %s, want the one it was taken for", got[0].Feature)
	}
	kinds := did[[]string](s, `store.db.read(async db => (await db.getAll("photoBytes")).map(v => Object.prototype.toString.call(v)))`)
	if len(kinds) != 1 || kinds[0] != "[object ArrayBuffer]" {
		s.t.Errorf("photos are stored as %v, want one ArrayBuffer", kinds)
	}
	// SHA-256 of FF D8 01 02, by sha256sum of coreutils.
	const sha = "824cf919dd567ae2439667e524b49eb4e5fc7595b817ebe8069c0d6528d098b6"
	type photo struct {
		Sha, Feature string
		Size         int
		Sent         bool
		Bytes        []int
	}
	seen := did[[]photo](s, `store.photos("gully-7").then(all => Promise.all(all.map(async p => ({...p, bytes: [...new Uint8Array(await p.bytes())]}))))`)
	if text(seen) != text([]photo{{sha, "gully-7", 4, false, []int{255, 216, 1, 2}}}) {
		s.t.Errorf("photos are %+v, want one of 4 bytes named %s", seen, sha)
	}
	if got := text(s.features()["gully-7"].Fields["photos"]); got != `["`+sha+`"]` {
		s.t.Errorf("the feature's photos are %s, want %s", got, sha)
	}
	did[any](s, `store.outbox.photoSent("`+sha+`")`)
	s.want("after the photo was sent", count{Entries: 1, Unsent: 1})
	if sent := did[[]bool](s, `store.photos("gully-7").then(all => all.map(p => p.sent))`); len(sent) != 1 || !sent[0] {
		s.t.Errorf("photos are sent: %v, want the one", sent)
	}
}

func onePhotoTwice(s tab) {
	shot := `photo: {bytes: new Uint8Array([1, 2, 3]).buffer, takenFor: ""}`
	s.capture(`[{feature: "a", ` + shot + `}, {feature: "b", ` + shot + `}]`)
	s.capture(`[{feature: "a", ` + shot + `}]`)
	s.want("after one photo three times", count{Entries: 3, Unsent: 3, PhotosUnsent: 1, PhotoBytesUnsent: 3})
	for _, feature := range []string{"a", "b"} {
		if got := did[int](s, `store.photos("`+feature+`").then(all => all.length)`); got != 1 {
			s.t.Errorf("feature %s has %d photos, want 1", feature, got)
		}
	}
	s.wantFolded("after one photo three times")
}

func drafts(s tab) {
	did[any](s, `store.keepDraft("book", {rows: [1.435]})`)
	did[any](s, `store.keepDraft("form", "x")`)
	// A fast thumb: only the newest counts, and each promise is kept with it or later.
	did[any](s, `Promise.all(Array.from({length: 200}, (_, i) => store.keepDraft("book", {rows: [i]})))`)
	s.load()
	s.open(`{name: "drafts"}`)
	if got := did[string](s, `store.draft("book").then(JSON.stringify)`); got != `{"rows":[199]}` {
		s.t.Errorf("the draft is %s, want the last of 200", got)
	}
	did[any](s, `store.dropDraft("book")`)
	if got := did[string](s, `store.draft("book").then(d => String(d))`); got != "undefined" {
		s.t.Errorf("the dropped draft is %s", got)
	}
	if got := did[string](s, `store.draft("form")`); got != "x" {
		s.t.Errorf("the other draft is %q, want x", got)
	}
	s.want("with drafts alone", count{})
}

// Watchers are told a moment after, so that "saved" is drawn first: what was written together
// is told once.
func watchers(s tab) {
	const untold = `new Promise(told => { const look = () => store.untold() ? setTimeout(look, 10) : told(0); look(); })`
	number(s, `(globalThis.calls = 0, globalThis.unwatch = store.watch(() => calls++), 1)`)
	number(s, untold) // of what opening the page wrote
	number(s, `(calls = 0, 1)`)
	called := func(when string, want float64) {
		s.t.Helper()
		number(s, untold) // a call too many that comes later is counted by the next of these
		if got := number(s, "calls"); got != want {
			s.t.Errorf("%s watchers were called %v times, want %v", when, got, want)
		}
	}
	s.capture(about(`{note: "x"}`))
	called("after a capture", 1)
	d := newDesk(s.t)
	d.push(s)
	called("after a receipt", 2)
	number(s, `(unwatch(), globalThis.others = 0, store.watch(() => others++), 1)`)
	s.capture(about(`{note: "y"}`))
	number(s, `new Promise(told => { const look = () => others ? told(0) : setTimeout(look, 10); look(); })`)
	called("after unwatch", 2)
}

// A later version's migration, as it will be: it adds, and what was there is untouched.
const addStep = `steps: [...index.steps, db => db.createObjectStore("later")]`

func row20Migration(s tab) {
	s.capture(`[{set: {note: "x"}, photo: {bytes: new ArrayBuffer(9), takenFor: ""}}]`)
	before := text(s.records())
	stores := func() []string {
		return did[[]string](s, `store.db.read(async db => Array.from(db.objectStoreNames).flatMap(n => [n, ...Array.from(db.transaction(n).store.indexNames).map(i => n + "/" + i)]))`)
	}
	had := stores()
	number(s, `(store.close(), 1)`)
	s.open(`{name: "row-20-migration-adds", ` + addStep + `}`)
	s.want("after the upgrade", count{Entries: 1, Unsent: 1, PhotosUnsent: 1, PhotoBytesUnsent: 9})
	if got := text(s.records()); got != before {
		s.t.Errorf("after the upgrade the entries are %s, want %s", got, before)
	}
	has := strings.Join(stores(), " ") + " "
	if !strings.Contains(has, "later ") {
		s.t.Errorf("after the upgrade there is %s, want later too", has)
	}
	for _, name := range had {
		if !strings.Contains(has, name+" ") {
			s.t.Errorf("the upgrade has taken %s away", name)
		}
	}
	s.capture(about(`{note: "y"}`))
}

// The database was upgraded by a newer page: this one stops, says so, and loses nothing.
func row20OlderPage(s tab) {
	s.capture(about(`{note: "x"}`))
	did[any](s, `(async () => { globalThis.newer = await index.openStore({gather, name: "row-20-older-page-after-an-upgrade", patienceMS: 1, `+addStep+`}); })()`)
	troubled(s, "closed", "store.capture(\""+property+"\", [{set: {note: \"y\"}}])")
	got := tried[any](s, `store.counts()`)
	if got.Kind != "closed" || !strings.Contains(got.Todo, "Load this page again") {
		s.t.Errorf("the older page says %q, %q, want that it is to be loaded again", got.Words, got.Todo)
	}
	number(s, `(store.close(), newer.close(), 1)`)
	s.load()
	s.open(`{name: "row-20-older-page-after-an-upgrade"}`) // from an old cache: the version is too low
	troubled(s, "closed", `store.counts()`)
	number(s, `(store.close(), 1)`)
	s.open(`{name: "row-20-older-page-after-an-upgrade", ` + addStep + `}`)
	s.want("in the newer page", count{Entries: 1, Unsent: 1})
}

// A request that fails in the middle takes the whole capture with it.
func wholeOrNothing(s tab) {
	number(s, `(real => { let n = 0; IDBObjectStore.prototype.put = function(...given) {
		if (this.name === "features" && ++n === 2) { IDBObjectStore.prototype.put = real; throw new DOMException("broken", "DataError"); }
		return real.apply(this, given); }; return 1; })(IDBObjectStore.prototype.put)`)
	troubled(s, "closed", "store.capture(\""+property+"\", [{set: {a: 1}, photo: {bytes: new ArrayBuffer(9), takenFor: \"\"}}, {set: {a: 2}}])")
	s.want("after the failure", count{})
	s.capture(`[{set: {a: 1}}]`)
	if got := s.unsent()[0].DeviceSeq; got != 1 {
		s.t.Errorf("after a failed capture the next has deviceSeq %d, want 1", got)
	}
}
