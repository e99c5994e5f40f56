package figures

import "headcut/model"

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
	by := map[*run][]LevelledSpot{}
	var runs []*run
	for _, s := range l.spots[feature] {
		if by[s.run] == nil {
			runs = append(runs, s.run)
		}
		by[s.run] = append(by[s.run], LevelledSpot{s.place, s.chainageM, s.levelM, s.plusMinusM})
	}
	model.SortStable(runs, better)
	return model.Each(runs, func(r *run) LevelledRun {
		one := LevelledRun{ID: r.id, Name: r.name, ObservedOn: r.observedOn, Called: r.called(), Proven: r.proven, Spots: by[r]}
		if !r.proven {
			one.Unclosed = r.unclosed()
		}
		return one
	})
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
