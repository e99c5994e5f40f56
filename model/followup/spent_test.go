package followup

import (
	"encoding/json"
	"slices"
	"testing"

	"headcut/model"
)

// TestSpent: what is not recorded is told and never nought, whatever years are asked for.
func TestSpent(t *testing.T) {
	money := item(model.SettingsKind, model.SettingsID("p"), "currency", "XTS")
	items := []struct {
		name     string
		r        Request
		currency any
		together Spent
		undated  int
	}{
		{"all years", Request{}, "XTS", Spent{Built: 5, Hours: model.Known(7.5), Timed: 3, Cost: model.Known(1200.5), Paid: 2, From: []string{"d1", "d2", "w1"}}, 0},
		{"one year", Request{From: 2025, To: 2025}, "XTS", Spent{Built: 2, Hours: model.Known(4), Timed: 1, Cost: model.Known(1000), Paid: 1, From: []string{"d1"}}, 1},
		{"to a year", Request{To: 2024}, "XTS", Spent{Built: 1, Hours: model.Known(0), Timed: 1, Cost: model.Known(200.5), Paid: 1, From: []string{"d2"}}, 1},
		{"a kind", Request{Kind: "whoa-boy"}, "XTS", Spent{Built: 1, Hours: model.Known(3.5), Timed: 1, From: []string{"w1"}}, 0},
		{"years of nothing", Request{From: 2026}, "XTS", Spent{Built: 1, Hours: model.Known(3.5), Timed: 1, From: []string{"w1"}}, 1},
		{"no currency", Request{Kind: "batter"}, "dollars", Spent{From: []string{}}, 0},
	}
	for _, c := range items {
		t.Run(c.name, func(t *testing.T) {
			own := money
			own.Fields = map[string]json.RawMessage{"currency": mustJSON(c.currency)}
			got := ask(t, c.r, own,
				dam("d1", "2025-06-01", "spentHours", 4, "spentCost", 1000), dam("d2", "2024-06-01", "spentHours", 0, "spentCost", 200.5), dam("d3", "2025-07-01"),
				item("check-dam", "d4", "status", "built"), item("check-dam", "d5", "status", "proposed", "spentHours", 9),
				item("whoa-boy", "w1", "status", "built", "builtOn", "2026-05-01", "spentHours", 3.5), struck(dam("d6", "2025-06-01", "spentCost", 5))).Spent
			want := c.together
			if g := got.Together; g.Built != want.Built || g.Timed != want.Timed || g.Paid != want.Paid || !same(g.Hours, want.Hours) || !same(g.Cost, want.Cost) || !slices.Equal(sorted(g.From), sorted(want.From)) || got.Undated != c.undated {
				t.Errorf("together %+v, undated %d; want %+v, %d", show(g), got.Undated, show(want), c.undated)
			}
			if want := model.CurrencyCode(c.currency.(string)); got.Currency != want {
				t.Errorf("in %q, want %q", got.Currency, want)
			}
			built := 0
			for _, k := range got.Kinds {
				built += k.Built
			}
			if built != got.Together.Built || len(got.Kinds) == 2 && got.Kinds[0].Kind != "check-dam" {
				t.Errorf("the kinds have %d works, want %d: %+v", built, got.Together.Built, got.Kinds)
			}
		})
	}
}

// TestSpentThatIsNotSettled is left out and said.
func TestSpentThatIsNotSettled(t *testing.T) {
	got := ask(t, Request{}, clashed(dam("d1", "2025-06-01", "spentHours", 4, "spentCost", 1000), "spentCost"), dam("d2", "2025-06-01", "spentCost", 10))
	if s := got.Spent.Together; s.Built != 2 || s.Timed != 1 || s.Paid != 1 || *s.Cost != 10 || *s.Hours != 4 {
		t.Errorf("spent %+v, want 10 for one of two, and 4 h", show(s))
	}
	if !slices.ContainsFunc(got.LeftOut, func(l LeftOut) bool { return l.Feature == "d1" && l.Why == unsettledWords("its cost") }) {
		t.Errorf("left out: %+v, want the cost of d1", got.LeftOut)
	}
}

func same(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

func sorted(ids []string) []string { return slices.Sorted(slices.Values(ids)) }

func show(s Spent) string { return string(mustJSON(s)) }

func mustJSON(v any) json.RawMessage {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return raw
}
