package compute

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// answered runs a computation and reads of its answer what is wanted.
func answered[T any](t testing.TB, name, input string) (out T) {
	t.Helper()
	answer, err := Run(name, []byte(input))
	if err != nil {
		t.Fatalf("%s of %s: %v", name, input, err)
	}
	if err := json.Unmarshal(answer, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

type builtDam struct {
	ChainageM, NotchLengthM, HeadM, HeadPlusMinusM, FreeboardM, NotchDepthM, RockM3, KeyM3, NetM2, ApronLengthM float64
	SectionM                                                                                                    *float64
	Posts                                                                                                       int
}

const (
	acrossBed   = `"bed":[{"chainageM":0,"levelM":100},{"chainageM":60,"levelM":103}],"basis":"levelled","crestHeightM":0.5,"toM":30`
	acrossGully = `[[-4,102.5],[-1,100],[1,100],[4,102.5]]`
	acrossBuild = `"crestBreadthM":0.6,"keyDepthM":0.4,"keyWidthM":0.4,"keyIntoBankM":0.8,"material":"netting and posts"`
)

// Each dam near a cross-section has what notch and rock-dam answer of the same section typed by hand: the gully is
// 2 + 0.1*2*1.2 m wide 0.1 m above its bed. Those farther than 10 m off it have no notch.
func TestDamsInTheirCrossSections(t *testing.T) {
	out := answered[struct{ Dams []builtDam }](t, "dam-layout", `{`+acrossBed+`,"notch":{"flowM3S":0.4,"flowPlusMinusM3S":0.08},"build":{"bedWidthM":2,`+acrossBuild+`},"sections":[{"chainageM":2,"section":`+acrossGully+`}]}`)
	if len(out.Dams) != 4 {
		t.Fatalf("dams %+v, want one every 10 m", out.Dams)
	}
	for i, d := range out.Dams {
		near := d.ChainageM < 12
		if near != (d.SectionM != nil) || near != (d.NotchLengthM > 0) || near != (d.HeadM > 0) {
			t.Errorf("dam %d at %v m: %+v, want a notch only near the cross-section", i+1, d.ChainageM, d)
		}
		if !near {
			continue
		}
		notch := answered[struct{ HeadM, HeadPlusMinusM, AbutmentHeightM, FreeboardM float64 }](t, "notch",
			fmt.Sprintf(`{"flowM3S":0.4,"flowPlusMinusM3S":0.08,"crestLengthM":2.24,"crestLengthPlusMinusM":0.0711,"gullyBottomM":2.24}`))
		if math.Abs(d.NotchLengthM-2.24) > 1e-9 || d.HeadM != notch.HeadM || d.HeadPlusMinusM != notch.HeadPlusMinusM || d.NotchDepthM != notch.AbutmentHeightM || d.FreeboardM != notch.FreeboardM {
			t.Errorf("dam %d: %+v, by hand %+v", i+1, d, notch)
		}
		dam := answered[struct {
			TotalRockM3, KeyM3, NetM2, ApronLengthM float64
			Posts                                   int
		}](t, "rock-dam", fmt.Sprintf(`{"crestHeightM":0.5,"bedSlopePct":5,"section":%s,"flowM3S":0.4,"notchLengthM":%v,"notchDepthM":%v,%s}`, acrossGully, d.NotchLengthM, d.NotchDepthM, acrossBuild))
		if math.Abs(d.RockM3-dam.TotalRockM3) > 0.011 || math.Abs(d.KeyM3-dam.KeyM3) > 0.011 || math.Abs(d.NetM2-dam.NetM2) > 0.011 || d.Posts != dam.Posts || math.Abs(d.ApronLengthM-dam.ApronLengthM) > 1e-3 {
			t.Errorf("dam %d: %+v, by hand %+v", i+1, d, dam)
		}
	}
}

// A wider gully has a longer notch and less water over it; where the notch would take more than it may, or its ends stand
// above the brink, the layout is refused with the dam. The layout itself is that without cross-sections.
func TestNotchesOfAnyWidth(t *testing.T) {
	plain := answered[struct{ Dams []builtDam }](t, "dam-layout", `{`+acrossBed+`}`)
	rapid.Check(t, func(t *rapid.T) {
		flow := float64(rapid.IntRange(1, 200).Draw(t, "flow")) / 100
		deepM := float64(rapid.IntRange(3, 30).Draw(t, "depth")) / 10
		last := math.Inf(1)
		for width := 0.2; width < 8; width *= 2 {
			in := fmt.Sprintf(`{%s,"notch":{"flowM3S":%v},"sections":[{"chainageM":0,"section":[[-9,%v],[-9,0],[%v,0],[%v,%v]]}]}`, acrossBed, flow, deepM, width-9, width-9, deepM)
			answer, err := Run("dam-layout", []byte(in))
			if err != nil {
				if !strings.Contains(err.Error(), "dam 1, at chainage 0.0 m") || !strings.Contains(err.Error(), "of water would stand over this notch") && !strings.Contains(err.Error(), "would leave the gully") {
					t.Fatalf("%s: %v, want the dam and why", in, err)
				}
				continue
			}
			var out struct{ Dams []builtDam }
			if err := json.Unmarshal(answer, &out); err != nil {
				t.Fatal(err)
			}
			d := out.Dams[0]
			if len(out.Dams) != len(plain.Dams) || math.Abs(d.NotchLengthM-width) > 1e-3 || d.HeadM > last || d.HeadM > 0.6 || 0.5+d.NotchDepthM > deepM+1e-3 {
				t.Fatalf("%s: %+v, want a notch %v m long with less than %v m of water", in, d, width, last)
			}
			last = d.HeadM
		}
	})
}
