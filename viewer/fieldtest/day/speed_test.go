package day

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// From the tap to "saved" on the screen, on a slow phone that holds 5,000 entries: within
// 100 ms at the median, and never beyond 200 ms, which is the published limit of a good
// answer to a press (web.dev, Interaction to Next Paint).
func TestSavedIsSaidAtOnce(t *testing.T) {
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Durable())
	code := office.Invite("Stony Block", "R. Field")
	plant(office, "Stony Block", 5000, 1000)
	p.At(here)
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	if !p.Comes(`document.querySelector(".numbers b")?.innerText === "5,000"`, 3*time.Minute) {
		t.Fatal("the phone did not get the 5,000 entries")
	}
	p.WaitText("The property is on this phone")
	p.Throttle(4)
	watch := `(() => {
		globalThis.waits = [];
		let tapped = 0, last = null;
		addEventListener("pointerdown", () => { tapped = performance.now(); }, true);
		new MutationObserver(() => {
			const said = document.querySelector("#said span");
			if (!tapped || said === last || !said?.textContent.includes("saved")) return;
			const from = tapped;
			last = said;
			tapped = 0;
			requestAnimationFrame(() => setTimeout(() => waits.push(performance.now() - from)));
		}).observe(document.body, { subtree: true, childList: true, characterData: true });
		return true;
	})()`
	phone.Eval[bool](p.Page, watch)
	const marks, rounds = 10, 4
	const pauseOfAHand = 1500 * time.Millisecond // between things that are marked; what the last one left to do is done
	median, worst := math.Inf(1), math.Inf(1)
	for range rounds { // other programs on the machine make times longer, never shorter
		phone.Eval[bool](p.Page, "(waits.length = 0, true)")
		for n := range marks {
			p.Go("#/mark")
			p.At(here)
			p.WaitFor(`document.querySelector(".place b")?.innerText === "±4 m"`)
			time.Sleep(pauseOfAHand)
			p.Tap("Peg")
			time.Sleep(pauseOfAHand / 2) // asking the page whether it has come would slow it
			p.WaitFor(fmt.Sprintf("waits.length === %d", n+1))
			p.Tap("Back")
			p.WaitHeading("Stony Block")
		}
		waits := phone.Eval[[]float64](p.Page, "waits")
		slices.Sort(waits)
		t.Logf("tap to saved in ms, 5,000 entries, 4 times slower: %.0f", waits)
		median, worst = min(median, waits[marks/2]), min(worst, waits[marks-1])
		if median <= 100 && worst <= 200 {
			return
		}
	}
	if median > 100 {
		t.Errorf("the median from tap to saved is %.0f ms, want at most 100", median)
	}
	if worst > 200 {
		t.Errorf("the longest from tap to saved is %.0f ms, want at most 200", worst)
	}
}

// plant gives a property so many entries about so many pegs, as another phone recorded them.
func plant(office *phone.Office, property string, entries, features int) {
	id := office.Property(property).ID
	all := make([]register.Entry, entries)
	for i := range all {
		set := map[string]json.RawMessage{"notes": json.RawMessage(fmt.Sprintf(`"look %d"`, i))}
		if i < features {
			set["kind"] = json.RawMessage(`"peg"`)
			set["geometry"] = json.RawMessage(fmt.Sprintf(`{"type":"Point","coordinates":[%.5f,%.5f]}`, 146.5+float64(i%40)*1e-4, -20.25+float64(i/40)*1e-4))
		}
		all[i] = register.Entry{
			Version: 1, ID: uuid(1, i), Property: id, Feature: string(uuid(2, i%features)), Device: "phone-before", DeviceSeq: uint64(i + 1),
			Stamp: register.Stamp(uint64(time.Now().Add(-24*time.Hour).UnixMilli()+int64(i)) << 16), SeenAt: "2026-05-12T09:00:00+10:00", Author: "B. Before", Set: model.FieldValuesOf(set),
		}
	}
	for part := range slices.Chunk(all, 500) {
		office.Plant(property, part...)
	}
}

func uuid(series, n int) register.ID {
	return register.ID(fmt.Sprintf("01939f00-%04d-7000-8000-%012d", series, n))
}
