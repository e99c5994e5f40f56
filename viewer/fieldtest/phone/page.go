package phone

import (
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"

	"headcut/viewer/tab"
)

// Patience is how long one step may take on a busy machine before it fails the test.
const Patience = tab.Patience

// Page is one tab of a phone.
type Page struct {
	*tab.Tab
	t     testing.TB
	phone *Phone
	leave func() // ends what Stand began

	mu       sync.Mutex
	expected []string // complaints that the test provokes, in part
	offline  bool     // it has been cut off in this test
}

func (p *Phone) newPage(ctx context.Context) *Page {
	p.t.Helper()
	screen := []chromedp.EmulateViewportOption{chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch}
	if p.set.desk {
		screen = nil
	}
	page := &Page{t: p.t, phone: p, leave: func() {}, Tab: tab.New(p.t, ctx, p.set.width, p.set.height, screen...)}
	p.t.Cleanup(page.wantQuiet)
	p.t.Cleanup(func() { page.leave() })
	return page
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
	p.WantQuiet(func(one tab.Trouble) bool { return one.Network && lost || p.isExpected(one.Text) })
	p.WantOnly("localhost:", "127.0.0.1:", FarName+":")
}

func (p *Page) isExpected(text string) bool {
	for _, words := range p.expected {
		if strings.Contains(text, words) {
			return true
		}
	}
	return false
}

// Command makes a step of a command of the browser's protocol.
func Command[P, R any](command cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return tab.Command(command, params)
}

// Ask runs a step that gives something.
func Ask[T any](p *Page, action chromedp.Action[T]) T {
	p.t.Helper()
	return tab.Ask(p.Tab, action)
}

// Eval runs an expression in the page and waits for what it gives or promises.
func Eval[T any](p *Page, expression string) T {
	p.t.Helper()
	return tab.Eval[T](p.Tab, expression)
}

// Import brings one of Main's scripts into the page under a global name.
func (p *Page) Import(script, as string) {
	p.t.Helper()
	name := strings.TrimSuffix(filepath.Base(script), filepath.Ext(script)) + ".js"
	Eval[bool](p, `import("/assets/`+name+`").then(m => { globalThis[`+quoted(as)+`] = m; return true; })`)
}

// quoted is a text as a literal of the page's language.
func quoted(text string) string {
	literal, _ := json.Marshal(text) // every string can be
	return string(literal)
}
