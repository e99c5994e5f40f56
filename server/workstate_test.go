package server

import (
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/register"
)

// What a landholder asks first, of a property with one of each.
func TestLandIsSummedUp(t *testing.T) {
	all := append(gully(t), // three built dams, of which the first two leave a gap
		folded(t, "old", fields{"kind": "whoa-boy", "name": "Bank 1", "status": "failed", "builtOn": "2025-04-02", "failedOn": "2026-05-13"}),
		folded(t, "seen", fields{"kind": "windrow", "name": "Row 1", "status": "built", "builtOn": "2025-04-02"}),
		folded(t, "seen-look", fields{"kind": "visit", "of": "seen", "observedOn": "2026-06-20", "condition": "needs work"}),
		folded(t, "rebuilt", fields{"kind": "windrow", "name": "Row 2", "status": "built", "builtOn": "2026-06-01"}),
		folded(t, "rebuilt-look", fields{"kind": "visit", "of": "rebuilt", "observedOn": "2026-05-13", "condition": "failed"}),
		folded(t, "broken", fields{"kind": "windrow", "name": "Row 3", "status": "built", "builtOn": "2025-06-01"}),
		folded(t, "broken-look", fields{"kind": "visit", "of": "broken", "observedOn": "2026-05-13", "condition": "failed"}),
		folded(t, "planned", fields{"kind": "windrow", "name": "Row 4", "status": "proposed"}),
		folded(t, "bare", fields{"kind": "windrow", "name": "Row 5"}),
		folded(t, "pit", fields{"kind": "hazard", "name": "Old well", "danger": "Open shaft: keep away."}),
		folded(t, "hidden", fields{"kind": "hazard", "name": "Secret", "danger": "x", "sensitive": true}),
		folded(t, "quiet-look", fields{"kind": "visit", "of": "seen", "observedOn": "2026-07-30", "condition": "failed", "sensitive": true}),
		folded(t, "snap", fields{"kind": "visit", "of": "seen", "observedOn": "2026-07-01", "photos": []string{shaA}}),
	)
	v := viewOf(t, all...)
	var done, watch, hazards []string
	for _, d := range v.Done {
		done = append(done, strings.TrimSpace(rounded(float64(d.Count), 0)+" "+d.Text))
	}
	for _, w := range v.Watch {
		watch = append(watch, w.ID+" "+string(w.State)+" "+w.Text)
	}
	for _, h := range v.Hazards {
		hazards = append(hazards, h.ID+" "+h.Text)
	}
	for _, c := range []struct {
		what      string
		got, want []string
	}{
		{"done", done, []string{"5 works built 2025–2026", "2 failed", "2 need attention", "1 proposed", "1 with no stage recorded"}},
		{"watch", watch, []string{
			"old failed Bank 1: found failed on 13 May 2026: it no longer does its job.",
			"broken failed Row 3: found failed on 13 May 2026: it no longer does its job.",
			"dam-1 attention Dam one: there is a gap of 0.2\u00a0m up to the next dam: water falls on bare bed between the two.",
			"seen attention Row 1: found to need work on 20 June 2026.",
		}},
		{"hazards", hazards, []string{"pit Old well: open shaft: keep away."}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: got %q, want %q", c.what, c.got, c.want)
		}
	}
	if want := []string{"Last inspected 20 June 2026 by Kim, field officer.", "Of 7 works on the ground, 3 inspected and 4 never."}; !slices.Equal(v.Inspected, want) {
		t.Errorf("inspections: got %q, want %q", v.Inspected, want)
	}
	// A visit that only photographed is none that inspected, and a sensitive one is not told of.
	if v.LastVisit == nil || *v.LastVisit != (inspection{On: "2026-06-20", By: "Kim, field officer"}) {
		t.Errorf("last visit: got %+v, want 20 June 2026 by Kim", v.LastVisit)
	}
	if v.LastEntry != "2026-07-01" {
		t.Errorf("last entry: got %q, want the day of the newest entry that is shown, 2026-07-01", v.LastEntry)
	}
	if text := jsonOf(t, v); strings.Contains(text, "Secret") || strings.Contains(text, "2026-07-30") {
		t.Errorf("land.json tells of what is sensitive: %s", text)
	}
}

