package monitor

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
)

var tape = Accuracy{AcrossM: 0.05, HeightM: 0.05, ChainageM: 0.05}

func offsets(chainageM float64, readings ...[2]float64) CrossSection {
	return CrossSection{ChainageM: chainageM, Offsets: readings}
}

// problemAt fails unless err is a Problem with this path and a reason.
func problemAt(t *testing.T, err error, path string) {
	t.Helper()
	if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != path || p.Reason == "" {
		t.Errorf("got %v, want a problem at %q", err, path)
	}
}

func TestVolumeRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := offsets(10, [2]float64{0, 0}, [2]float64{1, -1}, [2]float64{2, 0})
	pair := func(s CrossSection) []CrossSection { return []CrossSection{ofArea(0, 3), s} }
	many := make([][2]float64, MaxReadings+1)
	over := make([][2]float64, MaxOverhangs+1)
	for i := range over {
		over[i] = [2]float64{float64(i % 7), -float64(i)/100 - 0.1}
	}
	over[0], over[MaxOverhangs] = [2]float64{0, 0}, [2]float64{9, 0}
	for _, c := range []struct {
		name   string
		change func(*VolumeSurvey)
		path   string
	}{
		{"no-method", func(v *VolumeSurvey) { v.Method = "" }, "method"},
		{"pyramid-is-no-method", func(v *VolumeSurvey) { v.Method = Pyramid }, "method"},
		{"no-sections", func(v *VolumeSurvey) { v.Sections = nil }, "sections"},
		{"one-section", func(v *VolumeSurvey) { v.Sections = v.Sections[:1] }, "sections"},
		{"run-out-below-nought", func(v *VolumeSurvey) { v.RunOutUpM = -1 }, "upstreamRunOutM"},
		{"run-out-in-millimetres", func(v *VolumeSurvey) { v.RunOutDownM = 6000 }, "downstreamRunOutM"},
		{"accuracy-not-a-number", func(v *VolumeSurvey) { v.Accuracy.AcrossM = nan }, "acrossPlusMinusM"},
		{"accuracy-infinite", func(v *VolumeSurvey) { v.Accuracy.HeightM = inf }, "heightPlusMinusM"},
		{"chainage-accuracy", func(v *VolumeSurvey) { v.Accuracy.ChainageM = 1e6 }, "chainagePlusMinusM"},
		{"method-error", func(v *VolumeSurvey) { v.MethodErrorPct = 130 }, "methodErrorPct"},
		{"unsorted", func(v *VolumeSurvey) { v.Sections[0].ChainageM = 11 }, "sections[1].chainageM"},
		{"one-place-twice", func(v *VolumeSurvey) { v.Sections[0].ChainageM = 10 }, "sections[1].chainageM"},
		{"chainage-not-a-number", func(v *VolumeSurvey) { v.Sections[1].ChainageM = nan }, "sections[1].chainageM"},
		{"chainage-in-millimetres", func(v *VolumeSurvey) { v.Sections[1].ChainageM = 2e5 }, "sections[1].chainageM"},
		{"no-area", func(v *VolumeSurvey) { v.Sections = pair(CrossSection{ChainageM: 9}) }, "sections[1]"},
		{"two-areas", func(v *VolumeSurvey) { s := cut(9, 1, 1, 1); s.Offsets = good.Offsets; v.Sections = pair(s) }, "sections[1]"},
		{"area-below-nought", func(v *VolumeSurvey) { v.Sections = pair(ofArea(9, -1)) }, "sections[1].areaM2"},
		{"area-not-a-number", func(v *VolumeSurvey) { v.Sections = pair(ofArea(9, nan)) }, "sections[1].areaM2"},
		{"area-in-square-feet-of-a-canyon", func(v *VolumeSurvey) { v.Sections = pair(ofArea(9, 1e6)) }, "sections[1].areaM2"},
		{"depth-in-millimetres", func(v *VolumeSurvey) { v.Sections = pair(cut(9, 1, 0, 1200)) }, "sections[1].dimensions.depthM"},
		{"width-not-a-number", func(v *VolumeSurvey) { v.Sections = pair(cut(9, nan, 1, 1)) }, "sections[1].dimensions.bedWidthM"},
		{"two-readings", func(v *VolumeSurvey) { v.Sections[1].Offsets = good.Offsets[:2] }, "sections[1].offsets"},
		{"empty-readings", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{} }, "sections[1].offsets"},
		{"too-many-readings", func(v *VolumeSurvey) { v.Sections[1].Offsets = many }, "sections[1].offsets"},
		{"reading-not-a-number", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {1, nan}, {2, 0}} }, "sections[1].offsets[1]"},
		{"across-in-millimetres", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {1000, -1}, {2000, 0}} }, "sections[1].offsets[1]"},
		{"levels-in-millimetres", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {1, -1200}, {2, 0}} }, "sections[1].offsets[1]"},
		{"depths-positive", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {1, 1}, {2, 0}} }, "sections[1].offsets"},
		{"depths-positive-and-undercut", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {1, 1}, {0.5, 2}, {3, 1}, {2, 0}} }, "sections[1].offsets"},
		{"mound-in-the-bed", func(v *VolumeSurvey) {
			v.Sections[1].Offsets = [][2]float64{{0, 0}, {1, -1}, {2, 0.2}, {3, -1}, {4, 0}}
		}, "sections[1].offsets"},
		{"unsorted-readings", func(v *VolumeSurvey) {
			v.Sections[1].Offsets = [][2]float64{{0, 0}, {3, -1}, {1, -1.5}, {2, 0.5}, {4, 0}}
		}, "sections[1].offsets"},
		{"readings-cross-below", func(v *VolumeSurvey) {
			v.Sections[1].Offsets = [][2]float64{{0, 0}, {3, -1}, {1, -1.5}, {2.5, -0.1}, {4, 0}}
		}, "sections[1].offsets"},
		{"back-to-the-first-brink", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {1, -1}, {0, 0}} }, "sections[1].offsets"},
		{"one-place-three-times", func(v *VolumeSurvey) { v.Sections[1].Offsets = [][2]float64{{0, 0}, {0, 0}, {0, 0}} }, "sections[1].offsets"},
		{"many-overhangs", func(v *VolumeSurvey) { v.Sections[1].Offsets = over }, "sections[1].offsets"},
		{"mean-of-areas-is-no-middle", func(v *VolumeSurvey) { v.Method = Prismoidal }, "sections[1]"},
		{"middle-first", func(v *VolumeSurvey) { v.Method, v.Sections[0].Middle = Prismoidal, true }, "sections[0].middle"},
		{"middle-last", func(v *VolumeSurvey) { v.Method, v.Sections[1].Middle = Prismoidal, true }, "sections[1].middle"},
		{"two-middles", func(v *VolumeSurvey) {
			v.Method, v.Sections = Prismoidal, append(v.Sections, ofArea(20, 2), ofArea(30, 2))
			v.Sections[1].Middle, v.Sections[2].Middle = true, true
		}, "sections[1].middle"},
		{"middle-off-half-way", func(v *VolumeSurvey) {
			v.Method, v.Sections = Prismoidal, append(v.Sections, ofArea(23, 2))
			v.Sections[1].Middle = true
		}, "sections[1].chainageM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := VolumeSurvey{Method: EndArea, Sections: pair(good), Accuracy: tape, MethodErrorPct: -1}
			if _, err := v.Volume(); err != nil {
				t.Fatalf("the survey itself is refused: %v", err)
			}
			c.change(&v)
			_, err := v.Volume()
			problemAt(t, err, c.path)
		})
	}
}

