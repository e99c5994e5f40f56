package storage

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

func TestEntries(t *testing.T) {
	parts(t, map[string]func(tab){
		"go-reads-what-the-phone-writes":     goReads,
		"seen-at-has-the-offset-of-the-zone": seenAtHasTheOffset,
		"what-cannot-be-sent-is-not-saved":   unsendableIsNotSaved,
		"row-19-clock-is-moved":              row19ClockIsMoved,
	})
}

// What the phone writes, sync/register reads to the same values.
func goReads(s tab) {
	t := s.t
	for _, c := range []struct{ name, set, want string }{
		{"plain", `{kind: "gully-head", headDepthM: 1.6}`, `{"kind":"gully-head","headDepthM":1.6}`},
		{"line-feed-and-quotes", `{note: "first\nsecond \u2028 \"third\" \\ \u0000"}`, `{"note":"first\nsecond \u2028 \"third\" \\ \u0000"}`},
		{"not-ascii", `{note: "Büffel 牛 🐂"}`, `{"note":"Büffel 牛 🐂"}`},
		{"half-a-surrogate", `{note: "cut \ud83d off, \udc02 too"}`, `{"note":"cut \ufffd off, \ufffd too"}`},
		{"name-with-half-a-surrogate", `{own: {"a\ud83d": 1}}`, `{"own":{"a\ufffd":1}}`},
		{"numbers", `{a: -0, b: 1e300, c: 5e-324, d: 9007199254740993, e: 0.1}`, `{"a":0,"b":1e300,"c":5e-324,"d":9007199254740992,"e":0.1}`},
		{"cleared", `{note: null}`, `{"note":null}`},
		{"undefined-is-left-out", `{note: undefined, depth: 1, own: {x: undefined, y: 2}}`, `{"depth":1,"own":{"y":2}}`},
		{"a-place", `{geometry: {type: "Point", coordinates: [146.5, -20.25]}}`, `{"geometry":{"type":"Point","coordinates":[146.5,-20.25]}}`},
		{"names", `{"Höhe_2 - a.b:c": 1, "9": 2}`, `{"9":2,"Höhe_2 - a.b:c":1}`},
		{"deep", `{deep: ` + strings.Repeat("[", 30) + "1" + strings.Repeat("]", 30) + `}`, `{"deep":` + strings.Repeat("[", 30) + "1" + strings.Repeat("]", 30) + `}`},
		{"long", `{note: "x".repeat(250000)}`, `{"note":"` + strings.Repeat("x", 250_000) + `"}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s.t = t
			id := s.capture("[{set: " + c.set + "}]")[0].Entry
			e := entryNamed(t, s.unsent(), id)
			got, err := json.Marshal(e.Set)
			if err != nil {
				t.Fatal(err)
			}
			if !sameJSON(t, got, []byte(c.want)) {
				t.Errorf("set is %s, want %s", short(string(got)), short(c.want))
			}
		})
	}
	s.t = t
	e := s.unsent()
	for i := range e {
		if e[i].DeviceSeq != uint64(i+1) || e[i].Device != "phone-1" || e[i].Author != "R. Field" || e[i].Property != property {
			t.Errorf("entry %d is %+v, want number %d of phone-1 for %s", i, e[i], i+1, property)
		}
		if err := register.Check(e[i], "gully-head"); err != nil {
			t.Errorf("entry %d: %v", i, err)
		}
		at, err := time.Parse(time.RFC3339, e[i].SeenAt)
		if err != nil || time.Since(at).Abs() > time.Minute || e[i].Stamp.Time().Sub(at).Abs() > time.Second {
			t.Errorf("entry %d was seen at %s, stamp %v: %v, want about now", i, e[i].SeenAt, e[i].Stamp.Time(), err)
		}
	}
}

// seenAt carries the offset of the phone's zone, on both sides of Greenwich and at half hours.
func seenAtHasTheOffset(s tab) {
	t := s.t
	for zone, want := range map[string]string{
		"Australia/Brisbane": "2026-01-02T09:30:00.250+10:00",
		"Australia/Adelaide": "2026-01-02T10:00:00.250+10:30",
		"America/St_Johns":   "2026-01-01T20:00:00.250-03:30",
		"UTC":                "2026-01-01T23:30:00.250+00:00",
	} {
		t.Run(strings.ReplaceAll(strings.ToLower(zone), "/", "-"), func(t *testing.T) {
			s.t = t
			s.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
				_, err := cdp.Call(ctx, target, emulation.SetTimezoneOverride, emulation.SetTimezoneOverrideParams{TimezoneID: zone})
				return err
			}))
			id := s.capture(`[{set: {note: "x"}, seenAt: new Date(Date.UTC(2026, 0, 1, 23, 30, 0, 250))}]`)[0].Entry
			if got := entryNamed(t, s.unsent(), id).SeenAt; got != want {
				t.Errorf("seenAt in %s is %s, want %s", zone, got, want)
			}
		})
	}
}

// What the register would refuse is refused before it is called saved, and nothing of it
// is kept.
func unsendableIsNotSaved(s tab) {
	t := s.t
	fields := `Object.fromEntries(Array.from({length: %d}, (_, i) => ["f" + i, i]))`
	for name, draft := range map[string]string{
		"nothing":             `{}`,
		"no-field":            `{set: {}}`,
		"only-undefined":      `{set: {a: undefined}}`,
		"not-a-number":        `{set: {depth: 0/0}}`,
		"infinite":            `{set: {own: [{x: 1/0}]}}`,
		"a-function":          `{set: {own: () => 1}}`,
		"too-long":            `{set: {note: "x".repeat(262144)}}`,
		"too-long-in-bytes":   `{set: {note: "牛".repeat(90000)}}`,
		"too-deep":            `{set: {own: ` + strings.Repeat("[", 31) + "1" + strings.Repeat("]", 31) + `}}`,
		"too-many-fields":     `{set: ` + fmt.Sprintf(fields, 257) + `}`,
		"field-named-strike":  `{set: {strike: true}}`,
		"field-with-slash":    `{set: {"a/b": 1}}`,
		"field-with-space":    `{set: {" a": 1}}`,
		"field-of-65":         `{set: {["x".repeat(65)]: 1}}`,
		"set-and-strike":      `{set: {a: 1}, strike: true}`,
		"photo-and-strike":    `{strike: true, photo: {bytes: new ArrayBuffer(9), takenFor: ""}}`,
		"feature-is-no-id":    `{feature: "Gully 7", set: {a: 1}}`,
		"photo-is-empty":      `{photo: {bytes: new ArrayBuffer(0), takenFor: ""}}`,
		"photo-above-8-mb":    `{photo: {bytes: new ArrayBuffer(8 * 2**20 + 1), takenFor: ""}}`,
		"photo-is-a-blob":     `{photo: {bytes: new Blob(["x"]), takenFor: ""}}`,
		"photo-is-an-array":   `{photo: {bytes: new Uint8Array(9), takenFor: ""}}`,
		"one-bad-of-two":      `{set: {a: 1}}, {set: {depth: 0/0}}`,
		"one-too-long-of-two": `{set: {a: 1}}, {set: {note: "x".repeat(262144)}}`,
	} {
		t.Run(name, func(t *testing.T) {
			s.t = t
			troubled(s, "invalid", fmt.Sprintf("store.capture(%q, [%s])", property, draft))
			s.want("after it", count{})
		})
	}
	s.t = t
	troubled(s, "invalid", `store.capture("Stony Block", [{set: {a: 1}}])`)
	troubled(s, "invalid", fmt.Sprintf("store.capture(%q, [])", property))
	s.capture("[{set: " + fmt.Sprintf(fields, 256) + "}]")
	s.capture(`[{photo: {bytes: new ArrayBuffer(8 * 2**20), takenFor: ""}}]`)
	s.want("after good ones", count{Entries: 2, Unsent: 2, PhotosUnsent: 1, PhotoBytesUnsent: 8 << 20})
	if got := s.unsent()[1].DeviceSeq; got != 2 {
		t.Errorf("after refused captures the second good one has deviceSeq %d, want 2", got)
	}
}

// Stamps rise with every entry of a feature, whatever the clock does, and the entry tells
// when the clock was moved.
func row19ClockIsMoved(s tab) {
	t := s.t
	day := 24 * time.Hour
	feature := s.capture(`[{set: {note: "at first"}}]`)[0].Feature
	for _, off := range []time.Duration{day, -day, 0} {
		s.SetClock(off)
		s.load()
		s.open(`{name: "row-19-clock-is-moved"}`)
		s.capture(fmt.Sprintf(`[{feature: %q, set: {note: "clock off by %v"}}]`, feature, off))
	}
	before := number(s, "performance.timeOrigin + performance.now()")
	number(s, `(globalThis.jump = 86400e3, (R => Date = class extends R {
		constructor(...a) { a.length ? super(...a) : super(R.now() + jump) } static now() { return R.now() + jump; } })(Date), 1)`)
	s.capture(fmt.Sprintf(`[{feature: %q, set: {note: "jumped while open"}}]`, feature))
	all := s.unsent()
	for i := 1; i < len(all); i++ {
		if all[i].Stamp <= all[i-1].Stamp {
			t.Errorf("entry %d has stamp %v after %v, want a greater one", i, all[i].Stamp, all[i-1].Stamp)
		}
	}
	if lead := all[1].Stamp.Time().Sub(time.Now()); lead < 23*time.Hour {
		t.Errorf("with the clock a day fast, the stamp is %v ahead, want about a day", lead)
	}
	texts := did[[]string](s, "store.outbox.all().then(a => a.entries.map(e => e.text))")
	var last struct{ SteadyMS float64 }
	if err := json.Unmarshal([]byte(texts[len(texts)-1]), &last); err != nil || last.SteadyMS < before || last.SteadyMS > before+60_000 {
		t.Errorf("after a jump of the clock steadyMS is %v, want from %v: %v", last.SteadyMS, before, err)
	}
}

func number(s tab, expression string) float64 {
	s.t.Helper()
	return phone.Eval[float64](s.Page, expression)
}

func entryNamed(t *testing.T, all []register.Entry, id string) register.Entry {
	t.Helper()
	i := slices.IndexFunc(all, func(e register.Entry) bool { return e.ID == register.ID(id) })
	if i < 0 {
		t.Fatalf("entry %s is not in the outbox", id)
	}
	return all[i]
}

func sameJSON(t *testing.T, a, b []byte) bool {
	t.Helper()
	var x, y any
	if err := json.Unmarshal(a, &x); err != nil {
		t.Fatalf("%v: %s", err, short(string(a)))
	}
	if err := json.Unmarshal(b, &y); err != nil {
		t.Fatalf("%v: %s", err, short(string(b)))
	}
	return reflect.DeepEqual(x, y)
}
