package storage

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"headcut/sync/register"
	"headcut/sync/store"
)

func newUUID(t *testing.T, at time.Time) string {
	t.Helper()
	id, err := uuid.NewV7()
	if err != nil {
		t.Fatal(err)
	}
	return id.String()
}

const gully = "gully-7"

// about records a change of one feature.
func about(fields string) string { return fmt.Sprintf(`[{feature: %q, set: %s}]`, gully, fields) }

func TestSending(t *testing.T) {
	parts(t, map[string]func(tab){
		"sent-is-acknowledged-once":           sentIsAcknowledgedOnce,
		"lost-receipt-is-made-up-by-the-pull": lostReceipt,
		"refused-is-kept-and-told":            refusedIsTold,
		"entries-of-others-are-folded":        othersAreFolded,
		"capture-while-folding":               captureWhileFolding,
		"damaged-pages-are-refused":           damagedPages,
	})
}

// A day's entries go out once each, come back, and the phone stands as the register does.
func sentIsAcknowledgedOnce(s tab) {
	t, d := s.t, newDesk(s.t)
	for i := range 20 {
		s.capture(fmt.Sprintf(`[{feature: "head-%d", set: {kind: "gully-head", headDepthM: %d}}, {set: {kind: "note", note: "%d"}}]`, i%5, i, i))
	}
	s.want("before sending", count{Entries: 40, Unsent: 40})
	few := did[[]string](s, fmt.Sprintf(`store.outbox.waiting(%q, 3, 1e6, new Set([])).then(a => a.map(e => e.id))`, property))
	next := did[[]string](s, fmt.Sprintf(`store.outbox.waiting(%q, 3, 1e6, new Set(%s)).then(a => a.map(e => e.id))`, property, text(few)))
	all := s.unsent()
	for i, id := range append(few, next...) {
		if register.ID(id) != all[i].ID {
			t.Errorf("waiting, three at a time: number %d is %s, want %s", i, id, all[i].ID)
		}
	}
	if got := did[int](s, fmt.Sprintf(`store.outbox.waiting(%q, 10, 1).then(a => a.length)`, property)); got != 1 {
		t.Errorf("waiting with room for nothing gives %d entries, want the one that must go alone", got)
	}
	if got := did[int](s, fmt.Sprintf(`store.outbox.waiting(%q, 10, 1, new Set(["x"])).then(a => a.length)`, property)); got != 0 {
		t.Errorf("waiting with room for nothing and one on its way gives %d entries, want none", got)
	}
	receipts := d.take(s)
	settle(s, receipts[:7])
	s.want("after seven receipts", count{Entries: 40, Unsent: 33})
	for _, r := range d.push(s) {
		if !r.Known || r.Refused != "" {
			t.Errorf("receipt %+v, want known: it was taken, and its receipt lost", r)
		}
	}
	s.want("after all receipts", count{Entries: 40})
	s.wantFolded("after all receipts")
	d.pull(s)
	s.want("after coming back", count{Entries: 40})
	s.wantFolded("after coming back")
	if got := len(d.registered()); got != 40 {
		t.Errorf("the register holds %d entries, want 40", got)
	}
	if got := number(s, "asked.size"); got != 0 {
		t.Errorf("a phone alone on its property asked for %v folds, want none", got)
	}
}

// A receipt that was lost: the entry comes back with the register and leaves the outbox.
func lostReceipt(s tab) {
	d := newDesk(s.t)
	s.capture(about(`{kind: "gully-head"}`))
	s.capture(about(`{headDepthM: 2}`))
	d.take(s)
	s.capture(about(`{headDepthM: 3}`))
	d.pull(s)
	s.want("after the pull", count{Entries: 3, Unsent: 1})
	s.wantFolded("after the pull")
}

// What the server will never take is kept, counted and told.
func refusedIsTold(s tab) {
	t, d := s.t, newDesk(s.t)
	bad := s.capture(about(`{kind: "gully-head", headDepthM: "deep"}`))[0]
	s.capture(about(`{note: "good"}`))
	receipts := d.push(s)
	if receipts[0].Refused == "" {
		t.Fatal("the register takes a depth that is a word")
	}
	s.want("after the refusal", count{Entries: 2, Refused: 1})
	refusals := did[[]struct{ Entry, Feature, Why string }](s, "store.refusals()")
	if len(refusals) != 1 || refusals[0].Entry != bad.Entry || refusals[0].Feature != gully || refusals[0].Why != receipts[0].Refused {
		t.Errorf("refusals are %+v, want %s because %s", refusals, bad.Entry, receipts[0].Refused)
	}
	d.pull(s)
	s.want("after the pull", count{Entries: 2, Refused: 1})
	if got := s.unsent(); len(got) != 1 || string(got[0].ID) != bad.Entry {
		t.Errorf("for a file there are %d entries, want the refused one", len(got))
	}
	if got := did[[]string](s, fmt.Sprintf("store.outbox.acknowledged(%q)", property)); len(got) != 1 || got[0] == bad.Entry {
		t.Errorf("own entries to ask about: %v, want the good one alone", got)
	}
}

