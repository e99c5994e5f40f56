package track

import (
	"math"
	"testing"

	"headcut/model/modeltest"
	"headcut/model/section"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	outlets := func(edit func(*Outlets)) error {
		o := Outlets{Side: Either}
		edit(&o)
		return o.wrong().Err()
	}
	reach := func(from, to float64) error {
		return outlets(func(o *Outlets) { o.NoOutlet = []SideReach{{FromM: from, ToM: to, Side: Left}} })
	}
	head := func(edit func(*Head)) error {
		h := Head{Side: Left, LipLevelM: math.NaN()}
		edit(&h)
		return outlets(func(o *Outlets) { o.Heads = []Head{h} })
	}
	shape := func(edit func(*Shape)) error {
		s := Shape{AngleDeg: DefaultAngleDeg}
		edit(&s)
		return s.Check()
	}
	bank := func(chainageM float64) error {
		track := Track{Stations: []section.Station{{ChainageM: 10, LevelM: 5}, {ChainageM: 100, LevelM: 4}}}
		_, err := Check{Track: track, Banks: []Built{{ChainageM: chainageM}}}.sorted()
		return err
	}
	levelled := func(stations ...section.Station) error {
		points := make([]section.Point, len(stations))
		for i := range stations {
			points[i] = section.Point{ChainageM: &stations[i].ChainageM, LevelM: stations[i].LevelM}
		}
		_, err := New(points)
		return err
	}
	limit := modeltest.Limits(t)
	limit("humpM", func(v float64) error { return checkHump(v).Err() }, []float64{0, MaxHumpM}, []float64{-0.01, 2.01, math.NaN()})
	limit("clearanceM", func(v float64) error { return outlets(func(o *Outlets) { o.ClearanceM = v }) }, []float64{0, MaxClearanceM}, []float64{-1, 1001})
	limit("noOutlet[0].fromM", func(v float64) error { return reach(v, v+1) }, []float64{0, section.MaxChainageM - 1}, []float64{-1, section.MaxChainageM + 1})
	limit("noOutlet[0].toM", func(v float64) error { return reach(5, v) }, []float64{5.01, section.MaxChainageM}, []float64{5, 4, section.MaxChainageM + 1})
	limit("gullyHeads[0].chainageM", func(v float64) error { return head(func(h *Head) { h.ChainageM = v }) }, []float64{0, section.MaxChainageM}, []float64{-1, section.MaxChainageM + 1})
	limit("gullyHeads[0].offsetM", func(v float64) error { return head(func(h *Head) { h.OffsetM = v }) }, []float64{0, section.MaxChainageM}, []float64{-1, section.MaxChainageM + 1})
	limit("gullyHeads[0].lipLevelM", func(v float64) error { return head(func(h *Head) { h.LipLevelM = v }) }, []float64{-section.MaxLevelM, section.MaxLevelM, math.NaN()}, []float64{section.MaxLevelM + 1, -section.MaxLevelM - 1})
	limit("angleDeg", func(v float64) error { return shape(func(s *Shape) { s.AngleDeg = v }) }, []float64{30, 90}, []float64{0, 29, 91})
	limit("trackWidthM", func(v float64) error { return shape(func(s *Shape) { s.TrackWidthM = v }) }, []float64{0, 1, 30}, []float64{0.9, 31})
	limit("settlePct", func(v float64) error { return shape(func(s *Shape) { s.SettlePct = v }) }, []float64{0, 60}, []float64{-1, 61})
	limit("banks[0].chainageM", bank, []float64{10, 100}, []float64{9.99, 100.01})
	limit("[1].chainageM", func(v float64) error { return levelled(section.Station{}, section.Station{ChainageM: v}) }, []float64{section.LeastApartM, section.MaxChainageM}, []float64{0, section.LeastApartM / 2, section.MaxChainageM + 1})
	limit("[1].levelM", func(v float64) error { return levelled(section.Station{}, section.Station{ChainageM: 5, LevelM: v}) }, []float64{-5, 5}, []float64{-5.01, 5.01})
	limit("[1].levelM", func(v float64) error { return levelled(section.Station{}, section.Station{ChainageM: 0.5, LevelM: v}) }, []float64{-1, 1}, []float64{-1.01, 1.01})
	for _, n := range []int{MaxWindows, MaxWindows + 1} {
		o := Outlets{Side: Either, Heads: make([]Head, n)}
		for i := range o.Heads {
			o.Heads[i].Side = Left
		}
		if p := o.wrong(); (p == nil) != (n == MaxWindows) {
			t.Errorf("%d heads: %v", n, p)
		}
	}
	if _, _, found := overlap([]SideReach{{FromM: 5, ToM: 9}, {FromM: 0, ToM: 5}}); found {
		t.Error("reaches that touch overlap")
	}
	if i, j, found := overlap([]SideReach{{FromM: 5, ToM: 9}, {FromM: 10, ToM: 12}, {FromM: 0, ToM: 5.1}}); !found || i != 0 || j != 2 {
		t.Errorf("reaches 0 and 2 overlap, and not %d and %d", i, j)
	}
}