func TestSectionShapes(t *testing.T) {
	for _, c := range []struct {
		name string
		r    [][2]float64
		want float64 // derived by hand
	}{
		{"straight-walls", [][2]float64{{0, 0}, {0, -1}, {2, -1}, {2, 0}}, 2},
		{"undercut-bank", [][2]float64{{0, 0}, {0, -0.5}, {-0.5, -1}, {2, -1}, {2, 0}}, 2 + 0.125},
		{"both-undercut", [][2]float64{{0, 0}, {-1, -1}, {3, -1}, {2, 0}}, 3},
		{"one-bank-higher", [][2]float64{{0, 1}, {1, -1}, {2, 0}}, 1.5},
		{"repeated-reading", [][2]float64{{0, 0}, {1, -1}, {1, -1}, {2, 0}}, 1},
		{"from-the-other-bank", [][2]float64{{2, 0}, {1, -1}, {0, 0}}, 1},
		{"on-a-datum", [][2]float64{{0, 312}, {1, 311}, {2, 312}}, 1},
		{"touches-the-brinks", [][2]float64{{0, 0}, {1, -1}, {2, 0}, {3, -1}, {4, 0}}, 2},
		{"flat", [][2]float64{{0, 0}, {1, 0}, {2, 0}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, p := ofOffsets(c.r, tape)
			if p != nil || math.Abs(a.areaM2-c.want) > 1e-9 || !(a.plusMinusM2 > 0) {
				t.Errorf("area of %v = %+v, %v; want %v", c.r, a, p, c.want)
			}
		})
	}
}

