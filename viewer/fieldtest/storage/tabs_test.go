package storage

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// Row 20: two tabs. One records; the other reads, says so, sees what the first records,
// and takes over when it closes.
func TestRow20TwoTabs(t *testing.T) {
	p, first := newPhone(t)
	first.capture(about(`{kind: "gully-head"}`))
	second := tabOf(t, p.NewTab())
	second.open("{patienceMS: 50}")
	if got := trouble(second); got != "other-tab" {
		t.Fatalf("in the second tab the trouble is %q, want other-tab", got)
	}
	second.want("in the second tab", count{Entries: 1, Unsent: 1})
	record := fmt.Sprintf(`store.capture(%q, [{feature: %q, set: {headDepthM: 1}}])`, property, gully)
	troubled(second, "other-tab", record)
	troubled(second, "other-tab", `store.keepDraft("book", 1)`)
	troubled(second, "other-tab", fmt.Sprintf(`store.outbox.settle(%q, [])`, property))
	troubled(second, "other-tab", `store.enrol(store.self())`)
	second.features()
	number(second, `(globalThis.calls = 0, store.watch(() => calls++), 1)`)
	first.capture(about(`{headDepthM: 2}`))
	second.WaitFor("calls > 0")
	second.want("in the second tab, after the first recorded", count{Entries: 2, Unsent: 2})
	if got := string(second.features()[gully].Fields["headDepthM"]); got != "2" {
		t.Errorf("the second tab shows depth %s, want what the first recorded, 2", got)
	}
	second.comesTo(copied{Entries: 2})
	if got := trouble(first); got != "" {
		t.Errorf("in the first tab the trouble is %q, want none", got)
	}
	first.Do(chromedp.Navigate("about:blank"))
	second.WaitFor("store.trouble() === null")
	did[any](second, record)
	all := second.unsent()
	if len(all) != 3 || all[2].DeviceSeq != 3 {
		t.Errorf("after the second tab took over there are %d entries, the last number %d, want 3 and 3", len(all), all[len(all)-1].DeviceSeq)
	}
	second.wantFolded("after the second tab took over")
}
