package tab

import (
	"fmt"
	"image/color"
	"math"
	"strings"
)

// texts lists each pair of text colour and ground on the page, with an example. In a long
// section the ground is what is drawn there.
const texts = `(() => {
	const out = [], seen = new Set();
	const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\)$/.test(c)) return c; } return "rgb(255, 255, 255)"; };
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const e = walk.currentNode.parentElement, text = walk.currentNode.textContent.trim();
		if (!text || !e.getClientRects().length || e.closest(".hidden, noscript, :disabled")) continue;
		const svg = e.closest("svg"), ink = svg ? getComputedStyle(e).fill : getComputedStyle(e).color;
		const drawn = svg?.matches(".profile") ? [".ground", ".band"].map(c => svg.querySelector(c)).filter(Boolean).map(g => getComputedStyle(g).fill) : [];
		for (const under of drawn.length ? drawn : [ground(e)]) {
			const key = ink + under;
			if (!seen.has(key)) { seen.add(key); out.push({Text: text.slice(0, 40), Ink: ink, Ground: under}); }
		}
	}
	return out;
})()`

// CheckContrast checks that every text stands out from its ground by 7:1, as WCAG 2.2
// criterion 1.4.6 computes it. It returns how many pairs of colours there were.
func (b *Tab) CheckContrast(where string) (pairs int) {
	b.t.Helper()
	samples := Eval[[]struct{ Text, Ink, Ground string }](b, texts)
	if len(samples) == 0 {
		b.t.Errorf("%s: there is no text", where)
	}
	for _, s := range samples {
		ink, err := cssColour(s.Ink)
		if err != nil {
			b.t.Errorf("%s: %q has the colour %q, which cannot be judged", where, s.Text, s.Ink)
			continue
		}
		ground, err := cssColour(s.Ground)
		if err != nil {
			b.t.Errorf("%s: %q is on %q, which cannot be judged", where, s.Text, s.Ground)
			continue
		}
		if got := Contrast(ink, ground); got < 7 {
			b.t.Errorf("%s: %q is %s on %s: contrast %.2f, want 7", where, s.Text, s.Ink, s.Ground, got)
		}
	}
	return len(samples)
}

func cssColour(css string) (color.RGBA, error) {
	c := color.RGBA{A: 255}
	_, err := fmt.Sscanf(strings.TrimPrefix(css, "rgb"), "(%d, %d, %d)", &c.R, &c.G, &c.B)
	return c, err
}

// Contrast is the ratio of WCAG 2.2, "contrast ratio" and "relative luminance".
func Contrast(a, b color.RGBA) float64 {
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
