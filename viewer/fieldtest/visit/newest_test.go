package visit

import (
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A page of an item shows what was seen of it last, with its day; what was written down
// before stands in no place of it, and the visits stand below with their notes.
func TestItemShowsItsNewestVisit(t *testing.T) {
	t.Parallel()
	dam := thing{"dam-1", map[string]any{"kind": "check-dam", "name": "Third dam", "status": "built", "builtOn": "2024-08-01", "observedOn": "2024-08-01", "crestHeightM": 0.4, "crestHeightBasis": "estimated", "sedimentDepthM": 0.05, "geometry": point(146.5001, -20.25)}}
	plot := thing{"plot-1", map[string]any{"kind": "cover-plot", "name": "Plot A", "observedOn": "2024-08-01", "coverPct": 5.0, "geometry": point(146.5002, -20.25)}}
	d := begin(t, []thing{dam, plot,
		visited("v2", dam.id, "2026-05-13", map[string]any{"condition": "needs work", "sedimentDepthM": 0.31, "notes": "Notch worn on the left"}),
		visited("v1", dam.id, "2025-05-03", map[string]any{"condition": "holding", "sedimentDepthM": 0.12}),
		visited("v3", plot.id, "2026-05-13", map[string]any{"coverPct": 72.0, "coverHits": 72, "coverPoints": 100})})
	d.Go("#/thing/" + dam.id)
	d.WaitText("Needs work on 13 May 2026")
	d.CheckFit("a dam that was visited")
	d.Screenshot("item-visited")
	facts := phone.Eval[string](d.Page, `[...document.querySelectorAll("dl.facts")].pop().innerText.replace(/\s+/g, " ")`)
	if !strings.Contains(facts, "Sediment caught 0.31 m, 13 May 2026") || strings.Contains(facts, "0.05") {
		t.Errorf("the dam's facts read %q, want the sediment of the last visit alone", facts)
	}
	all := phone.Eval[string](d.Page, `[...document.querySelectorAll("dl")].map(e => e.innerText).join(" ").replace(/\s+/g, " ")`)
	if !strings.Contains(all, "Crest above bed 0.40 m estimated") || strings.Contains(all, "how measured") {
		t.Errorf("the dam's facts and figures read %q, want the crest with how it was measured", all)
	}
	if words := phone.Eval[string](d.Page, `document.querySelector(".glance").innerText`); strings.HasPrefix(words, "OK") || strings.HasPrefix(words, "Holds") {
		t.Errorf("a dam that needs work is told to be %q", words)
	}
	visits := phone.Eval[[]string](d.Page, `[...document.querySelectorAll(".visits > li")].map(e => e.innerText.replace(/\s+/g, " ").trim())`)
	want := []string{"13 May 2026: needs work, sediment caught 0.31 m Notch worn on the left", "3 May 2025: sound, sediment caught 0.12 m"}
	if strings.Join(visits, "|") != strings.Join(want, "|") {
		t.Errorf("its visits read %q, want %q", visits, want)
	}
	d.Go("#/thing/" + plot.id)
	d.WaitText("Ground cover")
	d.WaitText("72 % (between 63 % and 80 %, 95 % sure), 13 May 2026")
	if facts := phone.Eval[string](d.Page, `[...document.querySelectorAll("dl.facts")].pop().innerText`); strings.Contains(facts, "\n5 %") {
		t.Errorf("the plot's facts read %q, which is what it was before", facts)
	}
	d.Go("#/visit/" + plot.id)
	d.WaitText("Last visit 13 May 2026")
	d.Tap("Save visit")
	d.WaitSaid("Not saved: choose the condition, or measure something first.")
}
