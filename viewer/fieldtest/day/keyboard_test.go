package day

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"headcut/viewer/fieldtest/phone"
)

// A capture from the first screen to its end with keys alone, and the focus is always in
// sight, on the heading of each screen that opens.
func TestCaptureByKeyboardAlone(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	key := func(k string) { t.Helper(); p.Do(chromedp.KeyEvent(k)) }
	tabTo := func(name string) {
		t.Helper()
		for range 60 {
			key(kb.Tab)
			if phone.Eval[string](p.Page, focused) == name {
				if hidden := phone.Eval[string](p.Page, focusHidden); hidden != "" {
					t.Errorf("the focus on %s is hidden: %s", name, hidden)
				}
				return
			}
		}
		t.Fatalf("60 tabs do not lead to %s", name)
	}
	tabTo("Mark")
	key(kb.Enter)
	p.WaitHeading("Mark where you stand")
	p.WaitFor(`document.activeElement.tagName === "H1"`)
	p.At(here)
	p.WaitFor(placed)
	tabTo("Gully head")
	key(kb.Enter)
	p.WaitSaid("Gully head saved")
	p.WaitFor(`document.activeElement.tagName === "H1"`)
	tabTo("Depth of head")
	p.Do(chromedp.KeyEvent("1.6"))
	tabTo("Depth of head: how measured: By tape")
	key(" ")
	tabTo("More about it")
	key(kb.Enter)
	tabTo("Still cutting back: Yes")
	key(" ")
	tabTo("Save")
	key(kb.Enter)
	p.WaitHeading("Stony Block")
	fields := held(p)[0]["fields"].(map[string]any)
	if fields["headDepthM"] != 1.6 || fields["active"] != true {
		t.Errorf("the fields are %v, want headDepthM 1.6 and active true", fields)
	}
}

// focused is what the focus stands on, by its label or its words.
const focused = `(() => {
	const e = document.activeElement;
	const label = e.labels?.[0]?.firstChild?.textContent ?? e.getAttribute("aria-label") ?? e.innerText;
	const group = e.closest("fieldset")?.querySelector("legend")?.firstChild?.textContent;
	return ((group ? group + ": " : "") + label).trim();
})()`

// focusHidden tells what lies over the middle of what has the focus, "" when nothing does.
const focusHidden = `(() => {
	const e = document.activeElement, box = e.getBoundingClientRect();
	const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
	return top && (top === e || e.contains(top) || top.contains(e)) ? "" : String(top?.outerHTML ?? "off the screen").slice(0, 200);
})()`
