package tab

import (
	"fmt"
	"slices"
	"strings"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
)

// Trouble is an error or a warning that the page logged, or an error that it threw.
type Trouble struct {
	Text    string
	Network bool // a request failed
}

func (b *Tab) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		text := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			text += " " + e.ExceptionDetails.Exception.Description
		}
		b.troubles = append(b.troubles, Trouble{Text: text})
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			words := []string{"console:"}
			for _, arg := range e.Args {
				words = append(words, string(arg.Value)+arg.Description)
			}
			b.troubles = append(b.troubles, Trouble{Text: strings.Join(words, " ")})
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			lost := e.Entry.Source == log.EntrySourceNetwork || strings.Contains(e.Entry.Text, "net::ERR_")
			b.troubles = append(b.troubles, Trouble{fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL), lost})
		}
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *network.EventWebSocketCreated:
		b.requests = append(b.requests, e.URL)
	}
}

// Requests are the addresses that the page has asked for since it was opened.
func (b *Tab) Requests() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.requests)
}

// WantQuiet fails the test for what the page has complained of since this was last asked,
// but for what is expected.
func (b *Tab) WantQuiet(expected func(Trouble) bool) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, one := range b.troubles {
		if expected == nil || !expected(one) {
			b.t.Errorf("the page complained: %s", one.Text)
		}
	}
	b.troubles = nil
}

// WantOnly fails the test for each address asked for that is not on one of the page's own
// hosts, "127.0.0.1:". What a page makes for itself, as blob: and data:, has no host.
func (b *Tab) WantOnly(hosts ...string) {
	b.t.Helper()
	for _, url := range b.Requests() {
		_, rest, ok := strings.Cut(url, "://")
		own := func(host string) bool { return strings.HasPrefix(rest, host) }
		if ok && !slices.ContainsFunc(hosts, own) {
			b.t.Errorf("the page asked for %s, which is not on its own server", url)
		}
	}
}