// Entries of others are folded in by the register's rule, in the middle of captures too.
func othersAreFolded(s tab) {
	t, d := s.t, newDesk(s.t)
	now := time.Now()
	s.capture(about(`{kind: "gully-head", headDepthM: 1, note: "mine"}`))
	d.push(s)
	// The neighbour saw nothing of it: both fields clash. An older clock does not decide.
	d.write(entryOf(t, "other", 1, gully, nil, now.Add(time.Second), `{"headDepthM": 2, "active": true}`))
	d.pull(s)
	s.wantFolded("after a clash")
	if f := s.features()[gully]; len(f.Clashes) != 1 || f.Clashes[0] != "headDepthM" {
		t.Errorf("clashes are %v, want headDepthM", f.Clashes)
	}
	s.capture(about(`{headDepthM: 3}`)) // has seen both: it settles the clash
	if f := s.features()[gully]; len(f.Clashes) != 0 || string(f.Fields["headDepthM"]) != "3" {
		t.Errorf("after settling, the feature is %s", text(f))
	}
	if e := s.unsent()[0]; e.Saw["other"] != 1 || len(e.Saw) != 1 {
		t.Errorf("the settling entry saw %v, want entry 1 of the other", e.Saw)
	}
	s.wantFolded("after settling")
	d.push(s)
	d.write(entryOf(t, "other", 2, gully, nil, now.Add(2*time.Second), `strike`),
		entryOf(t, "other", 3, "dam-1", nil, now.Add(2*time.Second), `{"kind": "check-dam"}`))
	d.pull(s)
	s.wantFolded("after a strike that had not seen the edit")
	if f := s.features()[gully]; !f.Struck || len(f.Clashes) != 1 || f.Clashes[0] != "strike" {
		t.Errorf("after the strike the feature is %s, want struck with a clash", text(f))
	}
	s.capture(fmt.Sprintf(`[{feature: %q, strike: false}]`, gully))
	s.capture(about(`{active: null, own: [1, {"b": "é"}]}`))
	s.wantFolded("after restoring")
	d.push(s)
	d.pull(s)
	s.wantFolded("at the end")
	s.want("at the end", count{Entries: 7})
}

// A capture while a fold is under way has not seen what is being folded in, and is not lost.
func captureWhileFolding(s tab) {
	t, d := s.t, newDesk(s.t)
	s.capture(about(`{kind: "gully-head", headDepthM: 1}`))
	d.push(s)
	d.write(entryOf(t, "other", 1, gully, nil, time.Now(), `{"headDepthM": 2}`))
	p, err := d.after(position(s), 10)
	if err != nil {
		t.Fatal(err)
	}
	number(s, `(globalThis.real = gather, globalThis.folds = 0, globalThis.captured = null, store.close(), 1)`)
	s.open(`{name: "capture-while-folding", gather: async features => {
		if (folds++ === 0) captured = await store.capture("` + property + `", [{feature: "` + gully + `", set: {headDepthM: 3, note: "meanwhile"}}]);
		return real(features); }}`)
	if got := apply(s, p); got.Kind != "" {
		t.Fatalf("apply: %s: %s", got.Kind, got.Words)
	}
	if got := number(s, "folds"); got != 2 {
		t.Errorf("folded %v times, want twice: once before the capture and once with it", got)
	}
	s.want("after both", count{Entries: 3, Unsent: 1})
	s.wantFolded("after both")
	if e := s.unsent()[0]; len(e.Saw) != 0 {
		t.Errorf("the capture says it saw %v, want nothing of the other", e.Saw)
	}
}

// Pages that do not follow, or were damaged on their way, change nothing.
func damagedPages(s tab) {
	t, d := s.t, newDesk(s.t)
	now := time.Now()
	for i := range 6 {
		d.write(entryOf(t, "other", uint64(i+1), fmt.Sprint("f-", i), nil, now, `{"note": "x"}`))
	}
	first, err := d.after(store.Position{}, 3)
	if err != nil {
		t.Fatal(err)
	}
	second, err := d.after(first.At, 3)
	if err != nil {
		t.Fatal(err)
	}
	damage := func(change func(p *page)) page {
		p := second
		p.Entries = append([]string(nil), p.Entries...)
		change(&p)
		return p
	}
	if got := apply(s, first); got.Kind != "" {
		t.Fatalf("apply: %s: %s", got.Kind, got.Words)
	}
	for name, p := range map[string]page{
		"a-letter-changed": damage(func(p *page) { p.Entries[1] = strings.Replace(p.Entries[1], `"x"`, `"y"`, 1) }),
		"a-space-more":     damage(func(p *page) { p.Entries[1] = strings.Replace(p.Entries[1], `,`, `, `, 1) }),
		"one-missing":      damage(func(p *page) { p.Entries = p.Entries[:2] }),
		"out-of-order":     damage(func(p *page) { p.Entries[0], p.Entries[1] = p.Entries[1], p.Entries[0] }),
		"a-gap-before":     damage(func(p *page) { p.First++ }),
		"not-json":         damage(func(p *page) { p.Entries[2] = "{" }),
		"again-from-one":   first,
	} {
		t.Run(name, func(t *testing.T) {
			s.t = t
			if got := apply(s, p); got.Kind == "" {
				t.Error("it was taken in")
			}
			s.want("after it", count{Entries: 3})
			if got := position(s); got != first.At {
				t.Errorf("the position is %+v, want %+v", got, first.At)
			}
		})
	}
	s.t = t
	if got := apply(s, second); got.Kind != "" {
		t.Errorf("the page as it was sent: %s: %s", got.Kind, got.Words)
	}
	if got := position(s); got != second.At {
		t.Errorf("the position is %+v, want %+v", got, second.At)
	}
}
