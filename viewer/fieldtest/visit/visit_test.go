package visit

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"headcut/model/compute"
	"headcut/viewer/fieldtest/phone"
)

func today() string { return time.Now().Format(time.DateOnly) }

// answer is what the computation gives outside the browser, where its tests are.
func answer[T any](t *testing.T, name, input string) (out T) {
	t.Helper()
	text, err := compute.Run(name, []byte(input))
	if err != nil {
		t.Fatalf("%s of %s: %v", name, input, err)
	}
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// Two taps in the list of what is due record that a dam holds.
func TestVisitOfTwoTaps(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam, head, visited("v1", dam.id, "2025-05-03", map[string]any{"condition": "holding", "sedimentDepthM": 0.12})})
	d.Tap("Visit")
	d.WaitText("not visited since the wet; last visit 3 May 2025")
	d.CheckFit("visits due")
	d.Screenshot("visits-due")
	d.TapSelector(".nearlist li a[href^=\"#/visit/\"]")
	d.WaitText("Last visit 3 May 2025: sound")
	d.WaitText("from the visit on 3 May 2025")
	d.CheckFit("visit to a dam")
	d.Screenshot("visit-dam")
	d.Tap("Save: sound")
	d.WaitSaid("Visit to Third dam saved")
	e := d.sent(1)[0]
	want := map[string]string{"kind": `"visit"`, "of": `"dam-1"`, "observedOn": `"` + today() + `"`, "condition": `"sound"`}
	if len(e.Set) != len(want) {
		t.Errorf("the visit sets %v, want %v: nothing that was not looked at", e.Set, want)
	}
	for name, value := range want {
		if got := string(e.Set.Get(name)); got != value {
			t.Errorf("%s = %s, want %s", name, got, value)
		}
	}
	d.WaitHeading("Visit")
	d.WaitText("Due: 1") // the head
}

func TestFailedDamIsMarkedAsFailed(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.Go("#/visit/" + dam.id)
	d.Tap("Failed")
	d.WaitText("Saving marks it as found failed on ")
	d.Type("Sediment caught", "0,35")
	d.Tap("Save: failed")
	d.WaitSaid("Not saved: choose how the sediment caught was measured")
	d.CheckFit("sediment with no word on how it was measured")
	d.Screenshot("visit-how")
	d.Tap("By tape")
	d.Tap("Save: failed")
	d.WaitSaid("Visit to Third dam saved")
	entries := d.sent(2)
	if got := value[float64](t, entries[0], "sedimentDepthM"); got != 0.35 {
		t.Errorf("sediment %v, want 0.35", got)
	}
	if e := entries[1]; e.Feature != dam.id || value[string](t, e, "status") != "failed" || value[string](t, e, "failedOn") != today() {
		t.Errorf("the dam's entry is %s", e.Raw)
	}
}

// A number that cannot be is told at its field and not saved; one that the dam's own height
// makes unlikely is asked about, with what was perhaps meant.
func TestNumbersInAnotherUnitAreAskedAbout(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.Go("#/visit/" + dam.id)
	d.Type("Sediment caught", "23")
	d.WaitText("23 is out of range: give 0 to 10 m")
	d.CheckFit("a number that cannot be")
	d.Screenshot("visit-wrong")
	d.Tap("Save visit")
	d.WaitSaid("Not saved: 23 is out of range: give 0 to 10 m")
	d.Tap("23 cm: write 0.23 m")
	d.WaitGone("cannot be")
	d.Type("Sediment caught", "2.3")
	d.WaitText("2.3 m of sediment? The crest is 0.4 m above the bed.")
	d.CheckFit("an unlikely number")
	d.Screenshot("visit-asked")
	d.Tap("Save visit")
	d.WaitSaid("Not saved: 2.3 m of sediment?")
	if got := len(d.Office.Entries(property)); got != 1 {
		t.Errorf("the office has %d entries, want the dam alone", got)
	}
	d.Tap("It is 2.3 m")
	d.WaitGone("2.3 m of sediment?")
	d.Tap("Estimated")
	d.WaitDraft(`"sedimentBasis":"estimated"`)
	d.Restart() // what was said stands
	d.At(here)
	d.Open("/field/#/visit/" + dam.id)
	d.WaitText("This visit was begun and not saved")
	d.Tap("Save visit")
	d.WaitSaid("Visit to Third dam saved")
	if got := value[float64](t, d.sent(1)[0], "sedimentDepthM"); got != 2.3 {
		t.Errorf("sediment %v, want 2.3", got)
	}
}

