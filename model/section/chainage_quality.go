package section

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/geodesy"
)

// PlusMinus is one standard deviation of the chainage and of the offset, for independent
// errors of the fix and of the thalweg's positions, alike in every direction. Both are -1
// when either accuracy is not known (not above 0). With σ of the fix, τ of the thalweg and
// u the unit vector of each segment, the fix stands on segment k at the share f of its
// length L, o to the left, n being the unit vector to the left:
//
//	chainage² : σ² + τ² ( 1 + Σ |uᵢ₋₁ - uᵢ|² … at the positions below, with
//	            (o/L) n taken off at position k and added at position k+1 )
//	offset²   : σ² + τ² ( (1-f)² + f² )
//
// to first order (law of propagation, JCGM 100:2008, 5.1.2; from memory). At a corner of the
// thalweg the chainage depends less on the fix than this says.
func (p Place) PlusMinus(fixAccuracyM, thalwegAccuracyM float64) (chainageM, offsetM float64) {
	if !(fixAccuracyM > 0) || !(thalwegAccuracyM > 0) || len(p.line) < 2 {
		return -1, -1
	}
	lean := p.OffsetM / p.lengthM // o/L
	if p.Side == LeftBank {
		lean = -lean
	}
	// Headings of chords do: |u-v|² needs the turn between neighbours alone.
	var last [2]float64
	sum := 0.0
	for i := 0; i <= p.segment; i++ {
		u, ok := geodesy.Heading(p.line[i], p.line[i+1])
		if !ok {
			continue
		}
		dx, dy := last[0]-u[0], last[1]-u[1]
		if i == p.segment {
			dx, dy = dx+lean*u[1], dy-lean*u[0] // n = (-u[1], u[0])
		}
		sum += dx*dx + dy*dy
		last = u
	}
	sum += lean * lean
	s2, t2 := fixAccuracyM*fixAccuracyM, thalwegAccuracyM*thalwegAccuracyM
	f := p.share
	return math.Sqrt(s2 + t2*sum), math.Sqrt(s2 + t2*((1-f)*(1-f)+f*f))
}

// doubtful is how many of its standard deviations an offset may have before people are
// told: 1 fix in 90 is off so far by chance, its errors being normal in both directions.
const doubtful = 3

// Cautions tells what is odd about the place, given the accuracies in metres (not above 0:
// not known): a fix far off the thalweg, one past its end, and one that another reach of a
// winding thalweg is as near to. Each is about "chainageM".
func (p Place) Cautions(fixAccuracyM, thalwegAccuracyM float64) []model.Caution {
	_, offset := p.PlusMinus(fixAccuracyM, thalwegAccuracyM)
	if offset < 0 {
		offset = max(fixAccuracyM, thalwegAccuracyM, 0)
	}
	var all []model.Caution
	tell := func(format string, args ...any) {
		all = append(all, model.Caution{About: "chainageM", Text: fmt.Sprintf(format, args...)})
	}
	if p.OffsetM > doubtful*offset {
		if offset > 0 {
			tell("The fix is %.1f m off the thalweg, more than its accuracy explains: is this the right gully?", p.OffsetM)
		} else {
			tell("The fix is %.1f m off the thalweg, and nobody said how accurate it is.", p.OffsetM)
		}
	}
	if p.Beyond {
		tell("The fix lies past the end of the thalweg: draw the thalweg on, or tape the chainage.")
	}
	if other, ok := p.rival(offset); ok {
		tell("The thalweg winds: the fix is as near to chainage %.0f m. Tape the chainage.", other)
	}
	return all
}

// rival is the chainage of another reach that the fix may as well stand on: one no farther
// than the accuracy beyond the nearest, and farther along than any scatter of the fix
// explains.
func (p Place) rival(accuracyM float64) (chainageM float64, found bool) {
	feet, err := newFeet(p.line, p.fix)
	if err != nil {
		return 0, false
	}
	startM, nearest := 0.0, math.Inf(1)
	for i, least := range feet.reachM {
		lengthM := geodesy.Distance(p.line[i], p.line[i+1])
		if least <= p.OffsetM+accuracyM {
			at := feet.on(i)
			away := math.Abs(startM + at.alongM - p.ChainageM)
			if at.offsetM <= p.OffsetM+accuracyM && away > 2*doubtful*accuracyM && at.offsetM < nearest {
				chainageM, nearest, found = startM+at.alongM, at.offsetM, true
			}
		}
		startM += lengthM
	}
	return chainageM, found
}
