package offline

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

const oldPhones = "testdata/oldphone" // see its README

// oldOffice is today's server on the register of the old phones.
func oldOffice(t *testing.T) *phone.Office {
	t.Helper()
	dir := t.TempDir()
	packed, err := os.Open(filepath.Join(oldPhones, "register.bolt.gz"))
	if err != nil {
		t.Fatal(err)
	}
	defer packed.Close()
	unpacked, err := gzip.NewReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.OpenFile(filepath.Join(dir, "register.bolt"), os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(file, unpacked); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	return phone.NewOfficeOn(t, dir)
}

// oldPhone is a browser whose storage at the office's address is that of a phone of the old
// version, with today's page open on it and no line to the office yet. Each change is a function of
// the dump.
func oldPhone(t *testing.T, office *phone.Office, name string, change ...string) *phone.Phone {
	t.Helper()
	dump, err := os.ReadFile(filepath.Join(oldPhones, name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	p := phone.New(t, office, phone.Durable())
	p.At(here)
	p.Open("/field/addresses.json") // of the same origin, and no page of ours
	changed := string(dump)
	for _, c := range change {
		changed = fmt.Sprintf("(%s)(%s)", c, changed)
	}
	if got := phone.Eval[string](p.Page, fmt.Sprintf("(%s)(%s)", loadPhone, changed)); got != "loaded" {
		t.Fatalf("loading the old phone: %s", got)
	}
	p.BeforeScripts(cutLine)
	p.Expect("WebSocket")
	p.Expect("favicon.ico") // asked for beside that address
	p.Open("/field/")
	return p
}

// cutLine keeps the page's socket from the office until connect is called.
const cutLine = `(() => { const Real = WebSocket;
	globalThis.WebSocket = class extends Real { constructor(url) { super(sessionStorage.getItem("connected") ? url : url.replace(/\/sync$/, "/nowhere")); } }; })()`

func connect(p *phone.Phone) {
	phone.Eval[bool](p.Page, `(sessionStorage.setItem("connected", "yes"), true)`)
	p.Reload()
}

// loadPhone writes a dump into the storage of the page's origin, as version 1 of the database.
const loadPhone = `async (dump) => {
	const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;
	const revive = (v) => Array.isArray(v) ? v.map(revive) : v === null || typeof v !== "object" ? v :
		"$bytes" in v ? bytes(v.$bytes) : "$zeros" in v ? new ArrayBuffer(v.$zeros) : "$date" in v ? new Date(v.$date) :
		Object.fromEntries(Object.entries(v).map(([k, x]) => [k, revive(x)]));
	const done = (r) => new Promise((yes, no) => { r.onsuccess = r.oncomplete = () => yes(r.result); r.onerror = r.onabort = () => no(r.error); });
	const opening = indexedDB.open("headcut", dump.version);
	opening.onupgradeneeded = () => {
		const make = (name, keyPath, indexes = {}) => {
			const store = opening.result.createObjectStore(name, keyPath ? {keyPath} : {});
			for (const [index, options] of Object.entries(indexes)) store.createIndex(index, index, options);
		};
		make("entries", "id", {feature: {}, mine: {}, waiting: {}, unsentOf: {}, refused: {}});
		make("features", "id", {property: {}});
		make("photos", "sha", {features: {multiEntry: true}, waiting: {}});
		for (const name of ["photoBytes", "line", "selves", "positions", "notes", "ledger", "drafts", "ballast"]) make(name);
	};
	const db = await done(opening);
	const tx = db.transaction([...db.objectStoreNames], "readwrite");
	for (const [name, records] of Object.entries(dump.stores)) {
		const store = tx.objectStore(name);
		for (const {key, value} of records) store.keyPath ? store.put(revive(value)) : store.put(revive(value), key);
	}
	await done(tx);
	db.close();
	for (const [name, records] of Object.entries(dump.caches)) {
		const cache = await caches.open(name);
		for (const {path, body} of records) await cache.put(path, new Response(revive(body)));
	}
	for (const [key, text] of Object.entries(dump.localStorage)) localStorage.setItem(key, text);
	return "loaded";
}`

// What the phone one has, by the names it was saved under.
const (
	oldBook  = "01a22897-2310-78f3-a95f-8c06e711e195"
	oldPhoto = "1e583c83918c4eec42ec4029d1fe8dfea1bf8ec742b630ce98fb1dff3a6e81ff"
)

// wantTexts checks that the office has each of the entries as the old phone wrote it, once.
func wantTexts(t *testing.T, office *phone.Office, texts []string, properties ...string) {
	t.Helper()
	held := map[string]int{}
	for _, name := range properties {
		for _, e := range office.Entries(name) {
			held[string(e.Raw)]++
		}
	}
	for _, text := range texts {
		if held[text] != 1 {
			t.Errorf("the office has %d times what the old phone wrote, want once: %s", held[text], text)
		}
	}
}

// A phone that an older version left in the gully, opened by this one: what waited is shown,
// what was begun goes on, and all of it reaches the office as it was written.
func TestOldPhoneLosesNothing(t *testing.T) {
	t.Parallel()
	office := oldOffice(t)
	p := oldPhone(t, office, "one")
	p.WaitHeading(property)
	p.WaitText("4 + 1 photo not sent")
	p.WaitText("Run 1")
	p.WaitText("A rip line of 3 points is not saved yet.")
	p.Screenshot("old-phone")
	texts := phone.Eval[[]string](p.Page, storedTexts)
	if len(texts) != 4 {
		t.Fatalf("%d entries wait, want 4: %v", len(texts), texts)
	}
	p.Go("#/line/rip-line/line")
	p.WaitSaid("3 points")
	p.Screenshot("old-phone-line")
	p.Go("#/peg/local-table")
	p.WaitText("The 2 rows cover grades up to 6 %")
	p.Screenshot("old-phone-table")
	p.Tap("Save for the property")
	p.WaitFor(unsent + ".then(n => n === 5)")
	p.Go("#/level/" + oldBook)
	p.WaitFor(`[...document.querySelectorAll("input")].some(i => i.value === "1.4")`)
	p.WaitText("sight 101.842")
	p.Screenshot("old-phone-book")
	p.TapSelector(".pad .k2")
	p.TapSelector(".pad .enter")
	p.WaitText("100.422") // 101.842 less 1.42
	p.Tap("Save the book")
	p.WaitFor(storedTexts + `.then(all => all.some(text => text.includes('"is":1.42')))`)
	connect(p)
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitFor(waitingPhoto + `.then(s => s === "")`)
	wantTexts(t, office, texts, property)
	if jpeg, ok := office.Photo(oldPhoto); !ok || len(jpeg) != 2434 {
		t.Errorf("the office has %d bytes of the old photo, want 2434", len(jpeg))
	}
	rows, err := json.Marshal(newest(office, "level-run")["rows"])
	if err != nil || string(rows) != `[{"bs":1.842,"knownLevelM":100,"point":"BM1"},{"is":0.5,"point":"1"},{"is":1.42,"point":"2"}]` {
		t.Errorf("the office has the book %s (%v), want the row that was half keyed in it", rows, err)
	}
	if table := newest(office, "settings"); fmt.Sprint(table["whoaBoyRows"]) != "[map[spacingM:60 upToPct:4] map[spacingM:33 upToPct:6]]" || table["whoaBoySource"] != "Shire office, sheet 4" {
		t.Errorf("the office has the local table as %v", table)
	}
}

// A row was being written again when the old page was closed: it is written, and what was keyed
// before it goes on.
func TestOldBookWithARowHalfWrittenAgain(t *testing.T) {
	t.Parallel()
	draft, err := os.ReadFile(filepath.Join(oldPhones, "mending.json"))
	if err != nil {
		t.Fatal(err)
	}
	office := oldOffice(t)
	p := oldPhone(t, office, "one", fmt.Sprintf(`(dump) => { dump.stores.drafts.find((d) => d.key === "level book %s").value = %s; return dump; }`, oldBook, draft))
	p.Go("#/level/" + oldBook)
	p.WaitText("is struck out when you book this")
	p.Screenshot("old-book-mending")
	keyIn(p, "0.6")
	p.Tap("Write")
	p.WaitFor(`[...document.querySelectorAll("input")].some(i => i.value === "1.4")`)
	keyIn(p, "2")
	p.WaitText("100.422")
	p.Tap("Save the book")
	p.WaitFor(storedTexts + `.then(all => all.some(text => text.includes('"is":1.42')))`)
	connect(p)
	p.WaitFor(unsent + ".then(n => n === 0)")
	rows, err := json.Marshal(newest(office, "level-run")["rows"])
	if err != nil || string(rows) != `[{"bs":1.842,"knownLevelM":100,"point":"BM1"},{"is":0.5,"point":"1","struck":true},{"is":0.6,"point":"1"},{"is":1.42,"point":"2"}]` {
		t.Errorf("the office has the book %s (%v)", rows, err)
	}
}

// newest is what the last entry of Stony Block on a feature of a kind sets, by field.
func newest(office *phone.Office, kind string) map[string]any {
	kinds, last := map[string]string{}, map[string]any{}
	for _, e := range office.Entries(property) {
		var set map[string]any
		raw, _ := json.Marshal(e.Set) // raw JSON encodes
		_ = json.Unmarshal(raw, &set)
		if k, ok := set["kind"].(string); ok {
			kinds[string(e.Feature)] = k
		}
		if kinds[string(e.Feature)] == kind {
			for name, value := range set {
				last[name] = value
			}
		}
	}
	return last
}

// A second code of the old version made the phone another device and hid its first property.
// This version shows that there is more, and once the office gives the right to it, sends it.
func TestOldPhoneOfTwoProperties(t *testing.T) {
	t.Parallel()
	office := oldOffice(t)
	p := oldPhone(t, office, "two")
	p.WaitHeading("Scald Block")
	p.WaitText("4 + 1 photo not sent")
	p.Go("#/status")
	p.WaitText("of these on Unnamed property 3")
	p.Screenshot("old-phone-of-two")
	texts := phone.Eval[[]string](p.Page, storedTexts)
	connect(p)
	p.Go("#/status")
	p.Tap("Send now")
	wantHeld(t, office, "Scald Block", 1)
	if n := len(office.Entries("Ridge Block")); n != 0 {
		t.Errorf("the office took %d entries of a property that the phone has no right to", n)
	}
	p.WaitText("of these on Unnamed property 3: no right to send them, ask the office")
	p.Screenshot("old-phone-of-two-without-right")
	office.Widen(phone.Eval[string](p.Page, self), "Ridge Block")
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitFor(waitingPhoto + `.then(s => s === "")`)
	wantHeld(t, office, "Ridge Block", 3)
	if jpeg, ok := office.Photo(oldPhoto); !ok || len(jpeg) != 2434 {
		t.Errorf("the office has %d bytes of the old photo, want 2434", len(jpeg))
	}
	wantTexts(t, office, texts, "Scald Block", "Ridge Block")
	openProperty(p, "Ridge Block")
	p.Screenshot("old-phone-widened")
}
