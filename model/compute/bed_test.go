package compute

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"

	"pgregory.net/rapid"
)

// bedText is a bed as JSON, booked from its downstream end up, or from its head down.
func bedText(stations [][2]float64, down bool) string {
	top := stations[len(stations)-1][0]
	points := make([]string, len(stations))
	for i, s := range stations {
		x := s[0]
		if down {
			x = top - x
		}
		points[i] = fmt.Sprintf(`{"chainageM":%v,"levelM":%v}`, x, s[1])
	}
	if down {
		slices.Reverse(points)
	}
	return `"bed":[` + strings.Join(points, ",") + `]`
}

func turnedToo(cautions []model.Caution) bool {
	return slices.ContainsFunc(cautions, func(c model.Caution) bool { return strings.Contains(c.Text, "booked from the head down") })
}

// TestBedBookedFromTheHeadDown: the same bed, its sites and reaches, booked from either end
// gives the same section and the same dams, and says when it was turned.
func TestBedBookedFromTheHeadDown(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		stations := [][2]float64{{0, 100}}
		for range rapid.IntRange(2, 20).Draw(r, "stations") {
			last := stations[len(stations)-1]
			stations = append(stations, [2]float64{last[0] + float64(rapid.IntRange(3, 30).Draw(r, "run")), math.Round(1000*(last[1]+rapid.Float64Range(0.03, 1.2).Draw(r, "rise"))) / 1000})
		}
		top := stations[len(stations)-1][0]
		site := rapid.Float64Range(0, top).Draw(r, "site")
		var sections [2]longSectionOut
		var layouts [2]damLayoutOut
		var checks [2]damCheckOut
		for k, down := range []bool{false, true} {
			bed, at := bedText(stations, down), site
			if down {
				at = top - site
			}
			run := func(name, in string, out any) {
				t.Helper()
				run(t, name, "{"+in+"}", out)
			}
			run("long-section", bed, &sections[k])
			run("dam-layout", bed+fmt.Sprintf(`,"sites":[{"chainageM":%v}]`, at), &layouts[k])
			var dams []string
			for _, d := range layouts[k].Dams {
				x := d.ChainageM
				if down {
					x = top - x
				}
				dams = append(dams, fmt.Sprintf(`{"chainageM":%v,"crestLevelM":%v}`, x, d.CrestLevelM))
			}
			run("dam-check", bed+`,"dams":[`+strings.Join(dams, ",")+`]`, &checks[k])
			if turnedToo(sections[k].Cautions) != down || turnedToo(layouts[k].Cautions) != down || turnedToo(checks[k].Cautions) != down {
				r.Fatalf("booked down %t: %v, %v, %v", down, sections[k].Cautions, layouts[k].Cautions, checks[k].Cautions)
			}
		}
		a, b := layouts[0], layouts[1]
		if math.Abs(sections[0].MeanSlopePct.Value-sections[1].MeanSlopePct.Value) > 1e-9 || a.Count != b.Count || math.Abs(a.GuardedM.Value-b.GuardedM.Value) > 1e-6 || len(checks[0].Pairs) != len(checks[1].Pairs) {
			r.Fatalf("booked up %+v, booked down %+v", a, b)
		}
		for i := range checks[0].Pairs {
			if p, q := checks[0].Pairs[i], checks[1].Pairs[i]; math.Abs(p.SpacingM-q.SpacingM) > 1e-6 || math.Abs(p.StepM-q.StepM) > 1e-6 || p.Verdict != q.Verdict {
				r.Fatalf("pair %d: booked up %+v, booked down %+v", i, p, q)
			}
		}
	})
}

// TestOneDamNeverGuardsABedBookedDown: 300 m of bed at 2 %, booked from the head, took one
// dam that guarded all of it, and no caution.
func TestOneDamNeverGuardsABedBookedDown(t *testing.T) {
	var out damLayoutOut
	run(t, "dam-layout", `{"bed":[{"chainageM":0,"levelM":106},{"chainageM":300,"levelM":100}],"crestHeightM":0.4}`, &out)
	if out.Count != 16 || !turnedToo(out.Cautions) {
		t.Errorf("%d dams, cautions %v; want 16, every 20 m, and to be told", out.Count, out.Cautions)
	}
	var pairs damCheckOut
	run(t, "dam-check", `{"dams":[{"chainageM":0,"toeLevelM":101,"crestLevelM":101.4},{"chainageM":30,"toeLevelM":100,"crestLevelM":100.4}]}`, &pairs)
	if p := pairs.Pairs[0]; p.Lower != "dam 2" || math.Abs(p.StepM-0.6) > 1e-9 || !turnedToo(pairs.Cautions) {
		t.Errorf("dams by toes alone: %+v, %v", p, pairs.Cautions)
	}
}