// A year is told of no more works than have one.
func TestWorksAreCountedByTheYearsThatAreKnown(t *testing.T) {
	dam := func(id, builtOn string) register.Folded {
		set := fields{"kind": "check-dam", "name": id, "status": "built"}
		if builtOn != "" {
			set["builtOn"] = builtOn
		}
		return folded(t, id, set)
	}
	for _, c := range []struct {
		builtOn []string
		want    string
	}{
		{[]string{""}, "work built"},
		{[]string{"", ""}, "works built"},
		{[]string{"2026-11-30"}, "work built 2026"},
		{[]string{"2026-11-30", ""}, "works built, 1 of them in 2026, 1 without a date"},
		{[]string{"2026-11-30", "2025-02-01", "", ""}, "works built, 2 of them in 2025–2026, 2 without a date"},
		{[]string{"2026-11-30", "2025-02-01"}, "works built 2025–2026"},
	} {
		all := []register.Folded{folded(t, "failed", fields{"kind": "windrow", "status": "failed", "builtOn": "2020-01-01"})}
		for i, on := range c.builtOn {
			all = append(all, dam("dam-"+string(rune('a'+i)), on))
		}
		if got, want := viewOf(t, all...).Done[0], (linkCount{len(c.builtOn), c.want, ""}); got != want {
			t.Errorf("built on %q: got %+v, want %+v", c.builtOn, got, want)
		}
	}
}

// Whoever edited a visit later did not inspect anything; the entry counts as the newest.
func TestWhoEditsAVisitIsNotNamed(t *testing.T) {
	visit := folded(t, "look", fields{"kind": "visit", "of": "dam", "observedOn": "2026-05-13", "condition": "sound"})
	visit.Changed = register.Word{Author: "Office", SeenAt: "2026-06-01T23:30:00+10:00"}
	v := viewOf(t, folded(t, "dam", fields{"kind": "check-dam", "status": "built"}), visit)
	if v.LastVisit == nil || *v.LastVisit != (inspection{On: "2026-05-13", By: "Kim, field officer"}) || v.LastEntry != "2026-06-01" {
		t.Errorf("last visit %+v and last entry %q: got these, want that of 13 May by Kim, and 1 June", v.LastVisit, v.LastEntry)
	}
}

func TestHeadMovementInPlainWords(t *testing.T) {
	head := func(visits ...fields) linkItem {
		all := []register.Folded{folded(t, "head", fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.6})}
		for i, set := range visits {
			set["kind"], set["of"] = "visit", "head"
			all = append(all, folded(t, "look-"+string(rune('a'+i)), set))
		}
		return viewOf(t, all...).Others[0]
	}
	for _, c := range []struct {
		name   string
		visits []fields
		state  itemState
		want   []string
	}{
		{"moving", []fields{{"observedOn": "2024-11-26", "headOffsetM": 12.40}, {"observedOn": "2025-05-14", "headOffsetM": 11.85}, {"observedOn": "2026-05-12", "headOffsetM": 11.31}}, attentionState,
			[]string{"Cut back 1.1\u00a0m up the gully since 26 November 2024.", "It still moves: 0.5\u00a0m of that since 14 May 2025."}},
		{"settled", []fields{{"observedOn": "2024-11-26", "headOffsetM": 12.40}, {"observedOn": "2025-05-14", "headOffsetM": 11.85}, {"observedOn": "2026-05-12", "headOffsetM": 11.80}}, "",
			[]string{"Cut back 0.6\u00a0m up the gully since 26 November 2024.", "Since 14 May 2025 it has not moved further, as far as a tape can show."}},
		{"still", []fields{{"observedOn": "2024-11-26", "headOffsetM": 12.40}, {"observedOn": "2026-05-12", "headOffsetM": 12.35}}, "",
			[]string{"No movement since 26 November 2024 that a tape can show."}},
		{"once", []fields{{"observedOn": "2024-11-26", "headOffsetM": 12.40}}, "", []string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			item := head(c.visits...)
			got := item.Plain
			if item.State == attentionState {
				got = item.Wrong
			}
			if item.State != c.state || !slices.Equal(got, c.want) {
				t.Errorf("the head: got %q %q, want %q %q", item.State, got, c.state, c.want)
			}
			if want := "Last inspected " + model.DayInWords(c.visits[len(c.visits)-1]["observedOn"].(string)) + "."; item.Seen != want {
				t.Errorf("the head: got %q, want %q", item.Seen, want)
			}
		})
	}
}
