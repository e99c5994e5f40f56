package works

import (
	"math"
	"slices"
)

// spread is one standard deviation of each part of the take, for independent errors of
// AccuracyM in every size and offset that was given; a run for one of rise errs by as much
// over the height of the dam. All are -1 when the accuracy is not known.
func (d DamBuild) spread() take {
	var t take
	if !(d.AccuracyM > 0) {
		for _, part := range t.each() {
			*part = -1
		}
		return t
	}
	d.Section = slices.Clone(d.Section)
	var sizes []taped
	for _, size := range []*float64{&d.CrestHeightM, &d.BedWidthM, &d.CrestBreadthM, &d.NotchDepthM, &d.NotchLengthM,
		&d.KeyDepthM, &d.KeyWidthM, &d.KeyIntoBankM, &d.ApronLengthM, &d.ApronWidthM, &d.ApronThicknessM} {
		if *size > 0 {
			sizes = append(sizes, taped{size, d.AccuracyM})
		}
	}
	heightM := d.totalHeightM()
	for _, run := range []*float64{&d.UpstreamRunPerRise, &d.DownstreamRunPerRise, &d.LeftRunPerRise, &d.RightRunPerRise} {
		if *run > 0 {
			sizes = append(sizes, taped{run, d.AccuracyM * math.Hypot(1, *run) / heightM})
		}
	}
	for i := range d.Section {
		sizes = append(sizes, taped{&d.Section[i][0], d.AccuracyM}, taped{&d.Section[i][1], d.AccuracyM})
	}
	stated := spreadBy(func() []float64 {
		taken := d.take()
		figures := make([]float64, 0, len(taken.each()))
		for _, part := range taken.each() {
			figures = append(figures, *part)
		}
		return figures
	}, sizes)
	for i, part := range t.each() {
		*part = stated[i]
	}
	return t
}
