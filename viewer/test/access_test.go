package pages

import (
	"fmt"
	"image/color"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"headcut/model"
	"headcut/sync/register"
	"headcut/viewer/tab"
)

const openAll = `(document.querySelectorAll("details").forEach(d => d.open = true), true)`

func TestAccessOnEveryScreen(t *testing.T) {
	site := newSite(t, landOf(t, "Stony Block", property(t)...))
	for _, size := range []screen{desktop, phone, small} {
		t.Run(fmt.Sprint(size.width), func(t *testing.T) {
			p := open(t, site, size)
			p.waitForMap()
			p.WaitFor(`document.querySelector(".section svg") !== null`)
			p.CheckAxe("the page as it opens")
			eval[bool](p, openAll)
			p.choose("dam-1")
			p.CheckAxe("the page with a work chosen")
			p.CheckTargets("the page with a work chosen")
			p.CheckWidth("the page with a work chosen")
			if pairs := p.CheckContrast("the page with a work chosen"); pairs < 4 {
				t.Errorf("only %d pairs of text and ground were found", pairs)
			}
			p.Screenshot(fmt.Sprint("land-", size.width))
			p.WantQuiet(nil)
		})
	}
}

// The marks of the kinds are drawn on white and with white on them: WCAG 2.2 criterion
// 1.4.11 asks 3:1 of them, the table of kinds promises 4.5:1.
func TestMarksStandOutFromWhite(t *testing.T) {
	for _, k := range model.Kinds {
		if got := tab.Contrast(hexColour(t, k.Colour), color.RGBA{255, 255, 255, 255}); got < 4.5 {
			t.Errorf("%s is %s: contrast on white %.2f, want 4.5", k.Name, k.Colour, got)
		}
	}
}

// Text twice as large must reflow, not be cut off or run out of the window (WCAG 2.2
// criterion 1.4.4).
func TestTextAtTwiceItsSize(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", property(t)...)), phone, (*page).BigText)
	p.waitForMap()
	if got := eval[string](p, `getComputedStyle(document.body).fontSize`); got != "36px" {
		t.Fatalf("text at 200 %%: the body is set in %s, want 36px", got)
	}
	eval[bool](p, openAll)
	p.choose("dam-1")
	p.CheckWidth("text at 200 %")
	p.Screenshot("land-big-text")
	cut := eval[[]string](p, `[...document.querySelectorAll("button, summary, label, dd, dt, p, h1, h2, h3, td, th")].filter(e => e.getClientRects().length && !e.classList.contains("hidden") && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1) && getComputedStyle(e).overflow !== "visible").map(e => e.outerHTML.slice(0, 100))`)
	for _, c := range cut {
		t.Errorf("cut off at twice the size: %s", c)
	}
	profile := eval[float64](p, `parseFloat(getComputedStyle(document.querySelector(".profile text")).fontSize)`)
	if profile < 28 {
		t.Errorf("the section's texts stay at %v px when the reader asks for twice the size", profile)
	}
	p.WantQuiet(nil)
}

// Everything the mouse can do, the keyboard can: reach a work in the list, read it, come
// back, and move the map.
func TestKeyboardAlone(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", gully(t, 0)...)), desktop)
	p.waitForMap()
	tabTo := func(what, is string) {
		t.Helper()
		for range 60 {
			p.Do(chromedp.KeyEvent(kb.Tab))
			if eval[bool](p, is) {
				return
			}
		}
		t.Fatalf("60 presses of the tab key do not reach %s", what)
	}
	tabTo("the map", `document.activeElement.classList.contains("map")`)
	before := eval[string](p, `document.querySelector(".scale svg").dataset.px`)
	p.Do(chromedp.KeyEvent("+"), chromedp.KeyEvent("+"))
	p.WaitFor(`document.querySelector(".scale svg").dataset.px !== "` + before + `"`)

	tabTo("Dam 2 in the list", `document.activeElement.id === "item-dam-2"`)
	if got := eval[string](p, `getComputedStyle(document.activeElement).outlineStyle`); got == "none" {
		t.Error("the focus cannot be seen on a work in the list")
	}
	p.Do(chromedp.KeyEvent(kb.Enter))
	p.WaitFor(`document.activeElement.id === "chosen" && document.activeElement.textContent === "Dam 2"`)
	if !eval[bool](p, `(r => r.top >= 0 && r.bottom <= innerHeight)(document.activeElement.getBoundingClientRect())`) {
		t.Error("the heading that took the focus is not in sight")
	}
	p.Do(chromedp.KeyEvent(kb.Escape))
	p.WaitFor(`document.querySelector("#chosen") === null && document.activeElement.id === "item-dam-2"`)

	landmarks := eval[[]string](p, `[...document.querySelectorAll("header, main, footer, section[aria-label], section[aria-labelledby]")].map(e => e.tagName.toLowerCase() + ":" + (e.getAttribute("aria-label") || document.getElementById(e.getAttribute("aria-labelledby"))?.textContent || ""))`)
	for _, want := range []string{"header:", "main:", "footer:", "section:Map", "section:Map key", "section:List of works", "section:Long section"} {
		if !strings.Contains(strings.Join(landmarks, "\n")+"\n", want+"\n") {
			t.Errorf("landmarks: got %q, want %q among them", landmarks, want)
		}
	}
	p.WantQuiet(nil)
}

// The status must be told by shape alone, on a symbol as well as on a line: those of two
// statuses must differ when all colour is taken away.
func TestStatusIsToldWithoutColour(t *testing.T) {
	all := []register.Folded{feature(t, "unsaid", fields{"kind": "check-dam", "geometry": point(at(0, 0))})}
	for i, status := range model.Statuses {
		all = append(all, feature(t, string(status), fields{"kind": "check-dam", "status": status, "geometry": point(at(50*float64(i+1), 0))}))
	}
	p := open(t, newSite(t, landOf(t, "Every Status", all...)), desktop)
	p.waitForMap()
	type sample struct{ Word, Symbol, Line string }
	samples := eval[[]sample](p, `[...document.querySelectorAll(".legend fieldset:nth-of-type(2) label")].map(l => {
		const shape = e => [e.getAttribute("d"), e.getAttribute("stroke-dasharray"), e.getAttribute("stroke-width"), ["none", "#ffffff"].includes(e.getAttribute("fill"))].join();
		const paths = [...l.querySelectorAll("path")], first = paths.findIndex(e => e.getAttribute("d").startsWith("M48 20"));
		return {Word: l.querySelector(".word").textContent, Symbol: paths.slice(0, first).map(shape).join(";"), Line: paths.slice(first).map(shape).join(";")};
	})`)
	if len(samples) != len(model.Statuses)+1 {
		t.Fatalf("statuses in the legend: got %+v, want all %d and the unsaid one", samples, len(model.Statuses))
	}
	for i, a := range samples {
		for _, b := range samples[:i] {
			if a.Symbol == b.Symbol {
				t.Errorf("the symbols of %s and %s have the same shape", a.Word, b.Word)
			}
			if a.Line == b.Line {
				t.Errorf("the lines of %s and %s have the same shape", a.Word, b.Word)
			}
		}
	}
}
