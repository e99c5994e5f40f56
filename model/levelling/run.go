package levelling

import "headcut/model"

// Adjust says when the misclosure of a run is spread over it. Passing and adjusting are
// two decisions: a teaching sheet or an officer may spread 42 mm that no rule allows.
type Adjust int

const (
	AdjustWhenClosed Adjust = iota
	AdjustAlways
	AdjustNever
)

// Method is how a misclosure was spread.
type Method string

const (
	NotAdjusted Method = "none"
	BySetUps    Method = "set-ups"  // equal shares: one for each set-up
	ByDistance  Method = "distance" // in proportion to the distance from the known level before
)

// DefaultPerRootSetupMm is the allowed misclosure k in k*sqrt(n) mm, n set-ups, when the
// officer chose none: engineering work, Uren and Price, Surveying for Engineers (from
// memory). Others for k*sqrt(K) mm, K km: 12 for third order as quoted for Australia
// (looked up), 8.4 for second order class II, US Army EN0593 (looked up), 24 for ordinary
// work in older texts (from memory).
const DefaultPerRootSetupMm = 5

// DefaultReadingMm is one standard deviation of a staff reading estimated between
// centimetre marks on farm-length sights: common practice, no source.
const DefaultReadingMm = 2

// Options are the choices that go with a run. The zero value is sensible.
type Options struct {
	PerRootKmMm    float64 // allowed misclosure in mm for each root kilometre; 0: not by distance
	PerRootSetupMm float64 // allowed misclosure in mm for each root set-up; 0: not by set-ups, unless neither is given
	Adjust         Adjust
	StaffLengthM   float64 // longest reading of the staff; 0: StaffLengthM
	ReadingMm      float64 // one standard deviation of a reading; 0: DefaultReadingMm
}

// Row is what was worked out for one row of the book.
type Row struct {
	Point  string
	Struck bool // passed over: nothing below is set
	SetUp  int  // set-up that the level was sighted from, counted from 1; 0 for the start

	LevelM           float64  // as reduced from the start, before any adjustment
	RiseM, FallM     *float64 // from the sight before; one of the two, neither at the start
	InstrumentLevelM *float64 // level of the line of sight after this row's backsight
	AdjustedLevelM   *float64 // to 0.1 mm, where the run was adjusted or goes on from a known level

	// PlusMinusM is one standard deviation against the start of the run,
	//
	//	s * sqrt(2k)    s: Options.ReadingMm, k: SetUp
	//
	// two independent readings for each set-up (derived; the spread of one reading is
	// common practice). In a stretch that failed to close it is the misclosure if that
	// is more.
	PlusMinusM float64
	Proven     bool // the arithmetic holds and the run closes here and on every known level before: nothing booked later changes that
}

// BestM is the adjusted level, or the reduced one where there was no adjustment.
func (r Row) BestM() float64 {
	if r.AdjustedLevelM != nil {
		return *r.AdjustedLevelM
	}
	return r.LevelM
}

// Basis is model.Levelled for a proven level, else model.Unproven.
func (r Row) Basis() model.Basis { return basis(r.Proven) }

// Closure is the comparison of a reduced level with a known one.
type Closure struct {
	Row         int      `json:"row" unit:"1" doc:"row of the book, counted from 1"`
	SetUps      int      `json:"setups" unit:"1" doc:"set-ups from the known level before"`
	DistanceM   *float64 // the same along the route, where it was measured
	MisclosureM float64  `json:"misclosureM" unit:"m" decimals:"4" doc:"gained since the known level before"` // reduced difference less known difference
	AllowableM  *float64 `json:"allowableM,omitempty" unit:"m" decimals:"4" doc:"what the tolerance allows"`  // nil: the rule needs distances that are not there
	Closed      bool     `json:"closed" doc:"within the allowable"`
	OnSight     bool     `json:"onSight,omitempty" doc:"by an intermediate sight: a check that does not close the run"`

	place int // of the row among those that are not struck
}

// Run is a reduced level book.
type Run struct {
	Unfinished bool // it is in order as far as it goes, and does not end on a known level: not closed yet

	Rows               []Row // one for each row given, struck ones too
	SumBSM, SumFSM     float64
	SumRiseM, SumFallM float64
	ArithmeticOK       bool // both methods and both sums agree, and so does what the book says
	SetUps             int
	Closures           []Closure
	MisclosureM        *float64 // reduced less known at the last known level closed on; nil when the run never closes on one
	AllowableM         *float64 // for the whole run to there
	Closed             bool     // ends on a known level, and every closure is within its allowable
	ClosedTo           *int     // index in the book of the last row that is proven; nil when none is
	Method             Method
	Reasons            []string // why it is not closed, or the arithmetic not in order
	Cautions           model.Cautions

	closedTo int // ClosedTo among the rows that are not struck, 0 for none
	faultAt  int // the first of them where the arithmetic is not in order, their number for none
}

// Proven tells whether levels of the run may be relied on: it closes and its sums agree.
func (r Run) Proven() bool { return r.Closed && r.ArithmeticOK }

// Basis is model.Levelled for a proven run, else model.Unproven.
func (r Run) Basis() model.Basis { return basis(r.Proven()) }

func basis(proven bool) model.Basis {
	if proven {
		return model.Levelled
	}
	return model.Unproven
}
