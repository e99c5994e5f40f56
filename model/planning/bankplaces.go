package planning

import (
	"cmp"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"
)

// What tells that pegs have the two ends of a bank. Common practice, no source: a bank that keeps to its grade bends
// with the ground, so that its ends are a little nearer to each other than it is long.
const (
	endsNearer = 0.1        // of its length
	sameSpotM  = roughM / 5 // by which a peg and the book may differ at one spot, by two readings
	tapeOff    = 5.0 / 100  // of a tape that sagged or went round something, against two fixes
	fixesOff   = 2          // times what two fixes may be out
)

// levelledPeg is a peg of the run down a slope, with a position that somebody took there.
type levelledPeg struct {
	at        orb.Point
	levelM    float64
	accuracyM float64
	chainageM float64 // of one on the line down the slope
}

// slopePegs are the pegs of the run down a slope: those on its line, from its top, and those beside it.
type slopePegs struct{ down, beside []levelledPeg }

// pegs finds the pegs of the run. One stands on the line where the book has its taped chainage, at its level.
func (s *slope) pegs() {
	for peg := range s.p.of("peg") {
		at, isPoint := peg.Geometry.(orb.Point)
		levelM, levelled := peg.Number("levelM")
		if peg.Text("levelRun") != s.used.ID || !isPoint || !levelled || s.refuseUnsettled(peg, "geometry", "levelM", "levelRun", "chainageM") {
			continue
		}
		if peg.Basis("geometry") == model.FromPlan {
			s.leaveOut(peg, "its place is that of a plan: fix it on the ground")
			continue
		}
		p := levelledPeg{at: at, levelM: levelM, accuracyM: max(0, accuracyOf(peg))}
		m, taped := peg.Number("chainageM")
		p.chainageM = s.frame.up(m)
		booked, onLine := model.Find(s.used.bed, func(b section.Station) bool { return same(b.ChainageM, p.chainageM) })
		if taped && onLine && math.Abs(booked.LevelM-levelM) <= sameSpotM {
			s.placed.down = append(s.placed.down, p)
			s.use(peg, "the place of chainage %s on the line down the slope", metres(p.chainageM))
		} else {
			s.placed.beside = append(s.placed.beside, p)
			s.use(peg, "a place beside that line, at %s m", metres2(levelM))
		}
	}
	model.SortStable(s.placed.down, func(a, b levelledPeg) int { return cmp.Compare(a.chainageM, b.chainageM) })
}

// outlet is where a chainage lies on the line down the slope, and the azimuth down it there; else why nobody knows.
func (p slopePegs) outlet(m float64) (at orb.Point, downDeg float64, why string) {
	for i := 1; i < len(p.down); i++ {
		a, b := p.down[i-1], p.down[i]
		tapedM := b.chainageM - a.chainageM
		if m < a.chainageM || m > b.chainageM {
			continue
		}
		apartM := geodesy.Distance(a.at, b.at)
		if tapedM < section.LeastApartM || math.Abs(apartM-tapedM) > fixesOff*(a.accuracyM+b.accuracyM)+tapeOff*tapedM {
			return at, 0, "the pegs at chainages " + metres(a.chainageM) + " and " + metres(b.chainageM) + " are " + metres(apartM) + " m apart by their places: fix both again, and give no chainage to a peg beside the line"
		}
		downDeg = geodesy.Azimuth(a.at, b.at)
		return geodesy.Destination(a.at, downDeg, apartM*(m-a.chainageM)/tapedM), downDeg, ""
	}
	return at, 0, "no pegs of the run have places above and below its outlet: record a peg at spots of the book on both sides of chainage " + metres(m) + ", with its place, level and taped chainage"
}

// bank is the line of a bank from its outlet to its top, between pegs beside the line down the slope where the
// level of its top lies; else why nobody knows.
func (p slopePegs) bank(m, topM, lengthM float64) (line orb.LineString, why string) {
	outlet, downDeg, why := p.outlet(m)
	if why != "" {
		return nil, why
	}
	var ends [2]orb.Point // to the left and to the right, looking down
	nearest := [2]float64{gapM, gapM}
	found := [2]bool{}
	for i, a := range p.beside {
		for k, b := range p.beside {
			apartM := geodesy.Distance(a.at, b.at)
			if i == k || a.levelM < topM || b.levelM > topM || apartM > gapM {
				continue
			}
			share := 0.0
			if a.levelM > b.levelM {
				share = (a.levelM - topM) / (a.levelM - b.levelM)
			}
			end := geodesy.Destination(a.at, geodesy.Azimuth(a.at, b.at), share*apartM)
			if off := geodesy.Distance(outlet, end); off > lengthM+fixesOff*(a.accuracyM+b.accuracyM) || off < lengthM*(1-endsNearer)-fixesOff*(a.accuracyM+b.accuracyM) {
				continue
			}
			side := 0
			if math.Sin((geodesy.Azimuth(outlet, end)-downDeg)*math.Pi/180) > 0 {
				side = 1
			}
			if apartM <= nearest[side] {
				ends[side], nearest[side], found[side] = end, apartM, true
			}
		}
	}
	switch {
	case found[0] && found[1]:
		return nil, "pegs have the level of its top on both sides of its outlet: peg it from the outlet by its grade, to the side that is meant"
	case found[0]:
		return orb.LineString{outlet, ends[0]}, ""
	case found[1]:
		return orb.LineString{outlet, ends[1]}, ""
	}
	return nil, "no two pegs of the run have places and levels above and below its top, at " + metres2(topM) + " m some " + metres(lengthM) + " m along the slope from its outlet: level a second line down the slope there in the same run, and record its pegs"
}

// placesSay says which banks of a layout have no place on the map, and what to level for one.
func (d *Draft) placesSay(fallM, lengthM float64) (says []string) {
	if len(d.placed.down) == 0 && len(d.placesM) > 0 {
		return []string{"The banks are recorded by chainage and levels alone, without a place on the map: record pegs at spots of the book down the slope, and of a second line down it at the tops of the banks, " + metres(lengthM) + " m along the slope, all in this run, with place and level, and the taped chainage of those on the first line alone."}
	}
	placed := false
	for i, m := range d.placesM {
		_, why := d.placed.bank(m, d.levelsM[i]+fallM, lengthM)
		if placed = placed || why == ""; why != "" {
			says = append(says, "The bank at chainage "+metres(m)+" is recorded by chainage and levels alone, without a place on the map: "+why+".")
		}
	}
	if placed {
		says = append(says, "On the map each bank is a straight line between its two ends: peg it by level and staff at its grade, not by its place there.")
	}
	return says
}
