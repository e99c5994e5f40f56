package tab

import (
	"context"
	"flag"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// slow makes every page lag behind its test as on a slow, busy machine, and does so on a quick
// one: a test that reads what the page has not come to yet fails with it.
var slow = flag.Float64("slow", 1, "slow the processor of every page down by this `factor`")

// Patience is how long one step may take on a busy machine before it fails the test.
const Patience = 30 * time.Second

// Tab is one tab of a browser, with all that its page complained of and asked for.
type Tab struct {
	t       testing.TB
	ctx     context.Context
	widthPx int64

	mu       sync.Mutex
	troubles []Trouble
	requests []string
}

// New makes a Tab of a context of chromedp, with a window of this many CSS pixels and empty
// as yet.
func New(t testing.TB, ctx context.Context, widthPx, heightPx int64, screen ...chromedp.EmulateViewportOption) *Tab {
	t.Helper()
	if err := chromedp.Do(ctx); err != nil { // without a time limit, which would close the tab with it
		t.Fatal(err)
	}
	b := &Tab{t: t, ctx: ctx, widthPx: widthPx}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	b.Do(
		Command(network.Enable, network.EnableParams{}), Command(log.Enable, cdp.Empty{}),
		Command(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: *slow}),
		chromedp.EmulateViewport(widthPx, heightPx, screen...),
	)
	return b
}

// Command makes a step of a command of the browser's protocol.
func Command[P, R any](command cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, command, params)
		return err
	})
}

// Context is the tab's, for steps of chromedp that are not here.
func (b *Tab) Context() context.Context { return b.ctx }

// Do runs steps of chromedp.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, Patience)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatalf("%v\n%s", err, b.Seen())
	}
}

// Ask runs a step that gives something.
func Ask[T any](b *Tab, action chromedp.Action[T]) T {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, Patience)
	defer stop()
	result, err := chromedp.Run(ctx, action)
	if err != nil {
		b.t.Fatal(err)
	}
	return result
}

// Eval runs an expression in the page and waits for what it gives or promises. An expression
// that reaches for an element which is not drawn, because a screen is being drawn again, is
// tried until the element is there: the reaching threw before anything was done.
func Eval[T any](b *Tab, expression string) T {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, Patience)
	defer stop()
	for {
		result, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
		if err == nil {
			return result
		}
		if !notDrawn(err) || ctx.Err() != nil {
			b.t.Fatalf("%.300s: %v", expression, err)
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// notDrawn tells whether an expression met nothing where it expected an element.
func notDrawn(err error) bool {
	return strings.Contains(err.Error(), "Cannot read properties of null") || strings.Contains(err.Error(), "Cannot read properties of undefined")
}

// WaitFor waits until an expression is true in the page.
func (b *Tab) WaitFor(expression string) {
	b.t.Helper()
	if !b.Comes(expression, Patience) {
		b.t.Fatalf("never became true in the page: %s\n%s", expression, b.Seen())
	}
}

// Comes tells whether an expression, or what it promises, becomes true in the page within a
// time. An expression that reaches for an element which is not drawn is not true yet.
func (b *Tab) Comes(expression string, within time.Duration) bool {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, within)
	defer stop()
	ask := chromedp.Evaluate[bool]("Promise.resolve("+expression+").then(Boolean)", chromedp.EvalAwaitPromise)
	for {
		is, err := chromedp.Run(ctx, ask)
		switch {
		case is && err == nil:
			return true
		case ctx.Err() != nil:
			return false
		case err != nil && !wentOn(err) && !notDrawn(err):
			b.t.Fatalf("%s: %v\n%s", expression, err, b.Seen())
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// wentOn tells whether an expression had no answer because the page was loaded again.
func wentOn(err error) bool {
	for _, words := range []string{"navigated or closed", "context was destroyed", "Cannot find context"} {
		if strings.Contains(err.Error(), words) {
			return true
		}
	}
	return false
}

// WaitStill waits until a map is drawn and stands still: what was just pressed has had its
// effect on it, and no frame after that was drawn otherwise. Maps say on their element what they have
// drawn while they stand still (viewer/src/map/still.ts).
func (b *Tab) WaitStill() {
	b.t.Helper()
	b.WaitFor(`new Promise(done => {
		const drawn = () => document.querySelector(".map")?.dataset.drawn;
		let frames = 0, before;
		const look = () => {
			const now = drawn();
			frames = now !== undefined && now === before ? frames + 1 : 0;
			before = now;
			if (frames < 4) requestAnimationFrame(() => setTimeout(look)); else done(true);
		};
		look();
	})`)
}

// BigText sets the reader's text size to twice the usual.
func (b *Tab) BigText() {
	b.t.Helper()
	b.Do(Command(page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: 32}}))
}

// Seen is what the page shows, for the message of a test that failed.
func (b *Tab) Seen() string {
	ctx, stop := context.WithTimeout(b.ctx, 5*time.Second)
	defer stop()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + "\n" + document.body?.innerText`))
	if err != nil {
		return "the page does not answer: " + err.Error()
	}
	return "the page shows:\n" + text
}
