// Package storage tests the field page's store, viewer/src/storage, by itself in a real
// browser: it has no screens and no link. What it wrote is read by sync/register, folded
// by sync/phonecompute, and taken by a real store.
package storage

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"headcut/sync/phonecompute"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m, "src/storage/index.ts") }

const property = "stony-block"

// tab is one page with the store's script in it as the global index, and its store, once
// opened, as the global store.
type tab struct {
	*phone.Page
	t *testing.T
}

// newPhone starts a phone whose first page has an opened store, enrolled as device phone-1.
func newPhone(t *testing.T, options ...phone.Option) (*phone.Phone, tab) {
	t.Helper()
	p := phone.New(t, phone.NewOffice(t), options...)
	s := tabOf(t, p.Page)
	s.open("{}")
	s.enrol("phone-1")
	return p, s
}

// parts runs tests on one phone, each on a store with a database of its own.
func parts(t *testing.T, all map[string]func(s tab)) {
	t.Helper()
	p := phone.New(t, phone.NewOffice(t))
	s := tab{p.Page, t}
	s.foldInGo()
	for name, part := range all {
		t.Run(name, func(t *testing.T) {
			s := tab{p.Page, t}
			s.load()
			s.open("{name: " + quoted(name) + "}")
			s.enrol("phone-1")
			part(s)
		})
	}
}

// tabOf brings the store's script into a page.
func tabOf(t *testing.T, p *phone.Page) tab {
	t.Helper()
	s := tab{p, t}
	s.foldInGo()
	s.load()
	return s
}

func (s tab) load() {
	s.t.Helper()
	s.Open("/field/")
	s.Import("index.ts", "index")
	phone.Eval[bool](s.Page, pageHelp)
}

// pageHelp is what tests call in the page. gather asks the test's process to fold.
const pageHelp = `(() => {
	const asked = globalThis.asked = new Map();
	globalThis.gather = features => new Promise((yes, no) => {
		const id = asked.size + 1;
		asked.set(id, {yes, no});
		foldInGo(JSON.stringify({id, features}));
	});
	globalThis.openStore = async (options = {}) => { globalThis.store = await index.openStore({gather, ...options}); return true; };
	globalThis.enrolAs = device => store.enrol({device, token: "t-" + device, author: "R. Field", properties: [{id: "` + property + `", name: "Stony Block"}]}).then(() => true);
	globalThis.tell = job => Promise.resolve().then(job).then(
		done => ({done: done === undefined ? null : done, kind: "", words: "", todo: ""}),
		e => ({done: null, kind: e.kind ?? e.name ?? "error", words: String(e.message), todo: e.todo ?? ""}));
	return true;
})()`

// open opens the store with options of index.openStore.
func (s tab) open(options string) { s.t.Helper(); phone.Eval[bool](s.Page, "openStore("+options+")") }

func (s tab) enrol(device string) {
	s.t.Helper()
	phone.Eval[bool](s.Page, "enrolAs("+quoted(device)+")")
}

// outcome of a job in the page: what it gave, or the trouble it told.
type outcome[T any] struct {
	Done  T
	Kind  string
	Words string
	Todo  string
}

// tried runs a job, an expression, and gives its value or its trouble.
func tried[T any](s tab, job string) outcome[T] {
	s.t.Helper()
	return phone.Eval[outcome[T]](s.Page, "tell(() => "+job+")")
}

// did runs a job that must succeed.
func did[T any](s tab, job string) T {
	s.t.Helper()
	got := tried[T](s, job)
	if got.Kind != "" {
		s.t.Fatalf("%s: %s: %s", short(job), got.Kind, got.Words)
	}
	return got.Done
}

// troubled runs a job that must fail with trouble of a kind.
func troubled(s tab, kind, job string) {
	s.t.Helper()
	got := tried[json.RawMessage](s, job)
	if got.Kind != kind {
		s.t.Errorf("%s gave %s and trouble %q (%s), want trouble %q", short(job), short(string(got.Done)), got.Kind, got.Words, kind)
	} else if got.Todo == "" || got.Words == "" {
		s.t.Errorf("%s: trouble %q says %q and what to do %q, want both", short(job), got.Kind, got.Words, got.Todo)
	}
}

type saved struct{ Feature, Entry string }

// capture records drafts, a JSON array, and gives what was saved.
func (s tab) capture(drafts string) []saved {
	s.t.Helper()
	return did[[]saved](s, fmt.Sprintf("store.capture(%q, %s)", property, drafts))
}

type count struct {
	Entries, Unsent, Refused, PhotosUnsent, PhotoBytesUnsent int
}

func (s tab) counts() count { s.t.Helper(); return did[count](s, "store.counts()") }

// want checks the numbers that the store gives, and what there is in the database.
func (s tab) want(when string, want count) {
	s.t.Helper()
	counted := did[count](s, `store.db.read(async db => { const photos = await db.getAllFromIndex("photos", "waiting");
		return {entries: await db.count("entries"), unsent: await db.countFromIndex("entries", "waiting"), refused: await db.countFromIndex("entries", "refused"),
			photosUnsent: photos.length, photoBytesUnsent: photos.reduce((sum, p) => sum + p.size, 0)}; })`)
	if counted != want {
		s.t.Errorf("%s: there are %+v, want %+v", when, counted, want)
	}
	if got := s.counts(); got != want {
		s.t.Errorf("%s: the counts are %+v, want %+v", when, got, want)
	}
}

// unsent are the entries of the outbox, as sync/register reads them.
func (s tab) unsent() []register.Entry {
	s.t.Helper()
	texts := did[[]string](s, "store.outbox.all().then(a => a.entries.map(e => e.text))")
	entries := make([]register.Entry, len(texts))
	for i, text := range texts {
		e, err := register.Decode([]byte(text))
		if err != nil {
			s.t.Fatalf("an entry of the phone does not decode: %v: %s", err, short(text))
		}
		entries[i] = e
	}
	return entries
}

// foldInGo lets the page ask this process to fold, as the computations in it will.
func (s tab) foldInGo() {
	s.t.Helper()
	ctx := s.Context()
	err := chromedp.Listen(ctx, func(event any) {
		if called, ok := event.(*runtime.EventBindingCalled); ok && called.Name == "foldInGo" {
			go answerFold(ctx, called.Payload)
		}
	})
	if err != nil {
		s.t.Fatal(err)
	}
	s.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, runtime.AddBinding, runtime.AddBindingParams{Name: "foldInGo"})
		return err
	}))
}

func answerFold(ctx context.Context, payload string) {
	var q struct{ ID int }
	answer := []byte("null")
	err := json.Unmarshal([]byte(payload), &q)
	if err == nil {
		answer, err = phonecompute.Fold([]byte(payload))
	}
	call := fmt.Sprintf("(asked.get(%d).yes((%s).features), true)", q.ID, answer)
	if err != nil {
		call = fmt.Sprintf("(asked.get(%d).no(new Error(%s)), true)", q.ID, quoted(err.Error()))
	}
	_, _ = chromedp.Run(ctx, chromedp.Evaluate[bool](call)) // the page may have been killed
}

// quoted is a text as a literal of the page's language.
func quoted(text string) string {
	raw, _ := json.Marshal(text) // every string can be
	return string(raw)
}

func short(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if len(text) > 160 {
		return text[:160] + "…"
	}
	return text
}
