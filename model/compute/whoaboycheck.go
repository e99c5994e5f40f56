package compute

import (
	"fmt"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/track"
)

type builtBank struct {
	Name      string      `json:"name,omitempty" doc:"what it is called; its place in the list if not given"`
	ChainageM *float64    `json:"chainageM,omitempty" unit:"m" doc:"along the track; this or position"`
	Position  *[2]float64 `json:"position,omitempty" unit:"deg" doc:"longitude and latitude, WGS84, for a track surveyed by positions"`
	Side      string      `json:"side,omitempty" choices:"left|right|either|none" doc:"to which it lets the water out, looking down the track"`
}

type whoaBoyCheckIn struct {
	Banks []builtBank `json:"banks" doc:"the banks that are there, in any order"`
	spacedTrack
}

type whoaBoyCheckOut struct {
	Intervals   []track.Interval `json:"intervals" doc:"slope by slope, each from its top down"`
	Outlets     []track.Outlet   `json:"outlets" doc:"by growing chainage"`
	Slopes      []trackSlope     `json:"slopes" doc:"lengths of track that drain one way, by growing chainage"`
	Verdict     string           `json:"verdict" choices:"OK|fails|not levelled" doc:"OK when every interval and outlet is ok; an outlet whose side is not given does not fail it"`
	TableSource string           `json:"tableSource" doc:"the table used and where it is printed"`
	Basis       string           `json:"basis" doc:"what the levels come from"`
	Cautions    []model.Caution  `json:"cautions" doc:"what to watch for on the ground"`
}

var whoaBoyCheckDoc = Doc{
	Name:    "whoa-boy-check",
	Growth:  Squared,
	Summary: "whether a track's whoa-boys are near enough together and drain to safe ground",
	Limits: []string{
		"Intervals run from the top of each slope over its banks to its foot. One is too far when it is longer than the table allows for its mean fall, or when a steep pitch at its top calls for a bank sooner.",
		"Only a levelled track passes. From other levels an interval is \"not levelled\", or too far where it is longer than the table allows at any fall.",
		"The height of the banks, and whether water gets round or over them, is not looked at.",
		"A track steeper than its table goes gets \"no row\".",
	},
	Cautions: cautionTexts(track.Cautions),
	Sources:  whoaBoySources(),
}

var whoaBoyCheck = define(whoaBoyCheckDoc, func(in whoaBoyCheckIn, work *model.Work) (whoaBoyCheckOut, error) {
	t, rule, outlets, err := in.read(work)
	if err != nil {
		return whoaBoyCheckOut{}, err
	}
	c := track.Check{Track: t, Rule: rule, Outlets: outlets, HumpM: orElse(in.HumpM, track.HumpM)}
	for i, b := range in.Banks {
		built, err := b.on(t)
		if err != nil {
			return whoaBoyCheckOut{}, model.Within(err, fmt.Sprintf("banks[%d]", i))
		}
		c.Banks = append(c.Banks, built)
	}
	if work.Err() != nil {
		return whoaBoyCheckOut{}, nil
	}
	r, err := c.Run()
	if err != nil {
		return whoaBoyCheckOut{}, err
	}
	return whoaBoyCheckOut{Intervals: r.Intervals, Outlets: r.Outlets, Slopes: slopesOut(r.Slopes), Verdict: string(r.Verdict),
		TableSource: rule.Table + ": " + rule.Source.String(), Basis: string(t.Quality.Basis), Cautions: c.Cautions(r)}, nil
}).after(whoaBoyCheckFeeds()...)

// on places a bank on the track.
func (b builtBank) on(t track.Track) (track.Built, error) {
	built := track.Built{Name: b.Name, Side: track.Side(b.Side)}
	switch {
	case b.Position != nil && b.ChainageM != nil:
		return built, &model.Problem{Path: "position", Reason: "cannot be given with a chainage", Fix: "give one of the two"}
	case b.Position != nil:
		var err error
		built.ChainageM, err = t.Along(orb.Point(*b.Position))
		return built, err
	case b.ChainageM == nil:
		return built, &model.Problem{Path: "chainageM", Reason: "is missing", Fix: "give a chainage or a position"}
	}
	built.ChainageM = *b.ChainageM
	return built, nil
}
