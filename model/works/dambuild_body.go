package works

import "headcut/model/section"

// body is the shape of a dam along the stream: a level crest between two plane faces, on a
// bed that climbs upstream. Along the stream, y is counted upstream from the downstream toe
// at the lowest point of the section.
type body struct {
	heightM  float64 // of the crest above the lowest point of the section
	breadthM float64 // of the crest along the stream
	upstream float64 // run for one of rise of the upstream face
	down     float64 // and of the downstream face
	bed      float64 // rise over run of the bed going upstream
}

func (d DamBuild) body() body {
	return body{d.totalHeightM(), d.CrestBreadthM, d.UpstreamRunPerRise, d.DownstreamRunPerRise, d.BedSlopePct / 100}
}

// lowered is the same body cut down to a crest belowM lower; its faces stay where they are.
func (b body) lowered(belowM float64) body {
	b.heightM -= belowM
	b.breadthM += (b.upstream + b.down) * belowM
	return b
}

// crest is where the crest begins and ends, upstream of the downstream toe.
func (b body) crest() (fromM, toM float64) {
	fromM = b.heightM * b.down
	return fromM, fromM + b.breadthM
}

// sliceM2 is the area of the body cut along the stream where the ground of the section is
// heightM above its lowest point. The corners are where the downstream face leaves the
// ground, the two edges of the crest, and where the upstream face meets the ground:
//
//	y₀ = h m / (1 - m s)    y₁ = H m    y₂ = y₁ + t    y₃ = (y₂ + n (H - h)) / (1 + n s)
//
// with H the height of the crest, h that of the ground, t the breadth, m and n the runs of
// the downstream and the upstream face, s the bed's slope (derived). On a level bed, s = 0,
// this is t (H-h) + (m+n)/2 (H-h)². Where the bed climbs above the crest before its
// upstream edge, the body ends there.
func (b body) sliceM2(heightM float64) float64 {
	y1 := b.heightM * b.down
	y2 := y1 + b.breadthM
	high1 := b.heightM - heightM - b.bed*y1 // of the crest's edges above the ground
	high2 := b.heightM - heightM - b.bed*y2
	if high1 <= 0 {
		return 0
	}
	y0 := heightM * b.down / (1 - b.down*b.bed)
	area := (y1 - y0) * high1 / 2
	if high2 <= 0 {
		return area + high1*high1/b.bed/2
	}
	y3 := (y2 + b.upstream*(b.heightM-heightM)) / (1 + b.upstream*b.bed)
	return area + b.breadthM*(high1+high2)/2 + (y3-y2)*high2/2
}

// breaks are the heights of ground at which sliceM2 goes over from one formula to another.
func (b body) breaks() (crestStarts, crestEnds float64) {
	y1 := b.heightM * b.down
	return b.heightM - b.bed*y1, b.heightM - b.bed*(y1+b.breadthM)
}

// volumeM3 is that of the body between two offsets of the section, exactly: no mean of
// sections and no mean length, which reads high by (m+n)/2 z H³/3 for banks of z to 1.
func (b body) volumeM3(a section.Across, fromM, toM float64) float64 {
	starts, ends := b.breaks()
	return a.Integral(fromM, toM, func(_, h float64) float64 { return b.sliceM2(h) }, starts, ends)
}

// baseM is how long the body is along the stream over the lowest point of the section.
func (b body) baseM() float64 {
	y2 := b.heightM*b.down + b.breadthM
	if b.bed*y2 > b.heightM {
		return b.heightM / b.bed
	}
	return (y2 + b.upstream*b.heightM) / (1 + b.upstream*b.bed)
}
