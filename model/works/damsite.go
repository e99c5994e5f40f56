package works

import "headcut/model"

// DamSite is a place for a dam.
type DamSite struct {
	ChainageM          float64 `json:"chainageM" unit:"m" doc:"of the toe, from the downstream end of the thalweg"`
	ChainagePlusMinusM float64 `json:"chainagePlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	BedLevelM          float64 `json:"bedLevelM" unit:"m" doc:"of the bed at the toe"`
	CrestLevelM        float64 `json:"crestLevelM" unit:"m" doc:"bed level plus crest height"`
	Stands             Stands  `json:"stands" doc:"why the dam is there: first, level with the crest below, good site, below a head, or above a reach without dams"`
	Why                string  `json:"why" doc:"the same in a sentence"`
	BuriedM            float64 `json:"buriedM" unit:"m" doc:"height of its toe below the silt of the dam downstream, 0 where the two just meet"`
	SiltToM            float64 `json:"siltToM" unit:"m" doc:"chainage up to which it guards the bed: where its silt ends, or the next toe"`
	WidthM             float64 `json:"widthM,omitempty" unit:"m" doc:"of the bed there, if it was given for the site"`

	perClimb float64 // run over rise of the bed against the crest line; 0: the chainage was given
	root     int     // index of the site whose level the chain of level toes starts from
}

// Stands says why a dam stands where it does.
type Stands string

// The reasons for a dam's place.
const (
	StandsFirst Stands = "first"
	StandsLevel Stands = "level with the crest below"
	StandsSite  Stands = "good site"
	StandsHead  Stands = "below a head"
	StandsAbove Stands = "above a reach without dams"
)

// AllStands lists every reason.
var AllStands = []Stands{StandsFirst, StandsLevel, StandsSite, StandsHead, StandsAbove}

// GoodSite is a place where a dam is better than elsewhere nearby.
type GoodSite struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"where a toe would stand well"`
	Quality   string  `json:"quality,omitempty" choices:"narrow|straight|narrow and straight|firm bed|good" doc:"what makes it good"`
	WidthM    float64 `json:"widthM,omitempty" unit:"m" doc:"width of the bed there; that of the build if not given"`
}

// SiteQualities lists what makes a site good: a narrow one takes less rock, a straight one
// is not outflanked, firm ground is not undermined. Common practice, no source.
var SiteQualities = []string{"narrow", "straight", "narrow and straight", "firm bed", "good"}

// NoDams is a reach in which no dam is built. Its two ends are allowed.
type NoDams struct {
	FromM float64 `json:"fromM" unit:"m" doc:"chainage of the reach's lower end"`
	ToM   float64 `json:"toM" unit:"m" doc:"chainage of its upper end"`
	Why   string  `json:"why" choices:"rock|steep|other" doc:"why no dam is wanted between; its ends are allowed"`
}

// HeadAt is a gully head in the bed.
type HeadAt struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"of the foot of its wall"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"from its lip down to the foot"`
}

// Where dams stand about a gully head, in depths of the head: 4 to 6 depths below one, and
// not on the very lip, which goes as the head moves. Common practice, no source.
const (
	HeadNearDepths    = 4 // nearer is in the plunge
	HeadFarDepths     = 6
	HeadSetBackDepths = 1 // above the lip
)

// HeadSource is behind HeadNearDepths and HeadFarDepths.
var HeadSource = model.Source{Title: "A low dam 4 to 6 depths below a head, clear of its plunge", How: model.CommonPractice}

// BuriedShare is how much of a dam's height may be buried by the silt of the dam below for
// the sake of a good site: less than half of it would then stand free. Common practice, no
// source.
const BuriedShare = 0.5

// SlopeLimit is one handbook's view of how steep a bed takes check dams.
type SlopeLimit struct {
	Key    string // as the input names it
	Pct    float64
	Source model.Source
}

// SlopeLimits lists the views, the most careful first. None of them was written for low
// dams of local material in a gully, so that none is used unless it is asked for.
var SlopeLimits = []SlopeLimit{
	{"stormwater channel", 6, model.Source{Title: "Dane County (Wisconsin) Erosion Control and Stormwater Manual", Place: "stone check dam", How: model.LookedUp}},
	{"road ditch", 8, model.Source{Title: "US Army correspondence course EN5465", Place: "ditch check dams", How: model.LookedUp}},
	{"brush fill", 10, model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "section 3.1", How: model.LookedUp}},
	{"bale dam", 20, model.Source{Title: "USDA NRCS Wyoming, straw bale check dam fact sheet", Place: "table of limits", How: model.LookedUp}},
}

// EndsAboveCrestM is how far the ends of any dam rise above its crest at least: Catchments
// & Creeks fact sheet CDT-3, installation step 7 (looked up).
const EndsAboveCrestM = 0.15
