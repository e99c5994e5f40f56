package compute

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/track"
)

// trackPoint is one surveyed point of a track or fence line.
type trackPoint struct {
	ChainageM *float64    `json:"chainageM,omitempty" unit:"m" doc:"along the track from one end of the survey; this or position"`
	Position  *[2]float64 `json:"position,omitempty" unit:"deg" doc:"longitude and latitude, WGS84; chainages are then geodesic lengths from the first"`
	LevelM    float64     `json:"levelM" unit:"m" doc:"level of the middle of the track on the datum of the run"`
}

type barredReach struct {
	FromM float64 `json:"fromM" unit:"m" doc:"chainage at which the reach begins"`
	ToM   float64 `json:"toM" unit:"m" doc:"chainage at which it ends"`
	Side  string  `json:"side,omitempty" choices:"left|right|either" doc:"side on which no water may be let out; both if not given"`
	Why   string  `json:"why,omitempty" doc:"what lies there: another bank's catch, a shed, a neighbour"`
}

type gullyHead struct {
	Name       string      `json:"name,omitempty" doc:"what it is called; its place in the list if not given"`
	ChainageM  *float64    `json:"chainageM,omitempty" unit:"m" doc:"of the place on the track square to it; this or position"`
	OffsetM    float64     `json:"offsetM,omitempty" unit:"m" doc:"from that place; 0, on the track, if not given"`
	Side       string      `json:"side,omitempty" choices:"left|right" doc:"on which it lies, looking down the track; both are kept clear if not given"`
	Position   *[2]float64 `json:"position,omitempty" unit:"deg" doc:"longitude and latitude, WGS84, for a track surveyed by positions"`
	LipLevelM  *float64    `json:"lipLevelM,omitempty" unit:"m" doc:"level of its lip on the track's datum: a head above the track takes none of its water"`
	PlusMinusM *float64    `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of its place; not known if not given"`
}

// spacedTrack is what both computations about whoa-boys take.
type spacedTrack struct {
	Track      []trackPoint      `json:"track" doc:"surveyed points along the track, lowest chainage first, at least two"`
	Table      string            `json:"table,omitempty" choices:"water-bars-two-soils|dips-and-culverts|water-bars-by-class|legal-maximum-by-hazard|water-bars-one-soil|broad-based-dips|local" doc:"whose spacings; they differ threefold and are never blended; local if rows are given"`
	Soil       string            `json:"soil,omitempty" choices:"general|highly erodible|low to non-erosive|erosive|extreme|high|moderate|low|near end of range|far end of range" doc:"column of that table: water-bars-two-soils general, highly erodible; dips-and-culverts and water-bars-by-class low to non-erosive, erosive; legal-maximum-by-hazard extreme, high, moderate, low hazard; broad-based-dips near end of range, far end of range; the others have one column"`
	Between    string            `json:"between,omitempty" choices:"steeper|straight line|log-log" doc:"what applies between two printed grades: the steeper row if not given, since no table says otherwise"`
	Rows       []track.LocalRow  `json:"rows,omitempty" doc:"the local table, gentlest grade first, as the settings of a property and their exports have it in whoaBoyRows"`
	RowsSource string            `json:"rowsSource,omitempty" doc:"who published the local table"`
	Side       string            `json:"side,omitempty" choices:"left|right|either|none" doc:"safe side for water, looking down the track; either if not given"`
	Sides      []track.SideReach `json:"sides,omitempty" doc:"reaches with another safe side; they may touch, not overlap"`
	NoOutlet   []barredReach     `json:"noOutlet,omitempty" doc:"reaches in which no water may be let out"`
	GullyHeads []gullyHead       `json:"gullyHeads,omitempty" doc:"gully heads near the track"`
	ClearanceM *float64          `json:"clearanceM,omitempty" unit:"m" doc:"how far an outlet is kept from a gully head and from a lower limb of the track, on its side; 30 if not given"`
	HumpM      *float64          `json:"humpM,omitempty" unit:"m" doc:"least rise of the track that parts its water; 0.15 if not given"`
	surveyed
}

// read makes the parts that a layout and a check are made of.
func (in spacedTrack) read(work *model.Work) (t track.Track, rule track.Rule, outlets track.Outlets, err error) {
	if t, err = in.track(); err != nil {
		return t, rule, outlets, err
	}
	t.Work = work
	if rule, err = in.rule(); err != nil {
		return t, rule, outlets, err
	}
	outlets, err = in.outlets(t)
	return t, rule, outlets, err
}

func (in spacedTrack) track() (track.Track, error) {
	points := model.Each(in.Track, func(p trackPoint) section.Point {
		return section.Point{ChainageM: p.ChainageM, Position: (*orb.Point)(p.Position), LevelM: p.LevelM}
	})
	t, err := track.New(points)
	if err != nil {
		return t, model.Within(err, "track")
	}
	t.Quality, err = in.quality(t.Positions != nil)
	return t, err
}

