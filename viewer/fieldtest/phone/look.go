package phone

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/chromedp"
)

// Text is all that the page shows.
func (p *Page) Text() string { p.t.Helper(); return Eval[string](p, "document.body.innerText") }

// Heading is the screen's main heading.
func (p *Page) Heading() string {
	p.t.Helper()
	return Eval[string](p, `document.querySelector("h1")?.innerText ?? ""`)
}

// Said is what stands in the page's live regions, as a screen reader tells it.
func (p *Page) Said() string {
	p.t.Helper()
	return Eval[string](p, said)
}

const said = `[...document.querySelectorAll("[role=status], [role=alert], [aria-live]")].map(e => e.innerText.trim()).filter(Boolean).join("\n")`

// shown is all that the page shows, however it is broken into lines.
const shown = `document.body.innerText.replace(/\s+/g, " ")`

// WaitText waits until the page shows these words, on one line or on several.
func (p *Page) WaitText(words string) {
	p.t.Helper()
	p.WaitFor(shown + ".includes(" + quoted(words) + ")")
}

// WaitGone waits until the page shows these words no more.
func (p *Page) WaitGone(words string) {
	p.t.Helper()
	p.WaitFor("!" + shown + ".includes(" + quoted(words) + ")")
}

// WaitSaid waits until a live region holds these words.
func (p *Page) WaitSaid(words string) {
	p.t.Helper()
	p.WaitFor(said + ".includes(" + quoted(words) + ")")
}

// WaitHeading waits for the screen with this main heading.
func (p *Page) WaitHeading(words string) {
	p.t.Helper()
	p.WaitFor(`document.querySelector("h1")?.innerText.trim() === ` + quoted(words))
}

// Screenshot takes a picture of the window as it stands; with -shots DIR it is kept as
// DIR/name.png. A picture of one colour fails the test: nothing was drawn.
func (p *Page) Screenshot(name string) []byte {
	p.t.Helper()
	shot := Ask(p, chromedp.CaptureScreenshot())
	picture, err := png.Decode(bytes.NewReader(shot))
	if err != nil {
		p.t.Fatal(err)
	}
	box, first, plain := picture.Bounds(), picture.At(0, 0), true
	for y := box.Min.Y; y < box.Max.Y && plain; y += 3 {
		for x := box.Min.X; x < box.Max.X && plain; x += 3 {
			plain = picture.At(x, y) == first
		}
	}
	if plain {
		p.t.Errorf("%s: the picture has one colour only: nothing was drawn", name)
	}
	if *shots != "" {
		if err := os.MkdirAll(*shots, 0o755); err != nil {
			p.t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*shots, name+".png"), shot, 0o644); err != nil {
			p.t.Fatal(err)
		}
	}
	return shot
}

// CheckFit checks what a gloved hand and the sun ask of the screen as it stands: no fault
// that axe-core knows, nothing to press under 56 px, nothing wider than the window, text
// of at least 7:1.
func (p *Page) CheckFit(where string) {
	p.t.Helper()
	p.checkAxe(where)
	for _, s := range Eval[[]string](p, smallTargets) {
		p.t.Errorf("%s: too small to press with a glove on: %s", where, s)
	}
	if wide := Eval[[]string](p, overflowing); Eval[bool](p, `document.documentElement.scrollWidth > innerWidth`) {
		p.t.Errorf("%s: the page is wider than its window: %q", where, wide)
	}
	p.checkContrast(where)
}

func (p *Page) checkAxe(where string) {
	p.t.Helper()
	axe, err := os.ReadFile(filepath.Join(Viewer(), "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		p.t.Fatal("axe-core is not there: run make pages-tools, which installs it")
	}
	Ask(p, chromedp.Evaluate[chromedp.Void](string(axe)+";0"))
	found := Eval[json.RawMessage](p, `axe.run(document, {resultTypes: ["violations"]}).then(r => ({rules: r.passes.length, violations: r.violations.map(v => v.id + ": " + v.help + " at " + v.nodes.map(n => n.html.slice(0, 160)).join(" | "))}))`)
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

// smallTargets lists what can be pressed and is less than 56 px high or wide. A tick box or
// a radio button is pressed by its label.
const smallTargets = `[...document.querySelectorAll("button, summary, a[href], input, select, textarea, [role=button], [role=tab]")].
	map(e => /^(radio|checkbox|file)$/.test(e.type) && e.labels?.[0] ? e.labels[0] : e).filter(e => !e.closest(".hidden")).
	map(e => [e, e.getBoundingClientRect()]).filter(([, r]) => r.width > 1 && (r.width < 55.9 || r.height < 55.9)).
	map(([e, r]) => e.outerHTML.slice(0, 80) + " is " + r.width + " by " + r.height)`

// overflowing lists elements that stick out to the right of the window.
const overflowing = `[...document.querySelectorAll("body *")].filter(e => !e.closest(".scroll") && !e.closest(".hidden") &&
	e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 100))`

// texts lists each pair of text colour and ground on the page, with an example.
const texts = `(() => {
	const out = [], seen = new Set();
	const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\)$/.test(c)) return c; } return "rgb(255, 255, 255)"; };
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const e = walk.currentNode.parentElement, text = walk.currentNode.textContent.trim();
		if (!text || !e.getClientRects().length || e.closest(".hidden, noscript, :disabled")) continue;
		const ink = e.closest("svg") ? getComputedStyle(e).fill : getComputedStyle(e).color, under = ground(e), key = ink + under;
		if (!seen.has(key)) { seen.add(key); out.push({Text: text.slice(0, 40), Ink: ink, Ground: under}); }
	}
	return out;
})()`

func (p *Page) checkContrast(where string) {
	p.t.Helper()
	type sample struct{ Text, Ink, Ground string }
	samples := Eval[[]sample](p, texts)
	if len(samples) == 0 {
		p.t.Errorf("%s: there is no text", where)
	}
	for _, s := range samples {
		var ink, ground color.RGBA
		if _, err := fmt.Sscanf(strings.TrimPrefix(s.Ink, "rgb"), "(%d, %d, %d)", &ink.R, &ink.G, &ink.B); err != nil {
			p.t.Errorf("%s: %q has the colour %q, which cannot be judged", where, s.Text, s.Ink)
		}
		if _, err := fmt.Sscanf(strings.TrimPrefix(s.Ground, "rgb"), "(%d, %d, %d)", &ground.R, &ground.G, &ground.B); err != nil {
			p.t.Errorf("%s: %q is on %q, which cannot be judged", where, s.Text, s.Ground)
		}
		if got := contrast(ink, ground); got < 7 {
			p.t.Errorf("%s: %q is %s on %s: contrast %.2f, want 7", where, s.Text, s.Ink, s.Ground, got)
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
