package compute

import (
	"headcut/model"
	"headcut/model/section"
)

// surveyed says how a profile was measured. Whoever fills in a level has a level book
// unless they say otherwise.
type surveyed struct {
	Basis              string   `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the levels come from: levelled if not given; only levelled ones can pass or fail a check"`
	LevelPlusMinusM    *float64 `json:"levelPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a level; 0.005 for levelled ones, else not known"`
	ChainagePlusMinusM *float64 `json:"chainagePlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions"`
}

func (s surveyed) quality(byPosition bool) (section.Quality, error) {
	q := section.LevelledAndTaped
	if s.Basis != "" {
		q.Basis = model.Basis(s.Basis)
	}
	if q.Basis != model.Levelled {
		q.LevelPlusMinusM = -1
	}
	if byPosition {
		q.ChainagePlusMinusM = -1
	}
	for _, given := range []struct {
		path string
		from *float64
		into *float64
	}{{"levelPlusMinusM", s.LevelPlusMinusM, &q.LevelPlusMinusM}, {"chainagePlusMinusM", s.ChainagePlusMinusM, &q.ChainagePlusMinusM}} {
		if given.from == nil {
			continue
		}
		if !(*given.from >= 0 && *given.from <= 10_000) {
			return q, &model.Problem{Path: given.path, Reason: "is not a ± from 0 to 10000 m"}
		}
		*given.into = *given.from
	}
	return q, nil
}

type longSectionIn struct {
	Bed     []section.Point `json:"bed" doc:"surveyed points of the bed from the downstream end up, at least two"`
	Feature string          `json:"feature,omitempty" doc:"whose rows to take of a level run that has those of several features"`
	turnedIn
	surveyed
}

type longSectionOut struct {
	LengthM      estimate        `json:"lengthM" plusMinus:"lengthPlusMinusM" unit:"m" doc:"from the first point to the last, horizontal"`
	FallM        estimate        `json:"fallM" plusMinus:"fallPlusMinusM" unit:"m" doc:"level of the upstream end less that of the downstream end"`
	MeanSlopePct estimate        `json:"meanSlopePct" plusMinus:"meanSlopePlusMinusPct" unit:"%" doc:"fall over length"`
	Bed          []section.Point `json:"bed" doc:"the points of the bed, from the downstream end up"`
	turnedIn
	Basis              string          `json:"basis" doc:"what the levels come from"`
	LevelPlusMinusM    *float64        `json:"levelPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a level; none when not known"`
	ChainagePlusMinusM *float64        `json:"chainagePlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a chainage; none when not known"`
	Reaches            []section.Reach `json:"reaches" doc:"the bed between neighbouring points"`
	Adverse            []section.Reach `json:"adverse" doc:"the reaches that fall going upstream"`
	Cautions           []model.Caution `json:"cautions" doc:"what to watch for"`
}

var longSectionDoc = Doc{
	Name:    "long-section",
	Growth:  Linear,
	Summary: "length, fall and slopes of a surveyed gully bed, reach by reach",
	Limits: []string{
		"Chainages must grow upstream; points nearer than a millimetre are one point written twice.",
		"Chainages are horizontal, from 0 to 100 km; the bed is straight between its points.",
		"A jump of more than 50 m steeper than 1 in 1 is refused as a slipped decimal point.",
	},
	Cautions: []string{
		"GPS heights err by metres: a long section needs a level run.",
		"Stay off undercut walls while surveying.",
	},
	Sources: []model.Source{
		{Title: "Slope is rise over horizontal distance", How: model.Derived},
		{Title: "A staff's 5 mm and a tape's 50 mm on rough ground", How: model.CommonPractice},
	},
}

var longSection = define(longSectionDoc, func(in longSectionIn, _ *model.Work) (longSectionOut, error) {
	if in.Feature != "" {
		return longSectionOut{}, &model.Problem{Path: "feature", Reason: "is not for a bed that is given", Fix: "give it with the answer of level-run"}
	}
	bed, err := in.bedFrom(in.Bed)
	if err != nil {
		return longSectionOut{}, err
	}
	q, err := in.quality(bed.byPosition)
	if err != nil {
		return longSectionOut{}, err
	}
	p, err := section.LongSection(bed.Bed, q)
	return longSectionOut{
		LengthM: estimate{p.LengthM, p.LengthPlusMinusM}, FallM: estimate{p.FallM, p.FallPlusMinusM}, MeanSlopePct: estimate{p.MeanSlopePct, p.MeanSlopePlusMinusPct},
		Bed: bed.points, turnedIn: turnedIn{bed.turnedAtM}, LevelPlusMinusM: known(q.LevelPlusMinusM), ChainagePlusMinusM: known(q.ChainagePlusMinusM),
		Basis: string(q.Basis), Reaches: p.Reaches, Adverse: p.Adverse, Cautions: bed.cautions(),
	}, err
}).after(longSectionFeeds()...)
