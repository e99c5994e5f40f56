package works

import (
	"fmt"
	"sort"

	"headcut/model"
	"headcut/model/section"
)

// DamPlan is a layout with what it leaves out.
type DamPlan struct {
	Dams      []DamSite
	Bare      []BareReach     // bed that no silt will cover: only inside of reaches without dams
	GuardedM  float64         // length of bed, from the first toe to ToM, that silt will cover
	Unguarded []UnguardedHead // gully heads without a dam below

	errors toeErrors
}

// BareReach is bed within a reach without dams that the silt of no dam covers.
type BareReach struct {
	FromM float64 `json:"fromM" unit:"m" doc:"chainage where the silt from below ends"`
	ToM   float64 `json:"toM" unit:"m" doc:"chainage of the next toe, or of the end of the reach"`
	Why   string  `json:"why" doc:"why no dam stands in it"`

	silt DamSite // where the silt ends
}

// Plan lays out at least one dam, from the lowest up. It returns a *model.Problem, with a path like
// "bed[3].levelM" or "crestHeightM", for what cannot be laid out.
func (l DamLayout) Plan() (DamPlan, error) {
	fromM, toM, err := l.check()
	if err != nil {
		return DamPlan{}, err
	}
	plan, err := l.walked(fromM, toM)
	plan.errors = l.toeErrors(plan.Dams)
	for i, moves := range plan.errors.moves {
		plan.Dams[i].ChainagePlusMinusM = moves.plusMinusM(l.Quality)
	}
	return plan, err
}

// walked is a plan without the ± of its places. What it is made from was checked.
func (l DamLayout) walked(fromM, toM float64) (DamPlan, error) {
	w := walk{DamLayout: l, ground: l.ground(fromM, toM), grade: l.DepositSlopePct / 100, toM: toM}
	first := fromM
	if l.FromM == nil {
		first = w.above(fromM)
	}
	if r, barred := w.bars(first); barred {
		return DamPlan{}, &model.Problem{Path: "fromM", Reason: fmt.Sprintf("%v m lies in the reach from %.4g to %.4g m where no dams are wanted (%s)", first, r.FromM, r.ToM, r.Why), Fix: "start below or above it"}
	}
	if first > fromM && first > toM-touchM { // a dam at the very end would guard nothing
		return DamPlan{}, &model.Problem{Path: "skip", Reason: "no dams are wanted anywhere on this bed", Fix: "shorten the reaches, raise maxBedSlopePct, or treat the bed in another way"}
	}
	if err := w.from(first); err != nil {
		return DamPlan{}, err
	}
	w.plan.Unguarded = w.unguarded
	return w.plan, nil
}

// walk goes up the bed once, a dam at a time.
type walk struct {
	DamLayout
	ground
	grade float64
	toM   float64

	plan  DamPlan
	toe   section.Station // of the last dam
	i     int             // upstream station of the reach in which the search goes on
	below section.Station // a point of that reach known to lie below the crest line
}

// meeting is where the bed first rises to the crest line.
type meeting struct {
	section.Station
	climb float64 // of the bed against the line
	found bool    // false: not before the place asked about, or not at all
}

func (w *walk) from(firstM float64) error {
	w.stand(firstM)
	w.add(DamSite{Stands: StandsFirst}, 0)
	for {
		last := &w.plan.Dams[len(w.plan.Dams)-1]
		for len(w.guards) > 0 && w.toe.ChainageM >= w.guards[0].fromM-touchM {
			if last.Stands != StandsHead {
				last.Why += " It also guards the gully head upstream."
			}
			w.guards = w.guards[1:]
		}
		end := w.toM
		if len(w.guards) > 0 {
			end = w.guards[0].toM
		}
		m := w.meet(end)
		last.SiltToM = min(w.toM, w.Bed[len(w.Bed)-1].ChainageM)
		if m.found {
			last.SiltToM = m.ChainageM
		}
		next, ok := w.choose(m)
		if ok && len(w.plan.Dams) == MaxDams {
			return &model.Problem{Path: "crestHeightM", Reason: fmt.Sprintf("dams %v m high would number over %d on this bed", w.CrestHeightM, MaxDams),
				Fix: "check the height and the bed's levels, or lay out a part of the bed with fromM and toM"}
		}
		last.SiltToM = min(last.SiltToM, next.ChainageM)
		w.plan.GuardedM += last.SiltToM - last.ChainageM
		if next.ChainageM > last.SiltToM+touchM {
			r, _ := w.bars(m.ChainageM)
			w.plan.Bare = append(w.plan.Bare, BareReach{m.ChainageM, next.ChainageM, r.Why, DamSite{ChainageM: m.ChainageM, perClimb: 1 / m.climb, root: last.root}})
		}
		if !ok {
			return nil
		}
		if next.Stands == StandsLevel { // the search goes on where it stopped
			w.toe, w.below = m.Station, m.Station
		} else {
			next.BuriedM = max(0, -w.over(w.stand(next.ChainageM)))
			w.toe = w.below
		}
		w.add(next, m.climb)
	}
}

