package compute

import (
	"headcut/model"
	"headcut/model/track"
)

type whoaBoysIn struct {
	spacedTrack
	StandingM      []float64 `json:"standingM,omitempty" unit:"m" doc:"chainages of banks that stand; the layout goes on from each, and lays out what is missing"`
	AngleDeg       *float64  `json:"angleDeg,omitempty" unit:"deg" doc:"between bank and track; 45 if not given, guides say 45 to 60"`
	TrackWidthM    float64   `json:"trackWidthM,omitempty" unit:"m" doc:"width of the tread, for the length of a bank"`
	PastEdgeM      *float64  `json:"pastEdgeM,omitempty" unit:"m" doc:"how far a bank reaches past each edge; 0.3 if not given"`
	OneIn          float64   `json:"oneIn,omitempty" unit:"1" doc:"length along the bank for each metre that it falls to its outlet, as 300"`
	SettledHeightM float64   `json:"settledHeightM,omitempty" unit:"m" doc:"height wanted once the bank has settled"`
	SettlePct      float64   `json:"settlePct,omitempty" unit:"%" doc:"of the height as built that traffic and rain take; 0 if not given"`
}

type shapeOut struct {
	Item   string   `json:"item" doc:"what of the bank"`
	Low    float64  `json:"low" unit:"1" doc:"least that the guide gives, in the unit beside"`
	High   *float64 `json:"high,omitempty" unit:"1" doc:"most that it gives; none where it gives a least figure alone"`
	Unit   string   `json:"unit" doc:"of both"`
	Source string   `json:"source" doc:"the guide"`
}

type whoaBoysOut struct {
	Banks        []track.Site     `json:"banks" doc:"by growing chainage"`
	Count        int              `json:"count" unit:"1" doc:"number of banks"`
	SpacingsM    []float64        `json:"spacingsM" unit:"m" doc:"of each bank from the break above it"`
	SlopesPct    []float64        `json:"slopesPct" unit:"%" doc:"mean fall over each spacing"`
	Slopes       []trackSlope     `json:"slopes" doc:"lengths of track that drain one way, by growing chainage"`
	Unserved     []track.Unserved `json:"unserved" doc:"reaches longer than allowed, for want of a safe outlet"`
	TableSource  string           `json:"tableSource" doc:"the table used and where it is printed"`
	StandingM    []float64        `json:"standingM,omitempty" unit:"m" doc:"as given: banks that stand and are not among those laid out"`
	spacedTrack                   // as given, with its basis: what whoa-boy-check needs of it
	AngleDeg     float64          `json:"angleDeg" unit:"deg" doc:"between bank and track"`
	BankLengthM  *float64         `json:"bankLengthM,omitempty" unit:"m" doc:"along its crest, for the width given"`
	BankFallM    *float64         `json:"bankFallM,omitempty" unit:"m" doc:"from its upper end to its outlet, for the width and oneIn given"`
	BuiltHeightM *float64         `json:"builtHeightM,omitempty" unit:"m" doc:"to build, for the settled height given"`
	Shape        []shapeOut       `json:"shape" doc:"what guides say of a bank's shape; where they differ both stand here"`
	Tables       []track.ByTable  `json:"tables" doc:"what each published table would lead to on this track"`
	Cautions     []model.Caution  `json:"cautions" doc:"what to watch for on the ground"`
}

var whoaBoysDoc = Doc{
	Name:    "whoa-boys",
	Growth:  Squared,
	Summary: "where whoa-boys go on a surveyed track, by its real falls and a named table",
	Limits: []string{
		"Each bank stands at the farthest place below the bank above it, or the top of the slope, at which the distance is still within the table's for the mean fall so far, there and everywhere before. The foot of a slope gets none.",
		"A fall between two printed rows takes the steeper row unless a line between is asked for. A track steeper than its table goes is refused.",
		"The track is straight between its points and must not rise or fall by more than its run; chainages from 0 to 100 km.",
		"A bank without a safe outlet is moved up the track, at most to 3 m below the break above; where that fails the reach is named in unserved.",
		"The ground beside the track is known only by the sides, reaches and heads given. With positions, an outlet is also kept off lower limbs of the track within clearanceM; with chainages alone give such reaches in noOutlet.",
		"The Queensland and other Australian tables are not held: type the local table in as rows.",
	},
	Cautions: cautionTexts(track.Cautions),
	Sources:  whoaBoySources(),
}

var whoaBoys = define(whoaBoysDoc, func(in whoaBoysIn, work *model.Work) (whoaBoysOut, error) {
	t, rule, outlets, err := in.read(work)
	if err != nil {
		return whoaBoysOut{}, err
	}
	shape := track.Shape{AngleDeg: orElse(in.AngleDeg, track.DefaultAngleDeg), TrackWidthM: in.TrackWidthM, PastEdgeM: orElse(in.PastEdgeM, track.DefaultPastEdgeM),
		OneIn: in.OneIn, SettledHeightM: in.SettledHeightM, SettlePct: in.SettlePct}
	if err := shape.Check(); err != nil {
		return whoaBoysOut{}, err
	}
	l := track.Layout{Track: t, Rule: rule, Outlets: outlets, HumpM: orElse(in.HumpM, track.HumpM), StandingM: in.StandingM}
	plan, err := l.Lay()
	if err != nil {
		return whoaBoysOut{}, err
	}
	out := whoaBoysOut{Count: len(plan.Sites), Banks: plan.Sites, Unserved: plan.Unserved, Slopes: slopesOut(plan.Slopes), TableSource: rule.Table + ": " + rule.Source.String(), spacedTrack: in.spacedTrack, StandingM: in.StandingM,
		AngleDeg: shape.AngleDeg, Tables: l.ByTables(), Cautions: l.Cautions(plan)}
	for i := range plan.Sites {
		s := &plan.Sites[i]
		if p, ok := t.PositionAt(s.ChainageM); ok {
			s.Position = &p
		}
		out.SpacingsM = append(out.SpacingsM, s.SpacingM)
		out.SlopesPct = append(out.SlopesPct, s.GradePct)
	}
	out.Basis = string(t.Quality.Basis)
	out.shape(shape)
	return out, nil
})

func (out *whoaBoysOut) shape(s track.Shape) {
	if length := s.LengthM(); length > 0 {
		out.BankLengthM = &length
		if s.OneIn > 0 {
			fall := track.FallM(length, s.OneIn)
			out.BankFallM = &fall
		}
	}
	if s.SettledHeightM > 0 {
		built := s.BuiltHeightM()
		out.BuiltHeightM = &built
	}
	for _, a := range track.ShapeAdvice {
		one := shapeOut{Item: a.Item, Low: a.Low, Unit: a.Unit, Source: a.Source.String()}
		if a.High >= 0 {
			one.High = &a.High
		}
		out.Shape = append(out.Shape, one)
	}
	if s.AngleDeg < 45 || s.AngleDeg > 60 {
		out.Cautions = append(out.Cautions, model.Caution{About: "angleDeg", Text: "Guides set banks at 45 to 60° to the track: flatter ones let wheels run along them, squarer ones silt up."})
	}
}
