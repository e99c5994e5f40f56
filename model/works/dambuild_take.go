package works

import "math"

// take is what a dam takes of everything that is not counted in pieces.
type take struct {
	FillM3, NotchM3, RockM3, KeyM3, ApronM3, WastageM3, TotalRockM3, BrushM3, NetM2 float64
}

// each lists the parts of a take in a fixed order.
func (t *take) each() [9]*float64 {
	return [9]*float64{&t.FillM3, &t.NotchM3, &t.RockM3, &t.KeyM3, &t.ApronM3, &t.WastageM3, &t.TotalRockM3, &t.BrushM3, &t.NetM2}
}

func (d DamBuild) totalHeightM() float64 { return d.CrestHeightM + d.NotchDepthM }

// take works out the volumes and the netting of a dam that has been checked and settled.
func (d DamBuild) take() take {
	var t take
	section, shape := d.gully(), d.body()
	everywhere, beyond := math.Inf(-1), math.Inf(1)
	lengthM := section.widthM(shape.heightM)
	t.KeyM3 = d.KeyDepthM * d.KeyWidthM * (lengthM + 2*d.KeyIntoBankM)
	if d.Kind == HayBales {
		t.KeyM3 = d.Bale.trenchM3(section, d.CrestHeightM)
	} else {
		t.FillM3 = shape.volumeM3(section, everywhere, beyond)
	}
	faceM2 := section.areaM2(everywhere, beyond, shape.heightM)
	if d.NotchDepthM > 0 {
		from, to := d.notch(section)
		t.NotchM3 = shape.volumeM3(section, from, to) - shape.lowered(d.NotchDepthM).volumeM3(section, from, to)
		faceM2 -= section.areaM2(from, to, shape.heightM) - section.areaM2(from, to, d.CrestHeightM)
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
func (d DamBuild) notch(a crossSection) (fromM, toM float64) {
	left, right := a.banks(d.CrestHeightM)
	half := d.NotchLengthM / 2
	middle := min(max(a.middleM(d.CrestHeightM), left+half), right-half)
	return middle - half, middle + half
}
