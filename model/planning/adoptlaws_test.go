package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/recorded"
	"headcut/model/section"
	"headcut/model/track"
)

// Wherever the track falls, whatever stands on it and wherever a head lies beside it: an adopted whoa-boy is no farther below
// the break above it than the property's table has for the fall between, unless the answer says that it is; its outlet
// is clear of the head; it lies on the line of the track at its chainage; what stands is left alone; and adopting
// twice changes nothing.
func TestLawsOfAdoptedWhoaBoys(t *testing.T) {
	rows := []model.SpacingRow{{UpToPct: 3, SpacingM: 45}, {UpToPct: 6, SpacingM: 30}, {UpToPct: 12, SpacingM: 15}}
	var planned, stood, moved int
	rapid.Check(t, func(t *rapid.T) {
		levels := []float64{104}
		for range 8 {
			levels = append(levels, math.Round((levels[len(levels)-1]-rapid.Float64Range(0.1, 1.4).Draw(t, "fall"))*1000)/1000)
		}
		var spots []staff
		for i, levelM := range levels {
			spots = append(spots, staff{"t", "", 25 * float64(i), levelM})
		}
		l := land{topTrack(), run("1", "2026-05-13", 0, spots...), settings("whoaBoyTable", "local", "whoaBoyRows", rows, "whoaBoySource", "Shire office, sheet 4")}
		headM, asideM := rapid.Float64Range(20, 180).Draw(t, "head at"), rapid.Float64Range(5, 80).Draw(t, "aside")
		l = append(l, item("gully-head", "h", north(headM, asideM), "name", "Main head"))
		breaks := []float64{0}
		for _, at := range rapid.SliceOfNDistinct(rapid.IntRange(1, 19), 0, 3, rapid.ID[int]).Draw(t, "standing at") {
			l = append(l, item("whoa-boy", fmt.Sprint("w", at), nil, "name", fmt.Sprint("Bank ", at), "track", "t", "status", "built", "chainageM", 10*at, "chainageBasis", "taped"))
			breaks = append(breaks, 10*float64(at))
		}
		r := banks
		r.ZeroAt = zeroAtStart
		o, err := property(l...).Plan(r, "")
		if err != nil {
			t.Fatal(err)
		}
		var out struct{ Banks []track.Site }
		if err := json.Unmarshal(o.Answer, &out); err != nil {
			t.Fatalf("%v, refused %q", err, o.Refused)
		}
		farther := map[float64]bool{}
		for _, b := range out.Banks {
			farther[b.ChainageM] = b.TooFar
		}

		a := l.adopt(t, r)
		level := func(m float64) float64 {
			i := min(int(m/25), len(levels)-2)
			return levels[i] + (levels[i+1]-levels[i])*(m-25*float64(i))/25
		}
		standing := len(breaks) - 1
		var adopted []float64
		for _, change := range a.Changes {
			if change.Kind != "whoa-boy" {
				continue
			}
			if !change.New {
				t.Fatalf("%s, which stands, is changed: %v", change.Name, change.Fields)
			}
			bank := l.item(change.Feature)
			atM, _ := bank.Number("chainageM")
			if fix, _ := bank.Geometry.(orb.Point); geodesy.Distance(fix, north(atM, 0)) > 0.01 {
				t.Fatalf("the bank at %v m lies at %v", atM, fix)
			}
			if clearM := math.Hypot(atM-headM, asideM); clearM < track.ClearanceM-0.01 {
				t.Fatalf("the bank at %v m lets water out %v m from a head at %v m", atM, clearM, headM)
			}
			adopted = append(adopted, atM)
		}
		if len(adopted) != len(out.Banks) {
			t.Fatalf("adopted at %v, and the answer has %+v", adopted, out.Banks)
		}
		breaks = append(breaks, adopted...)
		slices.Sort(breaks)
		for i, atM := range breaks {
			if !slices.Contains(adopted, atM) || farther[atM] {
				continue
			}
			spacingM := atM - breaks[i-1]
			fallPct := 100 * (level(breaks[i-1]) - level(atM)) / spacingM
			row, found := model.Find(rows, func(row model.SpacingRow) bool { return fallPct <= row.UpToPct+0.01 })
			if !found || spacingM > row.SpacingM+section.LeastApartM || spacingM < track.LeastSpacingM-section.LeastApartM {
				t.Fatalf("%v m from %v to %v m at a fall of %v %%: the table has %+v", spacingM, breaks[i-1], atM, fallPct, row)
			}
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
		planned += len(adopted)
		stood += standing
		if slices.ContainsFunc(out.Banks, func(b track.Site) bool { return b.MovedM > 0 }) {
			moved++
		}
	})
	if planned == 0 || stood == 0 || moved == 0 {
		t.Errorf("%d banks planned, %d stood, %d layouts moved by a head: these laws were put to nothing", planned, stood, moved)
	}
}

func (l land) item(id string) *recorded.Item {
	i := slices.IndexFunc(l, func(item recorded.Item) bool { return item.ID == id })
	return &l[i]
}

// A bank that the table wants at the least spacing above one that stands is another one, and is adopted.
func TestABankAtTheLeastSpacingIsAdopted(t *testing.T) {
	l := land{topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), settings("whoaBoyTable", "local", "whoaBoyRows", []model.SpacingRow{{UpToPct: 4, SpacingM: 60}}, "whoaBoySource", "Shire office, sheet 4"),
		item("gully-head", "h", north(60, 5), "name", "Main head"),
		item("whoa-boy", "w", nil, "name", "Bank w", "track", "t", "status", "built", "chainageM", 152, "chainageBasis", "taped")}
	r := banks
	r.ZeroAt = zeroAtStart
	var atM []float64
	for _, change := range l.adopt(t, r).Changes {
		if change.Kind == "whoa-boy" {
			m, _ := l.item(change.Feature).Number("chainageM")
			atM = append(atM, m)
		}
	}
	// 30.42 m is as near as the head lets any be; 60 m further down is 90.42, and the third is due 1.58 m above the one at 152 m.
	if want := []float64{30.419, 90.419, 149}; !slices.Equal(atM, want) {
		t.Errorf("adopted at %v, want %v", atM, want)
	}
}

