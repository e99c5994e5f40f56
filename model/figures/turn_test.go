package figures

import (
	"math"
	"strings"
	"testing"

	"headcut/model"
)

// TestHeadDownIsTurned: a gully rises 5 % to its head at 60 m. Its bed and its dams are
// taped from the head down; what is told of it is the same as taped from its mouth.
func TestHeadDownIsTurned(t *testing.T) {
	gullyOf := func(headM float64, withBed bool) *PropertyFigures {
		taped := func(upM float64) float64 { return math.Abs(headM - upM) }
		dams := []model.Feature{}
		spots := []staff{}
		for i, upM := range []float64{10, 20, 30} {
			id := string(rune('a' + i))
			dams = append(dams, feature("check-dam", id, nil, "thalweg", "t", "status", "built", "chainageM", taped(upM), "chainageBasis", "taped"))
			spots = append(spots, staff{id, model.ToeSpot, -1, 100 + 0.05*upM}, staff{id, model.CrestSpot, -1, 100.5 + 0.05*upM})
		}
		if withBed {
			for _, upM := range []float64{0, 15, 45, 60} {
				spots = append(spots, staff{"t", model.BedSpot, taped(upM), 100 + 0.05*upM})
			}
		}
		return survey(append(dams, gully(), feature("level-run", "r", nil, "rows", book(0, spots...)))...)
	}
	up, down := gullyOf(0, true), gullyOf(60, true)
	a := feature("check-dam", "a", nil)
	want(t, down.Of(a), "chainageM", 10, 0.05, 1e-9, model.Taped)
	want(t, down.Of(a), "spacingM", 10, 0.05*math.Sqrt2, 1e-9, model.Taped)
	check(t, down.Of(a), model.OK, "level with the toe")
	warns(t, down.Of(a), "chainageM", "50.0 m from the head is 10.0 m up the gully")
	quiet(t, up.Of(a), "chainageM")
	want(t, down.Of(gully()), "fallM", 3, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	warns(t, down.Of(gully()), "fallM", "booked from the head down and has been turned")
	got, same := down.LongSections()[0], up.LongSections()[0]
	if !strings.Contains(strings.Join(got.Notes, " "), "has been turned") || len(same.Notes) != 0 {
		t.Errorf("notes are %q and %q, want one that it was turned, and none", got.Notes, same.Notes)
	}
	if got.BookedFromM == nil || *got.BookedFromM != 60 || same.BookedFromM != nil {
		t.Errorf("chainages are taken from %v and %v, want 60 and none", got.BookedFromM, same.BookedFromM)
	}
	got.Notes, got.BookedFromM = same.Notes, nil
	if g, w := asJSON(t, got), asJSON(t, same); g != w {
		t.Errorf("long section taped from the head down is\n%s\nfrom its mouth\n%s", g, w)
	}
	// Without a bed the toes tell; the highest chainage is then that of the lowest dam.
	down = gullyOf(60, false)
	want(t, down.Of(a), "chainageM", 0, 0.05, 1e-9, model.Taped)
	check(t, down.Of(a), model.OK, "level with the toe")
	if notes := strings.Join(down.LongSections()[0].Notes, " "); !strings.Contains(notes, "booked from the head down") {
		t.Errorf("notes are %q, want that the dams were turned", notes)
	}
}

// TestThalwegDrawnFromTheHead: dams that stand where their position lies are turned with a
// line that was drawn from the head down, as their toes tell.
func TestThalwegDrawnFromTheHead(t *testing.T) {
	a, b := damAt("a", 150, 0, "accuracyM", 1), damAt("b", 140, 0, "accuracyM", 1) // a is 50 m up the gully, b 60 m
	run := feature("level-run", "r", nil, "rows", book(0,
		staff{"a", model.ToeSpot, -1, 100}, staff{"a", model.CrestSpot, -1, 100.5},
		staff{"b", model.ToeSpot, -1, 100.5}, staff{"b", model.CrestSpot, -1, 101}))
	l := survey(gully("accuracyM", 1), a, b, run)
	if f, _ := l.Of(a).Figure("chainageM"); math.Abs(f.Value-50) > 0.01 {
		t.Errorf("chainage is %v m, want 50 m from the downstream end", f.Value)
	}
	check(t, l.Of(a), model.OK, "level with the toe")
	warns(t, l.Of(a), "chainageM", "drawn from the head down")
	if notes := strings.Join(l.LongSections()[0].Notes, " "); !strings.Contains(notes, "drawn from the head down") {
		t.Errorf("notes are %q, want that the thalweg was turned", notes)
	}
}
