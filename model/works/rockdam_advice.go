package works

import (
	"fmt"
	"math"
	"strings"
)

// thinner names what would bring the apron of a dam with a flow down to a layer that is laid
// by hand, each tried: a longer notch where the gully is wide enough, a face laid back where
// there is one, a lower crest where it is upright. An engineer's thickness is taken as it is.
func (d DamBuild) thinner() string {
	var ways []string
	left, right := d.gully().banks(d.CrestHeightM)
	const stepM = 0.1
	for m := (math.Floor(d.NotchLengthM/stepM) + 1) * stepM; m <= right-left; m += stepM {
		if d.withNotch(m).apronHolds() {
			ways = append(ways, fmt.Sprintf("lengthen the notch to %.1f m", m))
			break
		}
	}
	const chuteRun = 3
	if back := d; d.DownstreamRunPerRise > 0 && d.DownstreamRunPerRise < chuteRun {
		if back.DownstreamRunPerRise = chuteRun; back.apronHolds() {
			ways = append(ways, fmt.Sprintf("lay its downstream face back to 1 in %d", chuteRun))
		}
	}
	for m := (math.Ceil(d.CrestHeightM/stepM) - 1) * stepM; d.DownstreamRunPerRise == 0 && m >= LeastCrestM-1e-9; m -= stepM {
		if d.withCrest(m).apronHolds() {
			ways = append(ways, fmt.Sprintf("lower the dam to %.1f m", m))
			break
		}
	}
	if ways == nil {
		ways = []string{"no longer notch that fits here and no lower dam would do: lead the water away above"}
	}
	return strings.Join(ways, ", or ") + "; or give the thickness that an engineer says"
}

func (d DamBuild) withNotch(lengthM float64) DamBuild {
	d.NotchLengthM = lengthM
	return d
}

func (d DamBuild) withCrest(heightM float64) DamBuild {
	d.CrestHeightM = heightM
	return d
}

// apronHolds tells whether the flow leaves the dam an apron that is laid by hand, and the
// gully the notch.
func (d DamBuild) apronHolds() bool {
	stone, p := d.FlowStone(*d.FlowM3S)
	return p == nil && ApronThicknessM(stone.ApronM) <= maxApronM && d.checkNotch() == nil
}
