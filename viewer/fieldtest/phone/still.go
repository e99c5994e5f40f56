package phone

import "fmt"

// WatchFrom looks, from the next document on, whether what can be pressed stays where it is:
// from the first frame on which a screen with this heading is drawn. A control or list that
// stands elsewhere on the glass than when it came, though nobody scrolled, has moved under a
// finger. WantStill tells.
func (p *Page) WatchFrom(heading string) { p.t.Helper(); p.BeforeScripts(watch(heading)) }

// WatchNow does the same on the screen that is open.
func (p *Page) WatchNow() { p.t.Helper(); Eval[bool](p, watch(p.Heading())+" || true") }

// WantStill fails the test for each control that has moved, and for a screen that nobody
// watched. It gives what the screen showed on its first frame.
func (p *Page) WantStill() (first string) {
	p.t.Helper()
	for _, m := range Eval[[]string](p, "moved") {
		p.t.Errorf("moved under the finger: %s", m)
	}
	frames := Eval[[]string](p, "frames")
	if len(frames) < 2 {
		p.t.Fatalf("%d frames of the screen were seen: nothing was watched", len(frames))
	}
	return frames[0]
}

func watch(heading string) string { return fmt.Sprintf(watchControls, quoted(heading)) }

const watchControls = `(() => {
	globalThis.moved = [];
	globalThis.frames = [];
	const seen = new Map();
	const look = () => {
		requestAnimationFrame(look);
		const heading = document.querySelector("#screen h1")?.innerText.trim();
		if (heading !== %s) return;
		frames.push(document.querySelector("#screen").innerText);
		if (frames.length > 2) frames.splice(1, 1);
		const glass = document.querySelector(".strip").getBoundingClientRect().top;
		for (const e of document.querySelectorAll("#screen :is(a[href], button, summary, input, ul)")) {
			const r = e.getBoundingClientRect();
			const now = [r.left, r.top, r.right, ...(e.matches("ul") ? [] : [r.bottom])].map(Math.round).join(" "); // a list grows at its end
			const was = seen.get(e);
			if (was !== undefined && was.on && was.now !== now) moved.push((e.innerText || e.ariaLabel || e.href) + ": from " + was.now + " to " + now);
			seen.set(e, { now, on: r.top < glass && r.bottom > 0 });
		}
	};
	look();
})()`