// A form tells at the field what the server would refuse, and saves nothing of it.
func TestFormRefusesWhatTheServerWould(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{head})
	d.Go("#/thing/" + head.id + "/edit")
	d.Type("Depth of head", "160")
	d.Tap("Save")
	d.WaitSaid("Not saved: 160 is out of range: give 0 to 50 m")
	d.CheckFit("a form with a number that cannot be")
	d.Screenshot("form-wrong")
	d.Tap("160 cm: write 1.6 m")
	d.Type("Depth of head", "1.7")
	d.Tap("By tape")
	d.Tap("Save")
	d.WaitSaid("Lip edited")
	if got := value[float64](t, d.sent(1)[0], "headDepthM"); got != 1.7 {
		t.Errorf("headDepthM %v, want 1.7", got)
	}
}

func TestCoverCountedByThumb(t *testing.T) {
	t.Parallel()
	scald := thing{"scald-1", map[string]any{"kind": "scald", "name": "Red scald"}}
	d := begin(t, []thing{scald})
	d.Go("#/visit/" + scald.id)
	d.Tap("Count cover")
	d.Tap("70 %")
	for i := range 20 {
		if i%3 == 0 {
			d.Tap("Bare")
		} else {
			d.Tap("Cover")
		}
	}
	d.Tap("Bare")
	d.WaitText("13 of 21 points on cover")
	d.Tap("Remove last")
	d.WaitText("13 of 20 points on cover")
	want := answer[struct {
		CoverPct, LowPct, HighPct float64
		MeetsTarget               string
	}](t, "cover", `{"points":{"hits":13,"total":20},"target":"soil-loss-70"}`)
	d.WaitText(fmt.Sprintf("%.0f %% 13 of 20 points on cover between %.0f %% and %.0f %%", want.CoverPct, want.LowPct, want.HighPct))
	if want.MeetsTarget != "cannot tell" {
		t.Fatalf("13 of 20 against 70 %% is %q", want.MeetsTarget)
	}
	d.WaitText("Too few to say whether it meets the target")
	d.CheckFit("counting cover")
	d.Screenshot("cover")
	for _, r := range phone.Eval[[]struct{ Width, Height float64 }](d.Page, `[...document.querySelectorAll(".huge")].map(e => e.getBoundingClientRect().toJSON())`) {
		if r.Width < 150 || r.Height < 120 {
			t.Errorf("a counting button is %v by %v, want it huge", r.Width, r.Height)
		}
	}

	d.WaitDraft(strings.Repeat(`"bare","cover","cover",`, 6) + `"bare","cover"]`)
	d.Restart() // in the middle of the count
	d.At(here)
	d.Open("/field/#/visit/" + scald.id)
	d.WaitText("This visit was begun and not saved")
	d.WaitText("13 of 20 points")
	d.WaitText(fmt.Sprintf("%.0f %%, between %.0f %% and %.0f %%, 95 %% sure", want.CoverPct, want.LowPct, want.HighPct))
	d.Tap("Save visit")
	d.WaitSaid("Visit to Red scald saved")
	e := d.sent(1)[0]
	if got := value[float64](t, e, "coverPct"); math.Abs(got-want.CoverPct) > 0.0005 {
		t.Errorf("coverPct %v, want the computation's %v", got, want.CoverPct)
	}
	if value[int](t, e, "coverHits") != 13 || value[int](t, e, "coverPoints") != 20 {
		t.Errorf("the readings are not in the entry: %s", e.Raw)
	}
}

