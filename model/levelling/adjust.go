package levelling

import (
	"math"

	"headcut/model"
)

// adjust spreads what each stretch gained between its two known levels. The correction of
// a level is worked out from the start of its stretch, never by adding up rounded steps:
//
//	c = c0 + (c1 - c0) * i/n    i of n set-ups, or metres, from the known level before
//
// with c0 and c1 the corrections of the two known levels. Every sight of a set-up,
// intermediate ones too, takes the set-up's share. What hangs beyond the last known level
// takes its correction. Source: R. Rode, Collimation method to reduce a levelling field
// book page, for set-ups (looked up); by distance is common in textbooks (from memory).
func (run *Run) adjust(r reduced, o Options) {
	if run.MisclosureM == nil || o.Adjust == AdjustNever || (o.Adjust == AdjustWhenClosed && !run.Closed) {
		return
	}
	run.Method = BySetUps
	measured := 0
	for _, s := range r.book[1:] {
		if s.distanceM != nil {
			measured++
		}
	}
	switch {
	case measured == len(r.book)-1:
		run.Method = ByDistance
	case measured > 1:
		run.Cautions = append(run.Cautions, model.Caution{About: "adjustedLevelM",
			Text: "Some rows lack their distance, so the misclosure was spread equally over the set-ups."})
	}
	if !run.Closed {
		run.Cautions = append(run.Cautions, model.Caution{About: "adjustedLevelM",
			Text: "The run was adjusted as asked although it does not close: its levels stay unproven."})
	}
	from := 0
	var c0, c1 tenths
	for k := 1; k < len(r.book); k++ {
		if s := r.book[k]; s.known == nil || s.fs == nil {
			continue
		}
		c1 = *r.book[k].known - r.levels[k]
		for j := from; j <= k; j++ {
			run.correct(r, j, c0+run.share(r, c1-c0, from, j, k))
		}
		from, c0 = k, c1
	}
	for j := from + 1; j < len(r.book); j++ {
		run.correct(r, j, c0)
	}
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
