package track

import (
	"cmp"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/section"
)

// MaxBanks bounds a layout; more is a slip in the profile or the table.
const MaxBanks = 10_000

// maxStanding bounds those that stand: each is looked for at every step.
const maxStanding = 500

// MaxHumpM bounds the height of a hump that is not counted as a top.
const MaxHumpM = 2

// Site is a place for a whoa-boy.
type Site struct {
	ChainageM         float64    `json:"chainageM" unit:"m" doc:"along the track"`
	LevelM            float64    `json:"levelM" unit:"m" doc:"of the track there"`
	Position          *orb.Point `json:"position,omitempty" unit:"deg" doc:"longitude and latitude, WGS84, where the track has positions"`
	Side              Side       `json:"side" choices:"left|right|either" doc:"on which its water is let out, looking down the track"`
	AboveM            float64    `json:"aboveM" unit:"m" doc:"chainage of the bank above it, or of the top of the slope"`
	SpacingM          float64    `json:"spacingM" unit:"m" doc:"from there"`
	SpacingPlusMinusM float64    `json:"spacingPlusMinusM" unit:"m" doc:"one standard deviation, once pegged as the track was surveyed; none when not known"`
	GradePct          float64    `json:"slopePct" unit:"%" doc:"mean fall of the track from there"`
	GradePlusMinusPct float64    `json:"slopePlusMinusPct" unit:"%" doc:"one standard deviation; none when not known"`
	AllowedM          float64    `json:"allowedM" unit:"m" doc:"farthest that the table allows on that fall"`
	Row               string     `json:"row" doc:"the table's row"`
	RowWhy            string     `json:"rowWhy,omitempty" doc:"why that row, where none is printed for the fall"`
	OtherAllowedM     float64    `json:"otherAllowedM,omitempty" unit:"m" doc:"what is allowed if the fall is twice its ± steeper, where that is less"`
	MovedM            float64    `json:"movedM" unit:"m" doc:"up the track from the farthest place allowed, to a safe outlet"`
	TooFar            bool       `json:"tooFar" doc:"no place near enough has a safe outlet: see unserved"`
	Why               string     `json:"why,omitempty" doc:"why that side, what bars the other, or what moved the bank"`
}

// Unserved is a reach from one break to the next that is longer than the rule allows,
// because no bank in between would have a safe outlet.
type Unserved struct {
	FromM    float64 `json:"fromM" unit:"m" doc:"chainage of the break above"`
	ToM      float64 `json:"toM" unit:"m" doc:"chainage of the next break below"`
	LengthM  float64 `json:"lengthM" unit:"m" doc:"between them"`
	AllowedM float64 `json:"allowedM" unit:"m" doc:"how far below the upper one a bank was due"`
	Why      string  `json:"why" doc:"why none can be put there"`
}

// Plan is a layout of whoa-boys.
type Plan struct {
	Sites    []Site // by growing chainage
	Slopes   []Slope
	Unserved []Unserved
}

// Layout sets out whoa-boys along a track: down each slope from its top, each bank at the
// farthest place that the rule allows below the break above it, moved up to where its
// water has a safe side. The foot of a slope gets none.
type Layout struct {
	Track   Track
	Rule    Rule
	Outlets Outlets
	HumpM   float64

	StandingM []float64 // chainages of banks that stand: the layout goes on from each
}

// Lay returns the plan. It returns a *model.Problem for what cannot be laid out, such as a
// reach steeper than the table goes.
func (l Layout) Lay() (Plan, error) {
	if p := checkHump(l.HumpM); p != nil {
		return Plan{}, p
	}
	outlets, err := l.Outlets.on(l.Track, l.HumpM)
	if err == nil {
		err = l.checkStanding()
	}
	if err != nil {
		return Plan{}, err
	}
	plan := Plan{Slopes: l.Track.Slopes(l.HumpM)}
	for _, s := range plan.Slopes {
		if err := l.down(s, outlets, &plan); err != nil {
			return Plan{}, err
		}
	}
	model.SortStable(plan.Sites, func(a, b Site) int { return cmp.Compare(a.ChainageM, b.ChainageM) })
	return plan, nil
}