func TestCoverOfPlots(t *testing.T) {
	t.Parallel()
	scald := thing{"scald-1", map[string]any{"kind": "scald", "name": "Red scald"}}
	d := begin(t, []thing{scald})
	d.Go("#/visit/" + scald.id)
	d.Tap("Count cover")
	d.Tap("Plots by eye")
	for _, pct := range []string{"40", "55", "62", "48", "70"} {
		d.Type("Cover of this plot", pct)
		d.Tap("Add plot")
	}
	want := answer[struct{ CoverPct, LowPct, HighPct float64 }](t, "cover", `{"plots":[{"coverPct":40},{"coverPct":55},{"coverPct":62},{"coverPct":48},{"coverPct":70}]}`)
	d.WaitText("5 plots: 40, 55, 62, 48, 70 %")
	d.WaitText(fmt.Sprintf("between %.0f %% and %.0f %%", want.LowPct, want.HighPct))
	d.CheckFit("cover of plots")
	d.Screenshot("plots")
	d.Tap("Done")
	d.Tap("Save visit")
	d.WaitSaid("Visit to Red scald saved")
	if e := d.sent(1)[0]; math.Abs(value[float64](t, e, "coverPct")-want.CoverPct) > 0.0005 || len(value[[]float64](t, e, "coverPlotsPct")) != 5 {
		t.Errorf("the entry is %s, want the mean %v of five plots", e.Raw, want.CoverPct)
	}
}

func TestRetreatOfAHead(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{head,
		visited("v1", head.id, "2024-11-26", map[string]any{"condition": "needs work", "headOffsetM": 12.4}),
		visited("v2", head.id, "2025-05-14", map[string]any{"condition": "needs work", "headOffsetM": 11.85}),
	})
	d.Go("#/visit/" + head.id)
	d.WaitText("11.85 m on 14 May 2025")
	d.Type("Taped from the hub peg", "11.80")
	ask := func(offset string) (r struct {
		Steps []struct {
			RetreatM, PlusMinusM, LeastProvableM float64
			MoreThanNoise                        string
		}
	}) {
		return answer[struct {
			Steps []struct {
				RetreatM, PlusMinusM, LeastProvableM float64
				MoreThanNoise                        string
			}
		}](t, "retreat", `{"visits":[{"date":"2024-11-26","offsetM":12.4},{"date":"2025-05-14","offsetM":11.85},{"date":"`+today()+`","offsetM":`+offset+`}],"wetSeason":{"firstMonth":11,"lastMonth":4}}`)
	}
	little := ask("11.80").Steps[1]
	if little.MoreThanNoise != "no" {
		t.Fatalf("5 cm by tape is %q", little.MoreThanNoise)
	}
	d.WaitText(fmt.Sprintf("%.2f ± %.2f m back since 14 May 2025", little.RetreatM, little.PlusMinusM))
	d.WaitText("No more than measurement error")
	d.WaitText(fmt.Sprintf("Less than %.2f m is too small to detect.", little.LeastProvableM))
	d.Type("Taped from the hub peg", "11.55")
	much := ask("11.55").Steps[1]
	d.WaitText(fmt.Sprintf("%.2f ± %.2f m back since 14 May 2025", much.RetreatM, much.PlusMinusM))
	d.WaitText("More than measurement error")
	d.CheckFit("visit to a head")
	d.Screenshot("visit-head")
	d.Type("Taped from the hub peg", "10001")
	d.WaitText("10001 is out of range: give 0 to 10000 m")
	d.Type("Taped from the hub peg", "11.55")
	d.Tap("Save: needs work")
	d.WaitSaid("Visit to Lip saved")
	if got := value[float64](t, d.sent(1)[0], "headOffsetM"); got != 11.55 {
		t.Errorf("headOffsetM %v, want 11.55", got)
	}
}

func TestHeadPlacedByTheReceiver(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{head})
	d.Go("#/visit/" + head.id)
	d.Tap("I stand at the head: take its position")
	d.At(here)
	d.WaitText("±4 m from")
	d.Tap("Keep this position")
	d.WaitText("Position of the head taken, ±4 m.")
	d.WaitText("± 5 m from where it was since 2 August 2024")
	d.Screenshot("head-placed")
	d.Tap("Save visit")
	d.WaitSaid("Visit to Lip saved")
	if place := value[struct{ Coordinates [2]float64 }](t, d.sent(1)[0], "geometry"); place.Coordinates != [2]float64{here.Lon, here.Lat} {
		t.Errorf("the head is at %v, want the fix", place.Coordinates)
	}
}

