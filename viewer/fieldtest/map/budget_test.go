package fieldmap

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/chromedp"

	"headcut/viewer/fieldtest/phone"
)

// slow is how much slower than this machine a phone is taken to be.
const slow = 4

// drawnAfter opens the map and returns how long it took until the picture was there, two
// frames later, as the page measures it.
func drawnAfter(p *phone.Phone, begin string) time.Duration {
	phone.Eval[bool](p.Page, `(() => {
		const from = performance.now();
		globalThis.took = 0;
		const done = () => globalThis.took = performance.now() - from;
		const look = () => document.querySelector(".map")?.dataset.drawn && !document.querySelector(".map").dataset.drawn.startsWith("0 0")
			? requestAnimationFrame(() => requestAnimationFrame(done)) : requestAnimationFrame(look);
		`+begin+`;
		look();
		return true;
	})()`)
	if !p.Comes("took > 0", 3*time.Minute) {
		return 3 * time.Minute
	}
	return time.Duration(phone.Eval[float64](p.Page, "took") * float64(time.Millisecond))
}

// pan drags the map with a finger in 40 steps and returns the times between frames, sorted.
func pan(p *phone.Phone) []time.Duration {
	ms := phone.Eval[[]float64](p.Page, `new Promise(done => {
		const map = document.querySelector(".map"), view = map.querySelector(".ol-viewport");
		map.scrollIntoView({block: "center"});
		const r = map.getBoundingClientRect(), x0 = r.x + r.width * 0.75, y0 = r.y + r.height * 0.6;
		const touch = (type, x, y, on) => on.dispatchEvent(new PointerEvent(type, {pointerId: 7, isPrimary: true, pointerType: "touch", bubbles: true, cancelable: true, clientX: x, clientY: y, button: type === "pointermove" ? -1 : 0, buttons: type === "pointerup" ? 0 : 1}));
		const frames = [];
		let i = 0, last = performance.now();
		const step = () => {
			const now = performance.now();
			if (i === 0) touch("pointerdown", x0, y0, view);
			else frames.push(now - last);
			last = now;
			if (i++ < 40) {
				touch("pointermove", x0 - i * 4, y0 - i * 2, document);
				requestAnimationFrame(step);
			} else {
				touch("pointerup", x0 - i * 4, y0 - i * 2, document);
				done(frames);
			}
		};
		setTimeout(() => requestAnimationFrame(step), 1500); // the picture of the last pan is done by then
	})`)
	frames := make([]time.Duration, len(ms))
	for i, m := range ms {
		frames[i] = time.Duration(m * float64(time.Millisecond))
	}
	slices.Sort(frames)
	return frames
}

// stretched is a limit of frames for the machine as it is now: longer as it is slower, and by what
// frames wait of a page that draws nothing, which has sixty a second on an idle machine.
func stretched(p *phone.Phone, limit time.Duration) time.Duration {
	ms := phone.Eval[[]float64](p.Page, `new Promise(done => {
		const frames = [];
		let last = performance.now();
		const step = () => {
			const now = performance.now();
			frames.push(now - last);
			last = now;
			if (frames.length < 40) requestAnimationFrame(step); else done(frames.sort((a, b) => a - b));
		};
		requestAnimationFrame(step);
	})`)
	waitMS := max(0, ms[len(ms)*95/100]-1000.0/60)
	return p.Within(limit, slow) + time.Duration(waitMS*float64(time.Millisecond))
}

func p95(frames []time.Duration) time.Duration { return frames[len(frames)*95/100] }

// bestOf repeats a measurement, since other work on the machine only ever makes it slower.
func bestOf(times int, measure func() time.Duration) time.Duration {
	best := time.Duration(1<<63 - 1)
	for range times {
		best = min(best, measure())
	}
	return best
}

// drawn is how many things and groups the map shows.
func drawn(p *phone.Phone) (alone, groups int) {
	if _, err := fmt.Sscan(phone.Eval[string](p.Page, `document.querySelector(".map").dataset.drawn`), &alone, &groups); err != nil {
		panic(err)
	}
	return alone, groups
}

