package levelling

import "math"

// adjust spreads what each stretch gained between its two known levels. The correction of
// a level is worked out from the start of its stretch, never by adding up rounded steps:
//
//	c = c0 + (c1 - c0) * i/n    i of n set-ups, or metres, from the known level before
//
// with c0 and c1 the corrections of the two known levels. Every sight of a set-up,
// intermediate ones too, takes the set-up's share. What goes on from a known level takes
// its correction, closed or not: a backsight on a benchmark starts from the benchmark's
// level, not from what the run made of it. Source: R. Rode, Collimation method to reduce a levelling field
// book page, for set-ups (looked up); by distance is common in textbooks (from memory).
func (run *Run) adjust(r reduced, o Options) {
	if run.MisclosureM == nil || o.Adjust == AdjustNever {
		return
	}
	to := len(r.book) - 1 // what a misclosure is spread over
	if o.Adjust == AdjustWhenClosed {
		to = run.closedTo
	}
	if to > 0 {
		run.choose(r, to)
	}
	from := 0
	var c0, c1 tenths
	for k := 1; k < len(r.book); k++ {
		if s := r.book[k]; s.known == nil || s.fs == nil {
			continue
		}
		c1 = *r.book[k].known - r.levels[k]
		switch {
		case k <= to:
			for j := from; j <= k; j++ {
				run.correct(r, j, c0+run.share(r, c1-c0, from, j, k))
			}
		case from > 0:
			for j := from + 1; j <= k; j++ {
				run.correct(r, j, c0)
			}
		}
		if k > to && r.book[k].bs != nil {
			run.correct(r, k, c1)
		}
		from, c0 = k, c1
	}
	if from > 0 {
		for j := from + 1; j < len(r.book); j++ {
			run.correct(r, j, c0)
		}
	}
}

// choose sets how the misclosure is spread over the book as far as a place, with cautions.
func (run *Run) choose(r reduced, to int) {
	run.Method = BySetUps
	measured := 0
	for _, s := range r.book[1 : to+1] {
		if s.distanceM != nil {
			measured++
		}
	}
	switch {
	case measured == to:
		run.Method = ByDistance
	case measured > 1:
		run.Cautions.Add("adjustedLevelM", "Some rows lack their distance, so the misclosure was spread equally over the set-ups.")
	}
	run.Cautions.AddIf(to > run.closedTo, "adjustedLevelM", "The run was adjusted as asked although it does not close: its levels stay unproven.")
}

func (run *Run) correct(r reduced, k int, c tenths) {
	run.Rows[r.book[k].row].AdjustedLevelM = metresOf(r.levels[k] + c)
}

// share is the part of the whole correction that is due at place j between from and to,
// to the nearest tenth of a millimetre, halves away from nought.
func (run *Run) share(r reduced, whole tenths, from, j, to int) tenths {
	if j == from {
		return 0
	}
	if run.Method == ByDistance {
		return tenths(math.Round(float64(whole) * *r.distance(from, j) / *r.distance(from, to)))
	}
	i, n := tenths(r.stretch(from, j)), tenths(r.stretch(from, to))
	twice := 2 * whole * i
	if twice < 0 {
		return (twice - n) / (2 * n)
	}
	return (twice + n) / (2 * n)
}