// choose picks the next toe, given where the bed meets the crest line: not above that, save
// past a reach without dams. It returns false, and the end of the bed, when there is none.
func (w *walk) choose(m meeting) (DamSite, bool) {
	reach, barred := NoDams{}, false
	if m.found {
		reach, barred = w.bars(m.ChainageM)
	}
	if len(w.guards) > 0 {
		// The search ended with the window: a level toe in it guards the head as well as any.
		if g := w.guards[0]; !m.found || barred && reach.ToM > g.toM {
			site := DamSite{ChainageM: g.atM, Stands: StandsHead}
			if g.site != nil {
				site.WidthM, site.Why = g.site.WidthM, g.site.Quality
			}
			return site, true
		}
	}
	end := DamSite{ChainageM: w.toM}
	if !m.found {
		return end, false
	}
	if s := w.goodSite(m.ChainageM); s != nil {
		return DamSite{ChainageM: s.ChainageM, Stands: StandsSite, WidthM: s.WidthM, Why: s.Quality}, true
	}
	switch {
	case barred && reach.ToM > w.toM+touchM:
		return end, false
	case barred:
		return DamSite{ChainageM: reach.ToM, Stands: StandsAbove, Why: reach.Why}, true
	}
	return DamSite{ChainageM: m.ChainageM, Stands: StandsLevel}, true
}

// goodSite is the highest good site above the toe and not above atM whose dam would not be
// buried too deep.
func (w *walk) goodSite(atM float64) *levelledSite {
	var best *levelledSite
	for len(w.sites) > 0 && w.sites[0].ChainageM <= w.toe.ChainageM+touchM {
		w.sites = w.sites[1:]
	}
	most := orDefault(w.BuriedShare, BuriedShare) * w.CrestHeightM
	for i := range w.sites {
		s := &w.sites[i]
		if s.ChainageM > atM+touchM {
			break
		}
		if over := w.over(section.Station{ChainageM: s.ChainageM, LevelM: s.levelM}); over >= -most-touchM {
			best = s
		}
	}
	return best
}

// over is the bed's height over the crest line.
func (w *walk) over(s section.Station) float64 {
	return s.LevelM - (w.toe.LevelM + w.CrestHeightM + w.grade*(s.ChainageM-w.toe.ChainageM))
}

// stand begins the search again at a chainage of the bed and returns the bed there.
func (w *walk) stand(chainageM float64) section.Station {
	w.i = max(1, sort.Search(len(w.Bed), func(i int) bool { return w.Bed[i].ChainageM >= chainageM }))
	s := section.Station{ChainageM: chainageM, LevelM: section.Between(w.Bed[w.i-1], w.Bed[w.i], chainageM)}
	if len(w.plan.Dams) == 0 {
		w.toe = s
	}
	w.below = s
	return s
}

// meet goes on up the bed to where it rises to the crest line, not past endM. The two meet
// at below - over(below)/climb, climb being the change of over along the straight reach.
func (w *walk) meet(endM float64) meeting {
	for w.i < len(w.Bed) && w.below.ChainageM <= endM {
		next, at := w.Bed[w.i], w.over(w.Bed[w.i])
		if at < -touchM {
			w.below, w.i = next, w.i+1
			continue
		}
		start := w.over(w.below)
		m := meeting{Station: next, climb: (at - start) / (next.ChainageM - w.below.ChainageM)}
		if at > touchM {
			m.ChainageM = w.below.ChainageM - start/m.climb
			m.LevelM = section.Between(w.Bed[w.i-1], w.Bed[w.i], m.ChainageM)
		} else {
			w.i++
		}
		m.found = m.ChainageM <= endM+touchM
		return m
	}
	return meeting{}
}

// add puts a dam on the toe that the walk stands at. climb is that of the bed against the
// crest line, for a toe that was found by it.
func (w *walk) add(d DamSite, climb float64) {
	n := len(w.plan.Dams)
	d.ChainageM, d.BedLevelM, d.CrestLevelM = w.toe.ChainageM, w.toe.LevelM, w.toe.LevelM+w.CrestHeightM
	d.root = n
	if d.Stands == StandsLevel {
		d.perClimb, d.root = 1/climb, w.plan.Dams[n-1].root
	}
	d.Why = d.because(d.Why)
	w.plan.Dams = append(w.plan.Dams, d)
}

// because is why a dam stands where it does, in a sentence; of is the quality of the site,
// or the reason of the reach without dams.
func (d DamSite) because(of string) string {
	switch d.Stands {
	case StandsFirst:
		return "The lowest dam, where the layout begins."
	case StandsLevel:
		return "Its toe is level with the crest below, or as much higher as silt climbs to it."
	case StandsSite:
		if of == "" {
			of = "good"
		}
		return "A good site (" + of + "), a little below where the silt from the dam downstream would end."
	case StandsHead:
		if of != "" {
			of = ", on a good site (" + of + ")"
		}
		return "It guards the gully head upstream from below its plunge" + of + "."
	}
	return "The first place above a reach without dams (" + of + ")."
}
