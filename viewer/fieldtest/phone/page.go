package phone

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Patience is how long one step may take on a busy machine before it fails the test.
const Patience = 30 * time.Second

// Page is one tab of a phone, with all that it complained of and asked for.
type Page struct {
	t     testing.TB
	phone *Phone
	ctx   context.Context

	mu       sync.Mutex
	troubles []trouble
	expected []string // complaints that the test provokes, in part
	offline  bool     // it has been cut off in this test
	requests []string
}

type trouble struct {
	text    string
	network bool
}

func (p *Phone) newPage(ctx context.Context) *Page {
	p.t.Helper()
	page := &Page{t: p.t, phone: p, ctx: ctx}
	if err := chromedp.Listen(ctx, page.hear); err != nil {
		p.t.Fatal(err)
	}
	page.Do(
		Command(network.Enable, network.EnableParams{}), Command(log.Enable, cdp.Empty{}),
		chromedp.EmulateViewport(p.set.width, p.set.height, chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch),
	)
	p.t.Cleanup(page.wantQuiet)
	return page
}

// Command makes a step of a command of the browser's protocol.
func Command[P, R any](command cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, command, params)
		return err
	})
}

// allow sets a permission for every site, as a person does when the browser asks.
func (p *Phone) allow(name string, yes bool) {
	p.t.Helper()
	setting := browser.PermissionSettingDenied
	if yes {
		setting = browser.PermissionSettingGranted
	}
	_, err := chromedp.CallBrowser(p.root, browser.SetPermission, browser.SetPermissionParams{
		Permission: &browser.PermissionDescriptor{Name: name}, Setting: setting})
	if err != nil {
		p.t.Fatalf("permission %s: %v", name, err)
	}
}

func (p *Page) hear(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		text := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			text += " " + e.ExceptionDetails.Exception.Description
		}
		p.troubles = append(p.troubles, trouble{text: text})
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			words := []string{"console:"}
			for _, arg := range e.Args {
				words = append(words, string(arg.Value)+arg.Description)
			}
			p.troubles = append(p.troubles, trouble{text: strings.Join(words, " ")})
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			lost := e.Entry.Source == log.EntrySourceNetwork || strings.Contains(e.Entry.Text, "net::ERR_")
			p.troubles = append(p.troubles, trouble{fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL), lost})
		}
	case *network.EventRequestWillBeSent:
		p.requests = append(p.requests, e.Request.URL)
	case *network.EventWebSocketCreated:
		p.requests = append(p.requests, e.URL)
	}
}

// Expect says that the page will log an error or warning with these words in it.
func (p *Page) Expect(words string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.expected = append(p.expected, words)
}

// wantQuiet fails the test for what the page complained of unexpectedly. Once the phone was
// cut off or the office was down, a browser logs every request that failed: those are let be.
func (p *Page) wantQuiet() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	office := p.phone.Office
	lost := p.offline || office != nil && office.wasDown()
	for _, one := range p.troubles {
		if one.network && lost || p.isExpected(one.text) {
			continue
		}
		p.t.Errorf("the page complained: %s", one.text)
	}
	p.troubles = nil
	for _, url := range p.requests {
		if _, rest, ok := strings.Cut(url, "://"); ok && !ours(rest) {
			p.t.Errorf("the page asked for %s, which is not on its own server", url)
		}
	}
	p.requests = nil
}

func (p *Page) isExpected(text string) bool {
	for _, words := range p.expected {
		if strings.Contains(text, words) {
			return true
		}
	}
	return false
}

// ours tells whether an address without its scheme is of this machine.
func ours(address string) bool {
	for _, host := range []string{"localhost:", "127.0.0.1:", FarName + ":"} {
		if strings.HasPrefix(address, host) {
			return true
		}
	}
	return false
}

// Requests are the addresses that the page has asked for since it was opened.
func (p *Page) Requests() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.requests...)
}

// Context is the tab's, for steps of chromedp that are not here.
func (p *Page) Context() context.Context { return p.ctx }

// Do runs steps of chromedp.
func (p *Page) Do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, Patience)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("%v\n%s", err, p.seen())
	}
}

// Ask runs a step that gives something.
func Ask[T any](p *Page, action chromedp.Action[T]) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, Patience)
	defer stop()
	result, err := chromedp.Run(ctx, action)
	if err != nil {
		p.t.Fatal(err)
	}
	return result
}

// Eval runs an expression in the page and waits for what it gives or promises.
func Eval[T any](p *Page, expression string) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, Patience)
	defer stop()
	result, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%.300s: %v", expression, err)
	}
	return result
}

// Import brings one of Main's scripts into the page under a global name.
func (p *Page) Import(script, as string) {
	p.t.Helper()
	name := strings.TrimSuffix(filepath.Base(script), filepath.Ext(script)) + ".js"
	Eval[bool](p, `import("/assets/`+name+`").then(m => { globalThis[`+quoted(as)+`] = m; return true; })`)
}

// WaitFor waits until an expression is true in the page.
func (p *Page) WaitFor(expression string) {
	p.t.Helper()
	if !p.comes(expression, Patience) {
		p.t.Fatalf("never became true in the page: %s\n%s", expression, p.seen())
	}
}

// Comes tells whether an expression becomes true in the page within a time.
func (p *Page) Comes(expression string, within time.Duration) bool {
	p.t.Helper()
	return p.comes(expression, within)
}

func (p *Page) comes(expression string, within time.Duration) bool {
	p.t.Helper()
	for deadline := time.Now().Add(within); ; time.Sleep(20 * time.Millisecond) {
		left := max(time.Until(deadline), time.Millisecond)
		_, err := chromedp.Run(p.ctx, chromedp.Poll[bool](expression,
			chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(left)))
		switch {
		case err == nil:
			return true
		case errors.Is(err, chromedp.ErrPollingTimeout):
			return false
		case !wentOn(err) || time.Now().After(deadline):
			p.t.Fatalf("%s: %v\n%s", expression, err, p.seen())
		}
	}
}

// wentOn tells whether an expression had no answer because the page was loaded anew.
func wentOn(err error) bool {
	for _, words := range []string{"navigated or closed", "context was destroyed", "Cannot find context"} {
		if strings.Contains(err.Error(), words) {
			return true
		}
	}
	return false
}

// seen is what the page shows, for the message of a test that failed.
func (p *Page) seen() string {
	ctx, stop := context.WithTimeout(p.ctx, 5*time.Second)
	defer stop()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + "\n" + document.body?.innerText`))
	if err != nil {
		return "the page does not answer: " + err.Error()
	}
	return "the page shows:\n" + text
}

// quoted is a text as a literal of the page's language.
func quoted(text string) string {
	literal, _ := json.Marshal(text) // every string can be
	return string(literal)
}
