package followup

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// item makes a feature as a register has it; fields are name, value, name, value.
func item(kind, id string, fields ...any) recorded.Item {
	f := model.Feature{ID: id, Kind: kind, Fields: map[string]json.RawMessage{}}
	for i := 0; i < len(fields); i += 2 {
		raw, err := json.Marshal(fields[i+1])
		if err != nil {
			panic(err)
		}
		f.Fields[fields[i].(string)] = raw
	}
	return recorded.Item{Feature: f}
}

func visit(of, on string, fields ...any) recorded.Item {
	return item("visit", of+" "+on, append([]any{"of", of, "observedOn", on}, fields...)...)
}

func dam(id, builtOn string, fields ...any) recorded.Item {
	return item("check-dam", id, append([]any{"status", "built", "builtOn", builtOn, "name", id}, fields...)...)
}

func clashed(of recorded.Item, fields ...string) recorded.Item {
	of.Clashes = fields
	return of
}

func struck(of recorded.Item) recorded.Item {
	of.Struck = true
	return of
}

func on(text string) monitor.Day {
	d, err := monitor.ParseDay(text)
	if err != nil {
		panic(err)
	}
	return d
}

// wet is the usual season, set for the property.
var wet = item(model.SettingsKind, model.SettingsID("p"), "wetFirstMonth", 11, "wetLastMonth", 4, "stormThresholdMm", 40)

