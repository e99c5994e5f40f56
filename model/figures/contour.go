package figures

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/levelling"
)

// How far a peg may be off the contour when the officer gave no tolerance. No published
// figure is known; common practice, no source.
const (
	ripToleranceM     = 0.05
	windrowToleranceM = 0.10 // timber settles and silt finds its way
)

// judgeContour checks a line that is meant to hold water: rip lines and windrows for
// lying on the contour, whoa-boys for falling to an end.
func (l *PropertyFigures) judgeContour(s *Sheet, f model.Feature) {
	if !slices.Contains(contourKinds, f.Kind) {
		return
	}
	check := model.Check{Name: "contour-check", Verdict: model.NotLevelled,
		Rule: "contour-check: pegs against their mean level (common practice, no source)"}
	runs := runsAt(l.spots[f.ID], model.PegSpot)
	if len(runs) == 0 {
		check.Text = "Its contour has not been levelled."
		switch {
		case f.Kind == "whoa-boy":
			check.Text = "Its fall to the outlet has not been levelled."
		case f.Yes("betweenBanks"):
			check.Text = "It was ripped parallel to surveyed banks and is as good as they are; it was not levelled itself."
		}
		s.Checks = append(s.Checks, check)
		return
	}
	best := runs[0]
	pegs, taped := pegsOf(l.spots[f.ID], best)
	if !taped {
		s.caution(offContour.name, "Its pegs have no taped chainages, so grades between them cannot be calculated.")
	}
	toleranceM := ripToleranceM
	if f.Kind == "windrow" {
		toleranceM = windrowToleranceM
	}
	if m, ok := f.Number("toleranceM"); ok && m > 0 {
		toleranceM = m
	}
	c, err := levelling.CheckContour(pegs, levelling.ContourOptions{ToleranceM: toleranceM, Basis: best.basis()})
	if err != nil {
		check.Text = "Its pegs cannot be judged. " + inWords(err)
		s.Checks = append(s.Checks, check)
		return
	}
	s.Figures = append(s.Figures, offContour.figure(c.Worst.OffM, c.OffPlusMinusM, c.Basis))
	check.Verdict, check.Text = c.Verdict, strings.Join(c.Reasons, " ")
	if f.Kind == "whoa-boy" {
		check = fallsToOutlet(check, c)
	}
	if check.Verdict == model.OK && check.Text == "" {
		check.Text = fmt.Sprintf("Its %d pegs keep the contour within %.2f m; the worst is %s.", len(pegs), toleranceM, offLevel(c.Worst.OffM))
	}
	if check.Verdict != model.NotLevelled {
		for _, low := range c.LowPoints {
			s.caution(offContour.name, fmt.Sprintf("Water gathers %.2f m deep at %s before it breaks over.", low.DepthM, pegWords(low.Name, low.Peg)))
		}
	}
	s.Checks = append(s.Checks, check)
}

// pegWords names a peg: by its own name, or its number in the line.
func pegWords(name string, n int) string {
	if name == "" || name[0] >= '0' && name[0] <= '9' {
		return "peg " + cmp.Or(name, fmt.Sprint(n))
	}
	return name
}

// offLevel says how far a peg is from the contour, and on which side.
func offLevel(offM float64) string {
	if offM < 0 {
		return model.ToMillimetre(-offM) + " m below it"
	}
	return model.ToMillimetre(offM) + " m above it"
}

// fallsToOutlet judges a whoa-boy: not by its level, for it must fall, but by whether
// water on it reaches an end.
func fallsToOutlet(check model.Check, c levelling.Contour) model.Check {
	check.Rule = "contour-check: a whoa-boy falls to an end (common practice, no source)"
	if check.Verdict == model.NotLevelled {
		return check
	}
	switch c.Drains {
	case levelling.DrainsToFirst, levelling.DrainsToLast:
		check.Verdict, check.Text = model.OK, fmt.Sprintf("It falls to its %s.", c.Drains)
	case levelling.DrainsNowhere:
		check.Verdict, check.Text = model.Fails, "It is dead level: water stands on the track."
	case levelling.DrainsToBothEnds:
		check.Verdict, check.Text = model.Fails, "High in the middle: water runs off both ends."
	default:
		check.Verdict, check.Text = model.Fails, "Low in the middle: water ponds there and breaks over."
	}
	return check
}

// pegsOf are the pegs of a line in one run, along the line. Pegs without chainages stay
// in the order of the book and get their numbers for chainages.
func pegsOf(spots []*spot, r *run) (pegs []levelling.Peg, taped bool) {
	taped = true
	for _, s := range spots {
		if s.run != r || s.place != model.PegSpot {
			continue
		}
		peg := levelling.Peg{Name: s.point, LevelM: s.levelM}
		if s.chainageM != nil {
			peg.ChainageM = *s.chainageM
		} else {
			taped = false
		}
		pegs = append(pegs, peg)
	}
	if !taped {
		for i := range pegs {
			pegs[i].ChainageM = float64(i)
		}
		return pegs, false
	}
	model.SortStable(pegs, func(a, b levelling.Peg) int { return cmp.Compare(a.ChainageM, b.ChainageM) })
	return pegs, true
}
