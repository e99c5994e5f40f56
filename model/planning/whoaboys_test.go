package planning

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/recorded"
)

var banks = Request{Of: "Top track", Plans: WhoaBoys}

// topTrack runs 200 m north from its upper end.
func topTrack() recorded.Item {
	return item("track", "t", orb.LineString{north(0, 0), north(200, 0)}, "name", "Top track")
}

func settings(fields ...any) recorded.Item { return item("settings", "settings-p", nil, fields...) }

func local() recorded.Item {
	return settings("whoaBoyTable", "local", "whoaBoyRows", []model.SpacingRow{{UpToPct: 4, SpacingM: 60}, {UpToPct: 6, SpacingM: 33}}, "whoaBoySource", "Shire office, sheet 4")
}

// trackBook are levels along the track that falls so many per cent going along it.
func trackBook(fallPct float64) (spots []staff) {
	for c := 0.0; c <= 200; c += 50 {
		spots = append(spots, staff{"t", "", c, 104 - c*fallPct/100})
	}
	return spots
}

// The answer is that of the same input typed by hand, with the property's own table.
func TestWhoaBoysByTheLocalTable(t *testing.T) {
	d := drafted(t, property(topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local()), banks)
	answer, err := d.Compute()
	if err != nil {
		t.Fatalf("%s: %v; refused: %q", d.Input, err, d.Refused)
	}
	hand, err := compute.Run("whoa-boys", []byte(`{"rowsSource": "Shire office, sheet 4", "rows": [{"upToPct":4,"spacingM":60},{"upToPct":6,"spacingM":33}], "table": "local",
		"track": [{"chainageM": 0, "levelM": 104}, {"chainageM": 50, "levelM": 102.5}, {"chainageM": 100, "levelM": 101}, {"chainageM": 150, "levelM": 99.5}, {"chainageM": 200, "levelM": 98}]}`))
	if err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
	uses(t, d, "1", "settings-p", "t")
	says(t, "missing:", d.Missing, "which end of the line of Top track is chainage 0")

	other := banks
	other.Given = given(`{"table": "water-bars-one-soil"}`)
	d = drafted(t, property(topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local()), other)
	uses(t, d, "1", "t")
	refuses(t, drafted(t, property(topTrack(), run("1", "2026-05-13", 0, trackBook(3)...)), banks), "no spacing table is chosen")
	refuses(t, drafted(t, property(topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), clashed(local(), "whoaBoyRows")), banks), "two people changed it differently")
	refuses(t, drafted(t, property(topTrack(), local()), banks), "no levels of Top track are booked")
}

// pegged is a bank as the phone pegs it.
func peggedBank(id string, chainageM, levelM float64, fields ...any) recorded.Item {
	return item("whoa-boy", id, north(chainageM, 0), append([]any{"name", "Whoa-boy " + id, "track", "t", "status", "pegged", "chainageM", chainageM, "levelM", levelM, "levelRun", "1"}, fields...)...)
}

// Where nobody booked the track, the levels of its pegged banks give its fall. Banks with a position
// tell which end of the line is the upper one.
func TestTheFallOfPeggedWhoaBoys(t *testing.T) {
	pegs := run("1", "2026-05-13", 0, staff{"x", "", 20, 103.4}, staff{"x", "", 80, 101.6})
	d := drafted(t, property(topTrack(), pegs, local(), peggedBank("a", 20, 103.4), peggedBank("b", 80, 101.6), peggedBank("c", 140, 99.8)), banks)
	var in struct {
		Track []struct{ ChainageM, LevelM float64 }
	}
	if err := json.Unmarshal(d.Input, &in); err != nil || len(in.Track) != 2 || in.Track[0].ChainageM != 20 || in.Track[1].LevelM != 101.6 {
		t.Errorf("track %+v of %s, want the two banks whose levels are in the closed run; refused: %q", in.Track, d.Input, d.Refused)
	}
	leavesOut(t, d, "c", "its level is not checked by a closed level run")
	if at, ok := d.frame.position(50); !ok || math.Abs(at[1]-north(50, 0)[1]) > 1e-7 {
		t.Errorf("50 m down the track lies at %v, %v; want 50 m along its line", at, ok)
	}
}

// The layout goes on from banks that stand: by 60 m, from one at 40 m the next is at 100 m, and a failed one is none.
func TestTheLayoutGoesOnFromStandingBanks(t *testing.T) {
	at := func(more ...recorded.Item) (all []float64, d Draft) {
		d = drafted(t, property(append(more, topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local())...), banks)
		answer, err := d.Compute()
		var out spacing
		if err != nil || json.Unmarshal(answer, &out) != nil {
			t.Fatalf("%v, refused %q", err, d.Refused)
		}
		for _, b := range out.Banks {
			all = append(all, b.ChainageM)
		}
		return all, d
	}
	bank := func(status string, atM float64) recorded.Item {
		return item("whoa-boy", "w", nil, "name", "Bank w", "track", "t", "status", status, "chainageM", atM, "chainageBasis", "taped")
	}
	if got, _ := at(); !slices.Equal(got, []float64{60, 120, 180}) {
		t.Errorf("banks of the track alone at %v", got)
	}
	got, d := at(bank("built", 40))
	if !slices.Equal(got, []float64{100, 160}) {
		t.Errorf("banks at %v beside one at 40 m", got)
	}
	uses(t, d, "1", "settings-p", "t", "w")
	if got, _ := at(bank("failed", 40)); !slices.Equal(got, []float64{60, 120, 180}) {
		t.Errorf("banks at %v beside one that failed", got)
	}
	if got, _ := at(bank("pegged", 61)); !slices.Equal(got, []float64{58, 121, 181}) {
		t.Errorf("banks at %v beside one a metre past where the first is due", got)
	}
	_, d = at(bank("built", 240))
	leavesOut(t, d, "w", "where the track of the run used was not levelled")
	refuses(t, drafted(t, property(clashed(bank("built", 40), "chainageM"), topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local()), banks), "Bank w: two people changed it differently")
}

// Heads near the track keep outlets away, at both places where nobody knows which end chainage 0 is.
func TestHeadsBesideTheTrack(t *testing.T) {
	head := item("gully-head", "h", north(60, 20), "name", "Main head", "accuracyM", 4)
	far := item("gully-head", "f", north(60, 400), "name", "Far head")
	p := property(topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local(), head, far)
	places := func(r Request) (all []float64) {
		var in struct {
			GullyHeads []struct{ ChainageM, OffsetM, PlusMinusM float64 }
		}
		if err := json.Unmarshal(drafted(t, p, r).Input, &in); err != nil {
			t.Fatal(err)
		}
		for _, h := range in.GullyHeads {
			if math.Abs(h.OffsetM-20) > 1e-6 || h.PlusMinusM != 4 {
				t.Errorf("head %+v, want it 20 m off, ± 4", h)
			}
			all = append(all, math.Round(h.ChainageM))
		}
		return all
	}
	if got := places(banks); !slices.Equal(got, []float64{60, 140}) {
		t.Errorf("heads at %v, want both places where it may be", got)
	}
	start := banks
	start.ZeroAt = "end of the line"
	if got := places(start); !slices.Equal(got, []float64{140}) {
		t.Errorf("heads at %v, want 140 from the end of the line", got)
	}
}
