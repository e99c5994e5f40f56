package works

import "math"

// spread is one standard deviation of each part of the take, for independent errors of
// AccuracyM in every size and offset that was given; a run for one of rise errs by as much
// over the height of the dam. It is to first order (law of propagation, JCGM 100:2008,
// 5.1.2; from memory), with slopes by central differences, since the volumes are cubics.
func (d DamBuild) spread() take {
	var t take
	if !(d.AccuracyM > 0) {
		for _, part := range t.each() {
			*part = -1
		}
		return t
	}
	add := func(size *float64, sigma float64) {
		const stepM = 1e-4
		was, back := *size, stepM
		if was < stepM {
			back = 0 // a wall cannot lean over
		}
		*size = was + stepM
		above := d.take()
		*size = was - back
		below := d.take()
		*size = was
		high, low := above.each(), below.each()
		for i, part := range t.each() {
			*part = math.Hypot(*part, sigma*(*high[i]-*low[i])/(stepM+back))
		}
	}
	for _, size := range []*float64{&d.CrestHeightM, &d.BedWidthM, &d.CrestBreadthM, &d.NotchDepthM, &d.NotchLengthM,
		&d.KeyDepthM, &d.KeyWidthM, &d.KeyIntoBankM, &d.ApronLengthM, &d.ApronWidthM, &d.ApronThicknessM} {
		if *size > 0 {
			add(size, d.AccuracyM)
		}
	}
	heightM := d.totalHeightM()
	runs := []*float64{&d.UpstreamRunPerRise, &d.DownstreamRunPerRise}
	if d.Section == nil {
		runs = append(runs, &d.LeftRunPerRise, &d.RightRunPerRise)
	}
	for _, run := range runs {
		if *run > 0 {
			add(run, d.AccuracyM*math.Hypot(1, *run)/heightM)
		}
	}
	d.Section = append([][2]float64(nil), d.Section...)
	for i := range d.Section {
		add(&d.Section[i][0], d.AccuracyM)
		add(&d.Section[i][1], d.AccuracyM)
	}
	if len(d.Section) == 0 {
		d.Section = nil
	}
	return t
}
