package works

import (
	"math"
	"slices"
)

// eachPull visits what moves the way across at s, d to the left, seen from a place that
// keeps still along the segment. With m the slope of the other line against it, n square to
// it, and θ its turn:
//
//	dd = pull·(dother) - n·(dfrom) - m d θ
func (w *sweep) eachPull(from stretch, s float64, x *across, visit func(point int, pull [2]float64)) {
	there := (s - x.s0) / (x.s1 - x.s0)
	if x.back {
		there = 1 - there
	}
	here := s / from.lengthM
	n := [2]float64{-from.u[1], from.u[0]}
	turn := (x.d1 - x.d0) / (x.s1 - x.s0) * x.at(s) / from.lengthM
	visit(x.a, scaledBy(1-there, x.pull))
	visit(x.b, scaledBy(there, x.pull))
	visit(from.a, scaledBy(turn-(1-here), n))
	visit(from.b, scaledBy(-turn-here, n))
}

// eachShift visits what moves a break along the segment: its own end, or a point of another
// line, whose foot slides as the segment turns.
func (w *sweep) eachShift(from stretch, at ripBreak, visit func(point int, pull [2]float64)) {
	if at.point < 0 {
		return
	}
	visit(at.point, from.u)
	if at.point != from.a && at.point != from.b {
		n := [2]float64{-from.u[1], from.u[0]}
		visit(from.a, scaledBy(-at.d/from.lengthM, n))
		visit(from.b, scaledBy(at.d/from.lengthM, n))
	}
}

// place is a place at one end of a part, with what moves the way across from there: an end
// of the segment carries it along, and so does the end of another line.
func (w *sweep) place(from stretch, at ripBreak, x *across, m float64) ripPlace {
	a := w.points[from.a]
	p := ripPlace{line: from.line, other: x.line, at: [2]float64{a[0] + at.s*from.u[0], a[1] + at.s*from.u[1]}, m: m}
	var pulls [8][2]float64 // of few points, some of them the same
	var points [8]int
	n := 0
	add := func(point int, pull [2]float64) {
		k := slices.Index(points[:n], point)
		if k < 0 {
			k, points[n] = n, point
			n++
		}
		pulls[k][0] += pull[0]
		pulls[k][1] += pull[1]
	}
	w.eachPull(from, at.s, x, add)
	slope := (x.d1 - x.d0) / (x.s1 - x.s0)
	w.eachShift(from, at, func(point int, pull [2]float64) { add(point, scaledBy(slope, pull)) })
	p.pull = math.Sqrt(squared(pulls[:n]))
	return p
}

func scaledBy(by float64, v [2]float64) [2]float64 { return [2]float64{by * v[0], by * v[1]} }

// shift adds to pulls what moving a break does, times by.
func (w *sweep) shift(from stretch, at ripBreak, by float64, pulls [][2]float64) {
	w.eachShift(from, at, func(point int, pull [2]float64) {
		pulls[point][0] += by * pull[0]
		pulls[point][1] += by * pull[1]
	})
}

// pair is what two lines see of each other so far.
func (w *sweep) pair(a, b int) *ripPair {
	lines := pairOf(a, b)
	p := w.pairs[lines]
	if p == nil {
		p = &ripPair{lines: lines, least: ripPlace{m: math.Inf(1)}, most: ripPlace{m: -1}}
		for k, line := range lines {
			n := w.start[line+1] - w.start[line]
			w.work.Do(n)
			p.sumPull[k], p.seenPull[k] = make([][2]float64, n), make([][2]float64, n)
		}
		w.pairs[lines] = p
	}
	return p
}

// add adds a pull of one of the pair's points; a point of a third line, which only hides a
// part of one, is left out of the pair's own plus-minus.
func (p *ripPair) add(w *sweep, pulls *[2][][2]float64, point int, by float64, pull [2]float64) {
	for k, line := range p.lines {
		if i := point - w.start[line]; i >= 0 && i < len(pulls[k]) {
			pulls[k][i][0] += by * pull[0]
			pulls[k][i][1] += by * pull[1]
			return
		}
	}
}

// meanPull is how far the pair's mean spacing moves for positions scattered by a metre.
func (p *ripPair) meanPull() float64 {
	total, mean := 0.0, p.sum/p.seenM
	for k := range p.lines {
		total += squared(lessMean(p.sumPull[k], p.seenPull[k], mean))
	}
	return math.Sqrt(total) / p.seenM
}

// lessMean is what is pulled of a sum beyond what goes with its longer base.
func lessMean(sum, seen [][2]float64, mean float64) [][2]float64 {
	all := make([][2]float64, len(sum))
	for i := range all {
		all[i] = [2]float64{sum[i][0] - mean*seen[i][0], sum[i][1] - mean*seen[i][1]}
	}
	return all
}

// meanPull is how far the mean spacing moves for positions scattered by a metre.
func (w *sweep) meanPull() float64 {
	return math.Sqrt(squared(lessMean(w.sumPull, w.seenPull, w.sum/w.seenM))) / w.seenM
}

// areaPull is how far the area moves for positions scattered by a metre.
func (w *sweep) areaPull(meanM float64) float64 {
	total := 0.0
	spacing := lessMean(w.sumPull, w.seenPull, meanM)
	for i := range w.points {
		for k := range 2 {
			g := w.areaPulls[i][k] + meanM*w.alonePull[i][k] + w.aloneM/w.seenM*spacing[i][k]
			total += g * g
		}
	}
	return math.Sqrt(total)
}

// spacings are the pairs in order of their lines.
func (w *sweep) spacings(accuracyM float64) []RipSpacing {
	var all []RipSpacing
	for _, lines := range inOrder(w.pairs) {
		p := w.pairs[lines]
		p.least.settle(lines, p.sum/p.seenM)
		p.most.settle(lines, p.sum/p.seenM)
		r := RipSpacing{Lines: [2]int{lines[0] + 1, lines[1] + 1}, FacesM: p.facesM, MinM: p.least.m, MeanM: p.sum / p.seenM, MaxM: p.most.m, MeanPlusMinusM: -1,
			MinAt: w.put(p.least, accuracyM), MaxAt: w.put(p.most, accuracyM)}
		for k, line := range lines {
			r.SharePct[k] = 100 * p.facesM[k] / w.lineM[line]
		}
		if accuracyM > 0 {
			r.MeanPlusMinusM = accuracyM * p.meanPull()
		}
		all = append(all, r)
	}
	return all
}

// settle gives the mean to a place that was never found, lines that see each other by slivers
// alone.
func (p *ripPlace) settle(lines [2]int, meanM float64) {
	if p.m < 0 || math.IsInf(p.m, 1) {
		*p = ripPlace{line: lines[0], other: lines[1], m: meanM, pull: math.Sqrt2}
	}
}

// put is a place as it is answered.
func (w *sweep) put(p ripPlace, accuracyM float64) RipPlace {
	place := RipPlace{Line: p.line + 1, Other: p.other + 1, At: w.frame.Position(p.at[0], p.at[1]), SpacingM: p.m, PlusMinusM: -1}
	if accuracyM > 0 {
		place.PlusMinusM = accuracyM * p.pull
	}
	return place
}
