package works

import (
	"fmt"
	"math"

	"headcut/model"
)

// WindrowCautions go with every set of windrows.
var WindrowCautions = []model.Caution{
	{Text: "A row that is off the contour gathers water behind it and lets it go at one place: level each row before timber is pushed."},
	{Text: "Clearing, even of dead timber, may need a permit; services, heritage and nesting hollows may lie in the way: ask before pushing."},
	{Text: "Timber that does not touch the ground all along stops nothing; keep rows clear of fences and of gullies, and mind fire."},
	{Text: "Gaps are best on the ridge lines, where least water comes, and staggered there too from row to row."},
}

// Cautions are those of this set of rows: the general ones and what its own pairs call for.
func (w Windrows) Cautions(s Staggering) []model.Caution {
	all := append([]model.Caution(nil), WindrowCautions...)
	tell := func(about, format string, args ...any) {
		all = append(all, model.Caution{About: about, Text: fmt.Sprintf(format, args...)})
	}
	for _, p := range s.Pairs {
		switch {
		case p.Meets == MeetsGap:
			tell("pairs", "Gap %d of %s lies above gap %d of %s: close one of them, or move it %.1f m or more along the row.",
				p.Gap+1, w.called(p.Row), p.BelowGap+1, w.called(p.Below), p.ShiftM)
		case p.Meets == TooClose:
			tell("pairs", "Gap %d of %s and gap %d of %s are %.1f m from standing clear, good to %.1f m: stand in the one, look straight down the fall, and tape.",
				p.Gap+1, w.called(p.Row), p.BelowGap+1, w.called(p.Below), math.Abs(p.ShiftM), p.ShiftPlusMinusM)
		case p.Meets == MeetsOpen && p.Below >= 0:
			tell("pairs", "Gap %d of %s looks past the end of %s over %.1f m: see where that water goes.", p.Gap+1, w.called(p.Row), w.called(p.Below), p.OverlapM)
		}
	}
	if s.FallFromRows {
		tell("fallBearingDeg", "The fall, %.0f°, is taken square to the rows. Where they are off the contour it is wrong: shoot the bearing.", s.FallBearingDeg)
	}
	if !(w.AccuracyM > 0) {
		tell("pairs", "How good the positions are was not given, so that gaps that just miss each other pass.")
	}
	return all
}

func (w Windrows) called(i int) string {
	if name := w.Rows[i].Name; name != "" {
		return name
	}
	return fmt.Sprintf("row %d", i+1)
}
