package levelling

import "fmt"

// caution collects what the officer should know beside the figures.
func (run *Run) caution(r reduced) {
	run.Cautions.AddIf(run.Closed, "levelM", "A run that closes can still hide a staff misread on an intermediate sight: nothing depends on it, so nothing checks it.")
	long, last := 0, 0
	for k := 1; k < len(r.book); k++ {
		s := r.book[k]
		if s.fs == nil {
			continue
		}
		if d := r.distance(last, k); d != nil && *d > 2*LongSightM {
			if long++; long == 1 {
				half := *d / 2
				run.Cautions.Add(fmt.Sprintf("rows[%d].levelM", s.row),
					"Sights of about %.0f m into row %d: the earth's curve and refraction raise each reading %.1f mm, which cancels only if backsight and foresight are equally long.",
					half, s.row+1, CurvatureRefractionM(half)*1000)
			}
		}
		last = k
	}
	run.Cautions.AddIf(long > 1, "levelM", "%d set-ups have sights beyond %d m.", long, LongSightM)
}

// LongSightM is the length of sight beyond which curvature and refraction are told: under
// it they are below a millimetre. Source: Technoupendra, curvature and refraction (looked
// up).
const LongSightM = 100

// CurvatureRefractionM is how much too high a staff is read at a distance, because the
// line of sight is straight (but for refraction, one seventh of it) and the earth is not:
//
//	0.0785 D^2 - 0.0112 D^2 = 0.0673 D^2    m, with D in km
//
// Good to a tenth of itself in ordinary air; refraction over hot ground near midday can
// be far from one seventh. Source: Civinnovate, levelling lesson 14 (looked up).
func CurvatureRefractionM(distanceM float64) float64 {
	km := distanceM / 1000
	return 0.0673 * km * km
}
