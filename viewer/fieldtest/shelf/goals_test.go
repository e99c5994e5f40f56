package shelf

import (
	"fmt"
	"slices"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The budgets of a capture, on a processor made four times slower, with a season's 5,000
// entries on the phone: a strict write in 25 ms at the 95th percentile, and from the tap
// to the complete event 100 ms at the median.
func TestCaptureIsQuick(t *testing.T) {
	_, s := newPhone(t)
	for range 25 {
		did[int](s, fmt.Sprintf(`shelf.capture(%q, Array.from({length: 200}, (_, i) => ({feature: "f-" + i * 5, set: {kind: "gully-head", headDepthM: i / 10, note: "as it was seen this morning"}}))).then(all => all.length)`, property))
	}
	s.want("before measuring", count{Entries: 5000, Unsent: 5000})
	s.features()
	s.Throttle(4)
	number(s, fmt.Sprintf(`(document.body.innerHTML = '<button>Save</button>', document.querySelector("button").style.cssText = "width: 200px; height: 100px",
		globalThis.taps = [], document.querySelector("button").onclick = async e => {
			await shelf.capture(%q, [{set: {kind: "gully-head", headDepthM: taps.length}}]);
			const tally = await shelf.tally();
			document.querySelector("button").textContent = "Saved " + tally.unsent;
			taps.push(performance.now() - e.timeStamp); }, 1)`, property))
	// Another program on this machine can only make it slower: the best of some rounds counts.
	var write, tap float64
	for round := range 8 {
		writes := did[[]float64](s, fmt.Sprintf(`(async () => { const times = [];
			for (let i = 0; i < 40; i++) { const from = performance.now();
				await shelf.capture(%q, [{set: {kind: "gully-head", headDepthM: i}}]); times.push(performance.now() - from); await new Promise(r => setTimeout(r, 20)); }
			return times; })()`, property))
		number(s, "(taps.length = 0, 1)")
		for i := range 20 {
			s.TapAt(60, 50)
			s.WaitFor(fmt.Sprintf("taps.length === %d", i+1))
		}
		taps := phone.Eval[[]float64](s.Page, "taps")
		slices.Sort(writes)
		slices.Sort(taps)
		p95, median := writes[len(writes)*95/100], taps[len(taps)/2]
		t.Logf("write: median %.1f ms, p95 %.1f ms; tap to complete and counted: median %.1f ms", writes[len(writes)/2], p95, median)
		if round == 0 {
			write, tap = p95, median
		}
		write, tap = min(write, p95), min(tap, median)
		if write <= 25 && tap <= 100 {
			return
		}
	}
	if write > 25 {
		t.Errorf("a strict capture takes %.1f ms at the 95th percentile, want at most 25", write)
	}
	if tap > 100 {
		t.Errorf("from tap to complete takes %.1f ms at the median, want at most 100", tap)
	}
}
