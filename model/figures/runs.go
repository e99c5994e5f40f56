package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/levelling"
)

// run is what other figures need of a level run once it is reduced.
type run struct {
	id, name   string
	observedOn string
	reduced    levelling.Run // without its rows
	fault      *model.Problem
	spots      []spot // the rows that levelled a place of a feature, in order
}

// proven tells whether levels of this run may decide anything. A run that closes on its
// way but not at its end is not: an officer who sees one level of it marked good would
// trust them all.
func (r *run) proven() bool { return r.fault == nil && r.reduced.Proven() }

func (r *run) basis() model.Basis {
	if r.proven() {
		return model.Levelled
	}
	return model.Unproven
}

// called is how a sentence speaks of the run.
func (r *run) called() string {
	if r.name != "" {
		return "level run " + r.name
	}
	return "the level run"
}

// better orders runs that levelled the same spot: a proven one first, then the later one.
func better(a, b *run) int {
	if a.proven() != b.proven() {
		if a.proven() {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(b.observedOn, a.observedOn), cmp.Compare(a.id, b.id))
}

// spot is a levelled place of a feature.
type spot struct {
	run        *run
	feature    string
	place      model.Spot
	point      string
	chainageM  *float64
	levelM     float64
	plusMinusM float64
}

// level takes in a level run: its own result, and its levels under the features whose
// spots they are.
func (l *Land) level(f model.Feature) {
	r := &run{id: f.ID, name: f.Text("name"), observedOn: f.Text("observedOn")}
	rows := f.LevelRows("rows")
	var o levelling.Options
	o.PerRootKmMm, _ = f.Number("perRootKmMm")
	o.PerRootSetupMm, _ = f.Number("perRootSetupMm")
	var err error
	if r.reduced, err = levelling.Reduce(rows, o); err != nil {
		if p, ok := err.(*model.Problem); ok {
			r.fault = p
		} else {
			r.fault = &model.Problem{Reason: err.Error()}
		}
	}
	l.did.Runs++
	levels := r.reduced.Rows
	r.reduced.Rows = nil
	l.runs[f.ID] = r
	if r.fault != nil {
		return
	}
	for i, row := range rows {
		if row.Struck || row.Feature == "" || i >= len(levels) {
			continue
		}
		r.spots = append(r.spots, spot{run: r, feature: row.Feature, place: row.Spot, point: row.Point,
			chainageM: row.ChainageM, levelM: levels[i].BestM(), plusMinusM: levels[i].PlusMinusM})
	}
	for i := range r.spots { // once the slice has stopped growing
		s := &r.spots[i]
		l.spots[s.feature] = append(l.spots[s.feature], s)
	}
}

// lowest is the lowest level of a place in one run, nil when the run did not go there.
func lowest(spots []*spot, r *run, place model.Spot) *spot {
	var low *spot
	for _, s := range spots {
		if s.run == r && s.place == place && (low == nil || s.levelM < low.levelM) {
			low = s
		}
	}
	return low
}

// runsAt lists the runs that levelled a place, the best first.
func runsAt(spots []*spot, place model.Spot) []*run {
	var all []*run
	for _, s := range spots {
		if s.place == place && (len(all) == 0 || all[len(all)-1] != s.run) {
			all = append(all, s.run)
		}
	}
	return sortedRuns(all)
}

// judge adds the figures and the check of a level run.
func (s *Sheet) judgeRun(r *run) {
	check := model.Check{Name: "level-run", Verdict: model.Fails, Rule: allowable.rule}
	if r.fault != nil {
		check.Text = "The book cannot be reduced: " + r.fault.Error() + "."
		s.Checks = append(s.Checks, check)
		return
	}
	if m := r.reduced.MisclosureM; m != nil {
		o := levelling.DefaultReadingMm / 1000.0
		s.Figures = append(s.Figures, misclosure.figure(*m, rootOf(o, 2*r.reduced.SetUps), model.Levelled))
		if a := r.reduced.AllowableM; a != nil {
			s.Figures = append(s.Figures, allowable.figure(*a, 0, model.Levelled))
		}
	}
	if r.proven() {
		check.Verdict = model.Holds
		check.Text = fmt.Sprintf("The run closes: it is out by %.1f mm", 1000**r.reduced.MisclosureM)
		if a := r.reduced.AllowableM; a != nil {
			check.Text += fmt.Sprintf(" where %.1f mm is allowed", 1000**a)
		}
		check.Text += "."
	} else {
		check.Text = strings.Join(r.reduced.Reasons, " ")
		s.caution("", "This run is not closed: every level from it is unproven until it is levelled again.")
	}
	s.Checks = append(s.Checks, check)
	s.Cautions = append(s.Cautions, r.reduced.Cautions...)
}

func sortedRuns(all []*run) []*run {
	slices.SortStableFunc(all, better)
	return slices.Compact(all)
}

// rootOf is the error of a sum of n readings that err apart by one each.
func rootOf(one float64, n int) float64 { return one * math.Sqrt(float64(n)) }

// byRun orders spots as one pass over the runs by id lists them.
func byRun(a, b *spot) int { return cmp.Compare(a.run.id, b.run.id) }