func (in spacedTrack) rule() (track.Rule, error) {
	between := track.Steeper
	if in.Between != "" {
		between = track.Between(in.Between)
	}
	if in.Table == "" && in.Rows == nil {
		return track.Rule{}, &model.Problem{Path: "table", Reason: "is missing", Fix: "name whose spacings hold here, or give rows: the property's own table"}
	}
	table, published := track.Named(in.Table)
	switch {
	case !published:
		var err error
		if table, err = track.Local(in.Rows, in.RowsSource, between); err != nil {
			return track.Rule{}, model.Within(err, "rows")
		}
	case in.Rows != nil:
		return track.Rule{}, &model.Problem{Path: "rows", Reason: "cannot be given with the table " + in.Table, Fix: "name the table local, or leave the rows out"}
	}
	return table.Rule(in.Soil, between)
}

func (in spacedTrack) outlets(t track.Track) (track.Outlets, error) {
	o := track.Outlets{Side: track.Either, Reaches: in.Sides, ClearanceM: orElse(in.ClearanceM, track.ClearanceM)}
	if in.Side != "" {
		o.Side = track.Side(in.Side)
	}
	for _, r := range in.NoOutlet {
		side := track.Either
		if r.Side != "" {
			side = track.Side(r.Side)
		}
		o.NoOutlet = append(o.NoOutlet, track.SideReach{FromM: r.FromM, ToM: r.ToM, Side: side, Why: r.Why})
	}
	for i, h := range in.GullyHeads {
		head, err := h.beside(t, orElse(in.HumpM, track.HumpM))
		if err != nil {
			return o, model.Within(err, fmt.Sprintf("gullyHeads[%d]", i))
		}
		o.Heads = append(o.Heads, head)
	}
	return o, nil
}

// beside places a gully head by the track.
func (h gullyHead) beside(t track.Track, humpM float64) (track.Head, error) {
	head := track.Head{Name: h.Name, OffsetM: h.OffsetM, Side: track.Either, LipLevelM: orElse(h.LipLevelM, math.NaN()), PlusMinusM: -1}
	if h.Side != "" {
		head.Side = track.Side(h.Side)
	}
	if h.PlusMinusM != nil {
		if head.PlusMinusM = *h.PlusMinusM; !(head.PlusMinusM >= 0 && head.PlusMinusM <= 10_000) {
			return head, &model.Problem{Path: "plusMinusM", Reason: "is not a ± from 0 to 10000 m"}
		}
	}
	switch {
	case h.Position != nil && h.ChainageM != nil:
		return head, &model.Problem{Path: "position", Reason: "cannot be given with a chainage", Fix: "give one of the two"}
	case h.Position != nil && (h.OffsetM != 0 || h.Side != ""):
		return head, &model.Problem{Path: "position", Reason: "cannot be given with an offset or a side", Fix: "leave those out: they follow from the position"}
	case h.Position != nil:
		return t.Beside(head, orb.Point(*h.Position), humpM)
	case h.ChainageM == nil:
		return head, &model.Problem{Path: "chainageM", Reason: "is missing", Fix: "give a chainage or a position"}
	}
	head.ChainageM = *h.ChainageM
	return head, nil
}

// trackSlope is a length of track that drains one way.
type trackSlope struct {
	TopM     float64 `json:"topM" unit:"m" doc:"chainage at which its water parts"`
	FootM    float64 `json:"footM" unit:"m" doc:"chainage at which it gathers"`
	LengthM  float64 `json:"lengthM" unit:"m" doc:"from top to foot"`
	SlopePct float64 `json:"slopePct" unit:"%" doc:"mean fall"`
}

func slopesOut(slopes []track.Slope) []trackSlope {
	return model.Each(slopes, func(s track.Slope) trackSlope {
		return trackSlope{s.Top.ChainageM, s.Foot.ChainageM, s.LengthM(), s.GradePct()}
	})
}

// whoaBoySources are behind the layout and the check of whoa-boys alike.
func whoaBoySources() []model.Source {
	var all []model.Source
	for _, t := range track.Tables {
		s := t.Source
		s.Title = t.Name + ": " + s.Title
		all = append(all, s)
	}
	return append(all,
		model.Source{Title: "Outlets on firm vegetated or rocky ground, never on loose fill: Roads for Water; California Code of Regulations, Title 14, section 934.6", How: model.LookedUp},
		model.Source{Title: "Distance walked down the real profile, met with the table's spacing for the mean grade so far", How: model.Derived},
		model.Source{Title: "Propagation of errors: JCGM 100:2008", Place: "5.1.2", How: model.FromMemory},
		model.Source{Title: "Humps under 0.15 m part no water; outlets kept 30 m from gully heads; banks not nearer than 3 m", How: model.CommonPractice},
	)
}
