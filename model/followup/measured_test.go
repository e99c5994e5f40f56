package followup

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// The rates of a printed trial over 26 months, and of a stake after 243 days, which is too short for one.
func TestHeads(t *testing.T) {
	tape := func(offset float64, on string) recorded.Item { return visit("h", on, "headOffsetM", offset) }
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
	fix := func(day string, lat float64) recorded.Item {
		v := visit("h", day, "accuracyM", 3)
		v.Geometry = orb.Point{148, lat}
		return v
	}
	out := ask(t, Request{}, item("gully-head", "h"), fix("2024-06-01", -20), fix("2025-06-01", -20.00003), fix("2026-06-01", -20.0001))
	h := out.Heads[0]
	if h.Since == nil || h.Since.MoreThanNoise != monitor.Yes || h.Last.MoreThanNoise != monitor.No || h.Trend != nil || h.Since.Rate == nil || h.Since.Retreat.Basis != model.GPS || len(h.Cautions) < 2 {
		t.Errorf("by fixes of 3 m, 11 m apart: %+v", h)
	}
	bare := func(v recorded.Item) recorded.Item { delete(v.Fields, "accuracyM"); return v }
	if h := ask(t, Request{}, item("gully-head", "h"), bare(fix("2024-06-01", -20)), fix("2026-06-01", -20.0001)).Heads[0]; h.Since == nil || h.Since.MoreThanNoise != monitor.CannotTell || h.Since.LeastProvableM != nil {
		t.Errorf("by a fix of unknown accuracy: %+v", h)
	}
	if h := ask(t, Request{}, item("gully-head", "h"), fix("2024-06-01", -20), fix("2026-06-01", -20.1)).Heads[0]; h.Since != nil || !strings.Contains(h.Why, "from the first fix") {
		t.Errorf("by fixes 11 km apart: %+v", h)
	}
	if h := ask(t, Request{}, item("gully-head", "h"), fix("2024-06-02", -20), fix("2026-06-02", -20.0001), tape(12, "2024-06-01"), tape(11, "2026-06-01")).Heads[0]; h.Since == nil || h.Since.Retreat.Value != 1 {
		t.Errorf("by tape and by fixes: %+v, want the tape", h)
	}
	tapes := []recorded.Item{item("gully-head", "h"), visit("h", "2023-06-01", "headOffsetM", 14), visit("h", "2024-06-01", "headOffsetM", 13), visit("h", "2025-06-01", "headOffsetM", 13.02), visit("h", "2026-06-01", "headOffsetM", 12)}
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
		counted := func(day, when string) recorded.Item {
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
	pct := func(day string, pct float64, fields ...any) recorded.Item {
		return visit("s", day, append(fields, "coverPct", pct)...)
	}
	for name, second := range map[string]recorded.Item{"alone": pct("2026-04-01", 80), "edited since": pct("2026-04-01", 80, "coverHits", 10, "coverPoints", 100), "one plot": pct("2026-04-01", 80, "coverPlotsPct", []float64{80})} {
		got := ask(t, Request{}, item("scald", "s"), pct("2025-10-01", 20, "coverHits", 20, "coverPoints", 100), second).Cover[0]
		if got.MoreThanNoise != monitor.CannotTell || got.Low != nil || got.After.PlusMinus != nil || got.After.Origin != Observed || len(got.Notes) != 1 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestSiltFromYearToYear(t *testing.T) {
	deep := func(day string, m float64, basis model.Basis) recorded.Item {
		return visit("d", day, "sedimentDepthM", m, "sedimentDepthBasis", basis)
	}
	d := dam("d", "2023-08-01", "crestHeightM", 0.5, "crestHeightBasis", model.Taped)
	for _, c := range []struct {
		name          string
		before, after recorded.Item
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
	deep := func(day string, m float64) recorded.Item { return visit("d", day, "sedimentDepthM", m) }
	if got := ask(t, Request{Kind: "check-dam"}, d, deep("2025-05-01", 0.5), deep("2026-05-01", 0.5)).Silt; len(got) != 1 || len(got[0].Notes) != 0 || got[0].Change.Value != 0 {
		t.Errorf("of a crest from the plan: %+v", got)
	}
	if got := ask(t, Request{Kind: "scald"}, d, deep("2025-05-01", 0.5), deep("2026-05-01", 0.5)).Silt; len(got) != 0 {
		t.Errorf("of scalds: %+v", got)
	}
}
