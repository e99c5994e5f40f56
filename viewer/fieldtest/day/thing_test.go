package day

import (
	"testing"
	"time"

	"headcut/model"
	"headcut/viewer/fieldtest/phone"
)

// A dam is marked, corrected, struck out and put back; the office gets it all, in order,
// as entries of its own each.
func TestCorrectionsAreEntriesOfTheirOwn(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.WaitFor(placed)
	p.Tap("Check dam")
	p.WaitSaid("Check dam saved")
	p.Type("Crest above bed", "0.5")
	p.Tap("By tape")
	p.Tap("Built")
	p.Tap("Built") // a second tap of a glove clears nothing
	p.Tap("Built on: today, " + model.DayInWords(time.Now().Format(time.DateOnly)))
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	p.TapSelector(".list a")
	p.WaitText("0.5 m")
	p.Tap("Edit")
	p.Type("Crest above bed", "0,45")
	p.Tap("By tape")
	p.Tap("Save")
	p.WaitSaid("Check dam edited")
	p.WaitText("0.45 m")
	p.Tap("Undo")
	p.WaitSaid("Undone")
	p.WaitText("0.5 m")
	p.WaitText("0.50 ± 0.05 m by tape") // calculated again: from here nothing moves under the finger
	p.Tap("Strike out")
	p.WaitText("This is struck out")
	p.CheckFit("a thing that is struck out")
	p.Tap("Restore")
	p.WaitGone("This is struck out")
	entries := p.Office.Entries("Stony Block")
	for deadline := time.Now().Add(phone.Patience); len(entries) < 6 && time.Now().Before(deadline); time.Sleep(100 * time.Millisecond) {
		entries = p.Office.Entries("Stony Block")
	}
	want := []string{`"check-dam"`, `0.5`, `0.45`, `0.5`, "true", "false"}
	if len(entries) != len(want) {
		for _, e := range entries {
			t.Logf("%s", e.Raw)
		}
		t.Fatalf("the office has %d entries, want %d; the page shows %s", len(entries), len(want), p.Text())
	}
	for i, e := range entries {
		got := string(e.Entry.Set.Get("crestHeightM"))
		switch {
		case e.Entry.Strike != nil && *e.Entry.Strike:
			got = "true"
		case e.Entry.Strike != nil:
			got = "false"
		case i == 0:
			got = string(e.Entry.Set.Get("kind"))
		}
		if got != want[i] || e.Entry.Author != "R. Field" {
			t.Errorf("entry %d says %s by %s, want %s by R. Field", i+1, got, e.Entry.Author, want[i])
		}
	}
	if day := string(entries[1].Entry.Set.Get("builtOn")); len(day) != len(`"2026-11-25"`) {
		t.Errorf("builtOn is %s, want the day", day)
	}
}

// placed is true in the page once the receiver has given a position to the screen.
const placed = `document.querySelector(".place b") !== null`

// A phone that dies while a form is filled in has lost no word.
func TestTypingOutlivesAKill(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.WaitFor(placed)
	p.Tap("Gully head")
	p.WaitSaid("Gully head saved")
	p.Type("Depth of head", "1.65")
	p.WaitDraft("1.65")
	p.Restart()
	p.At(here)
	p.Open("/field/")
	p.WaitText("You were filling in a gully head")
	p.CheckFit("an unfinished form")
	p.Screenshot("home-unfinished")
	p.Tap("Continue")
	p.WaitFor(`[...document.querySelectorAll("input")].some(i => i.value === "1.65")`)
	p.Tap("Save") // a number says how it came, or that nobody knows
	p.WaitSaid("Not saved: choose how the depth of head was measured")
	p.CheckFit("a number with no word on how it came")
	p.Screenshot("form-how")
	p.Tap("Not known")
	p.Tap("Save")
	p.WaitSaid("Gully head edited")
	fields := held(p)[0]["fields"].(map[string]any)
	if _, how := fields["headDepthBasis"]; fields["headDepthM"] != 1.65 || how {
		t.Errorf("headDepthM is %v by %v, want 1.65 and nothing of how, which nobody knew", fields["headDepthM"], fields["headDepthBasis"])
	}
	p.Go("#/")
	p.WaitHeading("Stony Block")
	p.WaitGone("You were filling in")
}

