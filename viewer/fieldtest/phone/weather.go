package phone

import (
	"context"
	"fmt"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Fix is what the phone's receiver gives. Absent values are what a real one leaves out.
type Fix struct {
	Lon, Lat, AccuracyM                         float64
	HeightM, HeightAccuracyM, HeadingDeg, MPerS *float64
}

// At puts the phone somewhere: the page's receiver gets one fix at once if it listens, and no
// more. The page takes it for where the phone is for some seconds only.
func (p *Page) At(fix Fix) {
	p.t.Helper()
	p.leave()
	p.Do(given(fix))
}

// Stand puts the phone somewhere and leaves it there: its receiver gives a fix every second, as a
// real one does, until it is put elsewhere. However slow the machine, the last fix is fresh.
func (p *Page) Stand(fix Fix) {
	p.t.Helper()
	p.At(fix)
	ctx, leave := context.WithCancel(p.Context())
	gone := make(chan struct{})
	p.leave = func() { leave(); <-gone; p.leave = func() {} }
	go func() {
		defer close(gone)
		for {
			select {
			case <-ctx.Done():
				return
			case <-time.After(time.Second):
				_ = chromedp.Do(ctx, given(fix)) // the browser may have been killed
			}
		}
	}()
}

func given(fix Fix) chromedp.Action[chromedp.Void] {
	return Command(emulation.SetGeolocationOverride, emulation.SetGeolocationOverrideParams{
		Latitude: &fix.Lat, Longitude: &fix.Lon, Accuracy: &fix.AccuracyM,
		Altitude: fix.HeightM, AltitudeAccuracy: fix.HeightAccuracyM, Heading: fix.HeadingDeg, Speed: fix.MPerS,
	})
}

// TakeReceiver has the page hear only of the fixes that Give gives it, from the next document on:
// a walk of minutes is then given at once, and no busy machine makes it slower.
func (p *Page) TakeReceiver() {
	p.t.Helper()
	p.BeforeScripts(`(() => {
		const each = new Map(); let n = 0;
		navigator.geolocation.watchPosition = heard => { each.set(++n, heard); return n; };
		navigator.geolocation.clearWatch = id => each.delete(id);
		globalThis.give = fix => each.forEach(heard => heard(fix));
	})()`)
}

// Give gives the page a fix with the time that the receiver's clock shows, and waits until it has
// been drawn.
func (p *Page) Give(fix Fix, at time.Time) {
	p.t.Helper()
	Eval[bool](p, fmt.Sprintf(`new Promise(drawn => { give({timestamp: %d, coords: {longitude: %.9f, latitude: %.9f, accuracy: %f,
		altitude: null, altitudeAccuracy: null, heading: null, speed: null}}); requestAnimationFrame(() => setTimeout(() => drawn(true))); })`,
		at.UnixMilli(), fix.Lon, fix.Lat, fix.AccuracyM))
}

// NoFix is a receiver that has lost the sky: the page gets an error instead of fixes.
func (p *Page) NoFix() {
	p.t.Helper()
	p.leave()
	p.Do(Command(emulation.SetGeolocationOverride, emulation.SetGeolocationOverrideParams{}))
}

// Throttle makes the page's processor slower by a factor; the budgets are for 4.
func (p *Page) Throttle(factor float64) {
	p.t.Helper()
	p.Do(Command(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: factor}))
}

// Offline cuts the page off from the network, or brings it back. Open sockets stay open
// and swallow what is sent, as on a phone in a gully; the service worker is not cut off,
// so kill the office to test what it serves.
func (p *Page) Offline(cut bool) {
	p.t.Helper()
	p.mu.Lock()
	p.offline = true
	p.mu.Unlock()
	conditions := &network.Conditions{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1}
	p.Do(
		Command(network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{conditions}}),
		Command(network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1}),
	)
}

// SetClock makes the page's wall clock wrong by this much from the next Open or Reload on.
// The service worker keeps the right time.
func (p *Page) SetClock(wrongBy time.Duration) {
	p.t.Helper()
	p.BeforeScripts(fmt.Sprintf(`(() => {
		const off = %d, Real = globalThis.RealDate ?? Date;
		globalThis.RealDate = Real;
		globalThis.Date = class extends Real {
			constructor(...given) { if (given.length) super(...given); else super(Real.now() + off); }
			static now() { return Real.now() + off; }
		};
	})()`, wrongBy.Milliseconds()))
}

// BeforeScripts runs a script in every document of this tab before the page's own, from
// the next one on.
func (p *Page) BeforeScripts(script string) {
	p.t.Helper()
	p.Do(Command(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script}))
}

// EmptyCache removes what the browser has cached of its own accord, as a full device does; what
// pages stored themselves stays.
func (p *Page) EmptyCache() {
	p.t.Helper()
	p.Do(Command(network.ClearBrowserCache, cdp.Empty{}))
}

// Reload loads the page again.
func (p *Page) Reload() { p.t.Helper(); p.Do(chromedp.Reload()) }

// Hide makes the page think that it has gone to the background, or has come back. The
// browser itself goes on running it.
func (p *Page) Hide(hidden bool) {
	p.t.Helper()
	state := map[bool]string{true: "hidden", false: "visible"}[hidden]
	Eval[bool](p, fmt.Sprintf(`(Object.defineProperty(document, "visibilityState", {value: %q, configurable: true}),
		Object.defineProperty(document, "hidden", {value: %t, configurable: true}),
		document.dispatchEvent(new Event("visibilitychange")))`, state, hidden))
}

// Standalone makes the page think that it was opened from the home screen, from the next
// document on.
func (p *Page) Standalone() {
	p.t.Helper()
	p.BeforeScripts(`(() => { const ask = matchMedia.bind(globalThis);
		globalThis.matchMedia = q => /display-mode:\s*standalone/.test(q) ? Object.assign(ask("all"), {}) : ask(q); })()`)
}
