package compute

import (
	"headcut/model"
	"headcut/model/works"
)

type goodSiteIn struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"where a toe would stand well"`
	Quality   string  `json:"quality,omitempty" choices:"narrow|straight|narrow and straight|firm bed|good" doc:"what makes it good"`
	WidthM    float64 `json:"widthM,omitempty" unit:"m" doc:"width of the bed there; that of the build if not given"`
}

type noDamsIn struct {
	FromM float64 `json:"fromM" unit:"m" doc:"chainage of the reach's lower end"`
	ToM   float64 `json:"toM" unit:"m" doc:"chainage of its upper end"`
	Why   string  `json:"why" choices:"rock|steep|other" doc:"why no dam is wanted between; its ends are allowed"`
}

type headAtIn struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"of the foot of its wall"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"from its lip down to the foot"`
}

// placeIn is what the officer knows of the gully besides its levels.
type placeIn struct {
	Sites          []goodSiteIn `json:"sites,omitempty" doc:"good places for dams: one is taken when the silt from below still reaches its toe"`
	BuriedPct      *float64     `json:"buriedPct,omitempty" unit:"%" doc:"how much of its height a dam on a good site may lose to the silt from below; 50 if not given"`
	Skip           []noDamsIn   `json:"skip,omitempty" doc:"reaches in which no dam is built"`
	SlopeLimit     string       `json:"slopeLimit,omitempty" choices:"stormwater channel|road ditch|brush fill|bale dam" doc:"whose limit for the slope of the bed: 6, 8, 10 or 20 %; none if not given"`
	MaxBedSlopePct *float64     `json:"maxBedSlopePct,omitempty" unit:"%" doc:"no toe on a surveyed reach that climbs more steeply; instead of a named limit"`
	Heads          []headAtIn   `json:"heads,omitempty" doc:"gully heads in the bed: a dam is put close below each, none in its plunge, on its wall or on its lip"`
	HeadNearDepths *float64     `json:"headNearDepths,omitempty" unit:"1" doc:"how close below a head a dam may stand, in depths of the head; 4 if not given"`
	HeadFarDepths  *float64     `json:"headFarDepths,omitempty" unit:"1" doc:"how far below a head its dam may stand, in depths of the head; 6 if not given"`
	DepositRule    string       `json:"depositRule,omitempty" choices:"level|compensation|half|seven tenths" doc:"whose belief of the slope that silt settles at, from the mean slope of the whole bed; instead of depositSlopePct"`
}

// place hands the lists to the layout and settles the named rules.
func (in damLayoutIn) place(l *works.DamLayout) error {
	for _, s := range in.Sites {
		l.Sites = append(l.Sites, works.GoodSite(s))
	}
	for _, r := range in.Skip {
		l.NoDams = append(l.NoDams, works.NoDams(r))
	}
	for _, h := range in.Heads {
		l.Heads = append(l.Heads, works.HeadAt(h))
	}
	l.HeadNearDepths, l.HeadFarDepths = in.HeadNearDepths, in.HeadFarDepths
	if in.BuriedPct != nil {
		share := *in.BuriedPct / 100
		l.BuriedShare = &share
	}
	switch {
	case in.SlopeLimit != "" && in.MaxBedSlopePct != nil:
		return &model.Problem{Path: "maxBedSlopePct", Reason: "cannot be given with a named slopeLimit", Fix: "give one of the two"}
	case in.MaxBedSlopePct != nil && *in.MaxBedSlopePct == 0:
		return &model.Problem{Path: "maxBedSlopePct", Reason: "0 % would leave no bed for dams", Fix: "leave it out for no limit"}
	}
	l.MaxBedSlopePct = orElse(in.MaxBedSlopePct, 0)
	for _, limit := range works.SlopeLimits {
		if limit.Key == in.SlopeLimit {
			l.MaxBedSlopePct = limit.Pct
		}
	}
	if in.DepositRule == "" {
		return nil
	}
	if in.DepositSlopePct != nil {
		return &model.Problem{Path: "depositSlopePct", Reason: "cannot be given with a named depositRule", Fix: "give one of the two"}
	}
	for _, rule := range works.DepositRules {
		if rule.Key == in.DepositRule {
			l.DepositSlopePct = min(rule.SlopePct(l.MeanBedSlopePct()), works.MaxDepositPct)
		}
	}
	return nil
}
