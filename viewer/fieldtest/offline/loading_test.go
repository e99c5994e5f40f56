package offline

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// watchProgress notes every state of the bar that shows how far the first loading has come,
// in words as a screen reader tells it.
const watchProgress = `(() => {
	globalThis.progress = [];
	new MutationObserver(() => {
		const bar = document.querySelector("progress");
		if (!bar || bar.max === 1 || bar.labels[0]?.firstChild?.textContent !== "Entries") return;
		const now = {Value: bar.value, Max: bar.max, Words: bar.getAttribute("aria-valuetext")};
		if (progress.at(-1)?.Value !== now.Value) progress.push(now);
	}).observe(document, {subtree: true, childList: true, attributes: true, characterData: true});
})()`

// A property of many entries comes onto a new phone: how many of how many is told, in
// figures and for a screen reader, and the count grows until all are there.
func TestFirstLoadTellsHowMuchThereIs(t *testing.T) {
	t.Parallel()
	const planted = 2400
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	id := office.Property(property).ID
	entries := make([]register.Entry, planted)
	for i := range entries {
		entries[i] = register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("019abc00-0000-7000-8000-%012x", i+1)), Property: id, Feature: fmt.Sprint("f-", i%500),
			Device: "desk", DeviceSeq: uint64(i + 1), Stamp: register.StampAt(time.Date(2026, 1, 1, 9, 0, i, 0, time.UTC)), SeenAt: "2026-01-01T09:00:00Z", Author: "A. Desk",
			Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"check-dam"`), "notes": fmt.Appendf(nil, `"look %d: the apron stands, the notch is clear"`, i)}),
		}
	}
	office.Plant(property, entries...)
	p := phone.New(t, office, phone.Durable())
	p.At(here)
	p.BeforeScripts(watchProgress)
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitFor("progress.length > 0")
	p.Screenshot("loading")
	if !p.Comes(shown("The property is on this phone"), 2*time.Minute) { // on a machine that does other things
		t.Fatalf("the property has not come whole: %s", p.Text())
	}
	type state struct {
		Value, Max int
		Words      string
	}
	told := phone.Eval[[]state](p.Page, "progress")
	if len(told) < 3 { // a slow machine draws some pages' states together
		t.Errorf("the bar showed %d states of %d entries, want 3 at least: %+v", len(told), planted, told)
	}
	before := 0
	for _, s := range told {
		if s.Max != planted || s.Value < before || s.Value > planted {
			t.Errorf("the bar stood at %d of %d after %d, want rising to %d", s.Value, s.Max, before, planted)
		}
		before = s.Value
	}
	if last := told[len(told)-1]; last.Value < planted/2 {
		t.Errorf("the bar came to %d of %d only", last.Value, planted)
	}
	for _, s := range told {
		if s.Value == 1200 && s.Words != "1,200 of 2,400" {
			t.Errorf("the bar at 1200 of 2400 says %q, want 1,200 of 2,400", s.Words)
		}
	}
}