// down lays banks down one slope.
func (l Layout) down(s Slope, outlets *outlets, plan *Plan) error {
	w := walk{s, l.Rule}
	i, fromM := 0, 0.0
	above := l.Track.stationPlace(s.first)
	foot := s.LengthM() - section.LeastApartM
	lowestM := l.lowestM(s, foot)
	for {
		latestM, swayM, found := w.latestM(i, fromM)
		nextM, stands := l.standing(s, fromM)
		// A bank that stands is the next break where it is near enough, or so near that one above would crowd it.
		if stands && (!found || latestM > foot || nextM <= max(latestM+section.LeastApartM, fromM+2*LeastSpacingM)) {
			peg := l.Track.pegPlace(s.chainageM(nextM))
			if err := l.covered(above, peg); err != nil {
				return err
			}
			i, fromM, above = w.past(i, nextM), nextM, peg
			continue
		}
		if !found || latestM > foot {
			return l.covered(above, l.Track.stationPlace(s.last()))
		}
		dueM := latestM + section.LeastApartM // a millimetre is no delay
		latestM = s.pegM(latestM, fromM, math.Floor)
		allowedM := latestM - fromM
		if stands && latestM > nextM-LeastSpacingM {
			latestM = s.pegM(nextM-LeastSpacingM, fromM, math.Floor)
			swayM = 0
		}
		if latestM > lowestM {
			if lowestM < fromM+LeastSpacingM { // no room beside the one at the foot
				return l.covered(above, l.Track.stationPlace(s.last()))
			}
			latestM = s.pegM(lowestM, fromM, math.Floor)
			swayM = 0
		}
		if err := l.covered(above, l.Track.pegPlace(s.chainageM(latestM))); err != nil {
			return err
		}
		downM, side, why := outlets.search(s, fromM+LeastSpacingM, latestM, lowestM)
		if side != None && downM != latestM {
			round := math.Floor
			if downM > latestM {
				round = math.Ceil
			}
			pegM := s.pegM(downM, fromM, round)
			if there, _ := outlets.sideAt(s.chainageM(pegM)); there == side && pegM < lowestM {
				downM = pegM
			}
		}
		if stands && (side == None || downM >= nextM-LeastSpacingM) && downM != latestM { // the one that stands comes first
			plan.Unserved = append(plan.Unserved, Unserved{FromM: above.chainageM, ToM: s.chainageM(nextM), LengthM: nextM - fromM, AllowedM: allowedM, Why: why})
			peg := l.Track.pegPlace(s.chainageM(nextM))
			i, fromM, above = w.past(i, nextM), nextM, peg
			continue
		}
		if side == None || downM > dueM {
			end := min(downM, s.LengthM())
			plan.Unserved = append(plan.Unserved, Unserved{FromM: above.chainageM, ToM: s.chainageM(end), LengthM: end - fromM,
				AllowedM: allowedM, Why: why})
		}
		if side == None {
			return l.covered(above, l.Track.stationPlace(s.last()))
		}
		if len(plan.Sites) == MaxBanks {
			return &model.Problem{Path: "track", Reason: fmt.Sprintf("banks would number over %d", MaxBanks), Fix: "check the levels, or lay out a part of the track"}
		}
		if downM != latestM {
			swayM = 0 // the outlet holds it, not the grade
		}
		peg := l.Track.pegPlace(s.chainageM(downM))
		site := l.site(above, peg, swayM)
		site.Side, site.Why, site.MovedM, site.TooFar = side, why, max(0, latestM-downM), downM > dueM
		if err := l.covered(above, peg); err != nil {
			return err
		}
		plan.Sites = append(plan.Sites, site)
		i, fromM, above = w.past(i, downM), downM, peg
	}
}

// standing is how far down the next bank that stands is below a distance; false where there is none on the slope.
func (l Layout) standing(s Slope, fromM float64) (downM float64, stands bool) {
	downM = math.Inf(1)
	for _, chainageM := range l.StandingM {
		if m := (chainageM - s.Top.ChainageM) * s.downM; m > fromM+sameM && m < s.LengthM() {
			downM = min(downM, m)
		}
	}
	return downM, !math.IsInf(downM, 1)
}

// lowestM is how far down a slope a bank may go: above its foot, and clear of one that stands at the foot or just
// past it, on the next slope.
func (l Layout) lowestM(s Slope, foot float64) float64 {
	for _, chainageM := range l.StandingM {
		if m := (chainageM - s.Top.ChainageM) * s.downM; m >= s.LengthM() && m < s.LengthM()+LeastSpacingM {
			foot = min(foot, m-LeastSpacingM)
		}
	}
	return foot
}

func (l Layout) checkStanding() error {
	first, last := l.Track.Stations[0].ChainageM, l.Track.Stations[len(l.Track.Stations)-1].ChainageM
	p := model.Require(len(l.StandingM) <= maxStanding, "standingM", "lay out a part of the track", "has %d banks, and %d are the most", len(l.StandingM), maxStanding)
	for i, m := range l.StandingM {
		p = model.FirstProblem(p, model.InRange(fmt.Sprintf("standingM[%d]", i), m, first, last, "a chainage on the track", " m", "give chainages as those of the track"))
	}
	return p.Err()
}

