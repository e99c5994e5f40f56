package works

import "headcut/model/section"

// Heights of the crest of a porous dam above its toe, in metres. That they are kept
// between LowCrestM and HighCrestM is common practice, no source; handbooks of low dams
// stay at or below MaxCrestM, and Jepson (USDA Farmers' Bulletin 1813) holds that the
// overfall should seldom exceed 0.38 m. What is higher is a structure for an engineer.
const (
	LeastCrestM   = 0.1
	LowCrestM     = 0.3
	DefaultCrestM = 0.4
	HighCrestM    = 0.5
	MaxCrestM     = 1.0
)

// Limits of a layout.
const (
	MaxDepositPct = 20     // steeper than any deposit a handbook knows
	MaxDams       = 10_000 // more is a slip in the bed or the height
)

// DamLayout lays check dams up a surveyed bed: the first toe at FromM, each next one at
// the first place upstream where the bed rises to the line from the crest below, which is
// level or climbs at DepositSlopePct. Where the bed falls going upstream it stays below
// the line and is passed over. The bed is straight between its stations, so the meeting
// points are solved, not stepped to; one pass over the bed finds them all.
//
// A dam may stand lower than that, its toe below the silt line, for a good site or a gully
// head; it never stands higher, which would leave bare bed, save above a reach of NoDams.
type DamLayout struct {
	Bed             section.Bed
	Quality         section.Quality
	CrestHeightM    float64  // effective height: bed to lowest point of the crest, foundation not counted
	FromM, ToM      *float64 // nil: the ends of the bed, FromM moved above a reach of NoDams; a toe exactly at ToM is in
	DepositSlopePct float64  // 0: level crest to toe

	Sites          []GoodSite // in any order
	NoDams         []NoDams   // in any order; they may overlap
	MaxBedSlopePct float64    // no toe on a reach that climbs more steeply; 0: no limit
	Heads          []HeadAt   // in any order
	BuriedShare    *float64   // of the height, for a good site; nil: BuriedShare
	HeadNearDepths *float64   // nil: HeadNearDepths
	HeadFarDepths  *float64   // nil: HeadFarDepths
}

// Lay returns the sites from the lowest up, at least one. It returns a *model.Problem,
// with a path like "bed[3].levelM" or "crestHeightM", for what cannot be laid out.
func (l DamLayout) Lay() ([]DamSite, error) {
	laid, err := l.Plan()
	return laid.Dams, err
}

// MeanBedSlopePct is the rise of the whole bed over its length; 0 for what is no bed.
func (l DamLayout) MeanBedSlopePct() float64 {
	p, err := section.LongSection(l.Bed, l.Quality)
	if err != nil {
		return 0
	}
	return p.MeanSlopePct
}