// ask answers by 25 November 2026, unless the request has another day.
func ask(t *testing.T, r Request, items ...recorded.Item) Report {
	t.Helper()
	if r.Today == 0 {
		r.Today = on("2026-11-25")
	}
	out, err := Of("p", slices.Values(items), r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// dueWords are what is due in a line each.
func dueWords(due []Due) (all []string) {
	for _, d := range due {
		for _, reason := range d.Reasons {
			all = append(all, d.Feature+": "+reason.Text)
		}
	}
	return all
}

func leftOutWords(all []LeftOut) []string {
	return model.Each(all, func(l LeftOut) string { return l.Feature + " " + l.On + ": " + l.Why })
}

func wants(t *testing.T, what string, got, want []string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n  %s\nwant\n  %s", what, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

func TestWhatIsDueAfterTheWetAndWhatIsNot(t *testing.T) {
	out := ask(t, Request{}, wet,
		dam("seen", "2024-08-01"), visit("seen", "2026-05-01", "condition", "sound"),
		dam("in-the-wet", "2024-08-01"), visit("in-the-wet", "2026-04-30", "condition", "sound"),
		dam("new", "2026-08-01"),
		item("check-dam", "undated", "status", "built", "name", "D10"),
		item("check-dam", "some-day", "status", "built", "name", "D9"), item("visit", "v", "of", "some-day", "condition", "sound"),
		dam("old", "2025-08-01"),
		dam("only-a-photo", "2025-09-01"), visit("only-a-photo", "2026-06-01", "photos", []string{strings.Repeat("a", 64)}),
		item("check-dam", "planned", "status", "proposed"),
		item("peg", "peg"),
		item("gully-head", "head", "observedOn", "2025-10-10"),
	)
	wants(t, "due", dueWords(out.Due), []string{
		"undated: never visited",
		"old: built 1 August 2025, not visited yet",
		"only-a-photo: built 1 September 2025, not visited yet",
		"head: recorded 10 October 2025, not visited yet",
		"some-day: last visit on a day not known",
		"in-the-wet: not visited since the wet; last visit 30 April 2026",
	})
	wants(t, "left out", leftOutWords(out.LeftOut), []string{"some-day : its day is not recorded"})
	out = ask(t, Request{}, item("check-dam", "a", "status", "built", "name", "D10"), item("check-dam", "b", "status", "built", "name", "D9"), item("check-dam", "c", "status", "built", "name", "D09b"))
	wants(t, "by name", model.Each(out.Due, func(d Due) string { return d.Name }), []string{"D9", "D09b", "D10"})
}

func TestWhatIsDueAfterAStorm(t *testing.T) {
	items := []recorded.Item{wet,
		dam("before", "2024-08-01"), visit("before", "2026-11-09", "condition", "sound"),
		dam("that-day", "2024-08-01"), visit("that-day", "2026-11-10", "condition", "sound"),
		dam("after", "2024-08-01"), visit("after", "2026-11-11", "condition", "sound"),
		dam("built-since", "2026-11-12"),
	}
	storms := []Storm{{on("2026-11-10"), 40}, {on("2026-11-20"), 39.9}}
	out := ask(t, Request{Storms: storms}, items...)
	wants(t, "due", dueWords(out.Due), []string{
		"before: 40 mm of rain on 10 November 2026, and no visit after that day",
		"that-day: 40 mm of rain on 10 November 2026, and no visit after that day",
	})
	wants(t, "cautions", model.Each(out.Cautions, func(c model.Caution) string { return c.Text }), []string{
		"The 39.9 mm of 20 November 2026 are less than the 40 mm that count as a storm here: nothing is due by them.",
		"1 of 4 works were not judged in these years: the conditions are of the others alone.",
	})
	if out = ask(t, Request{Storms: storms[1:]}, items[1:]...); len(out.Due) != 4 || out.Cautions[1].Text != "No storm threshold is set for this property: the 39.9 mm of 20 November 2026 are taken for a storm." {
		t.Errorf("without a threshold a storm makes due %v, want all four, with %v", dueWords(out.Due), out.Cautions)
	}
	for _, s := range []Storm{{on("2026-11-26"), 50}, {on("2026-11-10"), 0}, {on("2026-11-10"), 2001}} {
		if _, err := Of("p", slices.Values(items), Request{Today: on("2026-11-25"), Storms: []Storm{s}}); err == nil {
			t.Errorf("%+v is taken", s)
		}
	}
}

func TestWhatWasFoundAmissStaysDue(t *testing.T) {
	out := ask(t, Request{}, wet,
		dam("needs-work", "2024-08-01"), visit("needs-work", "2026-06-01", "condition", "needs work"),
		dam("judged-again", "2024-08-01"), visit("judged-again", "2026-06-01", "condition", "failed"), visit("judged-again", "2026-07-01", "condition", "sound"),
		dam("measured-since", "2024-08-01"), visit("measured-since", "2026-06-01", "condition", "failed"), visit("measured-since", "2026-07-01", "sedimentDepthM", 0.2),
		dam("stands", "2025-07-01", "failedOn", "2026-08-01"), visit("stands", "2026-07-01", "condition", "sound"),
		dam("built-again", "2026-07-01"), visit("built-again", "2026-06-01", "condition", "failed"),
		dam("not-settled", "2024-08-01"), visit("not-settled", "2025-06-01", "condition", "sound"), clashed(visit("not-settled", "2026-06-02", "condition", "sound"), "condition"),
		item("gully-head", "head"), visit("head", "2026-06-02", "condition", "needs work"), visit("head", "2026-07-02", "headOffsetM", 12),
		dam("given-up", "2026-06-01", "status", "failed", "failedOn", "2026-08-01"),
	)
	wants(t, "due", dueWords(out.Due), []string{
		"needs-work: the visit on 1 June 2026 found that it needs work; not looked at since",
		"measured-since: the visit on 1 June 2026 found that it has failed; its condition was not judged again",
		"head: the visit on 2 June 2026 found that it needs work; its condition was not judged again",
		"given-up: recorded as found failed on 1 August 2026",
	})
	wants(t, "left out", leftOutWords(out.LeftOut), []string{"not-settled 2026-06-02: two people recorded its condition differently: settle which is right", "built-again 2026-06-01: it was before the work was built on 1 July 2026, and says nothing of its condition since"})
}

func TestCoverIsDueAtTheEndsOfTheSeasons(t *testing.T) {
	items := []recorded.Item{wet, item("scald", "s"), visit("s", "2026-03-01", "coverPct", 40)}
	for today, want := range map[string][]string{
		"2026-02-28": nil,
		"2026-03-01": nil,
		"2026-07-01": nil,
		"2027-03-01": {"s: its ground cover was not counted yet in these last two months of the wet"},
		"2026-09-01": {"s: its ground cover was not counted yet in these last two months of the dry"},
	} {
		wants(t, today, dueWords(ask(t, Request{Today: on(today)}, items...).Due), want)
	}
}

// What cannot be told is said, each once, and nothing is made of it.
func TestWhatDoesNotCountIsSaid(t *testing.T) {
	noDay := item("visit", "no-day", "of", "a", "condition", "failed")
	sounds := func(of, day string) recorded.Item {
		return visit(of, day, "condition", "failed", "sedimentDepthM", 0.3)
	}
	out := ask(t, Request{}, wet,
		dam("a", "2026-07-01"), noDay, sounds("a", "2027-01-01"), sounds("a", "2026-02-30"), sounds("a", "2026-06-30"),
		clashed(sounds("a", "2026-08-01"), "observedOn"), clashed(sounds("a", "2026-08-02"), "condition", "sedimentDepthM"), clashed(sounds("a", "2026-08-03"), "strike"),
		struck(dam("b", "2025-07-01")), sounds("b", "2026-07-01"), struck(sounds("a", "2026-09-01")),
		sounds("nowhere", "2026-07-01"),
		clashed(dam("c", "2025-07-01"), "status"), dam("d", "2027-07-01"), item("check-dam", "e", "status", "pegged"), sounds("e", "2026-07-01"),
		dam("h", "2026-06-30", "name", "Dam 8"),
	)
	wants(t, "due", dueWords(out.Due), nil)
	got := leftOutWords(out.LeftOut)
	slices.Sort(got)
	wants(t, "left out", got, []string{
		"a 2026-02-30: \"2026-02-30\" is not a date. Write year, month and day, as in 2024-11-30.",
		"a 2026-06-30: it was before the work was built on 1 July 2026, and says nothing of its condition since",
		"a 2026-08-01: two people recorded its date recorded differently: settle which is right",
		"a 2026-08-02: two people recorded its condition differently: settle which is right",
		"a 2026-08-02: two people recorded its sediment caught differently: settle which is right",
		"a 2026-08-03: two people recorded whether it is struck out differently: settle which is right",
		"a 2027-01-01: its day has not come yet: correct the date",
		"a : its day is not recorded",
		"b 2026-07-01: what it is to was struck out",
		"c : two people recorded its status differently: settle which is right",
		"d 2027-07-01: the day it was built has not come yet, or is none: correct the date",
		"e 2026-07-01: it found the work failed, and the work is not recorded as built: record when it was",
		"nowhere 2026-07-01: it is to a feature that is not recorded here",
	})
	for _, h := range out.Held {
		if h.Works() > 0 || h.Built != 2 {
			t.Errorf("held: %+v; want two built, none judged", h)
		}
	}
}

func TestTheSeasonIsThePropertysOrSaidToBeTheUsual(t *testing.T) {
	dry := item(model.SettingsKind, "other-id", "wetFirstMonth", 5, "wetLastMonth", 9)
	seen := []recorded.Item{dam("a", "2024-08-01"), visit("a", "2026-06-01", "condition", "sound")}
	if out := ask(t, Request{}, seen...); len(out.Due) != 0 || out.Wet.Set || len(out.Cautions) == 0 || out.Cautions[0].About != "wet" {
		t.Errorf("by the usual wet due are %v, with %v", dueWords(out.Due), out.Cautions)
	}
	if out := ask(t, Request{}, append(seen, dry)...); len(out.Due) != 1 || !out.Wet.Set {
		t.Errorf("by a wet of May to September due are %v", dueWords(out.Due))
	}
	if out := ask(t, Request{}, append(seen, clashed(dry, "wetLastMonth"))...); out.Wet.Set || len(out.LeftOut) != 1 {
		t.Errorf("two people set the wet differently: %+v, %v", out.Wet, out.LeftOut)
	}
}

func TestWhatHeldByKindMaterialAndAge(t *testing.T) {
	rock := func(id, built string, fields ...any) recorded.Item {
		return dam(id, built, append(fields, "material", "loose rock")...)
	}
	items := []recorded.Item{wet,
		rock("1", "2023-08-01"), visit("1", "2024-06-01", "condition", "sound"), visit("1", "2025-06-01", "condition", "failed"), visit("1", "2026-06-01", "condition", "sound"),
		rock("2", "2023-08-01"), visit("2", "2024-07-01", "condition", "needs work"), visit("2", "2024-06-01", "condition", "sound"),
		rock("3", "2025-08-01", "status", "failed", "failedOn", "2026-08-01"),
		rock("4", "2026-08-01"),
		clashed(dam("7", "2026-06-01", "material", "timber"), "material"), visit("7", "2026-06-01", "condition", "sound"),
		clashed(dam("8", "2026-06-01", "material", "timber"), "material"), visit("8", "2026-06-01", "condition", "sound"),
		dam("5", "2023-08-01", "material", "hay bales"), visit("5", "2024-06-01", "condition", "healed"),
		item("whoa-boy", "6", "status", "removed"), visit("6", "2024-06-01", "condition", "failed"),
	}
	all := ask(t, Request{}, items...)
	if want := []Held{
		{"check-dam", "hay bales", 1, Found{Healed: 1}, []string{"5 2024-06-01"}},
		{"check-dam", "loose rock", 4, Found{Sound: 1, NeedsWork: 1, Failed: 1}, []string{"1 2026-06-01", "2 2024-07-01", "3"}},
		{"check-dam", "material not settled", 2, Found{Sound: 2}, []string{"7 2026-06-01", "8 2026-06-01"}},
	}; !reflect.DeepEqual(all.Held, want) || all.Held[0].Works() != 1 {
		t.Errorf("held %+v, want %+v", all.Held, want)
	}
	if want := []Age{
		{"check-dam", 0, Found{Sound: 2}, []string{"7 2026-06-01", "8 2026-06-01"}},
		{"check-dam", 1, Found{Sound: 1, Healed: 1, NeedsWork: 1}, []string{"1 2024-06-01", "2 2024-07-01", "5 2024-06-01"}},
		{"check-dam", 2, Found{Failed: 1}, []string{"1 2025-06-01"}},
		{"check-dam", 3, Found{Sound: 1}, []string{"1 2026-06-01"}},
	}; !reflect.DeepEqual(all.Ages, want) {
		t.Errorf("by age %+v, want %+v", all.Ages, want)
	}
	if in := ask(t, Request{From: 2025, To: 2025, Kind: "check-dam"}, items...); in.Held[1].Built != 3 || in.Held[1].Found != (Found{Failed: 1}) || in.Held[0].Works() != 0 {
		t.Errorf("in 2025 held %+v; want 3 of rock, of which 1 judged, failed", in.Held)
	}
	for want, r := range map[string]Request{"2026 is after 2025": {From: 2026, To: 2025}, "did you mean check-dam?": {Kind: "check-dm"}, "as exports have it": {Kind: "pond"}} {
		if _, err := Of("p", slices.Values(items), r); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v is answered, or refused by %v; want %s", r, err, want)
		}
	}
}

func TestCautionsGoWithWhatIsInTheReport(t *testing.T) {
	texts := func(r Report) []string {
		return model.Each(r.Cautions, func(c model.Caution) string { return c.Text })
	}
	wants(t, "of dams", texts(ask(t, Request{}, wet, dam("a", "2024-08-01"), visit("a", "2025-06-01", "condition", "sound"), dam("b", "2024-08-01"), dam("c", "2024-08-01"))),
		[]string{"2 of 3 works were not judged in these years: the conditions are of the others alone."})
	head := clashed(visit("h", "2026-06-01", "accuracyM", 3), "geometry")
	head.Geometry = orb.Point{148, -20}
	out := ask(t, Request{}, wet, item("gully-head", "h"), head, visit("h", "2025-06-01", "headOffsetM", 12), item("scald", "s"), visit("s", "2025-06-01", "coverPct", 20), visit("s", "2026-06-01", "coverPct", 30))
	wants(t, "of a head and a scald", texts(out), []string{monitor.GullyCautions[0].Text, monitor.CoverCautions[0].Text})
	wants(t, "left out", leftOutWords(out.LeftOut), []string{"h 2026-06-01: two people recorded its place differently: settle which is right"})
	if h := out.Heads[0]; h.Since != nil || h.Why != "no two visits measured it: tape from its hub peg to the lip at each visit" {
		t.Errorf("measured once: %+v", h)
	}
	placed := func(day string, lat float64) recorded.Item {
		v := visit("h", day, "accuracyM", 3)
		v.Geometry = orb.Point{148, lat}
		return v
	}
	if h := ask(t, Request{}, item("gully-head", "h"), placed("2024-06-01", -20), placed("2025-06-01", -20.0001), clashed(placed("2026-06-01", -21), "geometry")).Heads[0]; h.Since == nil || h.Since.To.String() != "2025-06-01" {
		t.Errorf("a position in clash counts: %+v", h)
	}
}
