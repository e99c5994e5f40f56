package pages

import (
	"context"
	"encoding/json"
	"fmt"
	"image/color"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"headcut/model"
	"headcut/sync/register"
)

// wantNoViolations runs axe-core, the accessibility checker, on the page as it stands.
func (p *tab) wantNoViolations(where string) {
	p.t.Helper()
	axe, err := os.ReadFile("../node_modules/axe-core/axe.min.js")
	if err != nil {
		p.t.Fatal("axe-core is not there: run make pages-tools, which installs it")
	}
	ask(p, chromedp.Evaluate[chromedp.Void](string(axe)+";0"))
	found := ask(p, chromedp.Evaluate[json.RawMessage](
		`axe.run(document, {resultTypes: ["violations"]}).then(r => ({rules: r.passes.length, violations: r.violations.map(v => v.id + ": " + v.help + " at " + v.nodes.map(n => n.html.slice(0, 160)).join(" | "))}))`,
		chromedp.EvalAwaitPromise))
	var result struct {
		Rules      int
		Violations []string
	}
	if err := json.Unmarshal(found, &result); err != nil {
		p.t.Fatalf("axe's answer %s: %v", found, err)
	}
	if result.Rules < 10 {
		p.t.Errorf("%s: axe looked at %d rules only: the page was not there", where, result.Rules)
	}
	for _, v := range result.Violations {
		p.t.Errorf("%s: %s", where, v)
	}
}

const openAll = `(document.querySelectorAll("details").forEach(d => d.open = true), true)`

// smallTargets lists what can be pressed and is less than 56 px high or wide.
const smallTargets = `[...document.querySelectorAll("button, summary, .legend label, footer a")].map(e => [e, e.getBoundingClientRect()]).
	filter(([, r]) => r.width > 0 && (r.width < 55.9 || r.height < 55.9)).map(([e, r]) => e.outerHTML.slice(0, 80) + " is " + r.width + " by " + r.height)`

// overflowing lists elements that stick out to the right of the window.
const overflowing = `[...document.querySelectorAll("body *")].filter(e => !e.closest(".scroll") && !e.closest(".map") && !e.closest(".hidden") && e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 100))`

func TestAccessOnEveryScreen(t *testing.T) {
	site := newSite(t, landOf(t, "Stony Block", property(t)...))
	for _, size := range []screen{desktop, phone, small} {
		t.Run(fmt.Sprint(size.width), func(t *testing.T) {
			p := open(t, site, size)
			p.waitForMap()
			p.waitFor(`document.querySelector(".section svg") !== null`)
			p.wantNoViolations("the page as it opens")
			eval[bool](p, openAll)
			p.choose("dam-1")
			p.wantNoViolations("the page with a work chosen")
			for _, s := range eval[[]string](p, smallTargets) {
				t.Errorf("too small to press with a glove on: %s", s)
			}
			if got := eval[float64](p, `document.documentElement.scrollWidth`); got > float64(size.width) {
				t.Errorf("the page is %v px wide on a screen of %d: %v", got, size.width, eval[[]string](p, overflowing))
			}
			wantLegible(p)
			p.wantQuiet()
		})
	}
}

// wantLegible checks that every text stands out from its ground by 7:1, as WCAG 2.2
// criterion 1.4.6 computes it.
func wantLegible(p *tab) {
	p.t.Helper()
	type sample struct{ Text, Ink, Ground string }
	samples := eval[[]sample](p, `(() => {
		const out = [], seen = new Set();
		const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\)$/.test(c)) return c; } return "rgb(255, 255, 255)"; };
		const walk = document.createTreeWalker(document.querySelector("#page"), NodeFilter.SHOW_TEXT);
		while (walk.nextNode()) {
			const e = walk.currentNode.parentElement, text = walk.currentNode.textContent.trim();
			if (!text || !e.getClientRects().length) continue;
			const style = getComputedStyle(e), svg = e.closest("svg.profile");
			const grounds = svg ? ["ground", "band"].map(c => svg.querySelector("." + c)).filter(Boolean).map(g => getComputedStyle(g).fill) : [ground(e)];
			for (const g of grounds) {
				const ink = svg ? style.fill : style.color, key = ink + g;
				if (!seen.has(key)) { seen.add(key); out.push({Text: text.slice(0, 40), Ink: ink, Ground: g}); }
			}
		}
		return out;
	})()`)
	if len(samples) < 4 {
		p.t.Fatalf("only %d pairs of text and ground were found", len(samples))
	}
	for _, s := range samples {
		if got := contrast(cssColour(p.t, s.Ink), cssColour(p.t, s.Ground)); got < 7 {
			p.t.Errorf("%q is %s on %s: contrast %.2f, want 7", s.Text, s.Ink, s.Ground, got)
		}
	}
}

