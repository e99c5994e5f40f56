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

// run is what other figures need of a level run once it is reduced: of its part that is
// closed, or of what was booked after that and is not. A run with both is two of these,
// so that pegging on from a closed run takes nothing from what it had levelled.
type run struct {
	id, name   string
	observedOn string
	reduced    levelling.Run // without its rows
	fault      error
	proven     bool   // its levels may decide something
	open       bool   // it has not come to a known level yet: nothing speaks against it
	after      string // point on which the run closed before this part; "" for a part that begins it
	later      *run   // what was booked after the closed part; nil when nothing was
	spots      []spot // the rows that levelled a place of a feature, in order
	read       []read // every row, of the later part too; only of a run that begins a book
}

// read is what a row of a book levelled.
type read struct {
	point               string // in small letters
	reducedM, adjustedM float64
	proven              bool
}

func (r *run) basis() model.Basis {
	if r.proven {
		return model.Levelled
	}
	return model.Unproven
}

// called is how a sentence speaks of the run.
func (r *run) called() string {
	name := "the level run"
	switch {
	case strings.Contains(strings.ToLower(r.name), "run"):
		name = r.name
	case r.name != "":
		name = "level run " + r.name
	}
	if r.later != nil {
		name = "the closed part of " + name
	}
	if r.after != "" {
		name = "readings of " + name + " after it closed on " + r.after
	}
	return name
}

// unclosed is what is to be done about a run that is not proven.
func (r *run) unclosed() string {
	switch {
	case r.open && r.after != "":
		return "which are not checked yet: end the run on a point of known level again"
	case r.after != "":
		return "which do not close: level them again"
	case r.open:
		return "which is not closed yet: end it on a point of known level"
	}
	return "which is not closed: level it again"
}

// better orders runs that levelled the same spot: a proven one first, then the newer one. Of
// one day that is the one begun later, as ids of one phone rise with time.
func better(a, b *run) int {
	if a.proven != b.proven {
		if a.proven {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(b.observedOn, a.observedOn), cmp.Compare(b.id, a.id))
}

// oneDatum tells whether two levels may be compared: those of one book, or of closed runs, which
// are taken to be on one datum.
func oneDatum(a, b *spot) bool { return a.run.id == b.run.id || a.run.proven && b.run.proven }

// spot is a levelled place of a feature.
type spot struct {
	run        *run
	feature    string
	place      model.Spot
	point      string
	chainageM  *float64
	offsetM    *float64
	levelM     float64
	plusMinusM float64
}

// level takes in a level run: its own result, and its levels under the features whose
// spots they are.
func (l *PropertyFigures) level(f model.Feature) {
	r := &run{id: f.ID, name: f.Text("name"), observedOn: f.Text("observedOn")}
	rows := f.LevelRows("rows")
	var o levelling.Options
	o.PerRootKmMm, _ = f.Number("perRootKmMm")
	o.PerRootSetupMm, _ = f.Number("perRootSetupMm")
	o.StaffLengthM, _ = f.Number("staffLengthM")
	r.reduced, r.fault = levelling.Reduce(rows, o)
	l.did.Runs++
	levels := r.reduced.Rows
	r.reduced.Rows = nil
	l.runs[f.ID] = r
	if r.fault != nil {
		return
	}
	r.part(rows)
	for i, row := range rows {
		if row.Struck || i >= len(levels) {
			continue
		}
		r.read = append(r.read, read{strings.ToLower(row.Point), levels[i].LevelM, levels[i].BestM(), levels[i].Proven})
		if row.Feature == "" {
			continue
		}
		of := r
		if r.later != nil && !levels[i].Proven {
			of = r.later
		}
		of.spots = append(of.spots, spot{run: of, feature: row.Feature, place: row.Spot, point: row.Point,
			chainageM: row.ChainageM, offsetM: row.OffsetM, levelM: levels[i].BestM(), plusMinusM: levels[i].PlusMinusM})
	}
	for of := r; of != nil; of = of.later {
		for i := range of.spots { // once the slice has stopped growing
			s := &of.spots[i]
			l.spots[s.feature] = append(l.spots[s.feature], s)
		}
	}
}

// part tells apart what of the run is proven and what is not.
func (r *run) part(rows []model.LevelRow) {
	to := r.reduced.ClosedTo
	r.proven = to != nil
	r.open = !r.proven && r.reduced.Unfinished && r.reduced.ArithmeticOK
	if to != nil && slices.ContainsFunc(rows[*to+1:], func(row model.LevelRow) bool { return !row.Struck }) {
		r.later = &run{id: r.id, name: r.name, observedOn: r.observedOn, open: len(r.reduced.Closures) > 0 && r.reduced.Closures[len(r.reduced.Closures)-1].Closed, after: cmp.Or(rows[*to].Point, fmt.Sprintf("row %d", *to+1))}
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
	model.SortStable(all, better)
	return slices.Compact(all)
}

// judge adds the figures and the check of a level run.
func (s *Sheet) judgeRun(r *run) {
	check := model.Check{Name: "level-run", Verdict: model.Fails, Rule: allowable.rule}
	if r.fault != nil {
		check.Text = "The book cannot be reduced yet. " + inWords(r.fault)
		s.Checks = append(s.Checks, check)
		return
	}
	if m := r.reduced.MisclosureM; m != nil {
		readingM := levelling.DefaultReadingMm / 1000.0 // two for each set-up, which err apart
		s.Figures = append(s.Figures, misclosure.figure(*m, readingM*math.Sqrt(float64(2*r.reduced.SetUps)), model.Levelled))
		if a := r.reduced.AllowableM; a != nil {
			s.Figures = append(s.Figures, allowable.figure(*a, 0, model.Levelled))
		}
	}
	switch {
	case r.proven && r.later == nil:
		check.Verdict = model.OK
		check.Text = "The run closes: it is " + r.outBy() + "."
	case r.proven:
		check.Text = fmt.Sprintf("The run is closed as far as %s, but not since. %s", r.later.after, strings.Join(r.reduced.Reasons, " "))
		if r.later.open {
			check.Verdict = model.NotLevelled
		}
		s.caution("", fmt.Sprintf("What was booked after %s is not checked by a closed run yet: close on a known level.", r.later.after))
	case r.open:
		check.Verdict = model.NotLevelled
		check.Text = "Not closed yet: end with a foresight on a point of known level."
		s.caution("", "This run is not closed yet, so its levels are not checked: end it on a point of known level.")
	default:
		check.Text = strings.Join(r.reduced.Reasons, " ")
		s.caution("", "This run is not closed, so its levels are not yet checked: level it again.")
	}
	s.Checks = append(s.Checks, check)
	s.Cautions = append(s.Cautions, r.reduced.Cautions...)
}

// outBy is by how much the run is out, and how much it may be: of several loops the one that
// is nearest to what is allowed of it, since in their sum one hides another.
func (r *run) outBy() string {
	outM, allowedM := 0.0, 1.0
	for i := range r.reduced.Closures {
		c := &r.reduced.Closures[i]
		if m := math.Abs(c.MisclosureM); m*allowedM >= outM**c.AllowableM {
			outM, allowedM = m, *c.AllowableM
		}
	}
	return fmt.Sprintf("out by %.1f mm where %.1f mm is allowed", 1000*outM, 1000*allowedM)
}

// byRun orders spots as one pass over the runs by id lists them.
func byRun(a, b *spot) int { return cmp.Compare(a.run.id, b.run.id) }