// TestSidesThatMeet, by hand: two sides that have one point in common meet, wherever on them it lies,
// whichever is named first and whichever way round.
func TestSidesThatMeet(t *testing.T) {
	for _, c := range []struct {
		name string
		p, q [2][2]float64
		want bool
	}{
		{"cross", [2][2]float64{{0, 0}, {2, 2}}, [2][2]float64{{0, 2}, {2, 0}}, true},
		{"end to end", [2][2]float64{{0, 0}, {1, 1}}, [2][2]float64{{1, 1}, {2, 5}}, true},
		{"end to end, level", [2][2]float64{{0, 0}, {1, 0}}, [2][2]float64{{1, 0}, {3, 0}}, true},
		{"an end on a side", [2][2]float64{{0, 0}, {2, 0}}, [2][2]float64{{1, 0}, {1, 3}}, true},
		{"an end beside a side", [2][2]float64{{0, 0}, {2, 0}}, [2][2]float64{{1, 0.01}, {1, 3}}, false},
		{"one behind the other", [2][2]float64{{0, 0}, {1, 0}}, [2][2]float64{{1.01, 0}, {3, 0}}, false},
		{"beside each other", [2][2]float64{{0, 0}, {2, 2}}, [2][2]float64{{0, 1}, {2, 3}}, false},
		{"past each other", [2][2]float64{{0, 0}, {2, 2}}, [2][2]float64{{3, 0}, {2.1, 2.1}}, false},
	} {
		flip := func(s [2][2]float64) [2][2]float64 { return [2][2]float64{{s[0][1], s[0][0]}, {s[1][1], s[1][0]}} }
		for _, pair := range [][2][2][2]float64{{c.p, c.q}, {flip(c.p), flip(c.q)}} {
			p, q := pair[0], pair[1]
			for _, got := range []bool{meet(p[0], p[1], q[0], q[1]), meet(q[0], q[1], p[0], p[1]), meet(p[1], p[0], q[0], q[1]), meet(q[0], q[1], p[1], p[0])} {
				if got != c.want {
					t.Errorf("%s: %v and %v meet: %t", c.name, p, q, got)
				}
			}
		}
	}
}

func TestVolumePlusMinus(t *testing.T) {
	v := VolumeSurvey{Method: EndArea, MethodErrorPct: 10, Accuracy: nobodySaid,
		Sections: []CrossSection{ofArea(0, 4), ofArea(10, 4)}}
	if out, err := v.Volume(); err != nil || out.PlusMinusM3 != -1 || out.ReadingPlusMinusM3 != -1 {
		t.Errorf("areas without a plus-minus: %+v, %v; want a plus-minus of -1", out, err)
	}
	v.Sections[0].AreaPlusMinusM2, v.Sections[1].AreaPlusMinusM2 = new(0.3), new(0.4)
	if out, err := v.Volume(); err != nil || out.PlusMinusM3 != -1 {
		t.Errorf("chainages without a plus-minus: %+v, %v; want a plus-minus of -1", out, err)
	}
	v.Accuracy.ChainageM = 0 // 10/2 · √(0.3² + 0.4²) = 2.5, and a tenth of 40 m3
	if out, err := v.Volume(); err != nil || math.Abs(out.ReadingPlusMinusM3-2.5) > 1e-9 || math.Abs(out.PlusMinusM3-math.Sqrt(2.5*2.5+16)) > 1e-9 {
		t.Errorf("Volume() = %+v, %v; want ± 2.5 by reading and ± 4.717 in all", out, err)
	}
}

// TestVolumeLaws: the volume of one gully does not depend on how it is cut into intervals,
// on the bank from which it is read or on the datum, and for sections that keep their shape
// end areas read high by just what ReadsHighM3 says.
func TestVolumeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		length, scale, ratio := number("length", 1, 200), number("width", 0.5, 20), number("ratio", 0.05, 1)
		shaped := func(x, k float64) CrossSection {
			return offsets(x, [2]float64{0, 50}, [2]float64{k * 0.2, 50 - k}, [2]float64{k * 0.8, 50 - k*1.1}, [2]float64{k, 50})
		}
		low, high := shaped(0, scale), shaped(length, scale*ratio)
		half := shaped(length/2, scale*(1+ratio)/2)
		half.Middle = true
		volume := func(method VolumeRule, sections ...CrossSection) Volume {
			out, err := VolumeSurvey{Method: method, Sections: sections, Accuracy: tape, MethodErrorPct: -1}.Volume()
			if err != nil {
				t.Fatalf("%v: %v", sections, err)
			}
			return out
		}
		ends, exact := volume(EndArea, low, high), volume(Prismoidal, low, half, high)
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
				t.Fatalf("%s: %v, want %v", what, got, want)
			}
		}
		near("averaged end areas less what they read high", ends.VolumeM3-ends.ReadsHighM3, exact.VolumeM3)
		mirror := low
		mirror.Offsets = mirrored(low.Offsets)
		near("read from the other bank", volume(EndArea, mirror, high).VolumeM3, ends.VolumeM3)
		mirror.Offsets = raised(low.Offsets, 300)
		near("on another datum", volume(EndArea, mirror, high).VolumeM3, ends.VolumeM3)
		same := shaped(length*number("at", 0.1, 0.9), scale)
		near("cut in two where it is a prism", volume(EndArea, low, same, shaped(length, scale)).VolumeM3, volume(EndArea, low, shaped(length, scale)).VolumeM3)
	})
}

