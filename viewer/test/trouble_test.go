package pages

import (
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

func TestLinkThatDoesNotOpen(t *testing.T) {
	for _, c := range []struct {
		name   string
		status int
		body   string
		want   string
		again  bool
	}{
		{"ended", http.StatusGone, `{}`, "This link has expired or been withdrawn", false},
		{"unconfirmed", http.StatusLocked, `{}`, "The office has to confirm this link first", true},
		{"unknown", http.StatusNotFound, `{}`, "Map not found", false},
		{"server-down", http.StatusInternalServerError, `{}`, "The map could not be loaded", true},
		{"cut-off", http.StatusOK, `{"property":{"name":"Stony`, "The map could not be loaded", true},
		{"something-else", http.StatusOK, `[1,2,3]`, "The map could not be loaded", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			site := newSite(t, nil)
			site.answer(c.status, []byte(c.body))
			p := open(t, site, phone)
			text := eval[string](p, `document.querySelector("[role=alert]").innerText`)
			wantIn(t, "the message", text, c.want)
			if got := strings.Contains(text, "Try again"); got != c.again {
				t.Errorf("%s: offers to try again: got %v, want %v", c.name, got, c.again)
			}
			p.CheckAxe(c.name)
			if c.again {
				site.answer(http.StatusOK, landOf(t, "Stony Block", gully(t, 0)...))
				p.Do(chromedp.Click(chromedp.CSS(".message button")))
				p.WaitFor(`document.querySelector("h1").textContent === "Stony Block"`)
			}
		})
	}
}

func TestFetchingAgain(t *testing.T) {
	site := newSite(t, landOf(t, "Stony Block", gully(t, 0)...))
	p := open(t, site, desktop)
	p.waitForMap()
	p.choose("dam-1")
	again := func() { p.Do(chromedp.Click(chromedp.CSS(".title button"))) }

	site.answer(http.StatusOK, landOf(t, "Stony Block", append(gully(t, 0),
		feature(t, "new", fields{"kind": "check-dam", "name": "New dam", "status": "proposed", "observedOn": "2026-11-25", "geometry": point(at(0, 110))}))...))
	again()
	p.WaitFor(`document.querySelector("#item-new") !== null`)
	if !eval[bool](p, `document.querySelector("#chosen")?.textContent === "Dam 1"`) {
		t.Error("fetching again lets go of the chosen work")
	}
	p.WantQuiet(nil)

	// With the server gone the map stays, and the page says of which day it is.
	site.CloseClientConnections()
	site.Listener.Close()
	again()
	p.WaitFor(`document.querySelector("[role=alert]") !== null`)
	text := eval[string](p, `document.querySelector("[role=alert]").innerText`)
	wantIn(t, "the message", text, "No connection")
	wantIn(t, "the message", text, "25 November 2026")
	if !eval[bool](p, `document.querySelector("#item-new") !== null`) {
		t.Error("losing the connection takes the map away")
	}
}

func TestLinkThatEndsWhileOpenTakesTheMapAway(t *testing.T) {
	site := newSite(t, landOf(t, "Stony Block", gully(t, 0)...))
	p := open(t, site, phone)
	p.waitForMap()
	site.answer(http.StatusGone, []byte(`{}`))
	p.Do(chromedp.Click(chromedp.CSS(".title button")))
	p.WaitFor(`document.querySelector("h1").textContent === "This link has expired or been withdrawn"`)
	if text := eval[string](p, `document.body.innerText`); strings.Contains(text, "Stony") || strings.Contains(text, "Dam 1") {
		t.Errorf("after the link has ended the page still shows %q", text)
	}
}