func TestThousandWorks(t *testing.T) {
	p, _ := loaded(t, things(1000, 3000))
	p.Throttle(slow)
	first := bestOf(3, func() time.Duration {
		p.Go("#/")
		p.WaitHeading(property)
		return drawnAfter(p, `location.hash = "#/map"`)
	})
	if alone, groups := drawn(p); alone < 900 || groups != 0 {
		t.Errorf("%d things and %d groups are drawn, want all 1000 things", alone, groups)
	}
	p.Screenshot("thousand")
	frames := bestOf(3, func() time.Duration { return p95(pan(p)) })
	t.Logf("1,000 works at %dx: first picture %v, pan p95 %v", slow, first, frames)
	if limit := p.Within(2500*time.Millisecond, slow); first > limit {
		t.Errorf("first picture of 1,000 works after %v, budget 2.5 s, now %v", first, limit)
	}
	if limit := stretched(p, 50*time.Millisecond); frames > limit {
		t.Errorf("pan p95 with 1,000 works is %v, budget 50 ms, now %v", frames, limit)
	}
}

// Fifty thousand things are on the phone: the map groups them, and zoomed in shows each.
func TestFiftyThousand(t *testing.T) {
	p := enrolled(t, phone.NewOffice(t))
	p.WaitFor(fill(p.Office.Property(property).ID, 50_000))
	p.Reload()
	p.WaitHeading(property)
	p.Go("#/")
	if !p.Comes(`document.querySelector("a.preview")?.getAttribute("aria-label") === "Map: 50,000 items"`, time.Minute) {
		t.Fatal("the 50,000 things were not read from the phone's store within a minute")
	}
	p.Throttle(slow)
	first := drawnAfter(p, `location.hash = "#/map"`)
	alone, groups := drawn(p)
	if alone+groups > 2000 || groups == 0 {
		t.Errorf("%d things and %d groups are drawn of 50,000, want groups and at most 2,000 in all", alone, groups)
	}
	p.Screenshot("fifty-thousand")
	p.At(start)
	p.Tap("Show where I am")
	p.WaitFor(`/^[1-9]\d* 0$/.test(document.querySelector(".map").dataset.drawn)`)
	frames := bestOf(3, func() time.Duration { return p95(pan(p)) })
	heap := heapMB(p)
	p.Screenshot("fifty-thousand-near")
	t.Logf("50,000 at %dx: first picture %v, pan p95 zoomed in %v, heap %.0f MB", slow, first, frames, heap)
	if limit := p.Within(5*time.Second, slow); first > limit {
		t.Errorf("first picture of 50,000 after %v, budget 5 s, now %v", first, limit)
	}
	if limit := stretched(p, 200*time.Millisecond); frames > limit {
		t.Errorf("pan p95 zoomed in is %v, budget 200 ms, now %v", frames, limit)
	}
	if heap > 150 {
		t.Errorf("the page's heap is %.0f MB, budget 150", heap)
	}
}

// fill is an expression that puts so many things into the phone's store as if they had been
// pulled: sending them through the server would take longer than the test.
func fill(property string, n int) string {
	return fmt.Sprintf(`new Promise((yes, no) => {
		if (globalThis.filled) return yes(true);
		const open = indexedDB.open("headcut");
		open.onerror = () => no(open.error);
		open.onsuccess = () => {
			const db = open.result, tx = db.transaction("features", "readwrite"), store = tx.objectStore("features");
			let seed = 42;
			const rnd = () => (seed = (seed * 1103515245 + 12345) %% 2147483648) / 2147483648;
			for (let i = 0; i < %d; i++) {
				const lon = 146.4 + rnd() * 0.2, lat = -20.35 + rnd() * 0.2;
				const at = (dx, dy) => [lon + dx / 104000, lat + dy / 110700];
				const shape = i %% 10, geometry = shape < 6 ? {type: "Point", coordinates: at(0, 0)} :
					shape < 9 ? {type: "LineString", coordinates: Array.from({length: 8}, (_, j) => at(j * 9, rnd() * 6))} :
					{type: "Polygon", coordinates: [[at(0, 0), at(30, 0), at(30, 20), at(0, 20), at(0, 0)]]};
				store.put({id: "thing-" + i, property: %q, fields: {kind: shape < 6 ? "check-dam" : shape < 9 ? "rip-line" : "exclosure", status: "built", name: "Thing " + i, geometry},
					struck: false, clashes: [], saw: {desk: i + 1}, stamp: "0190000000000000", unsent: 0});
			}
			tx.oncomplete = () => { db.close(); globalThis.filled = true; yes(true); };
			tx.onerror = () => no(tx.error);
		};
	})`, n, property)
}

func heapMB(p *phone.Phone) float64 {
	p.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, heapprofiler.CollectGarbage, cdp.Empty{})
		return err
	}))
	return phone.Eval[float64](p.Page, "performance.memory.usedJSHeapSize") / 1e6
}
