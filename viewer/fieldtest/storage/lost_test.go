package storage

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// Row 8: a store that was emptied, or went back to an older copy, must never pass for the
// real one: the alarm lasts until the officer enrols again, and nothing is lost by that.
func TestRow08LostStore(t *testing.T) {
	parts(t, map[string]func(tab){
		"deleted-between-starts":     deletedBetweenStarts,
		"deleted-while-open":         deletedWhileOpen,
		"older-copy":                 olderCopy,
		"only-one-mark-is-left":      oneMarkLeft,
		"emptied-but-there":          emptied,
		"never-enrolled-is-no-alarm": neverEnrolled,
	})
}

const deleteDatabase = `new Promise((yes, no) => { const r = indexedDB.deleteDatabase(store.db.name); r.onsuccess = () => yes(); r.onerror = no; })`

func databases(s tab) []string {
	s.t.Helper()
	return did[[]string](s, `indexedDB.databases().then(all => all.map(d => d.name).filter(n => n === store.db.name))`)
}

func trouble(s tab) string {
	s.t.Helper()
	return did[string](s, `store.trouble()?.kind ?? ""`)
}

// wantAlarm checks that nothing can be recorded, and that enrolling again ends it.
func wantAlarm(s tab, kind string) {
	s.t.Helper()
	troubled(s, kind, fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}])`, property))
	if got := trouble(s); got != kind {
		s.t.Errorf("the trouble is %q, want %q", got, kind)
	}
	troubled(s, kind, `store.keepDraft("book", 1)`)
}

// spared waits until so many entries are copied outside of the database.
func (s tab) spared(want int) {
	s.t.Helper()
	s.WaitFor(fmt.Sprintf(`store.copied().then(c => c?.entries === %d)`, want))
}

func deletedBetweenStarts(s tab) {
	d := newDesk(s.t)
	s.capture(about(`{kind: "gully-head"}`))
	s.spared(1)
	d.push(s)
	s.spared(0) // what is sent is not copied any more
	s.capture(about(`{headDepthM: 1.5}`))
	s.capture(about(`{note: "roots bare"}`))
	s.spared(2)
	number(s, "(store.close(), 1)")
	did[any](s, deleteDatabase)
	for range 2 { // it does not go away by itself
		s.load()
		s.open(`{name: "deleted-between-starts"}`)
		wantAlarm(s, "gone")
		troubled(s, "gone", "store.counts()")
		if got := databases(s); len(got) != 0 {
			s.t.Errorf("the database was made again without a word: %v", got)
		}
	}
	s.enrol("phone-2")
	s.want("after enrolling again", count{Entries: 2, Unsent: 2}) // from the copy
	s.capture(about(`{note: "after"}`))
	for i, e := range s.unsent() {
		if e.Device != "phone-2" || e.DeviceSeq != uint64(i+1) {
			s.t.Errorf("entry %d is %d of %s, want %d of phone-2", i, e.DeviceSeq, e.Device, i+1)
		}
	}
	s.load()
	s.open(`{name: "deleted-between-starts"}`)
	if got := trouble(s); got != "" {
		s.t.Errorf("after enrolling again and a start the trouble is %q, want none", got)
	}
	d.push(s)
	s.want("sent after enrolling again", count{Entries: 3})
	s.spared(0)
	if got := d.registered(); len(got) != 4 {
		s.t.Errorf("the register has %d entries, want the one sent before and the three since", len(got))
	}
}

func deletedWhileOpen(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, deleteDatabase)
	troubled(s, "gone", fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}])`, property))
	wantAlarm(s, "gone")
	if got := databases(s); len(got) != 0 {
		s.t.Errorf("the database was made again without a word: %v", got)
	}
}

// copyOf and putBack make the database what it was: an older copy, as of a backup.
const copyOf = `(async () => { const db = await store.db.open(); globalThis.copied = {};
	for (const n of db.objectStoreNames) if (n !== "ballast") { const at = db.transaction(n).store; copied[n] = (await Promise.all([at.getAllKeys(), at.getAll()])); } })()`
const putBack = `(async () => { const db = await store.db.open();
	for (const [n, [keys, values]] of Object.entries(copied)) { const tx = db.transaction(n, "readwrite"); tx.store.clear();
		values.forEach((v, i) => tx.store.keyPath ? tx.store.put(v) : tx.store.put(v, keys[i])); await tx.done; } })()`

