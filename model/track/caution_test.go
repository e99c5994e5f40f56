package track

import (
	"slices"
	"strings"
	"testing"

	"headcut/model/section"
)

// TestSlopeCautions tells of what each shape of track calls for, and of nothing else.
func TestSlopeCautions(t *testing.T) {
	said := []string{"rises and falls too little", "Rolling dips", "falls both ways", "begins or ends on a slope", "Water gathers"}
	const level, dips, bothWays, tops, feet = 0, 1, 2, 3, 4
	slope := func(fallM float64, topEnd, footEnd bool) Slope {
		return Slope{Top: section.Station{LevelM: fallM}, Foot: section.Station{ChainageM: 100}, TopEnd: topEnd, FootEnd: footEnd}
	}
	for _, test := range []struct {
		name    string
		table   string
		outlets Outlets
		slopes  []Slope
		want    []int
	}{
		{"none", "water-bars-by-class", anySide, nil, []int{level}},
		{"whole", "water-bars-by-class", anySide, []Slope{slope(5, false, true)}, nil},
		{"one-side", "water-bars-by-class", Outlets{Side: Left}, []Slope{slope(5, false, true)}, nil},
		{"cut-at-its-top", "water-bars-by-class", anySide, []Slope{slope(5, true, true)}, []int{tops}},
		{"cut-at-its-first-top", "water-bars-by-class", anySide, []Slope{slope(5, true, true), slope(5, false, true)}, []int{tops}},
		{"low-point", "water-bars-by-class", anySide, []Slope{slope(5, false, false), slope(5, false, true)}, []int{feet}},
		{"one-side-both-ways", "water-bars-by-class", Outlets{Side: Left}, []Slope{slope(5, false, true), slope(5, false, true)}, []int{bothWays}},
		{"dips-to-15", "dips-and-culverts", anySide, []Slope{slope(15, false, true)}, nil},
		{"dips-over-15", "dips-and-culverts", anySide, []Slope{slope(15.5, false, true)}, []int{dips}},
		{"bars-over-15", "water-bars-by-class", anySide, []Slope{slope(15.5, false, true)}, nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			var got []int
			for _, c := range slopeCautions(Rule{Table: test.table}, test.outlets, test.slopes) {
				got = append(got, slices.IndexFunc(said, func(s string) bool { return strings.Contains(c.Text, s) }))
			}
			slices.Sort(got)
			if !slices.Equal(got, test.want) {
				t.Errorf("cautions %v of %q, want %v", got, said, test.want)
			}
		})
	}
}

// TestTrackCautions of a layout and of a check, of levels that are proven and of ones that are not.
func TestTrackCautions(t *testing.T) {
	proven, sketched := profile(0, 100, 100, 95), profile(0, 100, 100, 95)
	sketched.Quality.Basis = ""
	for _, test := range []struct {
		name     string
		track    Track
		unserved []Unserved
		idle     []string
		plan     string // what stands in the cautions of the plan and not in those of all
		check    string
	}{
		{"proven", proven, nil, nil, "", ""},
		{"sketched", sketched, nil, nil, "this is a sketch", "no interval passes"},
		{"not-all-is-served", proven, make([]Unserved, 2), make([]string, 3), "2 reaches have no safe outlet", "3 banks stand on all but level ground"},
	} {
		t.Run(test.name, func(t *testing.T) {
			slopes := []Slope{{Top: section.Station{LevelM: 5}, Foot: section.Station{ChainageM: 100}, FootEnd: true}}
			plan := Layout{Track: test.track}.Cautions(Plan{Unserved: test.unserved, Slopes: slopes})[len(Cautions):]
			check := Check{Track: test.track}.Cautions(Report{Idle: test.idle, Slopes: slopes})[len(Cautions):]
			if test.plan == "" {
				if len(plan)+len(check) > 0 {
					t.Errorf("cautions %v and %v, want none", plan, check)
				}
				return
			}
			if len(plan) != 1 || !strings.Contains(plan[0].Text, test.plan) || len(check) != 1 || !strings.Contains(check[0].Text, test.check) {
				t.Errorf("cautions %v and %v, want %q and %q", plan, check, test.plan, test.check)
			}
		})
	}
}
