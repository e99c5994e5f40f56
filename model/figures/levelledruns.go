package figures

import (
	"slices"

	"headcut/model"
)

// LevelledRun is what one level run levelled of a feature: all of it, the part that is closed, or
// what was booked after that.
type LevelledRun struct {
	ID, Name, ObservedOn string
	Called               string // as a sentence speaks of it
	Proven               bool
	Unclosed             string // why it is not proven and what to do, behind its name; "" when it is
	Spots                []LevelledSpot
}

// AcrossAlone tells whether it levelled cross-sections of the feature and nothing else.
func (r LevelledRun) AcrossAlone() bool {
	for _, s := range r.Spots {
		if s.Place != model.SectionSpot {
			return false
		}
	}
	return true
}

// LevelledSpot is one levelled place of a feature.
type LevelledSpot struct {
	Place      model.Spot
	ChainageM  *float64 // as taped; nil: not taped
	LevelM     float64
	PlusMinusM float64 // one standard deviation, from the benchmark; negative: not known
}

// LevelledRuns lists what levelled a feature, the best first: what is proven before what is not,
// and of each the newest. Runs are not mixed here: whoever needs levels of one day takes those of
// one run. A run whose book cannot be reduced is not among them.
func (l *PropertyFigures) LevelledRuns(feature string) []LevelledRun {
	spots := slices.Clone(l.spots[feature])
	model.SortStable(spots, func(a, b *spot) int { return better(a.run, b.run) })
	var all []LevelledRun
	var last *run
	for _, s := range spots {
		if s.run != last {
			last = s.run
			one := LevelledRun{ID: last.id, Name: last.name, ObservedOn: last.observedOn, Called: last.called(), Proven: last.proven}
			if !last.proven {
				one.Unclosed = last.unclosed()
			}
			all = append(all, one)
		}
		of := &all[len(all)-1]
		of.Spots = append(of.Spots, LevelledSpot{s.place, s.chainageM, s.levelM, s.plusMinusM})
	}
	return all
}

// DamsIn lists the ids of the dams that are taken to stand in a gully, also those of which nobody
// knows where.
func (l *PropertyFigures) DamsIn(thalweg string) []string {
	t := l.thalwegs[thalweg]
	if t == nil {
		return nil
	}
	ids := model.Each(t.all, func(d *dam) string { return d.id })
	model.Sort(ids)
	return ids
}