func (l Layout) site(above, peg place, swayM float64) Site {
	q := l.Track.Quality
	s := Site{ChainageM: peg.chainageM, LevelM: peg.levelM, AboveM: above.chainageM, SpacingM: math.Abs(peg.chainageM - above.chainageM),
		GradePct: gradePct(above, peg), GradePlusMinusPct: gradePlusMinusPct(above, peg, q, false)}
	s.AllowedM = l.Rule.SpacingM(l.Rule.judged(s.GradePct))
	s.Row, s.RowWhy = l.Rule.Reading(l.Rule.judged(s.GradePct))
	other := l.Rule.SpacingM(s.GradePct + 2*max(0, s.GradePlusMinusPct))
	if l.Rule.Between == Steeper && other < s.AllowedM { // on a line between rows the spacing's own plus-minus tells it
		s.OtherAllowedM = other
	}
	swung := -1.0
	if at := gradePlusMinusPct(above, peg, q, true); swayM == 0 {
		swung = 0
	} else if swayM > 0 {
		swung = model.ScaledPlusMinus(swayM, at)
	}
	s.SpacingPlusMinusM = model.JointPlusMinus(q.SpacingPlusMinusM(), swung)
	return s
}

// covered refuses an interval steeper than the table goes, unless it is too short to
// matter.
func (l Layout) covered(above, below place) error {
	grade := gradePct(above, below)
	if l.Rule.Covers(grade) || math.Abs(below.chainageM-above.chainageM) <= LeastSpacingM {
		return nil
	}
	return &model.Problem{Path: "track", Reason: fmt.Sprintf("falls by %.3g %% from chainage %.6g m to %.6g m, and %s ends at %v %%", grade, above.chainageM, below.chainageM, l.Rule.Table, l.Rule.MaxPct()),
		Fix: "name a table that goes as steep, or lay out the track above and below by itself; a track that steep is better moved"}
}

// search finds the place at or above latestM, but below leastM, where water has a safe
// side, the farthest down of them; failing that the first place below latestM, and failing
// that None, with the foot. Distances are down from the top.
func (o *outlets) search(s Slope, leastM, latestM, footM float64) (downM float64, side Side, why string) {
	downOf := func(chainageM float64) float64 { return (chainageM - s.Top.ChainageM) * s.downM }
	side, why = o.sideAt(s.chainageM(latestM))
	if side != None {
		return latestM, side, why
	}
	barred := why
	for x := s.chainageM(latestM); ; {
		x = o.next(x, -s.downM)
		if !(downOf(x) >= leastM) || !o.track.Work.Do(1) {
			break
		}
		if side, why = o.sideAt(x); side != None {
			return downOf(x), side, cmp.Or(why, barred)
		}
	}
	for x := s.chainageM(latestM); ; {
		x = o.next(x, s.downM)
		if !(downOf(x) <= footM) || !o.track.Work.Do(1) {
			return s.LengthM(), None, barred
		}
		if side, _ = o.sideAt(x); side != None {
			return downOf(x), side, barred
		}
	}
}

func checkHump(humpM float64) *model.Problem {
	return model.InRange("humpM", humpM, 0, MaxHumpM, "a height", " m", "give the least height of a rise that turns water, in metres")
}

// ByTable is how many banks another table leads to.
type ByTable struct {
	Table  string `json:"table" doc:"whose spacings"`
	Soil   string `json:"soil,omitempty" doc:"its column"`
	Count  *int   `json:"count,omitempty" unit:"1" doc:"number of banks, outlets left aside; none where the table does not go as steep"`
	Source string `json:"source" doc:"where it is printed"`
}

// ByTables lays the same track by every column of every published table, outlets left
// aside.
func (l Layout) ByTables() []ByTable {
	var all []ByTable
	for _, t := range Tables {
		for _, soil := range t.Columns {
			rule, err := t.Rule(soil, Steeper)
			if err != nil {
				continue
			}
			one := ByTable{Table: t.Name, Soil: soil, Source: t.Source.String()}
			other := Layout{Track: l.Track, Rule: rule, Outlets: Outlets{Side: Either}, HumpM: l.HumpM}
			if plan, err := other.Lay(); err == nil {
				one.Count = new(len(plan.Sites))
			}
			all = append(all, one)
		}
	}
	return all
}
