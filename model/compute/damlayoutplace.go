package compute

import (
	"headcut/model"
	"headcut/model/works"
)

// placeIn is what the officer knows of the gully besides its levels.
type placeIn struct {
	Sites          []works.GoodSite `json:"sites,omitempty" doc:"good places for dams: one is taken when the silt from below still reaches its toe"`
	BuriedPct      *float64         `json:"buriedPct,omitempty" unit:"%" doc:"how much of its height a dam on a good site may lose to the silt from below; 50 if not given"`
	Skip           []works.NoDams   `json:"skip,omitempty" doc:"reaches in which no dam is built"`
	SlopeLimit     string           `json:"slopeLimit,omitempty" choices:"stormwater channel|road ditch|brush fill|bale dam" doc:"whose limit for the slope of the bed: 6, 8, 10 or 20 %; none if not given"`
	MaxBedSlopePct *float64         `json:"maxBedSlopePct,omitempty" unit:"%" doc:"no toe on a surveyed reach that climbs more steeply; instead of a named limit"`
	Heads          []works.HeadAt   `json:"heads,omitempty" doc:"gully heads in the bed: a dam is put close below each, none in its plunge, on its wall or on its lip"`
	HeadNearDepths *float64         `json:"headNearDepths,omitempty" unit:"1" doc:"how close below a head a dam may stand, in depths of the head; 4 if not given"`
	HeadFarDepths  *float64         `json:"headFarDepths,omitempty" unit:"1" doc:"how far below a head its dam may stand, in depths of the head; 6 if not given"`
	DepositRule    string           `json:"depositRule,omitempty" choices:"level|compensation|half|seven tenths" doc:"whose belief of the slope that silt settles at, from the mean slope of the whole bed; instead of depositSlopePct"`
}

// place hands the lists to the layout and settles the named rules.
func (in damLayoutIn) place(l *works.DamLayout) error {
	l.Sites, l.NoDams, l.Heads = in.Sites, in.Skip, in.Heads
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
	if limit, ok := model.Find(works.SlopeLimits, func(limit works.SlopeLimit) bool { return limit.Key == in.SlopeLimit }); ok {
		l.MaxBedSlopePct = limit.Pct
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
