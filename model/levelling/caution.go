package levelling

import (
	"fmt"

	"headcut/model"
)

// caution collects what the officer should know beside the figures.
func (run *Run) caution(rows []model.LevelRow, r reduced) {
	say := func(about, text string) { run.Cautions = append(run.Cautions, model.Caution{About: about, Text: text}) }
	if run.Closed {
		say("levelM", "A run that closes can still hide a staff misread on an intermediate sight: nothing depends on it, so nothing checks it.")
	}
	long := 0
	last := 0
	for k := 1; k < len(r.book); k++ {
		s := r.book[k]
		if s.fs == nil {
			continue
		}
		if d := r.distance(last, k); d != nil && *d > 2*LongSightM {
			if long++; long == 1 {
				half := *d / 2
				say(fmt.Sprintf("rows[%d].levelM", s.row), fmt.Sprintf(
					"Sights of about %.0f m into row %d: the earth's curve and refraction raise each reading %.1f mm, which cancels only if backsight and foresight are equally long.",
					half, s.row+1, CurvatureRefractionM(half)*1000))
			}
		}
		last = k
	}
	if long > 1 {
		say("levelM", fmt.Sprintf("%d set-ups have sights beyond %d m.", long, LongSightM))
	}
}