func olderCopy(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, copyOf)
	s.capture(about(`{headDepthM: 1}`))
	s.spared(2)
	did[any](s, putBack)
	troubled(s, "behind", fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}])`, property)) // noticed while open
	for range 2 {
		s.load()
		s.open(`{name: "older-copy"}`)
		wantAlarm(s, "behind")
		s.want("with the older copy", count{Entries: 1, Unsent: 1}) // it can still be read, and saved to a file
	}
	troubled(s, "invalid", `store.enrol(store.self())`) // the same number again would double deviceSeqs
	s.enrol("phone-2")
	s.capture(about(`{note: "after"}`))
	for i, e := range s.unsent() {
		if e.Device != "phone-2" || e.DeviceSeq != uint64(i+1) {
			s.t.Errorf("entry %d is %d of %s, want %d of phone-2", i, e.DeviceSeq, e.Device, i+1)
		}
	}
	s.want("after enrolling again", count{Entries: 3, Unsent: 3}) // what the older copy lacks came back
	s.wantRefolded("after enrolling again")
}

// Each of the two marks outside the database raises the alarm alone.
func oneMarkLeft(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, copyOf)
	s.capture(about(`{headDepthM: 1}`))
	did[any](s, putBack)
	for _, lose := range []string{`localStorage.clear()`, `caches.delete("headcut-marks")`} {
		did[any](s, `(globalThis.marks = {...localStorage}, 1)`)
		did[any](s, `caches.open("headcut-marks").then(c => c.keys()).then(k => { globalThis.kept = k.length; })`)
		did[any](s, `Promise.resolve(`+lose+`).then(() => null)`)
		number(s, "(store.close(), 1)")
		s.open(`{name: "only-one-mark-is-left"}`)
		if got := trouble(s); got != "behind" {
			s.t.Errorf("after %s the trouble is %q, want behind", lose, got)
		}
		number(s, `(Object.assign(localStorage, marks), 1)`)
	}
}

// The database is there and empty, as after one that was damaged and reopened.
func emptied(s tab) {
	s.capture(about(`{kind: "gully-head"}`))
	did[any](s, `store.db.open().then(async db => { for (const n of db.objectStoreNames) await db.clear(n); })`)
	wantAlarm(s, "gone")
	s.load()
	s.open(`{name: "emptied-but-there"}`)
	wantAlarm(s, "gone")
}

func neverEnrolled(s tab) {
	number(s, "(store.close(), 1)")
	for range 2 {
		s.open(`{name: "another"}`)
		if got := trouble(s); got != "" {
			s.t.Errorf("on a new phone the trouble is %q, want none", got)
		}
		s.want("on a new phone", count{})
		troubled(s, "not-enrolled", fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}])`, property))
		did[any](s, deleteDatabase)
		number(s, "(store.close(), 1)")
	}
}

// The files of the database are damaged while the browser is off. Whatever it makes of
// them, the page must not take captures as if nothing had happened.
func TestRow08DamagedFiles(t *testing.T) {
	p, s := newPhone(t)
	for range 5 {
		s.capture(about(`{kind: "gully-head"}`))
	}
	p.Close()
	broken := 0
	for _, pattern := range []string{"*.log", "*.ldb", "MANIFEST-*"} {
		files, err := filepath.Glob(filepath.Join(p.Profile(), "*", "IndexedDB", "*.indexeddb.leveldb", pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			if err := os.WriteFile(file, []byte("not a database any more"), 0o600); err != nil {
				t.Fatal(err)
			}
			broken++
		}
	}
	if broken == 0 {
		t.Fatal("no file of the database was found in the profile")
	}
	p.Start()
	s = tabOf(t, p.Page)
	s.open("{}")
	if got := trouble(s); got != "gone" && got != "damaged" && got != "behind" {
		t.Errorf("with %d files damaged the trouble is %q, want an alarm", broken, got)
	}
	got := tried[any](s, fmt.Sprintf(`store.capture(%q, [{set: {note: "x"}}])`, property))
	if got.Kind == "" {
		t.Error("a capture was taken as if nothing had happened")
	}
	t.Logf("the trouble is %s: %s %s", got.Kind, got.Words, got.Todo)
}
