// Package engines walks the officer's main way and the landholder's page in browsers that are
// not Chromium: WebKitGTK, whose engine iPhones have, and Firefox. It is for tests alone.
package engines

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// patience is how long one step may take on a busy machine.
const patience = 60 * time.Second

// here is where the devices of these tests stand: nowhere in particular.
var here = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

// browser is one tab of an engine.
type browser interface {
	open(address string) error
	// eval gives what an expression of the page's language gives or promises, as JSON.
	eval(expression string) (json.RawMessage, error)
	press(x, y float64) error
	// file gives a file to a file input.
	file(selector, path string) error
	shot() (png []byte, err error)
	troubles() []string // errors that the page did not catch
	cache() string      // the folder of the browser's own cache, while it is off
	stop()
}

// engines are the browsers other than Chromium that the pages must work in.
var engines = []struct {
	name  string
	start func(t testing.TB, folder string, at phone.Fix) (browser, error)
}{{"webkit", startWebKit}, {"firefox", startFirefox}}

// finger is a press at a place, as WebDriver's actions have it.
func finger(x, y float64) any {
	return map[string]any{"type": "pointer", "id": "finger", "parameters": map[string]any{"pointerType": "mouse"}, "actions": []any{
		map[string]any{"type": "pointerMove", "duration": 0, "x": int(x), "y": int(y)},
		map[string]any{"type": "pointerDown", "button": 0},
		map[string]any{"type": "pointerUp", "button": 0},
	}}
}

// device is a phone of another engine, which outlives its browser.
type device struct {
	browser
	t      *testing.T
	name   string
	folder string
	begin  func(t testing.TB, folder string, at phone.Fix) (browser, error)
}

func newDevice(t *testing.T, name string, begin func(t testing.TB, folder string, at phone.Fix) (browser, error)) *device {
	t.Helper()
	folder, err := os.MkdirTemp("", name)
	if err != nil {
		t.Fatal(err)
	}
	d := &device{t: t, name: name, folder: folder, begin: begin}
	t.Cleanup(func() {
		d.close()
		_ = os.RemoveAll(folder)
	})
	d.on()
	return d
}

// on starts the browser.
func (d *device) on() {
	d.t.Helper()
	b, err := d.begin(d.t, d.folder, here)
	if err != nil {
		d.t.Fatal(err)
	}
	d.browser = b
}

// close ends the browser.
func (d *device) close() {
	if d.browser == nil {
		return
	}
	if heard := d.troubles(); len(heard) > 0 {
		d.t.Errorf("the page did not catch: %s", strings.Join(heard, "; "))
	}
	d.stop()
	d.browser = nil
}

// emptyCache removes what the browser has cached of its own accord; it is off.
func (d *device) emptyCache(cache string) {
	d.t.Helper()
	if _, err := os.Stat(cache); err != nil {
		d.t.Fatalf("the browser keeps its cache elsewhere: %v", err)
	}
	if err := os.RemoveAll(cache); err != nil {
		d.t.Fatal(err)
	}
}

func (d *device) must(err error) {
	d.t.Helper()
	if err != nil {
		d.t.Fatalf("%v\n%s", err, d.seen())
	}
}

func (d *device) seen() string {
	text, err := d.eval(`location.href + "\n" + document.body?.innerText`)
	if err != nil {
		return err.Error()
	}
	var words string
	_ = json.Unmarshal(text, &words)
	return "the page shows:\n" + words
}

func eval[T any](d *device, expression string) (v T) {
	d.t.Helper()
	raw, err := d.eval(expression)
	if err == nil {
		err = json.Unmarshal(raw, &v)
	}
	d.must(err)
	return v
}

func (d *device) comes(expression string, within time.Duration) bool {
	for deadline := time.Now().Add(within); ; time.Sleep(50 * time.Millisecond) {
		raw, err := d.eval("Boolean(" + expression + ")") // while a page loads there is none to ask
		if err == nil && string(raw) == "true" {
			return true
		}
		if time.Now().After(deadline) {
			return false
		}
	}
}

