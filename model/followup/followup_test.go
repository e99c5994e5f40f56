package followup

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/monitor"
)

// item makes a feature as a register has it; fields are name, value, name, value.
func item(kind, id string, fields ...any) Item {
	f := model.Feature{ID: id, Kind: kind, Fields: map[string]json.RawMessage{}}
	for i := 0; i < len(fields); i += 2 {
		raw, err := json.Marshal(fields[i+1])
		if err != nil {
			panic(err)
		}
		f.Fields[fields[i].(string)] = raw
	}
	return Item{Feature: f}
}

func visit(of, on string, fields ...any) Item {
	return item("visit", of+" "+on, append([]any{"of", of, "observedOn", on}, fields...)...)
}

func dam(id, builtOn string, fields ...any) Item {
	return item("check-dam", id, append([]any{"status", "built", "builtOn", builtOn, "name", id}, fields...)...)
}

func clashed(of Item, fields ...string) Item {
	of.Clashes = fields
	return of
}

func struck(of Item) Item {
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
func ask(t *testing.T, r Request, items ...Item) Report {
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
	items := []Item{wet,
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
	items := []Item{wet, item("scald", "s"), visit("s", "2026-04-02", "coverPct", 40)}
	for today, want := range map[string][]string{
		"2026-04-01": {"s: its ground cover was not counted yet in these last two months of the wet"},
		"2026-04-02": nil,
		"2026-07-01": nil,
		"2026-09-01": {"s: its ground cover was not counted yet in these last two months of the dry"},
	} {
		wants(t, today, dueWords(ask(t, Request{Today: on(today)}, items...).Due), want)
	}
}

// What cannot be told is said, each once, and nothing is made of it.
func TestWhatDoesNotCountIsSaid(t *testing.T) {
	noDay := item("visit", "no-day", "of", "a", "condition", "failed")
	sounds := func(of, day string) Item { return visit(of, day, "condition", "failed", "sedimentDepthM", 0.3) }
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
	seen := []Item{dam("a", "2024-08-01"), visit("a", "2026-06-01", "condition", "sound")}
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

// The rates of a printed trial over 26 months, and of a stake after 243 days, which is too short for one.
func TestHeads(t *testing.T) {
	tape := func(offset float64, on string) Item { return visit("h", on, "headOffsetM", offset) }
	for _, c := range modeltest.Cases(t, "gully", "annual_rate") {
		if c.Number(t, "months") != 26 {
			t.Fatalf("%s is another trial", c.ID)
		}
		since := ask(t, Request{}, wet, item("gully-head", "h"), tape(20, "2024-06-01"), tape(20-c.Number(t, "distance"), "2026-08-01")).Heads[0].Since
		if since == nil || since.MoreThanNoise != monitor.Yes || since.Retreat.Basis != model.Taped || since.Retreat.Origin != Computed || !slices.Equal(since.Retreat.From, []string{"h 2024-06-01", "h 2026-08-01"}) || *since.Retreat.PlusMinus != 0.0707 || *since.LeastProvableM != 0.14 || *since.WetSeasons != 2 {
			t.Fatalf("%+v", since)
		}
		c.Check(t, "rate", since.Rate.Value)
	}
	for _, c := range modeltest.Cases(t, "gully", "annual_rate_days") {
		from := on("2025-02-01")
		h := ask(t, Request{}, item("gully-head", "h"), tape(c.Number(t, "d1"), from.String()), tape(c.Number(t, "d2"), (from+monitor.Day(c.Number(t, "days"))).String())).Heads[0]
		if h.Since == nil || h.Since.Rate != nil || h.Since.WetSeasons != nil || h.Since.Retreat.Value != cut(c.Number(t, "d1")-c.Number(t, "d2"), 4) || len(h.Cautions) == 0 {
			t.Errorf("after 243 days: %+v", h)
		}
	}
	fix := func(day string, lat float64) Item {
		v := visit("h", day, "accuracyM", 3)
		v.Geometry = orb.Point{148, lat}
		return v
	}
	out := ask(t, Request{}, item("gully-head", "h"), fix("2024-06-01", -20), fix("2025-06-01", -20.00003), fix("2026-06-01", -20.0001))
	h := out.Heads[0]
	if h.Since == nil || h.Since.MoreThanNoise != monitor.Yes || h.Last.MoreThanNoise != monitor.No || h.Trend != nil || h.Since.Rate == nil || h.Since.Retreat.Basis != model.GPS || len(h.Cautions) < 2 {
		t.Errorf("by fixes of 3 m, 11 m apart: %+v", h)
	}
	tapes := []Item{item("gully-head", "h"), visit("h", "2023-06-01", "headOffsetM", 14), visit("h", "2024-06-01", "headOffsetM", 13), visit("h", "2025-06-01", "headOffsetM", 13.02), visit("h", "2026-06-01", "headOffsetM", 12)}
	for years, want := range map[[2]int]string{{0, 0}: "2023-06-01", {2025, 2025}: "2024-06-01", {2025, 0}: "2024-06-01", {2023, 2024}: "2023-06-01", {2027, 2027}: "", {2022, 2022}: ""} {
		h := ask(t, Request{From: years[0], To: years[1]}, tapes...).Heads[0]
		if (h.Since == nil) != (want == "") || h.Since != nil && h.Since.From.String() != want || h.Since == nil && h.Why == "" {
			t.Errorf("of the years %v the retreat is from %+v, want %s", years, h.Since, want)
		}
	}
	if h := ask(t, Request{To: 2023}, tapes...).Heads[0]; h.Why != "no two visits measured it in these years or just before them: tape from its hub peg to the lip at each visit" {
		t.Errorf("of one visit: %q", h.Why)
	}
	if h := ask(t, Request{From: 2025, To: 2025}, tapes...).Heads[0]; h.Since.MoreThanNoise != monitor.No || h.Since.Retreat.Value != -0.02 {
		t.Errorf("2 cm the other way: %+v", h.Since)
	}
}

// The change of cover meets the printed limits, from visits as phones keep them.
func TestCoverFromYearToYear(t *testing.T) {
	for _, c := range modeltest.Cases(t, "monitor", "proportion_difference_95") {
		counted := func(day, when string) Item {
			hits, total := c.Number(t, when+"_hits"), c.Number(t, when+"_total")
			return visit("s", day, "coverPct", 100*hits/total, "coverHits", hits, "coverPoints", total)
		}
		out := ask(t, Request{}, item("scald", "s"), counted("2025-10-01", "before"), counted("2025-03-01", "after"), counted("2026-10-10", "after"))
		if len(out.Cover) != 1 || out.Cover[0].Before.On.String() != "2025-10-01" || len(out.Cover[0].Notes) != 0 {
			t.Fatalf("%+v", out.Cover)
		}
		got := out.Cover[0]
		for name, limit := range map[string]*float64{"low": got.Low, "high": got.High} {
			if want := 100 * modeltest.Want[float64](t, c, name); limit == nil || *limit < want-0.051 || *limit > want+0.051 {
				t.Errorf("%s: %s %v, want %.1f", c.ID, name, limit, want)
			}
		}
	}
	pct := func(day string, pct float64, fields ...any) Item {
		return visit("s", day, append(fields, "coverPct", pct)...)
	}
	for name, second := range map[string]Item{"alone": pct("2026-04-01", 80), "edited since": pct("2026-04-01", 80, "coverHits", 10, "coverPoints", 100), "one plot": pct("2026-04-01", 80, "coverPlotsPct", []float64{80})} {
		got := ask(t, Request{}, item("scald", "s"), pct("2025-10-01", 20, "coverHits", 20, "coverPoints", 100), second).Cover[0]
		if got.MoreThanNoise != monitor.CannotTell || got.Low != nil || got.After.PlusMinus != nil || got.After.Origin != Observed || len(got.Notes) != 1 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestSiltFromYearToYear(t *testing.T) {
	deep := func(day string, m float64, basis model.Basis) Item {
		return visit("d", day, "sedimentDepthM", m, "sedimentDepthBasis", basis)
	}
	d := dam("d", "2023-08-01", "crestHeightM", 0.5, "crestHeightBasis", model.Taped)
	for _, c := range []struct {
		name          string
		before, after Item
		want          monitor.Answer
		notes         string
	}{
		{"more", deep("2025-05-01", 0.1, model.Taped), deep("2026-05-01", 0.3, model.Taped), monitor.Yes, ""},
		{"a hand more", deep("2025-05-01", 0.1, model.Taped), deep("2026-05-01", 0.23, model.Taped), monitor.No, ""}, // less than 1.96 · 0.05 · √2 = 0.139
		{"by eye", deep("2025-05-01", 0.1, model.Taped), deep("2026-05-01", 0.4, model.Estimated), monitor.CannotTell, ""},
		{"filled", deep("2025-05-01", 0.1, model.Taped), deep("2026-05-01", 0.46, model.Taped), monitor.Yes, "Filled"},
		{"above its crest", deep("2025-05-01", 0.1, model.Taped), deep("2026-05-01", 0.6, model.Taped), monitor.Yes, "seldom above the crest"},
		{"gone", deep("2025-05-01", 0.4, model.Levelled), deep("2026-05-01", 0.2, model.Levelled), monitor.Yes, "Less silt than before"},
	} {
		got := ask(t, Request{}, d, c.before, c.after).Silt
		if len(got) != 1 || got[0].MoreThanNoise != c.want || !strings.Contains(strings.Join(got[0].Notes, " "), c.notes) || (c.notes == "") != (len(got[0].Notes) == 0) {
			t.Errorf("%s: %+v; want %s, %q", c.name, got, c.want, c.notes)
		}
	}
}

// The height that a plan gives a crest is no height of it, and another kind is not asked for.
func TestSiltOfAPlannedCrestAndOfAKind(t *testing.T) {
	d := dam("d", "2023-08-01", "crestHeightM", 0.5, "crestHeightBasis", model.FromPlan)
	deep := func(day string, m float64) Item { return visit("d", day, "sedimentDepthM", m) }
	if got := ask(t, Request{Kind: "check-dam"}, d, deep("2025-05-01", 0.5), deep("2026-05-01", 0.5)).Silt; len(got) != 1 || len(got[0].Notes) != 0 || got[0].Change.Value != 0 {
		t.Errorf("of a crest from the plan: %+v", got)
	}
	if got := ask(t, Request{Kind: "scald"}, d, deep("2025-05-01", 0.5), deep("2026-05-01", 0.5)).Silt; len(got) != 0 {
		t.Errorf("of scalds: %+v", got)
	}
}

func TestWhatHeldByKindMaterialAndAge(t *testing.T) {
	rock := func(id, built string, fields ...any) Item {
		return dam(id, built, append(fields, "material", "loose rock")...)
	}
	items := []Item{wet,
		rock("1", "2023-08-01"), visit("1", "2024-06-01", "condition", "sound"), visit("1", "2025-06-01", "condition", "failed"), visit("1", "2026-06-01", "condition", "sound"),
		rock("2", "2023-08-01"), visit("2", "2024-07-01", "condition", "needs work"), visit("2", "2024-06-01", "condition", "sound"),
		rock("3", "2025-08-01", "status", "failed", "failedOn", "2026-08-01"),
		rock("4", "2026-08-01"),
		clashed(dam("7", "2026-06-01", "material", "timber"), "material"), visit("7", "2026-06-01", "condition", "sound"),
		dam("5", "2023-08-01", "material", "hay bales"), visit("5", "2024-06-01", "condition", "healed"),
		item("whoa-boy", "6", "status", "removed"), visit("6", "2024-06-01", "condition", "failed"),
	}
	all := ask(t, Request{}, items...)
	if want := []Held{
		{"check-dam", "hay bales", 1, Found{Healed: 1}, []string{"5 2024-06-01"}},
		{"check-dam", "loose rock", 4, Found{Sound: 1, NeedsWork: 1, Failed: 1}, []string{"1 2026-06-01", "2 2024-07-01", "3"}},
		{"check-dam", "material not settled", 1, Found{Sound: 1}, []string{"7 2026-06-01"}},
	}; !reflect.DeepEqual(all.Held, want) {
		t.Errorf("held %+v, want %+v", all.Held, want)
	}
	if want := []Age{
		{"check-dam", 0, Found{Sound: 1}, []string{"7 2026-06-01"}},
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
	placed := func(day string, lat float64) Item {
		v := visit("h", day, "accuracyM", 3)
		v.Geometry = orb.Point{148, lat}
		return v
	}
	if h := ask(t, Request{}, item("gully-head", "h"), placed("2024-06-01", -20), placed("2025-06-01", -20.0001), clashed(placed("2026-06-01", -21), "geometry")).Heads[0]; h.Since == nil || h.Since.To.String() != "2025-06-01" {
		t.Errorf("a position in clash counts: %+v", h)
	}
}

// drawn is a register of works and heads with visits of all sorts, good and bad.
func drawn(random *rand.Rand, works int) []Item {
	pick := func(of ...string) string { return of[random.IntN(len(of))] }
	day := func() string {
		return (on("2020-01-01") + monitor.Day(random.IntN(365*8))).String()
	}
	items := []Item{wet}
	for i := range works {
		id := "w" + string(rune('a'+i%26)) + string(rune('a'+i/26))
		one := item(pick("check-dam", "check-dam", "gully-head", "scald", "exclosure", "whoa-boy"), id, "name", pick("", "D1", "D10", "D2"), "status", pick("built", "built", "failed", "proposed"), "builtOn", day(), "material", pick("loose rock", "timber"))
		one.Struck = random.IntN(10) == 0
		if random.IntN(8) == 0 {
			one.Clashes = []string{pick("status", "name", "material", "strike")}
		}
		items = append(items, one)
		for range random.IntN(6) {
			v := visit(id, day(), "condition", pick(model.Conditions...), "sedimentDepthM", random.Float64(), "sedimentDepthBasis", "taped", "headOffsetM", 20*random.Float64(), "coverPct", 100*random.Float64())
			v.Struck = random.IntN(10) == 0
			items = append(items, v)
		}
	}
	return items
}

func TestTheOrderOfFeaturesMakesNoDifference(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	for range 20 {
		items := drawn(random, 20)
		// Of two visits with one id the later stands: give each its own.
		seen := map[string]bool{}
		items = slices.DeleteFunc(items, func(i Item) bool { was := seen[i.ID]; seen[i.ID] = true; return was })
		want := ask(t, Request{}, items...)
		random.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		if got := ask(t, Request{}, items...); !reflect.DeepEqual(got, want) {
			t.Fatalf("in another order\n%+v\nwant\n%+v", got, want)
		}
	}
}

// A further visit to one work changes what is said of that work, and of no other.
func TestAVisitChangesOnlyItsOwnWork(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 2))
	others := func(r Report, id string) []any {
		var all []any
		for _, d := range r.Due {
			if d.Feature != id {
				all = append(all, d)
			}
		}
		for _, h := range r.Heads {
			if h.Feature != id {
				all = append(all, h)
			}
		}
		for _, c := range slices.Concat(r.Silt, r.Cover) {
			if c.Feature != id {
				all = append(all, c)
			}
		}
		for _, l := range r.LeftOut {
			if l.Feature != id {
				all = append(all, l)
			}
		}
		return all
	}
	for range 20 {
		items := drawn(random, 15)
		before := ask(t, Request{}, items...)
		id := items[len(items)-1].ID
		if of := items[len(items)-1].Text("of"); of != "" {
			id = of
		}
		after := ask(t, Request{}, append(items, item("visit", "more", "of", id, "observedOn", "2026-08-09", "condition", "sound", "sedimentDepthM", 0.4, "headOffsetM", 3, "coverPct", 50))...)
		if got, want := others(after, id), others(before, id); !reflect.DeepEqual(got, want) {
			t.Fatalf("a visit to %s changes\n%+v\nfrom\n%+v", id, got, want)
		}
		works := func(r Report) (n int) {
			for _, h := range r.Held {
				n += h.Works()
			}
			return n
		}
		if more := works(after) - works(before); more < 0 || more > 1 {
			t.Fatalf("a visit makes %d works more judged", more)
		}
	}
}
