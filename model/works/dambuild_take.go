package works

import (
	"math"
	"slices"

	"headcut/model/section"
)

// take is what a dam takes of everything that is not counted in pieces.
type take struct {
	FillM3, NotchM3, RockM3, KeyM3, ApronM3, WastageM3, TotalRockM3, BrushM3, NetM2 float64
}

// each lists the parts of a take in a fixed order.
func (t *take) each() [9]*float64 {
	return [9]*float64{&t.FillM3, &t.NotchM3, &t.RockM3, &t.KeyM3, &t.ApronM3, &t.WastageM3, &t.TotalRockM3, &t.BrushM3, &t.NetM2}
}

func (d DamBuild) totalHeightM() float64 { return d.CrestHeightM + d.NotchDepthM }

// gully is the cross-section in which the dam stands: as surveyed, or the bed and its banks up
// to above the shoulders.
func (d DamBuild) gully() section.Across {
	if d.Section == nil {
		top := d.totalHeightM() + 1
		return section.Across{{-top * d.LeftRunPerRise, top}, {0, 0}, {d.BedWidthM, 0}, {d.BedWidthM + top*d.RightRunPerRise, top}}
	}
	return section.NewAcross(d.Section)
}

// take works out the volumes and the netting of a dam that has been checked and settled.
func (d DamBuild) take() take {
	var t take
	across, shape := d.gully(), d.body()
	everywhere, beyond := math.Inf(-1), math.Inf(1)
	lengthM := across.WidthM(shape.heightM)
	t.KeyM3 = d.KeyDepthM * d.KeyWidthM * (lengthM + 2*d.KeyIntoBankM)
	if d.Kind == HayBales {
		t.KeyM3 = d.Bale.trenchM3(across, d.CrestHeightM)
	} else {
		t.FillM3 = shape.volumeM3(across, everywhere, beyond)
	}
	faceM2 := across.AreaM2(everywhere, beyond, shape.heightM)
	if d.NotchDepthM > 0 {
		from, to := d.notch(across)
		t.NotchM3 = shape.volumeM3(across, from, to) - shape.lowered(d.NotchDepthM).volumeM3(across, from, to)
		faceM2 -= across.AreaM2(from, to, shape.heightM) - across.AreaM2(from, to, d.CrestHeightM)
	}
	t.ApronM3 = d.ApronLengthM * d.ApronWidthM * d.ApronThicknessM
	if d.Kind == Brushwood {
		t.BrushM3 = t.FillM3 - t.NotchM3 + t.KeyM3
	} else if d.Kind != HayBales {
		t.RockM3 = t.FillM3 - t.NotchM3
		t.TotalRockM3 = t.RockM3 + t.KeyM3
	}
	if d.Kind == Netting {
		t.NetM2 = d.Fences.netM2(faceM2, d.KeyDepthM*(lengthM+2*d.KeyIntoBankM))
	}
	t.TotalRockM3 += t.ApronM3
	t.WastageM3 = t.TotalRockM3 * d.WastagePct / 100
	t.TotalRockM3 += t.WastageM3
	return t
}

// notch is where the notch lies across the section: over the middle of the area below its
// sill, moved aside where a bank is in the way.
func (d DamBuild) notch(a section.Across) (fromM, toM float64) {
	left, right := a.Banks(d.CrestHeightM)
	half := d.NotchLengthM / 2
	middle := min(max(a.MiddleM(d.CrestHeightM), left+half), right-half)
	return middle - half, middle + half
}

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
	sizes := given(d.AccuracyM, &d.CrestHeightM, &d.BedWidthM, &d.CrestBreadthM, &d.NotchDepthM, &d.NotchLengthM,
		&d.KeyDepthM, &d.KeyWidthM, &d.KeyIntoBankM, &d.ApronLengthM, &d.ApronWidthM, &d.ApronThicknessM)
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