// The marks of the kinds are drawn on white and with white on them: WCAG 2.2 criterion
// 1.4.11 asks 3:1 of them, the table of kinds promises 4.5:1.
func TestMarksStandOutFromWhite(t *testing.T) {
	for _, k := range model.Kinds {
		if got := contrast(hexColour(t, k.Colour), color.RGBA{255, 255, 255, 255}); got < 4.5 {
			t.Errorf("%s is %s: contrast on white %.2f, want 4.5", k.Name, k.Colour, got)
		}
	}
}

// contrast is the ratio of WCAG 2.2, "contrast ratio" and "relative luminance".
func contrast(a, b color.RGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(c color.RGBA) float64 {
	channel := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(c.R) + 0.7152*channel(c.G) + 0.0722*channel(c.B)
}

func cssColour(t *testing.T, css string) color.RGBA {
	t.Helper()
	c := color.RGBA{A: 255}
	if _, err := fmt.Sscanf(css, "rgb(%d, %d, %d)", &c.R, &c.G, &c.B); err != nil {
		t.Fatalf("colour %q: %v", css, err)
	}
	return c
}

// Text twice as large must reflow, not be cut off or run out of the window (WCAG 2.2
// criterion 1.4.4).
func TestTextAtTwiceItsSize(t *testing.T) {
	large := int64(32)
	p := open(t, newSite(t, landOf(t, "Stony Block", property(t)...)), phone, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: large}})
		return err
	}))
	p.waitForMap()
	if got := eval[string](p, `getComputedStyle(document.body).fontSize`); got != "36px" {
		t.Fatalf("text at 200 %%: the body is set in %s, want 36px", got)
	}
	eval[bool](p, openAll)
	p.choose("dam-1")
	if got := eval[float64](p, `document.documentElement.scrollWidth`); got > float64(phone.width) {
		t.Errorf("the page is %v px wide on a screen of %d: %v", got, phone.width, eval[[]string](p, overflowing))
	}
	cut := eval[[]string](p, `[...document.querySelectorAll("button, summary, label, dd, dt, p, h1, h2, h3, td, th")].filter(e => e.getClientRects().length && !e.classList.contains("hidden") && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1) && getComputedStyle(e).overflow !== "visible").map(e => e.outerHTML.slice(0, 100))`)
	for _, c := range cut {
		t.Errorf("cut off at twice the size: %s", c)
	}
	profile := eval[float64](p, `parseFloat(getComputedStyle(document.querySelector(".profile text")).fontSize)`)
	if profile < 28 {
		t.Errorf("the section's texts stay at %v px when the reader asks for twice the size", profile)
	}
	p.wantQuiet()
}

// Everything the mouse can do, the keyboard can: reach a work in the list, read it, come
// back, and move the map.
func TestKeyboardAlone(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", gully(t, 0)...)), desktop)
	p.waitForMap()
	tabTo := func(what, is string) {
		t.Helper()
		for range 60 {
			p.do(chromedp.KeyEvent(kb.Tab))
			if eval[bool](p, is) {
				return
			}
		}
		t.Fatalf("60 presses of the tab key do not reach %s", what)
	}
	tabTo("the map", `document.activeElement.classList.contains("map")`)
	before := eval[string](p, `document.querySelector(".scale svg").dataset.px`)
	p.do(chromedp.KeyEvent("+"), chromedp.KeyEvent("+"))
	p.waitFor(`document.querySelector(".scale svg").dataset.px !== "` + before + `"`)

	tabTo("Dam 2 in the list", `document.activeElement.id === "work-dam-2"`)
	if got := eval[string](p, `getComputedStyle(document.activeElement).outlineStyle`); got == "none" {
		t.Error("the focus cannot be seen on a work in the list")
	}
	p.do(chromedp.KeyEvent(kb.Enter))
	p.waitFor(`document.activeElement.id === "chosen" && document.activeElement.textContent === "Dam 2"`)
	if !eval[bool](p, `(r => r.top >= 0 && r.bottom <= innerHeight)(document.activeElement.getBoundingClientRect())`) {
		t.Error("the heading that took the focus is not in sight")
	}
	p.do(chromedp.KeyEvent(kb.Escape))
	p.waitFor(`document.querySelector("#chosen") === null && document.activeElement.id === "work-dam-2"`)

	landmarks := eval[[]string](p, `[...document.querySelectorAll("header, main, footer, section[aria-label], section[aria-labelledby]")].map(e => e.tagName.toLowerCase() + ":" + (e.getAttribute("aria-label") || document.getElementById(e.getAttribute("aria-labelledby"))?.textContent || ""))`)
	for _, want := range []string{"header:", "main:", "footer:", "section:Map", "section:What is drawn", "section:The works one by one", "section:The gully from the side"} {
		if !strings.Contains(strings.Join(landmarks, "\n")+"\n", want+"\n") {
			t.Errorf("landmarks: got %q, want %q among them", landmarks, want)
		}
	}
	p.wantQuiet()
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