func (d *device) waitFor(expression string) {
	d.t.Helper()
	if !d.comes(expression, patience) {
		d.shoot("failed")
		d.t.Fatalf("never became true in the page: %s\n%s", expression, d.seen())
	}
}

func quoted(text string) string {
	literal, _ := json.Marshal(text) // every string can be
	return string(literal)
}

func (d *device) waitText(words string) {
	d.t.Helper()
	d.waitFor(`document.body.innerText.replace(/\s+/g, " ").includes(` + quoted(words) + `)`)
}

func (d *device) waitHeading(words string) {
	d.t.Helper()
	d.waitFor(`document.querySelector("h1")?.innerText.trim() === ` + quoted(words))
}

// goTo changes the address behind the "#", and waits until the page has heard of it.
func (d *device) goTo(route string) {
	d.t.Helper()
	eval[bool](d, `new Promise(done => {
		const before = location.href, heard = () => setTimeout(() => done(true));
		addEventListener("hashchange", heard, {once: true});
		location.hash = `+quoted(route)+`;
		if (location.href === before) heard();
	})`)
}

// find gives the middle of the control of a name, in sight and with nothing over it.
const find = `(name => {
	const words = e => (e.ariaLabel ?? [...(e.labels ?? [])].map(l => l.querySelector(".label, span")?.innerText ?? l.innerText).join(" ")) || e.innerText || "";
	const tidy = text => text.replace(/\s+/g, " ").replace(/ \(if known\)$/, "").trim();
	const all = [...document.querySelectorAll("button, a[href], input, textarea, select, summary, [role=button]")].filter(e => e.getClientRects().length > 0 && !e.disabled);
	const e = all.find(e => tidy(words(e)) === name) ?? all.find(e => tidy(words(e)).startsWith(name));
	if (!e) return null;
	e.scrollIntoView({block: "center"});
	const r = e.getBoundingClientRect(), x = r.x + r.width / 2, y = r.y + r.height / 2, hit = document.elementFromPoint(x, y);
	return hit && (e.contains(hit) || hit.contains(e)) ? {x, y} : null;
})`

// tap presses the control of a name, once it is there.
func (d *device) tap(name string) {
	d.t.Helper()
	d.pressAt(find + "(" + quoted(name) + ")")
}

func (d *device) tapSelector(selector string) {
	d.t.Helper()
	d.pressAt(`(e => { if (!e) return null; const r = e.getBoundingClientRect(); return {x: r.x + r.width / 2, y: r.y + r.height / 2}; })(document.querySelector(` + quoted(selector) + `))`)
}

// pressAt presses the place that an expression gives, once it gives the same twice: what is
// drawn again meanwhile, or moves, is waited for.
func (d *device) pressAt(place string) {
	d.t.Helper()
	type at struct{ X, Y float64 }
	var before *at
	for deadline := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		now := eval[*at](d, place)
		if now != nil && before != nil && *now == *before {
			d.must(d.press(now.X, now.Y))
			return
		}
		if time.Now().After(deadline) {
			d.shoot("failed")
			d.t.Fatalf("there is nothing to press in the page: %s\n%s", place, d.seen())
		}
		before = now
	}
}

// pad keys a number on the level book's pad, and books it.
func (d *device) pad(number string) {
	d.t.Helper()
	for _, k := range strings.Split(number, "") {
		if k == "." {
			k = "point"
		}
		d.tapSelector(".pad .k" + k)
	}
	d.tapSelector(".pad .enter")
}

// shoot keeps a picture of the page where -shots names a folder.
func (d *device) shoot(name string) {
	d.t.Helper()
	dir := ""
	if f := flag.Lookup("shots"); f != nil {
		dir = f.Value.String()
	}
	if dir == "" {
		return
	}
	png, err := d.shot()
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, d.name+"-"+name+".png"), png, 0o644)
	}
	if err != nil {
		d.t.Logf("no picture: %v", err)
	}
}