// Whatever catchment is walked: the adopted flow is by the rational formula, grows with the catchment and the rain, nothing
// but the plan is written, and adopting twice changes nothing.
func TestLawsOfAdoptedPeakFlows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sideM := rapid.Float64Range(100, 900).Draw(t, "side")
		c := math.Round(rapid.Float64Range(0.1, 0.9).Draw(t, "coefficient")*100) / 100
		mmH := math.Round(rapid.Float64Range(20, 150).Draw(t, "rain"))
		flowOf := func(sideM, mmH float64) (float64, land, Request) {
			l := land{mainHead(), square("a", sideM, -sideM/2, -sideM/2, "accuracyM", 5)}
			r := flow
			r.Given = given(fmt.Sprintf(`{"coefficient": %v, "intensityMmH": %v}`, c, mmH))
			o, err := property(l...).Plan(r, "")
			var out struct{ FlowM3S float64 }
			if err != nil || json.Unmarshal(o.Answer, &out) != nil {
				t.Fatalf("%v, refused %q", err, o.Refused)
			}
			return out.FlowM3S, l, r
		}
		m3s, l, r := flowOf(sideM, mmH)
		// Q = C I A / 360, with A in ha (rational method; Pilgrim 1987 among others, from memory). Answers have 4 figures.
		if want := c * mmH * sideM * sideM / 1e4 / 360; math.Abs(m3s-want) > 0.002*want+0.001 {
			t.Fatalf("flow %v m3/s, want %v", m3s, want)
		}
		if wider, _, _ := flowOf(sideM*1.1, mmH); wider <= m3s {
			t.Fatalf("of a catchment a tenth wider the flow is %v m3/s, and was %v", wider, m3s)
		}
		if wetter, _, _ := flowOf(sideM, mmH+10); wetter <= m3s {
			t.Fatalf("of 10 mm/h more the flow is %v m3/s, and was %v", wetter, m3s)
		}
		if a := l.adopt(t, r); len(a.Changes) != 1 || a.Changes[0].Kind != model.PlanKind || !a.Changes[0].New {
			t.Fatalf("adopted %+v, want the plan alone", a.Changes)
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
	})
}

// Whatever is cut and whatever stock are in: no more is eaten than stands above the residual after what falls and is
// trampled, feed on offer is the mean of the quadrats, more stock never eat for longer, nothing but the plan is
// written, and adopting twice changes nothing.
func TestLawsOfAdoptedForageBudgets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grams := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(40, 120).Draw(t, "g")) }), 5, 12).Draw(t, "cuts")
		residualKgHa := float64(rapid.IntRange(300, 1200).Draw(t, "residual"))
		head := float64(rapid.IntRange(1, 60).Draw(t, "head"))
		type answer struct {
			FeedKgHa float64
			Eat      struct{ EatKgHa float64 }
			Lasts    struct{ Days float64 }
		}
		budgeted := func(head float64) (out answer, l land) {
			field := paddock()
			field.Fields["residualKgHa"] = inJSON(residualKgHa)
			l = land{field, cuts("c", "2026-05-02", grams...), stocked("s", head, "class", "steers 1-2")}
			o, err := property(l...).Plan(budget, "")
			if err != nil || json.Unmarshal(o.Answer, &out) != nil {
				t.Fatalf("%v, refused %q", err, o.Refused)
			}
			return out, l
		}
		out, l := budgeted(head)
		sumG := 0.0
		for _, g := range grams {
			sumG += g
		}
		feedKgHa := sumG / float64(len(grams)) / 0.25 * 10 // g/m² to kg/ha
		if math.Abs(out.FeedKgHa-feedKgHa) > 0.5 {
			t.Fatalf("feed on offer %v kg/ha, and the quadrats have %v", out.FeedKgHa, feedKgHa)
		}
		// 10 % is unpalatable and 15 % falls, as recorded and given.
		if most := feedKgHa*0.9*0.85 - residualKgHa; out.Eat.EatKgHa > max(0, most)+1 || out.Eat.EatKgHa < 0 {
			t.Fatalf("%v kg/ha are eaten of %v, with %v to be left", out.Eat.EatKgHa, feedKgHa, residualKgHa)
		}
		if more, _ := budgeted(head + 1); more.Lasts.Days > out.Lasts.Days {
			t.Fatalf("%v head eat for %v days, and one more for %v", head, out.Lasts.Days, more.Lasts.Days)
		}
		if a := l.adopt(t, budget); len(a.Changes) != 1 || a.Changes[0].Kind != model.PlanKind || !a.Changes[0].New {
			t.Fatalf("adopted %+v, want the plan alone", a.Changes)
		}
		if again := l.adopt(t, budget); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
	})
}
