package figures

import (
	"fmt"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// holding is a large property: of 100 features 3 are dams on one of its gullies, 1 a level
// run, and the rest rip lines, scalds, points.
func holding(n int) []model.Feature {
	var all []model.Feature
	for g := range max(1, n/1000) {
		var line orb.LineString
		for i := range 50 {
			line = append(line, north(float64(20*i), float64(100*g)+float64(i%3)))
		}
		all = append(all, feature("thalweg", fmt.Sprintf("t%d", g), line, "accuracyM", 3))
	}
	gullies := len(all)
	for i := range n - gullies {
		id := fmt.Sprint(i)
		g := (i + i/100) % gullies
		at := north(float64(i%1000), float64(100*g))
		switch {
		case i%100 < 3:
			fields := []any{"thalweg", fmt.Sprintf("t%d", g), "accuracyM", 3, "crestHeightM", 0.4, "status", "built"}
			all = append(all, feature("check-dam", id, at, fields[2*(i%2):]...)) // half of them name no gully
		case i%100 == 3:
			all = append(all, feature("level-run", id, nil, "rows", book(0, staff{fmt.Sprint(i - 3), model.ToeSpot, -1, 100}, staff{fmt.Sprint(i - 3), model.CrestSpot, -1, 100.4})))
		case i%100 < 60:
			line := orb.LineString{at}
			for k := range 10 {
				line = append(line, orb.Point{at[0] + 0.0002*float64(k+1), at[1]})
			}
			all = append(all, feature("rip-line", id, line, "accuracyM", 3, "status", "built"))
		case i%100 < 80:
			x, y, d := at[0], at[1], 0.001
			all = append(all, feature("scald", id, orb.Polygon{{{x, y}, {x + d, y}, {x + 1.5*d, y + d}, {x, y + d}, {x, y}}}, "accuracyM", 3))
		default:
			all = append(all, feature("photo-point", id, at))
		}
	}
	return all
}

func BenchmarkSurvey(b *testing.B) {
	for _, n := range []int{10_000, 100_000} {
		all := holding(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				survey(all...)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/feature")
		})
	}
}

func BenchmarkOf(b *testing.B) {
	for _, n := range []int{10_000, 100_000} {
		all := holding(n)
		l := survey(all...)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				for _, f := range all {
					l.Of(f)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/feature")
		})
	}
}

// A survey keeps nothing of features on which no figure of another rests.
func TestSurveyForgetsOtherFeatures(t *testing.T) {
	kept := func(n int) uint64 {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		l := Survey(func(yield func(model.Feature) bool) {
			for i := range n {
				if !yield(feature("rip-line", fmt.Sprint(i), orb.LineString{{148, -20}, {148.001, -20}}, "notes", "a line on a scald")) {
					return
				}
			}
		})
		runtime.GC()
		runtime.ReadMemStats(&after)
		runtime.KeepAlive(l)
		return max(after.HeapAlloc, before.HeapAlloc) - before.HeapAlloc
	}
	if got := kept(20_000); got > 100_000 {
		t.Errorf("a survey of 20,000 rip lines holds %d bytes, want next to none", got)
	}
}

func TestDamsSpreadOverManyGullies(t *testing.T) {
	all := holding(5_000)
	l := survey(all...)
	snapped := 0
	for _, f := range all {
		if _, ok := l.Of(f).Figure("chainageM"); ok {
			snapped++
		}
	}
	dams := len(slices.DeleteFunc(all, func(f model.Feature) bool { return f.Kind != "check-dam" }))
	if snapped != dams {
		t.Errorf("%d of %d dams stand on a gully, want all", snapped, dams)
	}
}
