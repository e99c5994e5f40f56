package tab

import (
	"os"
	"path/filepath"

	"github.com/chromedp/chromedp"
)

// CheckFit checks what a gloved hand and the sun ask of the page as it stands: no fault
// that axe-core knows, nothing to press under 56 px, nothing wider than the window, no number
// over two lines, text of at least 7:1.
func (b *Tab) CheckFit(where string) {
	b.t.Helper()
	b.CheckAxe(where)
	b.CheckTargets(where)
	b.CheckWidth(where)
	b.CheckNumbers(where)
	b.CheckContrast(where)
}

// CheckAxe runs axe-core, the accessibility checker, on the page as it stands.
func (b *Tab) CheckAxe(where string) {
	b.t.Helper()
	root, err := Root()
	if err != nil {
		b.t.Fatal(err)
	}
	axe, err := os.ReadFile(filepath.Join(root, "viewer", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		b.t.Fatal("axe-core is not there: run make pages-tools, which installs it")
	}
	Ask(b, chromedp.Evaluate[chromedp.Void](string(axe)+";0"))
	found := Eval[struct {
		Rules      int
		Violations []string
	}](b, `axe.run(document, {resultTypes: ["violations"]}).then(r => ({Rules: r.passes.length, Violations: r.violations.map(v => v.id + ": " + v.help + " at " + v.nodes.map(n => n.html.slice(0, 160)).join(" | "))}))`)
	if found.Rules < 10 {
		b.t.Errorf("%s: axe looked at %d rules only: the page was not there", where, found.Rules)
	}
	for _, v := range found.Violations {
		b.t.Errorf("%s: %s", where, v)
	}
}

// CheckTargets looks for what is too small to press.
func (b *Tab) CheckTargets(where string) {
	b.t.Helper()
	for _, s := range Eval[[]string](b, SmallTargets) {
		b.t.Errorf("%s: too small to press with a glove on: %s", where, s)
	}
}

// SmallTargets lists what can be pressed and is less than 56 px high or wide. A tick box or
// a radio button is pressed by its label.
const SmallTargets = `[...document.querySelectorAll("button, summary, a[href], input, select, textarea, [role=button], [role=tab]")].
	map(e => /^(radio|checkbox|file)$/.test(e.type) && e.labels?.[0] ? e.labels[0] : e).filter(e => !e.closest(".hidden")).
	map(e => [e, e.getBoundingClientRect()]).filter(([, r]) => r.width > 1 && (r.width < 55.9 || r.height < 55.9)).
	map(([e, r]) => e.outerHTML.slice(0, 80) + " is " + r.width + " by " + r.height)`

// CheckWidth checks that the page is no wider than its window. The window is as wide as it
// was made: a phone's browser would shrink a wide page and call its window wider.
func (b *Tab) CheckWidth(where string) {
	b.t.Helper()
	if got := Eval[float64](b, `document.documentElement.scrollWidth`); got > float64(b.widthPx) {
		b.t.Errorf("%s: the page is %v px wide in a window of %d: %q", where, got, b.widthPx, Eval[[]string](b, overflowing))
	}
}

// CheckNumbers looks for a number that is broken over two lines: one half reads as another number.
func (b *Tab) CheckNumbers(where string) {
	b.t.Helper()
	for _, s := range Eval[[]string](b, brokenNumbers) {
		b.t.Errorf("%s: a number over two lines: %s", where, s)
	}
}

// brokenNumbers lists them with the words beside each.
const brokenNumbers = `(() => {
	const broken = [], all = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
	for (let text; (text = all.nextNode()); ) for (const m of text.data.matchAll(/(?<![\w.])\d[\d.,\u202f]*\d(?![\w])/g)) {
		range.setStart(text, m.index);
		range.setEnd(text, m.index + m[0].length);
		const lines = new Set([...range.getClientRects()].filter((r) => r.width > 0).map((r) => Math.round(r.top)));
		if (lines.size > 1 && !text.parentElement.closest(".hidden")) broken.push(text.data.slice(Math.max(0, m.index - 30), m.index + 40));
	}
	return broken;
})()`

// overflowing lists elements that stick out to the right of what should be the window.
const overflowing = `[...document.querySelectorAll("body *")].filter(e => !e.closest(".scroll, .hidden, .map") &&
	e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5).map(e => e.outerHTML.slice(0, 100))`
