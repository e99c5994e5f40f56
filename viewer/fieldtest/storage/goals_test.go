package storage

import (
	"fmt"
	"slices"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The budgets of a capture, on a processor made four times slower, with a season's 5,000
// entries on the phone: a strict write in 25 ms at the 95th percentile, and from the tap
// to the complete event 100 ms at the median. A write of a capture is one strict write of the
// database and one response of its copy, done side by side: on a machine whose disk is too slow
// for 25 ms, it may take half as long again as the bare two of them, one after the other; and the
// whole of a tap, which also reads the numbers and draws them, six times as long as these.
func TestCaptureIsQuick(t *testing.T) {
	_, s := newPhone(t)
	for range 25 {
		did[int](s, fmt.Sprintf(`store.capture(%q, Array.from({length: 200}, (_, i) => ({feature: "f-" + i * 5, set: {kind: "gully-head", headDepthM: i / 10, note: "as it was seen this morning"}}))).then(all => all.length)`, property))
	}
	s.want("before measuring", count{Entries: 5000, Unsent: 5000})
	s.features()
	s.Throttle(4)
	number(s, fmt.Sprintf(`(document.body.innerHTML = '<button>Save</button>', document.querySelector("button").style.cssText = "width: 200px; height: 100px",
		globalThis.taps = [], document.querySelector("button").onclick = async e => {
			await store.capture(%q, [{set: {kind: "gully-head", headDepthM: taps.length}}]);
			const counts = await store.counts();
			document.querySelector("button").textContent = "Saved " + counts.unsent;
			taps.push(performance.now() - e.timeStamp); }, 1)`, property))
	number(s, `new Promise(yes => { const asked = indexedDB.open("bare", 1);
		asked.onupgradeneeded = () => asked.result.createObjectStore("texts");
		asked.onsuccess = async () => { globalThis.bare = asked.result; globalThis.bareCopy = await caches.open("bare"); yes(1); } })`)
	// Another program on this machine can only make it slower: the best of some rounds counts.
	var write, tap float64
	for round := range 8 {
		timed := did[struct{ Capture, Bare []float64 }](s, fmt.Sprintf(`(async () => { const times = {Capture: [], Bare: []}, text = "x".repeat(500);
			const time = async (of, job) => { const from = performance.now(); await job(); times[of].push(performance.now() - from); await new Promise(r => setTimeout(r, 20)); };
			for (let i = 0; i < 40; i++) {
				await time("Capture", () => store.capture(%q, [{set: {kind: "gully-head", headDepthM: i}}]));
				await time("Bare", async () => {
					await new Promise(yes => { const tx = bare.transaction(["texts"], "readwrite", {durability: "strict"});
						tx.objectStore("texts").put(text, i); tx.commit(); tx.oncomplete = yes; });
					await bareCopy.put("/bare/" + i, new Response(text)); });
			}
			return times; })()`, property))
		writes := timed.Capture
		number(s, "(taps.length = 0, 1)")
		for i := range 20 {
			s.TapAt(60, 50)
			s.WaitFor(fmt.Sprintf("taps.length === %d", i+1))
		}
		taps := phone.Eval[[]float64](s.Page, "taps")
		slices.Sort(writes)
		slices.Sort(taps)
		slices.Sort(timed.Bare)
		p95, bare, median, bareMedian := writes[len(writes)*95/100], timed.Bare[len(timed.Bare)*95/100], taps[len(taps)/2], timed.Bare[len(timed.Bare)/2]
		t.Logf("write: median %.1f ms, p95 %.1f ms, bare median %.1f ms, p95 %.1f ms; tap to complete and counted: median %.1f ms", writes[len(writes)/2], p95, bareMedian, bare, median)
		if p95 <= 1.5*bare {
			p95 = min(p95, 25)
		}
		if median <= 6*bareMedian {
			median = min(median, 100)
		}
		if round == 0 {
			write, tap = p95, median
		}
		write, tap = min(write, p95), min(tap, median)
		if write <= 25 && tap <= 100 {
			return
		}
	}
	if write > 25 {
		t.Errorf("a strict capture takes %.1f ms at the 95th percentile, want at most 25, or 1.5 times what the bare writes take", write)
	}
	if tap > 100 {
		t.Errorf("from tap to complete takes %.1f ms at the median, want at most 100, or 6 times what the bare writes take", tap)
	}
}
