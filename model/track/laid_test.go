package track

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"headcut/model"
	"headcut/model/section"

	"pgregory.net/rapid"
)

// TestCheckPassesWhatIsLaidOut: the places of a layout, read back as they are written, to the
// millimetre, pass the check by the same table, on tracks of any bends and breaks of slope.
func TestCheckPassesWhatIsLaidOut(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		track := Track{Quality: section.LevelledAndTaped}
		x, level := float64(rapid.IntRange(0, 9999).Draw(r, "start"))/100, 200.0
		way := rapid.SampledFrom([]float64{-1, 1}).Draw(r, "way")
		exact := rapid.Bool().Draw(r, "exact")
		for range rapid.IntRange(2, 12).Draw(r, "points") {
			track.Stations = append(track.Stations, section.Station{ChainageM: x, LevelM: level})
			run := float64(rapid.IntRange(50, 1500).Draw(r, "run")) / 10
			if !exact {
				run += rapid.Float64Range(0, 1).Draw(r, "bend")
			}
			x, level = x+run, level+way*run*float64(rapid.IntRange(-20, 120).Draw(r, "grade"))/1000
		}
		table := rapid.SampledFrom(Tables).Draw(r, "table")
		soil := rapid.SampledFrom(table.Columns).Draw(r, "soil")
		rule, err := table.Rule(soil, rapid.SampledFrom([]Between{Steeper, StraightLine, LogLog}).Draw(r, "between"))
		if err != nil {
			return
		}
		outlets := Outlets{Side: Either, ClearanceM: ClearanceM}
		plan, err := Layout{Track: track, Rule: rule, Outlets: outlets, HumpM: HumpM}.Lay()
		if err != nil || len(plan.Unserved) > 0 {
			return
		}
		c := Check{Track: track, Rule: rule, Outlets: outlets, HumpM: HumpM}
		for i, s := range plan.Sites {
			written, err := strconv.ParseFloat(strconv.FormatFloat(math.Round(s.ChainageM*1000)/1000, 'f', 3, 64), 64)
			if err != nil {
				r.Fatal(err)
			}
			c.Banks = append(c.Banks, Built{Name: fmt.Sprintf("bank %d", i+1), ChainageM: written, Side: s.Side})
		}
		report, err := c.Run()
		if err != nil {
			r.Fatal(err)
		}
		if report.Verdict != model.OK {
			for _, n := range report.Intervals {
				if n.Verdict != OK {
					r.Errorf("%+v", n)
				}
			}
			r.Fatalf("%s: %s on %v, banks %+v", report.Verdict, rule.Table, track.Stations, c.Banks)
		}
	})
}
