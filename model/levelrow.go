package model

// LevelRow is one line of a level book: what was sighted, and at most one backsight, one
// intermediate sight and one foresight. A change point has both a foresight and a
// backsight. Readings are metres on the staff; nil is a blank column.
type LevelRow struct {
	Point       string   `json:"point"`
	BS          *float64 `json:"bs,omitempty"`
	IS          *float64 `json:"is,omitempty"`
	FS          *float64 `json:"fs,omitempty"`
	KnownLevelM *float64 `json:"knownLevelM,omitempty"` // starts the run on its first row, closes it on a later one
	DistanceM   *float64 `json:"distanceM,omitempty"`   // along the levelled route from its start
	Inverted    bool     `json:"inverted,omitempty"`    // staff held upside down on an overhead point
	Remark      string   `json:"remark,omitempty"`
	Struck      bool     `json:"struck,omitempty"` // ruled through in the book: kept, not reduced

	BookedLevelM *float64 `json:"bookedLevelM,omitempty"` // as the officer reduced it by hand: checked, never used

	// Where the staff stood, for rows that belong to a surveyed feature.
	Feature   string   `json:"feature,omitempty"`   // id of the feature
	Spot      Spot     `json:"spot,omitempty"`      // which part of it
	ChainageM *float64 `json:"chainageM,omitempty"` // taped along the feature from its downstream end or first peg
}

// Spot is the part of a feature on which the staff stood.
type Spot string

// The spots that computations look for.
const (
	BedSpot   Spot = "bed"   // the bottom of a gully, on its thalweg
	ToeSpot   Spot = "toe"   // downstream foot of a dam
	CrestSpot Spot = "crest" // lowest point of a dam's top
	PegSpot   Spot = "peg"   // a peg of a line that is meant to follow the contour
	MarkSpot  Spot = "mark"  // a benchmark
)

// Spots lists every spot.
var Spots = []Spot{BedSpot, ToeSpot, CrestSpot, PegSpot, MarkSpot}
