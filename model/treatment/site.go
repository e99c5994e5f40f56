package treatment

import "headcut/model"

// What is the sort of place that is looked at.
type What string

const (
	GullyHead What = "gully-head"
	Gully     What = "gully"
	Scald     What = "scald"
	BareSlope What = "bare-slope"
	BareEdge  What = "bare-sharp-edge"
	Tunnel    What = "tunnel"
	Track     What = "track"
	Fence     What = "fence"
)

// Whats lists every sort of place.
var Whats = []What{GullyHead, Gully, Scald, BareSlope, BareEdge, Tunnel, Track, Fence}

// Field is one thing that can be measured or answered at a place.
type Field int

// The fields, measured ones first.
const (
	DepthM Field = iota
	HeadDepthM
	WallRunPerRise
	WidthM
	CatchmentHa
	BedSlopePct
	SlopePct
	LengthM
	CoverPct
	Active // first of those answered by yes or no
	Tunnels
	Dispersive
	StockOut
	StableOutlet
	OutletOnOwnLand
	RockAtHand
	TimberAtHand
	MachineAccess
	LevelAtHand
	Rutted
	OnContour
	Springs
	TrackWater
	Humid
	fieldCount
)

// about a field: its JSON name; how a condition on it reads; for a measured one its unit
// and the most that is no slip of the pen, with what the slip may have been.
type aboutField struct {
	name, reads, not, unit string
	most                   float64
	slip                   string
}

var aboutFields = [fieldCount]aboutField{
	DepthM:         {name: "depthM", reads: "depth", unit: "m", most: 50, slip: "give metres"},
	HeadDepthM:     {name: "headDepthM", reads: "depth of the head", unit: "m", most: 50, slip: "give metres"},
	WallRunPerRise: {name: "wallRunPerRise", reads: "run of the wall per metre of height", most: 20, slip: "give the run per metre of height: 0 for a vertical or undercut wall, 1 for 45 degrees"},
	WidthM:         {name: "widthM", reads: "width", unit: "m", most: 500, slip: "give metres"},
	CatchmentHa:    {name: "catchmentHa", reads: "catchment", unit: "ha", most: 10_000, slip: "give hectares, not square metres"},
	BedSlopePct:    {name: "bedSlopePct", reads: "slope of the bed", unit: "%", most: 100, slip: "give percent, 5 for 5 in 100"},
	SlopePct:       {name: "slopePct", reads: "slope of the ground", unit: "%", most: 100, slip: "give percent, 5 for 5 in 100"},
	LengthM:        {name: "lengthM", reads: "sloping length", unit: "m", most: 100_000, slip: "give metres"},
	CoverPct:       {name: "coverPct", reads: "ground cover", unit: "%", most: 100, slip: "give percent"},

	Active:          {name: "active", reads: "still cutting back", not: "no longer cutting back"},
	Tunnels:         {name: "tunnels", reads: "tunnels seen", not: "no tunnels seen"},
	Dispersive:      {name: "dispersive", reads: "subsoil disperses", not: "subsoil does not disperse"},
	StockOut:        {name: "stockOut", reads: "stock can be kept out", not: "stock cannot be kept out"},
	StableOutlet:    {name: "stableOutlet", reads: "a stable outlet for water", not: "no stable outlet for water"},
	OutletOnOwnLand: {name: "outletOnOwnLand", reads: "the outlet is on own land", not: "the outlet is on other land"},
	RockAtHand:      {name: "rockAtHand", reads: "rock at hand", not: "no rock at hand"},
	TimberAtHand:    {name: "timberAtHand", reads: "timber or brush at hand", not: "no timber or brush at hand"},
	MachineAccess:   {name: "machineAccess", reads: "a machine can get there", not: "no machine can get there"},
	LevelAtHand:     {name: "levelAtHand", reads: "a dumpy or laser level at hand", not: "no dumpy or laser level at hand"},
	Rutted:          {name: "rutted", reads: "water runs in ruts or along the line", not: "no water runs in ruts or along the line"},
	OnContour:       {name: "onContour", reads: "lies on the contour", not: "does not lie on the contour"},
	Springs:         {name: "springs", reads: "carries a spring, seep or stream", not: "carries no spring, seep or stream"},
	TrackWater:      {name: "trackWater", reads: "fed by water off a track or fence line", not: "not fed by water off a track or fence line"},
	Humid:           {name: "humid", reads: "humid region", not: "no humid region"},
}

// Fields lists every field.
func Fields() []Field {
	all := make([]Field, fieldCount)
	for i := range all {
		all[i] = Field(i)
	}
	return all
}

// String is the JSON name of the field, with its unit.
func (f Field) String() string { return aboutFields[f].name }

// Measured tells whether the field is a number, not an answer of yes or no.
func (f Field) Measured() bool { return f < Active }

// plusMinusName is where its plus-minus stands: "depthPlusMinusM" beside "depthM".
var plusMinusNames = [Active]string{"depthPlusMinusM", "headDepthPlusMinusM", "wallPlusMinus", "widthPlusMinusM",
	"catchmentPlusMinusHa", "bedSlopePlusMinusPct", "slopePlusMinusPct", "lengthPlusMinusM", "coverPlusMinusPct"}

// PlusMinusName is the JSON name of a measured field's plus-minus.
func (f Field) PlusMinusName() string { return plusMinusNames[f] }

// Site is a place and what is known of it. Its zero value knows nothing.
type Site struct {
	What   What
	values [fieldCount]measure
}

// measure is a number with its plus-minus, one standard deviation and negative when not
// known; or an answer, 1 for yes.
type measure struct {
	value, plusMinus float64
	known            bool
}

// Measure notes a number; plusMinus is one standard deviation, negative when not known.
func (s *Site) Measure(f Field, value, plusMinus float64) {
	s.values[f] = measure{value, plusMinus, true}
}

// Answer notes a yes or no.
func (s *Site) Answer(f Field, yes bool) {
	s.values[f] = measure{plusMinus: -1, known: true}
	if yes {
		s.values[f].value = 1
	}
}

// Check returns a *model.Problem for a value that cannot be, its path the field's name.
func (s Site) Check() error {
	for f := range Active {
		v, about := s.values[f], aboutFields[f]
		if !v.known {
			continue
		}
		if p := model.FirstProblem(
			model.InRange(about.name, v.value, 0, about.most, "a "+about.reads, " "+about.unit, about.slip),
			model.Require(v.plusMinus <= about.most, f.PlusMinusName(), "leave it out when it is not known", "%v is not a ± from 0 to %v %s", v.plusMinus, about.most, about.unit),
			model.Require(f != CoverPct || v.value == 0 || v.value >= 1, about.name, "give percent, 60 for six tenths; give 0 for bare ground",
				"%v %% is next to no cover: it looks like a part of one", v.value)); p != nil {
			return p
		}
	}
	return nil
}
