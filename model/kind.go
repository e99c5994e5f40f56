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

// Kinds is the table of kinds. Adding a kind is adding a row. The rows of works name works
// everywhere: in the register, in what treatment-choice recommends and in quantities.
var Kinds = []Kind{
	{
		Name: "gully-head", Label: "Gully head", Plural: "Gully heads", Shapes: []Shape{PointShape},
		Fields: []Field{
			{Name: "headDepthM", Label: "Depth of head", Type: Number, Unit: "m", Min: 0, Max: 50, Required: true, Basis: "headDepthBasis"},
			how("headDepthBasis", "Depth of head", Taped, Levelled, Estimated),
			{Name: "catchmentHa", Label: "Catchment above", Type: Number, Unit: "har", Min: 0, Max: 100000, Basis: "catchmentBasis"},
			how("catchmentBasis", "Catchment", Drawn, FromPlan, Estimated),
			{Name: "active", Label: "Still cutting back", Type: YesNo},
			{Name: "dispersive", Label: "Dispersive soil", Type: YesNo, Hint: "a crumb of subsoil clouds in still water"},
			{Name: "cause", Label: "Cause", Type: Choice, Choices: Causes, Hint: "what started it"},
		},
		Mark: "M3 7h9v10h9", Colour: "#a3262a", Care: "Keep stock off the rim and tell the officer when it has moved.",
	},
	{
		Name: "thalweg", Label: "Thalweg", Plural: "Thalwegs", Shapes: []Shape{LineShape},
		Fields: []Field{
			{Name: "chainageZero", Label: "Chainage 0 of the level book is at the", Type: Choice, Choices: []string{"start of the line", "end of the line"}, Hint: "as the line was drawn"},
		},
		Mark: "M4 4c2 6 6 4 8 9s5 3 8 7", Colour: "#1d5f8a",
	},
	{
		Name: "cross-section", Label: "Cross-section", Plural: "Cross-sections", Shapes: []Shape{LineShape},
		Fields: []Field{
			{Name: "thalweg", Label: "In the gully", Type: Reference},
			{Name: "chainageM", Label: "Chainage", Type: Number, Unit: "m", Min: 0, Max: 100000, Hint: "along the thalweg, from the end at which its bed was booked as chainage 0", Basis: "chainageBasis"},
			how("chainageBasis", "Chainage", Taped, GPS, Estimated),
		},
		Mark: "M3 6h4l4 11h2l4-11h4", Colour: "#5b5470",
	},
	{
		Name: "gully-edge", Label: "Gully edge", Plural: "Gully edges", Shapes: []Shape{LineShape, AreaShape},
		Mark: "M3 8h18M6 8v5M12 8v8M18 8v5", Colour: "#8a4b1d",
	},
	{
		Name: "check-dam", Label: "Check dam", Plural: "Check dams", Shapes: []Shape{PointShape, LineShape}, Work: true,
		Fields: []Field{
			{Name: "material", Label: "Built from", Type: Choice, Choices: DamMaterials},
			{Name: "crestHeightM", Label: "Crest above bed", Type: Number, Unit: "m", Min: 0, Max: 10, Required: true, Basis: "crestHeightBasis"},
			how("crestHeightBasis", "Crest height", Taped, Levelled, Estimated, FromPlan),
			{Name: "crestLengthM", Label: "Crest length", Type: Number, Unit: "m", Min: 0, Max: 200, Basis: "crestLengthBasis"},
			how("crestLengthBasis", "Crest length", Taped, Estimated, FromPlan),
			{Name: "thalweg", Label: "In the gully", Type: Reference},
			{Name: "chainageM", Label: "Chainage", Type: Number, Unit: "m", Min: 0, Max: 100000, Hint: "along the thalweg, from the end at which its bed was booked as chainage 0", Basis: "chainageBasis"},
			how("chainageBasis", "Chainage", Taped, GPS, Estimated, FromPlan),
			{Name: "damBelow", Label: "Dam below", Type: Reference},
			{Name: "fromBelowM", Label: "Up from the dam below", Type: Number, Unit: "m", Min: 0, Max: 10000, Basis: "fromBelowBasis", Hint: "along the gully, from toe to toe"},
			how("fromBelowBasis", "Distance", Taped, GPS, Estimated, FromPlan),
			{Name: "sedimentDepthM", Label: "Sediment caught", Type: Number, Unit: "m", Min: 0, Max: 10, Basis: "sedimentDepthBasis"},
			how("sedimentDepthBasis", "Sediment", Taped, Levelled, Estimated),
			{Name: "toeLevelM", Label: "Toe as pegged", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by level and staff, on the datum of the level run"},
			{Name: "targetToeLevelM", Label: "Toe to be pegged at", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by the plan, on the datum of its level run"},
			{Name: "targetCrestLevelM", Label: "Crest to be built to", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "on the datum of the level run"},
			{Name: "levelRun", Label: "Pegged in the level run", Type: Reference},
			{Name: "takes", Label: "Takes by the plan", Type: Text, Hint: "stone, netting, brush or bales"},
			{Name: "plan", Label: "Proposed by the plan", Type: Reference},
		},
		Mark: "M2 8h6v4h8V8h6v8H2z", Colour: "#37546b",
		What: "A low wall across the gully floor that slows the water and catches silt.",
		Care: "Look at it after each wet season: water should pass over its low middle, not round the ends.",
	},
	{
		Name: "whoa-boy", Label: "Whoa-boy", Plural: "Whoa-boys", Shapes: []Shape{LineShape, PointShape}, Work: true,
		Fields: []Field{
			{Name: "heightM", Label: "Height of bank", Type: Number, Unit: "m", Min: 0, Max: 3, Basis: "heightBasis"},
			how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
			{Name: "outletSide", Label: "Outlet side", Type: Choice, Choices: []string{"left", "right"}, Hint: "looking down the track"},
			{Name: "track", Label: "On the track or fence", Type: Reference},
			{Name: "chainageM", Label: "Chainage from the upper end", Type: Number, Unit: "m", Min: 0, Max: 100000, Hint: "down the track or fence, from its upper end", Basis: "chainageBasis"},
			how("chainageBasis", "Chainage", Taped, GPS, Estimated, FromPlan),
			{Name: "fromAboveM", Label: "Down from the bank or top above", Type: Number, Unit: "m", Min: 0, Max: 10000, Basis: "fromAboveBasis"},
			how("fromAboveBasis", "Distance", Taped, GPS, Estimated, FromPlan),
			{Name: "fromAboveTo", Label: "Distance is from", Type: Text, Hint: "the name of the bank above, or the top of the slope"},
			{Name: "levelM", Label: "Ground as pegged", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by level and staff, on the datum of the level run"},
			{Name: "levelRun", Label: "Pegged in the level run", Type: Reference},
			{Name: "trackSlopePct", Label: "Fall of the track above it", Type: Number, Unit: "%", Min: 0, Max: 100, Hint: "by the two levels and the tape"},
			{Name: "spacedBy", Label: "Spaced by", Type: Text},
			{Name: "plan", Label: "Proposed by the plan", Type: Reference},
		},
		Mark: "M3 15l9-7 9 7-3 1-6-4-6 4z", Colour: "#7a4d00",
		What: "A low bank across a track or fence line that turns the water off it before it can cut.",
		Care: "Keep the outlet clear and the bank at its full height across the wheel tracks.",
	},
	{
		Name: "rip-line", Label: "Rip line", Plural: "Rip lines", Shapes: []Shape{LineShape}, Work: true,
		Fields: []Field{
			{Name: "depthM", Label: "Depth of rip", Type: Number, Unit: "m", Min: 0, Max: 2, Basis: "depthBasis"},
			how("depthBasis", "Depth", Taped, Estimated, FromPlan),
			{Name: "betweenBanks", Label: "Between contour banks", Type: YesNo, Hint: "ripped parallel to surveyed banks"},
			{Name: "toleranceM", Label: "Allowed off contour", Type: Number, Unit: "m", Min: 0, Max: 1},
			targetContour, byPlan,
		},
		Mark: "M3 8h18M3 12h18M3 16h18", Colour: "#5f5a12",
		What: "A furrow ripped along the contour, so that rain soaks in where it falls.",
		Care: "Keep stock out until the grass on it has seeded.",
	},
	{
		Name: "windrow", Label: "Timber windrow", Plural: "Timber windrows", Shapes: []Shape{LineShape}, Work: true,
		Fields: []Field{
			{Name: "heightM", Label: "Height", Type: Number, Unit: "m", Min: 0, Max: 5, Basis: "heightBasis"},
			how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
			{Name: "row", Label: "Row up the slope", Type: Integer, Unit: "1", Min: 1, Max: 1000},
			targetContour, byPlan,
		},
		Mark: "M2 10h8v4H2zM14 10h8v4h-8z", Colour: "#6a3f2b",
		What: "Timber laid along the contour to slow the water and catch seed and leaf.",
		Care: "Do not burn it; top up where it has settled.",
	},
	{
		Name: "batter", Label: "Battered gully wall", Plural: "Battered gully walls", Was: []string{"Battered bank", "Battered banks"}, Shapes: []Shape{AreaShape, LineShape}, Work: true,
		Fields: []Field{
			{Name: "heightM", Label: "Height of wall", Type: Number, Unit: "m", Min: 0, Max: 30, Basis: "heightBasis"},
			how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
			{Name: "runPerRise", Label: "Slope, 1 in", Type: Number, Unit: "1", Min: 0, Max: 20},
			treats, takes, byPlan,
		},
		Mark: "M3 6h5l8 12h5M8 6l-2 6M12 12l-3 5", Colour: "#8a3d5c",
		What: "A steep gully wall laid back to a slope on which grass can hold.",
		Care: "Keep stock off until it is grassed.",
	},
	{
		Name: "revegetation", Label: "Sown area", Plural: "Sown areas", Was: []string{"Sown ground", "Sown grounds"}, Shapes: []Shape{AreaShape}, Work: true,
		Fields: []Field{
			{Name: "seedMix", Label: "Seed mix", Type: Text},
			{Name: "seedKgHa", Label: "Seed rate", Type: Number, Unit: "kg/har", Min: 0, Max: 500},
			{Name: "fertiliser", Label: "Fertiliser", Type: Text},
			{Name: "fertiliserKgHa", Label: "Fertiliser rate", Type: Number, Unit: "kg/har", Min: 0, Max: 5000},
			treats, takes, byPlan,
			{Name: "coverPct", Label: "Ground cover", Type: Number, Unit: "%", Min: 0, Max: 100},
		},
		Mark: "M12 20V9M12 12C8 12 6 9 6 5M12 12c4 0 6-3 6-7", Colour: "#2c6e31",
		What: "Ground sown so that plants cover and hold it.",
		Care: "Keep stock off until it has seeded once.",
	},
	{
		Name: "exclosure", Label: "Fenced-off area", Plural: "Fenced-off areas", Was: []string{"Exclosure", "Exclosures"}, Shapes: []Shape{AreaShape}, Work: true,
		Fields: []Field{
			{Name: "coverPct", Label: "Ground cover", Type: Number, Unit: "%", Min: 0, Max: 100},
		},
		Mark: "M4 6h16v12H4zM4 12h16M9 6v12M15 6v12", Colour: "#3f5d2a",
		What: "Ground fenced so that stock stay off while it heals.",
		Care: "Check the fence and shut the gate.",
	},
	{
		Name: "rock-faced-head", Label: "Rock-faced head", Plural: "Rock-faced heads", Shapes: []Shape{PointShape, AreaShape}, Work: true,
		Fields: []Field{
			{Name: "heightM", Label: "Fall of the head", Type: Number, Unit: "m", Min: 0, Max: 10, Basis: "heightBasis"},
			how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
			{Name: "runPerRise", Label: "Slope, 1 in", Type: Number, Unit: "1", Min: 0, Max: 20},
			{Name: "stoneMm", Label: "Median stone", Type: Number, Unit: "mm", Min: 0, Max: 2000},
			{Name: "rockM3", Label: "Rock placed", Type: Number, Unit: "m3", Min: 0, Max: 10000},
		},
		Mark: "M2 6h7M9 6a2 2 0 1 0 4 2a2 2 0 1 0 3 3a2 2 0 1 0 2 4H22", Colour: "#5d4b45",
		What: "A gully head laid back to a slope and faced with rock, so that water runs down it without cutting.",
		Care: "After each wet season look for rock that has moved and for water running under or beside it.",
	},
	{
		Name: "earth-plug", Label: "Earth plug", Plural: "Earth plugs", Shapes: []Shape{PointShape, LineShape}, Work: true,
		Fields: []Field{
			{Name: "heightM", Label: "Height of plug", Type: Number, Unit: "m", Min: 0, Max: 10, Basis: "heightBasis"},
			how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
			{Name: "crestLengthM", Label: "Crest length", Type: Number, Unit: "m", Min: 0, Max: 200, Basis: "crestLengthBasis"},
			how("crestLengthBasis", "Crest length", Taped, Estimated, FromPlan),
			{Name: "outletSide", Label: "Spillway side", Type: Choice, Choices: []string{"left", "right"}, Hint: "looking down the gully"},
			{Name: "thalweg", Label: "In the gully", Type: Reference},
			{Name: "chainageM", Label: "Chainage", Type: Number, Unit: "m", Min: 0, Max: 100000, Hint: "along the thalweg, from the end at which its bed was booked as chainage 0", Basis: "chainageBasis"},
			how("chainageBasis", "Chainage", Taped, GPS, Estimated, FromPlan),
		},
		Mark: "M2 6l4 12h12l4-12M5 15c4-6 10-6 14 0", Colour: "#7b4b1a",
		What: "A low bank of rolled earth across a small gully that stops the water and sends it out beside.",
		Care: "Look for holes, seepage and a worn spillway after each wet season; keep it grassed.",
	},
	{
		Name: "brush-fill", Label: "Brush fill", Plural: "Brush fills", Shapes: []Shape{LineShape, AreaShape, PointShape}, Work: true,
		Fields: []Field{
			{Name: "depthM", Label: "Depth filled", Type: Number, Unit: "m", Min: 0, Max: 5, Basis: "depthBasis"},
			how("depthBasis", "Depth", Taped, Estimated, FromPlan),
			{Name: "brushM3", Label: "Brush packed", Type: Number, Unit: "m3", Min: 0, Max: 10000},
			{Name: "thalweg", Label: "In the gully", Type: Reference},
		},
		Mark: "M3 5l4 14h10l4-14M6 8l10 10M10 7l8 8M18 8L8 18M14 7l-8 8", Colour: "#55602a",
		What: "A small gully packed with brush that is tied down, so that silt and seed lodge in it.",
		Care: "Keep fire and stock away, and see after each wet season that the brush is still tied down.",
	},
	{
		Name: "diversion-bank", Label: "Graded diversion bank", Plural: "Graded diversion banks", Shapes: []Shape{LineShape}, Work: true,
		Fields: gradedBank,
		Mark:   "M3 6l18 8M3 10l18 8M18 10l3 4-5 1", Colour: "#165a72",
		What: "A low bank on a slight grade that leads water away from a gully to ground that can carry it.",
		Care: "Keep the channel and the outlet clear and grassed, and the bank at its full height.",
	},
	{
		Name: "contour-bank", Label: "Contour bank", Plural: "Contour banks", Shapes: []Shape{LineShape}, Work: true,
		Fields: gradedBank,
		Mark:   "M3 8c6-3 12-3 18 0M3 15c6-3 12-3 18 0M16 16l5-1-2-4", Colour: "#1f6458",
		What: "A low bank along a slope, on a slight grade, that divides a long slope and leads its water to a grassed outlet.",
		Care: "Keep the channel and the outlet clear and grassed, and mend low places before the wet season.",
	},
	{
		Name: "ponding-bank", Label: "Ponding bank", Plural: "Ponding banks", Shapes: []Shape{LineShape}, Work: true,
		Fields: []Field{
			{Name: "heightM", Label: "Height of bank", Type: Number, Unit: "m", Min: 0, Max: 3, Basis: "heightBasis"},
			how("heightBasis", "Height", Taped, Levelled, Estimated, FromPlan),
			{Name: "pondDepthM", Label: "Depth of pond when full", Type: Number, Unit: "m", Min: 0, Max: 3},
			{Name: "crestLengthM", Label: "Crest length", Type: Number, Unit: "m", Min: 0, Max: 2000, Basis: "crestLengthBasis"},
			how("crestLengthBasis", "Crest length", Taped, Estimated, FromPlan),
			{Name: "chainageM", Label: "Chainage down the scald", Type: Number, Unit: "m", Min: 0, Max: 100000, Hint: "along the line that was levelled down it", Basis: "chainageBasis"},
			how("chainageBasis", "Chainage", Taped, GPS, Estimated, FromPlan),
			{Name: "targetLevelM", Label: "Contour to be pegged at", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by the plan, on the datum of its level run"},
			treats, takes, byPlan,
		},
		Mark: "M3 7v4c0 8 18 8 18 0V7M6 10h12M8 13h8", Colour: "#2a5f8f",
		What: "A low bank, curved up the slope at its ends, that keeps a shallow pond on bare ground so that it soaks in.",
		Care: "See after rain that water stands evenly behind it and leaves by the ends, not over the bank.",
	},
	{
		Name: "pitting", Label: "Pitted area", Plural: "Pitted areas", Shapes: []Shape{AreaShape}, Work: true,
		Fields: []Field{
			{Name: "depthM", Label: "Depth of pits", Type: Number, Unit: "m", Min: 0, Max: 2, Basis: "depthBasis"},
			how("depthBasis", "Depth", Taped, Estimated, FromPlan),
			{Name: "pitSpacingM", Label: "Pits apart", Type: Number, Unit: "m", Min: 0, Max: 100},
			treats, takes, byPlan,
			{Name: "coverPct", Label: "Ground cover", Type: Number, Unit: "%", Min: 0, Max: 100},
		},
		Mark: "M3 9h2c0 4 5 4 5 0h4c0 4 5 4 5 0h2M7 16c0 4 5 4 5 0h5", Colour: "#6d5321",
		What: "Bare ground broken into small pits that hold rain, silt and seed.",
		Care: "Keep stock off until plants stand in the pits and have seeded once.",
	},
	{
		Name: "gypsum", Label: "Gypsum spread", Plural: "Areas spread with gypsum", Shapes: []Shape{AreaShape}, Work: true,
		Fields: []Field{
			{Name: "gypsumKgHa", Label: "Gypsum rate", Type: Number, Unit: "kg/har", Min: 0, Max: 50000},
			{Name: "dispersionClass", Label: "Dispersion class", Type: Text, Hint: "as the local table of gypsum rates names it"},
			{Name: "gypsumSource", Label: "Gypsum rate by", Type: Text, Hint: "the local table, and who it comes from"},
			treats, takes, byPlan,
		},
		Mark: "M4 4l16 4M6 9v.1M12 11v.1M18 13v.1M5 14v.1M11 16v.1M17 18v.1M8 19v.1", Colour: "#6b5876",
		What: "Ground spread with gypsum so that its clay stays together and takes in water.",
		Care: "Keep it covered with grass, and ask for a soil test when it crusts again.",
	},
	{
		Name: "scald", Label: "Scald", Plural: "Scalds", Shapes: []Shape{AreaShape},
		Fields: []Field{
			{Name: "dispersive", Label: "Dispersive soil", Type: YesNo, Hint: "a crumb of subsoil clouds in still water"},
			{Name: "coverPct", Label: "Ground cover", Type: Number, Unit: "%", Min: 0, Max: 100},
			{Name: "cause", Label: "Cause", Type: Choice, Choices: Causes, Hint: "what started it"},
		},
		Mark: "M5 12c0-5 4-7 8-6s7 3 6 7-5 5-8 5-6-2-6-6zM9 11h.1M14 10h.1M12 14h.1", Colour: "#9a5b13",
	},
	{
		Name: "track", Label: "Track", Plural: "Tracks", Shapes: []Shape{LineShape},
		Mark: "M7 21L10 3M17 21L14 3", Colour: "#5c4a3a",
	},
	{
		Name: "fence", Label: "Fence", Plural: "Fences", Shapes: []Shape{LineShape},
		Mark: "M2 10h20M2 14h20M6 7v11M18 7v11", Colour: "#4a4a4a",
	},
	{
		Name: "property-boundary", Label: "Property boundary", Plural: "Property boundaries", Shapes: []Shape{AreaShape, LineShape},
		Mark: "M4 4h16v16H4zM8 4v4H4M16 20v-4h4", Colour: "#5f4a66",
	},
	{
		Name: "paddock", Label: "Paddock", Plural: "Paddocks", Shapes: []Shape{AreaShape},
		Fields: []Field{
			{Name: "residualKgHa", Label: "Residual to leave", Type: Number, Unit: "kg/har", Min: 0, Max: 10000, Hint: "dry matter that stock must leave"},
			{Name: "coverTargetPct", Label: "Ground cover to keep", Type: Number, Unit: "%", Min: 0, Max: 100, Hint: "at the end of the dry"},
			{Name: "utilisationPct", Label: "Utilisation", Type: Number, Unit: "%", Min: 0, Max: 100, Hint: "the share that stock may eat"},
			{Name: "utilisationOf", Label: "Utilisation is of", Type: Choice, Choices: []string{"standing feed", "growth"}, Hint: "the feed that stands, or a year's growth"},
		},
		Mark: "M4 5l7-2 9 4-2 12-12 1zM11 15v-5M11 13l-2-2M11 13l2-2", Colour: "#45652c",
	},
	{
		Name: "stocking", Label: "Stocking record", Plural: "Stocking records", Shapes: []Shape{NoShape},
		Fields: []Field{
			{Name: "paddock", Label: "In the paddock", Type: Reference, Required: true},
			{Name: "head", Label: "Head", Type: Integer, Unit: "1", Min: 0, Max: 1000000, Required: true, Hint: "0 while the paddock is rested"},
			{Name: "class", Label: "Class of stock", Type: Text, Hint: "kind, sex and age, as steers 1-2"},
			{Name: "adultEquivalents", Label: "Adult equivalents a head", Type: Number, Unit: "1", Min: 0, Max: 20},
			{Name: "stockInOn", Label: "Stock in on", Type: Date, Required: true, Hint: "or the first day of rest"},
			{Name: "stockOutOn", Label: "Stock out on", Type: Date, Hint: "empty while they are in it"},
		},
		Mark: "M4 5c0 4 3 5 5 5h6c2 0 5-1 5-5M8 10l1 7c0 4 6 4 6 0l1-7M10 13v.1M14 13v.1", Colour: "#6b3d1f",
	},
	{
		Name: "homestead", Label: "Homestead", Plural: "Homesteads", Shapes: []Shape{PointShape},
		Mark: "M3 12l9-8 9 8M6 10v10h12V10M10 20v-6h4v6", Colour: "#7a3b2e",
	},
	{
		Name: "gate", Label: "Gate", Plural: "Gates", Shapes: []Shape{PointShape},
		Mark: "M3 5v15M21 5v15M3 8h18M3 17h18M3 17L21 8", Colour: "#56492f",
	},
	{
		Name: "catchment", Label: "Catchment", Plural: "Catchments", Shapes: []Shape{AreaShape},
		Mark: "M4 5c5-2 11-2 16 0-1 6-4 10-8 14C8 15 5 11 4 5z", Colour: "#2b5f75",
	},
	{
		Name: "benchmark", Label: "Benchmark", Plural: "Benchmarks", Shapes: []Shape{PointShape},
		Fields: []Field{
			{Name: "levelM", Label: "Level", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "on the datum of the run"},
			{Name: "datum", Label: "Datum", Type: Text},
		},
		Mark: "M5 8h14M12 8l-5 10M12 8l5 10M12 8v10", Colour: "#1f1f1f",
	},
	{
		Name: "peg", Label: "Peg", Plural: "Pegs", Shapes: []Shape{PointShape},
		Fields: []Field{
			{Name: "levelM", Label: "Ground as pegged", Type: Number, Unit: "m", Min: -12000, Max: 12000, Hint: "by level and staff, on the datum of the level run"},
			{Name: "levelRun", Label: "Pegged in the level run", Type: Reference},
			{Name: "chainageM", Label: "Chainage from the first peg", Type: Number, Unit: "m", Min: 0, Max: 100000, Basis: "chainageBasis"},
			how("chainageBasis", "Chainage", Taped, GPS, Estimated, FromPlan),
		},
		Mark: "M10 4h4v10l-2 6-2-6z", Colour: "#7d2f6b",
	},
	{
		Name: "photo-point", Label: "Photo point", Plural: "Photo points", Shapes: []Shape{PointShape},
		Fields: []Field{
			{Name: "bearingDeg", Label: "Camera bearing", Type: Number, Unit: "deg", Min: 0, Max: 360},
		},
		Mark: "M3 8h5l2-3h4l2 3h5v11H3zM9 13a3 3 0 1 0 6 0 3 3 0 1 0-6 0", Colour: "#38477a",
	},
	{
		Name: "cover-plot", Label: "Cover plot", Plural: "Cover plots", Shapes: []Shape{PointShape, AreaShape},
		Fields: []Field{
			{Name: "coverPct", Label: "Ground cover", Type: Number, Unit: "%", Min: 0, Max: 100, Required: true},
		},
		Mark: "M5 5h14v14H5zM5 19L19 5", Colour: "#4b6b13",
	},
	{
		Name: "pasture-assessment", Label: "Pasture assessment", Plural: "Pasture assessments", Shapes: []Shape{PointShape},
		Fields: []Field{
			{Name: "paddock", Label: "In the paddock", Type: Reference, Required: true},
			{Name: "frameM2", Label: "Ground inside the frame", Type: Number, Unit: "m2", Min: 0, Max: 10, Hint: "0.25 of a frame of 0.5 m by 0.5 m"},
			{Name: "dryCutsG", Label: "Dry weight of each cut", Type: Numbers, Unit: "g", Hint: "without the bag, a space between two"},
			{Name: "freshCutsG", Label: "Fresh weight of each cut", Type: Numbers, Unit: "g", Hint: "where they were not dried; without the bag, a space between two"},
			{Name: "dryMatterPct", Label: "Dry matter of fresh cuts", Type: Number, Unit: "%", Min: 0, Max: 100, Hint: "of a sample weighed before and after drying"},
			{Name: "photosKgHa", Label: "Read off photo standards", Type: Numbers, Unit: "kg/har", Hint: "dry matter at each place looked at, a space between two"},
			{Name: "photoStandards", Label: "Photo standards used", Type: Text, Hint: "their name, and the land type"},
			{Name: "unpalatablePct", Label: "Unpalatable", Type: Number, Unit: "%", Min: 0, Max: 100, Hint: "share of the feed that stock leave"},
		},
		Mark: "M4 8h16v11H4zM9 19v-6M12 19v-9M15 19v-6", Colour: "#5d6410",
	},
	{
		Name: "hazard", Label: "Hazard", Plural: "Hazards", Shapes: []Shape{PointShape, LineShape, AreaShape},
		Fields: []Field{
			{Name: "danger", Label: "Danger", Type: Text, Required: true},
		},
		Mark: "M12 3l10 18H2zM12 9v6M12 18h.1", Colour: "#b00020",
	},
	{
		Name: "level-run", Label: "Level run", Plural: "Level runs", Shapes: []Shape{NoShape},
		Fields: []Field{
			{Name: "rows", Label: "Book", Type: LevelRows, Required: true},
			{Name: "instrument", Label: "Instrument", Type: Text},
			{Name: "staffLengthM", Label: "Length of staff", Type: Number, Unit: "m", Min: 1, Max: 20, Hint: "its longest reading; 5 m where nothing is given"},
			{Name: "perRootKmMm", Label: "Allowable misclosure, mm per √km", Type: Number, Unit: "mm", Min: 0, Max: 1000},
			{Name: "perRootSetupMm", Label: "Allowable misclosure, mm per √set-up", Type: Number, Unit: "mm", Min: 0, Max: 1000},
		},
		Mark: "M6 3v18M6 5h8M6 9h5M6 13h8M6 17h5", Colour: "#333a44",
	},
	{
		Name: "visit", Label: "Visit", Plural: "Visits", Shapes: []Shape{NoShape, PointShape},
		Fields: []Field{
			{Name: "of", Label: "Visit to", Type: Reference, Required: true},
			{Name: "condition", Label: "Condition", Type: Choice, Choices: Conditions, Was: map[string]string{"holding": string(Sound)}},
			{Name: "sedimentDepthM", Label: "Sediment caught", Type: Number, Unit: "m", Min: 0, Max: 10, Basis: "sedimentDepthBasis"},
			how("sedimentDepthBasis", "Sediment", Taped, Levelled, Estimated),
			{Name: "headOffsetM", Label: "Taped to the head", Type: Number, Unit: "m", Min: 0, Max: 10000, Hint: "from the hub peg"},
			{Name: "coverPct", Label: "Ground cover", Type: Number, Unit: "%", Min: 0, Max: 100},
			{Name: "coverHits", Label: "Points on cover", Type: Integer, Unit: "1", Min: 0, Max: 100000},
			{Name: "coverPoints", Label: "Points looked at", Type: Integer, Unit: "1", Min: 0, Max: 100000},
			{Name: "coverPlotsPct", Label: "Cover of each plot", Type: Numbers, Unit: "%"},
			{Name: "bearingDeg", Label: "Camera bearing", Type: Number, Unit: "deg", Min: 0, Max: 360},
		},
		Mark: "M12 4v8l5 3M12 4a9 9 0 1 0 .1 0", Colour: "#46525f",
	},
	{
		Name: PlanKind, Label: "Plan", Plural: "Plans", Shapes: []Shape{NoShape},
		Fields: []Field{
			{Name: "of", Label: "Plan of", Type: Reference, Required: true},
			{Name: "plans", Label: "What it plans", Type: Choice, Choices: []string{"dams", "whoa-boys", "peak-flow", "forage", "batter", "scald", "banks", "rip-lines", "windrows"}},
			{Name: "input", Label: "Input of the calculation", Type: Text, Hint: "JSON, as headcut compute takes it"},
			{Name: "restsOn", Label: "Rests on", Type: Text, Hint: "JSON: the features it was made from, with the version each had"},
		},
		Mark: "M5 3h10l4 4v14H5zM15 3v4h4M8 17c2-6 5 0 8-6", Colour: "#44525c",
	},
	{
		Name: SettingsKind, Label: "Settings of the property", Plural: "Settings of properties", Shapes: []Shape{NoShape},
		Fields: []Field{
			{Name: "whoaBoyTable", Label: "Spacing table of whoa-boys", Type: Text, Hint: "as the computation whoa-boys names it; local for rows of the property's own"},
			{Name: "whoaBoySoil", Label: "Soil or hazard in that table", Type: Text},
			{Name: "whoaBoyRows", Label: "Spacings of the local table", Type: SpacingRows},
			{Name: "whoaBoySource", Label: "Source of the local table", Type: Text, Hint: "who it comes from, the sheet and its year"},
			{Name: "damCrestHeightM", Label: "Crest height of check dams", Type: Number, Unit: "m", Min: 0, Max: 10, Hint: "as layouts are planned with"},
			{Name: "damDepositSlopePct", Label: "Slope of silt behind check dams", Type: Number, Unit: "%", Min: 0, Max: 20, Hint: "as layouts are planned with"},
			{Name: "wetFirstMonth", Label: "First month of the wet season", Type: Integer, Unit: "1", Min: 1, Max: 12, Hint: "January is 1"},
			{Name: "wetLastMonth", Label: "Last month of the wet season", Type: Integer, Unit: "1", Min: 1, Max: 12, Hint: "included; before the first for a season over the new year"},
			{Name: "rates", Label: "Rates of the property", Type: RateRows, Hint: "cost and hours for one unit of an item, as the computation quantities takes them"},
			{Name: "currency", Label: "Unit of costs", Type: Text, Hint: "ISO 4217 code: three capital letters"},
			{Name: "stormThresholdMm", Label: "Rain of a day after which works are looked at", Type: Number, Unit: "mm", Min: 1, Max: 1000},
		},
		Mark: "M4 7h10M18 7h2M4 17h4M12 17h8M14 4v6M8 14v6", Colour: "#4a4a4a",
	},
	{
		Name: "unsorted", Label: "Unsorted", Plural: "Unsorted", Shapes: []Shape{PointShape, LineShape, AreaShape, NoShape},
		Mark: "M9 9a3 3 0 1 1 4 3c-1 .5-1 1-1 3M12 19h.1", Colour: "#5a5a5a",
	},
}

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