func TestSeasonIsASetting(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam, visited("v1", dam.id, "2025-05-03", map[string]any{"condition": "sound"})})
	d.Go("#/visit")
	d.WaitText("Due: 1")
	d.Tap("Wet season: not chosen yet")
	for range 10 { // the whole year but for one month: April again, by the longer way
		d.Tap("Last month earlier")
	}
	d.WaitText("Wet season: November to June")
	d.CheckFit("season")
	d.Screenshot("season")
	d.Reload()
	d.WaitText("Wet season: November to June")
}

// A visit by keyboard alone, from the first screen.
func TestVisitByKeyboard(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.focus("Visit")
	d.press("Enter")
	d.WaitText("Due: 1")
	d.focus("Third dam")
	d.press("Enter")
	d.WaitHeading("Visit to Third dam")
	d.focus("Needs work")
	d.press("Space")
	d.focus("Save: needs work")
	d.press("Enter")
	d.WaitSaid("Visit to Third dam saved")
	if got := value[string](t, d.sent(1)[0], "condition"); got != "needs work" {
		t.Errorf("condition %q", got)
	}
}

// focus goes on with the tab key until what has the focus begins with these words, and
// checks that it is in sight.
func (d day) focus(words string) {
	d.t.Helper()
	for range 60 {
		d.press("Tab")
		at := phone.Eval[struct {
			Text    string
			Visible bool
		}](d.Page, `(() => {
			const e = document.activeElement, r = e.getBoundingClientRect();
			const over = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
			return {text: (e.getAttribute("aria-label") ?? e.innerText ?? "").trim(), visible: !!over && (e.contains(over) || over.contains(e))};
		})()`)
		if strings.HasPrefix(at.Text, words) {
			if !at.Visible {
				d.t.Errorf("%q has the focus and is hidden", words)
			}
			return
		}
	}
	d.t.Fatalf("the tab key never comes to %q\n%s", words, d.Text())
}

// A visit that was left half done is on the first screen, goes on from there, and can be dropped.
func TestBegunVisitIsOnTheFirstScreen(t *testing.T) {
	t.Parallel()
	d := begin(t, []thing{dam})
	d.Go("#/")
	d.Go("#/visit/" + dam.id)
	d.WaitText("Condition")
	d.Tap("Back") // looked at and not begun
	d.WaitGone("You began a visit")
	d.Go("#/visit/" + dam.id)
	d.Type("Notes", "water goes round the end")
	d.Tap("Back")
	d.WaitText("You began a visit to Third dam. It is not saved yet.")
	d.CheckFit("the first screen with a visit begun")
	d.Screenshot("visit-begun")
	d.Tap("Continue the visit")
	d.WaitText("What you entered is still here.")
	d.CheckFit("a visit that was begun")
	d.Screenshot("visit-continued")
	d.Tap("Discard what was entered")
	d.WaitGone("What you entered")
	d.WaitGone("You began a visit")
}

// The range of a count is with it afterwards, and no season is presumed that nobody chose.
func TestCountedCoverKeepsItsRange(t *testing.T) {
	t.Parallel()
	plot := thing{"plot-9", map[string]any{"kind": "cover-plot", "name": "Scald plot", "geometry": point(146.5003, -20.2502), "coverPct": 5}}
	d := begin(t, []thing{plot})
	d.Go("#/visit/" + plot.id)
	d.Tap("Count cover")
	for range 3 {
		d.Tap("Cover")
	}
	d.Tap("Bare")
	d.WaitText("3 of 4 points on cover")
	d.WaitText("give the months of the dry to have the date checked")
	d.Tap("Wet season: not chosen yet")
	d.Tap("It is November to April here")
	d.WaitGone("give the months of the dry")
	want := answer[struct{ LowPct, HighPct float64 }](t, "cover", `{"points":{"hits":3,"total":4}}`)
	limits := fmt.Sprintf("between %.0f %% and %.0f %%", want.LowPct, want.HighPct)
	d.WaitText(limits)
	d.Tap("Done")
	d.Tap("Save visit")
	d.WaitSaid("Visit to Scald plot saved")
	d.WaitFor(`!location.hash.includes("/visit/")`)
	d.Go("#/thing/" + plot.id)
	d.WaitText("75 % (" + limits + ", 95 % sure)")
	d.CheckFit("an item with a count")
	d.Screenshot("cover-range")
}
