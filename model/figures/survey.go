package figures

import (
	"cmp"
	"iter"

	"github.com/paulmach/orb"

	"headcut/model"
)

// PropertyFigures is what one pass over a property's features leaves for the figures of each: its
// thalwegs, level runs, dams, cross-sections, visits and mapped catchments, by id. It does not grow with
// features of other kinds. Once made it is only read, so goroutines may share it.
type PropertyFigures struct {
	runs     map[string]*run
	spots    map[string][]*spot // by the feature they belong to, in the order of their runs' ids
	thalwegs map[string]*thalweg
	dams     map[string]*dam
	across   map[string]*across // cross-sections
	above    map[string][]*dam  // by the dam below: those that were taped from its toe
	mapped   map[string]*catchment
	visits   map[string][]*Visit // by the feature they are of
	near     grid                // of the thalwegs; nil until a dam asks
	did      Work
}

// Work counts what was worked out rather than kept.
type Work struct {
	Runs   int // level runs reduced
	Stood  int // dams gone over
	Places int // dams placed on a thalweg
	Pairs  int // neighbouring dams judged
	Sheets int
}

func newPropertyFigures() *PropertyFigures {
	return &PropertyFigures{runs: map[string]*run{}, spots: map[string][]*spot{}, thalwegs: map[string]*thalweg{}, dams: map[string]*dam{}, across: map[string]*across{}, above: map[string][]*dam{}, mapped: map[string]*catchment{}, visits: map[string][]*Visit{}}
}

// Survey goes once over the features of a property, in any order: the same features give
// the same PropertyFigures. Features struck out should not be among them. Of two with one id the
// later stands.
func Survey(features iter.Seq[model.Feature]) *PropertyFigures {
	return newPropertyFigures().survey(features)
}

func (l *PropertyFigures) survey(features iter.Seq[model.Feature]) *PropertyFigures {
	visits := map[string]*Visit{}
	runs := map[string]model.Feature{} // reduced in order of their ids, so that the order of features makes no difference
	for f := range features {
		switch f.Kind {
		case "thalweg":
			l.addThalweg(newThalweg(f))
		case "level-run":
			runs[f.ID] = f
		case "check-dam":
			l.addDam(newDam(f))
		case "cross-section":
			l.across[f.ID] = newAcross(f)
		case "catchment":
			l.mapped[f.ID] = newCatchment(f)
		case "visit":
			visits[f.ID] = VisitOf(f)
		}
	}
	for _, v := range visits {
		l.visits[v.Of] = append(l.visits[v.Of], v)
	}
	for _, id := range model.Keys(runs) {
		l.level(runs[id])
	}
	l.stand()
	return l
}

// thalweg is a gully's line and what stands on it.
type thalweg struct {
	id, name  string
	line      orb.LineString
	accuracyM float64
	basis     model.Basis // of the line
	lengthM   float64
	bed       levelledBed // from its downstream end up
	all       []*dam      // that are taken to stand in it
	dams      []*dam      // upstream in order, those whose chainage is known
	pairs     []*pair

	odd        []*dam   // whose toe contradicts those of the other dams, where there is no bed
	taped      bool     // there are chainages that the line must be matched to
	tapedFromM *float64 // what is taken from taped chainages that run down the gully; nil: they run up it
	zeroAt     string   // the end of the line at which the officer says chainage 0 is
	match      *match   // nil: not known
	nowhere    int      // dams that nothing but an unmatched line places
}

// called is how a sentence speaks of the thalweg.
func (t *thalweg) called() string { return cmp.Or(t.name, "the thalweg") }

// Sheet is all that is worked out for one feature.
type Sheet struct {
	Figures  []model.Figure  `json:"figures"`
	Checks   []model.Check   `json:"checks"`
	Cautions []model.Caution `json:"cautions"`
	Visited  *Visited        `json:"visited,omitempty"` // nil: nobody visited it or measured what visits measure
}

func (s *Sheet) caution(about, text string) {
	s.Cautions = append(s.Cautions, model.Caution{About: about, Text: text})
}

// Figure returns the figure of this name.
func (s Sheet) Figure(name string) (model.Figure, bool) {
	return model.Find(s.Figures, func(f model.Figure) bool { return f.Name == name })
}

// Of works out the sheet of a feature, one that Survey saw or a new one. Figures come in
// the order of Columns. A shape, a field or a kind that nobody foresaw gives fewer
// figures, never a panic.
func (l *PropertyFigures) Of(f model.Feature) Sheet {
	s := Sheet{Figures: make([]model.Figure, 0, len(figuresOf[f.Kind])), Checks: []model.Check{}, Cautions: make([]model.Caution, 0, 4)}
	s.measure(f)
	switch f.Kind {
	case "thalweg":
		l.judgeThalweg(&s, f)
	case "check-dam":
		l.judgeDam(&s, f)
	case "level-run":
		if r := l.runs[f.ID]; r != nil {
			s.judgeRun(r)
		}
	case "gully-head":
		l.judgeHead(&s, f)
	case "cross-section":
		l.judgeAcross(&s, f)
	default:
		l.judgePegged(&s, f)
		l.judgeContour(&s, f)
	}
	l.addVisited(&s, f)
	s.mind(f)
	return s
}
