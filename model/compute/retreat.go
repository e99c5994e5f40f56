package compute

import (
	"fmt"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/section"
)

type headVisit struct {
	Date      string      `json:"date" doc:"day of the visit, as in 2024-11-30"`
	Position  *[2]float64 `json:"position,omitempty" unit:"deg" doc:"longitude and latitude of the head's lip, WGS84; this or offsetM, alike for all visits"`
	OffsetM   *float64    `json:"offsetM,omitempty" unit:"m" doc:"taped from the stake to the lip"`
	AccuracyM *float64    `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation along any direction; 0.05, a tape's, for offsets; not known for positions"`
	Basis     string      `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how it came about; GPS for a position, taped for an offset, if not given"`
}

// checkSeason refuses months that are none of a season that may be given.
func checkSeason(s *monitor.Season, path string) error {
	if s == nil {
		return nil
	}
	if err := s.Check(); err != nil {
		return problem(err).Within(path)
	}
	return nil
}

type retreatIn struct {
	Visits     []headVisit     `json:"visits" doc:"at least two, in any order, each on a day of its own"`
	Stake      string          `json:"stake,omitempty" choices:"upstream|downstream" doc:"where the stake of the offsets stands; upstream of the head, so that they shrink as it retreats, if not given"`
	BearingDeg *float64        `json:"bearingDeg,omitempty" unit:"deg" doc:"up the gully, clockwise from true north, for positions; this or thalweg"`
	Thalweg    [][2]float64    `json:"thalweg,omitempty" unit:"deg" doc:"the bed's line from the downstream end up, past the head, for positions: retreat is then along it"`
	WetSeason  *monitor.Season `json:"wetSeason,omitempty" doc:"months of the wet, to count the seasons between visits"`
}

type retreatOut struct {
	monitor.Step
	Steps    []monitor.Step  `json:"steps" doc:"from each visit to the next, by date"`
	Trend    *monitor.Trend  `json:"trend,omitempty" doc:"the line through three visits or more; none for positions without a direction"`
	Basis    string          `json:"basis" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the retreat rests on: the weakest of the visits'"`
	Cautions []model.Caution `json:"cautions" doc:"what to watch for"`
}

var retreatDoc = Doc{
	Name:    "retreat",
	Growth:  Squared,
	Summary: "how far a gully head cut back between visits, how fast, and whether that is more than noise",
	Limits: []string{
		"Two visits at least, on different days from 1900 to 2199, all by position or all by offset from one stake up to 500 m off.",
		"Fixes more than 2 km from the first, and a thalweg that does not reach past every fix, are refused.",
		"Two fixes of 3 m cannot tell a retreat of less than 8.3 m from none: leastProvableM says so for yours.",
		"For positions without a bearing or thalweg the retreat is the plain distance, with a wider limit of what is noise, and there is no trend.",
		"The ± takes the visits' errors as independent. A stake that moved, or another lip measured, is not in it.",
	},
	Cautions: cautionTexts(monitor.GullyCautions),
	Sources: []model.Source{
		{Title: "CRREL Report 96-09", Place: "scarp stakes: tape from a stake set back from the edge, each season", How: model.LookedUp},
		{Title: "Change beyond 1.96 standard deviations of the difference of two visits; beyond √(-2 ln 0.05) of them for a plain distance in the plane", How: model.Derived},
		{Title: "Least squares and Student's t: Abramowitz and Stegun, Handbook of Mathematical Functions, 1964", Place: "26.7", How: model.FromMemory},
		{Title: "Z. Addisie et al., Water 10(4):389, 2018", Place: "abstract: 3.6 m a year median, 23 m at most", How: model.LookedUp},
		{Title: "A tape's 50 mm on rough ground", How: model.CommonPractice},
	},
}

var retreat = define(retreatDoc, func(in retreatIn, work *model.Work) (retreatOut, error) {
	record := monitor.HeadRecord{StakeDownstream: in.Stake == "downstream", BearingDeg: in.BearingDeg, Season: in.WetSeason}
	bases := make([]model.Basis, len(in.Visits))
	byPosition := false
	for i, v := range in.Visits {
		visit, err := v.visit()
		if err != nil {
			return retreatOut{}, problem(err).Within(fmt.Sprintf("visits[%d]", i))
		}
		bases[i] = basisOr(v.Basis, model.Taped)
		if visit.Position != nil {
			bases[i], byPosition = basisOr(v.Basis, model.GPS), true
		}
		record.Visits = append(record.Visits, visit)
	}
	if byPosition && in.Stake != "" {
		return retreatOut{}, &model.Problem{Path: "stake", Reason: "is given, but the visits are positions", Fix: "leave it out"}
	}
	err := checkSeason(in.WetSeason, "wetSeason")
	if err != nil {
		return retreatOut{}, err
	}
	if in.Thalweg != nil {
		if record.Thalweg, err = positionsFrom(in.Thalweg, "thalweg"); err != nil {
			return retreatOut{}, err
		}
	}
	if !work.Do(len(record.Visits) * len(record.Thalweg)) { // each visit is put on the line
		return retreatOut{}, nil
	}
	r, err := record.Retreat()
	if err != nil {
		return retreatOut{}, err
	}
	return retreatOut{r.Overall, r.Steps, r.Trend, string(model.Weakest(bases...)), record.Cautions(r)}, nil
})

func (v headVisit) visit() (monitor.Visit, error) {
	day, err := dayFrom(v.Date)
	if err != nil {
		return monitor.Visit{}, err
	}
	accuracyM, err := accuracy(v.AccuracyM)
	if v.OffsetM != nil && v.AccuracyM == nil {
		accuracyM = section.TapePlusMinusM
	}
	return monitor.Visit{Day: day, Position: (*orb.Point)(v.Position), OffsetM: v.OffsetM, PlusMinusM: accuracyM}, err
}

// dayFrom reads the field "date".
func dayFrom(text string) (monitor.Day, error) {
	day, err := monitor.ParseDay(text)
	if err != nil {
		return 0, problem(err).Within("date")
	}
	return day, nil
}
