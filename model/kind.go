package model

// Shape is what the geometry of a kind looks like on a map.
type Shape string

const (
	PointShape Shape = "point"
	LineShape  Shape = "line"
	AreaShape  Shape = "area"
	NoShape    Shape = "none" // a record with no place of its own
)

// Shapes lists every shape.
var Shapes = []Shape{PointShape, LineShape, AreaShape, NoShape}

// Kind is one sort of feature. The table Kinds is the only place that knows them: the
// server's checks, the exports' columns and the pages' forms, marks and legends all come
// from its rows.
type Kind struct {
	Name   string   `json:"name"`
	Label  string   `json:"label"`
	Plural string   `json:"plural"`
	Was    []string `json:"-"`      // labels and plurals it had before: files written then still hold them
	Shapes []Shape  `json:"shapes"` // the first is what a form offers
	Work   bool     `json:"work"`   // a treatment that is proposed, pegged, built; has a status
	Fields []Field  `json:"fields"` // besides CommonFields, and WorkFields when Work

	Mark   string `json:"mark,omitempty"` // SVG path in a 24 by 24 box, drawn from the shape of the thing
	Colour string `json:"colour"`         // #rrggbb, at least 4.5:1 on white
	What   string `json:"what,omitempty"` // what the work is and does, for someone who never saw one, in a sentence
	Care   string `json:"care,omitempty"` // what a landholder should look after, in a sentence
}

// CommonFields are the fields every kind has.
var CommonFields = []Field{
	{Name: "kind", Label: "Kind", Type: Text},
	{Name: "geometry", Label: "Place", Type: Place, Basis: "positionBasis"},
	{Name: "name", Label: "Name", Type: Text},
	{Name: "notes", Label: "Notes", Type: Text},
	{Name: "observedOn", Label: "Date recorded", Type: Date},
	{Name: "accuracyM", Label: "Position accuracy", Type: Number, Unit: "m", Min: 0, Max: 10000, Hint: "as the receiver gave it, or as the map was drawn"},
	how("positionBasis", "Position", GPS, Drawn, FromPlan, Estimated),
	{Name: "gpsHeightM", Label: "GPS height", Type: Number, Unit: "m", Min: -12000, Max: 100000, Hint: "a label only: never a level"},
	{Name: "gpsHeightsM", Label: "GPS heights", Type: Numbers, Unit: "m", Hint: "one a position, null where unknown"},
	{Name: "photos", Label: "Photos", Type: Photos},
	{Name: "sensitive", Label: "Sensitive", Type: YesNo, Hint: "kept off shared maps and their exports"},
}

// WorkFields are the fields every work has besides CommonFields.
var WorkFields = []Field{
	{Name: "status", Label: "Status", Type: Choice, Choices: statusNames(), Required: true},
	{Name: "proposedOn", Label: "Proposed on", Type: Date},
	{Name: "peggedOn", Label: "Pegged on", Type: Date},
	{Name: "builtOn", Label: "Built on", Type: Date},
	{Name: "failedOn", Label: "Found failed on", Type: Date}, // when it was seen: when it came about is seldom known
	{Name: "removedOn", Label: "Removed on", Type: Date},
	{Name: "spentHours", Label: "Hours spent", Type: Number, Unit: "h", Min: 0, Max: 100_000, Hint: "people's hours to build it, machines' apart"},
	{Name: "spentCost", Label: "Cost", Type: Number, Unit: "1", Min: 0, Max: 1e9, Hint: "what it cost to build, in the unit of costs in the property's settings"},
}

// SettingsKind is a property's own settings, which its computations need: one feature with
// the id SettingsID. It is no item: it stands on no map and in no list of items.
const SettingsKind = "settings"

// PlanKind is a calculation that was adopted: what it was made from, and which works it proposed. It
// is no item, and nobody marks one: model/planning makes it.
const PlanKind = "plan"

// SettingsID is the id of the feature that holds a property's settings. It follows from
// the property's own id, so that two phones with no signal write to one feature.
func SettingsID(property string) string { return SettingsKind + "-" + property }

// Causes are what may have started the erosion of a place, as an officer finds it there.
var Causes = []string{"grazing", "stock pad", "track", "fence", "drain or bywash", "other"}

// DamMaterials are what a check dam may be built from.
var DamMaterials = []string{"loose rock", "netting and posts", "brushwood", "hay bales", "timber"}

// Fields of works that a plan proposes for a place.
var (
	treats = Field{Name: "treats", Label: "At the head, wall or scald", Type: Reference}
	takes  = Field{Name: "takes", Label: "Takes by the plan", Type: Text, Hint: "earth, seed, fertiliser and the like"}
	byPlan = Field{Name: "plan", Label: "Proposed by the plan", Type: Reference}
)

// targetContour is the level at which a plan puts a line on the contour.
var targetContour = Field{Name: "targetLevelM", Label: "Contour to be pegged at", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by the plan, on the datum of the level run"}

// gradedBank are the fields of a bank on a slight grade, whether it stands alone or divides a slope.
var gradedBank = []Field{
	{Name: "heightM", Label: "Height of bank", Type: Number, Unit: "m", Min: 0, Max: 3, Basis: "heightBasis"},
	how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
	{Name: "gradePct", Label: "Grade along the bank", Type: Number, Unit: "%", Min: 0, Max: 20},
	{Name: "outletSide", Label: "Outlet side", Type: Choice, Choices: []string{"left", "right"}, Hint: "looking down the slope"},
	{Name: "outlet", Label: "Lets its water out on", Type: Choice, Choices: []string{"grassed waterway", "natural depression", "grassed area", "level spreader"}},
	{Name: "crestLengthM", Label: "Length of bank", Type: Number, Unit: "m", Min: 0, Max: 5000, Basis: "crestLengthBasis"},
	how("crestLengthBasis", "Length", Taped, Estimated, FromPlan),
	{Name: "slope", Label: "On the slope of, or above", Type: Reference},
	{Name: "chainageM", Label: "Chainage on the slope", Type: Number, Unit: "m", Min: 0, Max: 100000, Hint: "of its outlet, along the line that was levelled down the slope", Basis: "chainageBasis"},
	how("chainageBasis", "Chainage", Taped, GPS, Estimated, FromPlan),
	{Name: "targetOutletLevelM", Label: "Channel to be pegged at, at the outlet", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by the plan, on the datum of its level run"},
	{Name: "targetTopLevelM", Label: "Channel to be pegged at, at the top", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by the plan, on the datum of its level run"},
	takes, byPlan,
}

// how is the field that tells how another one was measured, of the ways there are.
func how(name, label string, ways ...Basis) Field {
	choices := make([]string, len(ways))
	for i, w := range ways {
		choices[i] = string(w)
	}
	return Field{Name: name, Label: label + ": how measured", Type: Choice, Choices: choices}
}

func statusNames() []string {
	return Each(Statuses, func(s Status) string { return string(s) })
}