func TestVolumeCautions(t *testing.T) {
	v := VolumeSurvey{Method: EndArea, Sections: []CrossSection{ofArea(0, 4), ofArea(10, 1)}, Accuracy: tape, MethodErrorPct: -1}
	out, err := v.Volume()
	if err != nil || math.Abs(out.ReadsHighM3-10.0/6) > 1e-9 { // 10/6 (2 - 1)²
		t.Fatalf("Volume() = %+v, %v; want it to read 1.667 m3 high", out, err)
	}
	if got := len(v.Cautions(out)); got != len(VolumeCautions)+2 {
		t.Errorf("%d cautions, want those of end areas and of the method beside the %d general ones", got, len(VolumeCautions))
	}
	v.MethodErrorPct = 4
	if got := len(v.Cautions(out)); got != len(VolumeCautions)+1 {
		t.Errorf("%d cautions with a method named, want one less", got)
	}
}

// ExampleVolumeSurvey is the fill of the earthwork example in Fundamentals of
// Transportation (Wikibooks): end areas, and a pyramid where one end is zero.
func ExampleVolumeSurvey() {
	v := VolumeSurvey{Method: EndArea, MethodErrorPct: -1}
	for i, x := range []float64{0, 50, 75, 100, 115, 150} {
		area := []float64{60, 50, 25, 5, 0, 0}[i]
		v.Sections = append(v.Sections, CrossSection{ChainageM: x, AreaM2: &area})
	}
	out, _ := v.Volume()
	fmt.Printf("%.1f m3, of which the last %s %.0f m3\n", out.VolumeM3, out.Intervals[3].Rule, out.Intervals[3].VolumeM3)
	// Output: 4087.5 m3, of which the last pyramid 25 m3
}

func FuzzVolume(f *testing.F) {
	f.Add(0.0, 20.0, 0.0, 0.0, 1.0, -1.0, 2.0, -1.2, 4.0, 0.0, 3.2, true)
	f.Add(0.0, 9.0, 0.0, 312.0, -0.5, 311.0, 2.0, 310.0, 2.0, 312.1, 0.0, false)
	f.Add(1.0, 2.0, 0.0, 0.0, 0.0, -1.0, 2.0, 0.5, 1.0, 0.0, 3.0, false)
	f.Fuzz(func(t *testing.T, x0, x1, a, za, b, zb, c, zc, d, zd, area float64, prismoidal bool) {
		v := VolumeSurvey{Method: EndArea, Accuracy: tape, MethodErrorPct: -1, RunOutUpM: 1,
			Sections: []CrossSection{offsets(x0, [2]float64{a, za}, [2]float64{b, zb}, [2]float64{c, zc}, [2]float64{d, zd}), ofArea(x1, area)}}
		if prismoidal {
			v.Method = Prismoidal
		}
		out, err := v.Volume()
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("Volume(%+v) = %v, want a problem that names its place", v, err)
			}
			return
		}
		if !(out.VolumeM3 >= 0) || math.IsInf(out.VolumeM3, 0) || math.IsNaN(out.PlusMinusM3) || !(out.ReadsHighM3 >= 0) {
			t.Fatalf("Volume(%+v) = %+v", v, out)
		}
	})
}

func BenchmarkVolume(b *testing.B) {
	v := VolumeSurvey{Method: EndArea, Accuracy: tape, MethodErrorPct: -1}
	for i := range 10_000 {
		v.Sections = append(v.Sections, offsets(10*float64(i), [2]float64{0, 0}, [2]float64{1, -1}, [2]float64{2, -1.2}, [2]float64{3, -1}, [2]float64{4, 0}))
	}
	for b.Loop() {
		if _, err := v.Volume(); err != nil {
			b.Fatal(err)
		}
	}
}