// A phone whose rights were taken away keeps what it has, says so, and goes on recording.
func TestRevokedPhoneSaysSo(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	device := phone.Eval[string](p.Page, `new Promise(yes => {
		const open = indexedDB.open("headcut");
		open.onsuccess = () => {
			const self = open.result.transaction("selves").objectStore("selves").get("self");
			self.onsuccess = () => { open.result.close(); yes(self.result.device); };
		};
	})`)
	p.Office.Revoke(device)
	p.Expect("401")
	p.Expect("403")
	p.Office.Kill()
	p.Office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitText("The server refuses this phone")
	p.CheckFit("the status of a phone that is refused")
	p.Screenshot("status-refused")
	p.At(here) // a position of a minute ago is none
	p.Go("#/mark")
	p.WaitFor(placed)
	p.Tap("Hazard")
	p.WaitSaid("Hazard saved")
	p.WaitFor(`document.querySelectorAll(".numbers b")[1].innerText === "1"`)
}

// A refusal goes when its field is answered, in the form and in the strip, and not at the next save.
func TestRefusalGoesWithItsField(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.WaitFor(placed)
	p.Tap("Check dam")
	p.WaitSaid("Check dam saved")
	p.Type("Crest above bed", "0.5")
	p.Tap("Save")
	p.WaitSaid("Not saved: choose how the crest above bed was measured")
	p.WaitText("Choose how the crest above bed was measured")
	p.Tap("By tape")
	p.WaitGone("hoose how the crest above bed was measured")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
}

// Back saves what can be saved; where it cannot, the officer is let go without it.
func TestBackIsNoTrap(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.WaitFor(placed)
	p.Tap("Check dam")
	p.WaitSaid("Check dam saved")
	leave := func() {
		t.Helper()
		p.Type("Crest above bed", "0.5")
		p.WaitDraft("0.5")
		p.Tap("Back")
		p.WaitSaid("Not saved: choose how the crest above bed was measured")
		p.WaitText("Leave without saving this")
		p.CheckFit("a form that cannot be saved")
		p.Screenshot("form-leave")
		p.Tap("Leave without saving this")
	}
	leave()
	p.WaitHeading("Stony Block")
	p.WaitGone("You were filling in")
	dam := held(p)[0]
	p.Go("#/thing/" + dam["id"].(string) + "/edit")
	leave()
	p.WaitGone("Leave without saving this")
	if crest, typed := held(p)[0]["fields"].(map[string]any)["crestHeightM"]; typed {
		t.Errorf("the crest is %v, and it was left without saving", crest)
	}
}

// What was calculated of an item stands above what can be pressed on its page.
func TestFiguresStandAboveTheButtons(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Office.PlantFeatures("Stony Block", map[string]any{"id": "fence-1", "kind": "fence", "name": "Top fence", "positionBasis": "GPS",
		"geometry": map[string]any{"type": "LineString", "coordinates": [][2]float64{{146.5, -20.25}, {146.501, -20.25}}}})
	p.Go("#/thing/fence-1")
	p.WaitText("by GPS, ± not known: no accuracy was recorded with the positions")
	p.WaitText("Strike out")
	if above := phone.Eval[bool](p.Page, `(() => {
		const figures = [...document.querySelectorAll(".sheet h2")].find((h) => h.innerText === "Figures").getBoundingClientRect();
		return [...document.querySelectorAll(".sheet .stack, .sheet button.wide")].filter((b) => b.innerText !== "Turn with the phone").every((b) => b.getBoundingClientRect().top > figures.top);
	})()`); !above {
		t.Errorf("the figures stand below what can be pressed: %s", p.Text())
	}
	p.CheckFit("an item with its figures first")
	p.Screenshot("figures-first")
}
