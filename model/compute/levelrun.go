package compute

import (
	"fmt"
	"strconv"

	"headcut/model"
	"headcut/model/levelling"
)

type levelRunIn struct {
	Rows               []bookRow     `json:"rows" doc:"the level book, in the order in which it was booked"`
	Tolerance          *runTolerance `json:"tolerance,omitempty" doc:"what the run may be out by; 5 mm for each root set-up if not given"`
	Adjust             *bool         `json:"adjust,omitempty" doc:"true spreads any misclosure, false none; if not given, one within the allowable is spread"`
	StaffLengthM       *float64      `json:"staffLengthM,omitempty" unit:"m" doc:"longest reading of the staff; 5 if not given"`
	ReadingPlusMinusMm *float64      `json:"readingPlusMinusMm,omitempty" unit:"mm" doc:"one standard deviation of a reading; 2 if not given"`
}

type runTolerance struct {
	PerRootKmMm    *float64 `json:"perRootKmMm,omitempty" unit:"mm" doc:"k of k*sqrt(K), K the levelled distance in km; needs distanceM"`
	PerRootSetupMm *float64 `json:"perRootSetupMm,omitempty" unit:"mm" doc:"k of k*sqrt(n), n the number of set-ups; the stricter applies if both are given"`
}

// bookRow is model.LevelRow with its columns explained.
type bookRow struct {
	Point        string   `json:"point,omitempty" doc:"what the staff stood on"`
	BS           *float64 `json:"bs,omitempty" unit:"m" doc:"backsight; a change point has both fs and bs"`
	IS           *float64 `json:"is,omitempty" unit:"m" doc:"intermediate sight"`
	FS           *float64 `json:"fs,omitempty" unit:"m" doc:"foresight"`
	KnownLevelM  *float64 `json:"knownLevelM,omitempty" unit:"m" doc:"starts the run on the first row; on a later row, what the run should close on"`
	DistanceM    *float64 `json:"distanceM,omitempty" unit:"m" doc:"along the levelled route from its start"`
	Inverted     bool     `json:"inverted,omitempty" doc:"staff upside down on an overhead point, reading as read; or book the reading negative"`
	Remark       string   `json:"remark,omitempty" doc:"anything noted; not used"`
	Struck       bool     `json:"struck,omitempty" doc:"ruled through: kept and passed over"`
	BookedLevelM *float64 `json:"bookedLevelM,omitempty" unit:"m" doc:"level reduced by hand, to be checked"`
	Feature      string   `json:"feature,omitempty" doc:"the feature the staff stood on"`
	Spot         string   `json:"spot,omitempty" doc:"which part of the feature: bed, toe, crest, peg, section"`
	ChainageM    *float64 `json:"chainageM,omitempty" unit:"m" doc:"along the feature; a long section is made of the rows that have one"`
	OffsetM      *float64 `json:"offsetM,omitempty" unit:"m" doc:"of a point of a cross-section, from the thalweg: left negative, right positive, looking downstream"`
}

type levelRunOut struct {
	Rows         []reducedRow        `json:"rows" doc:"one for each row given"`
	Sums         runSums             `json:"sums" doc:"totals of the columns"`
	ArithmeticOK bool                `json:"arithmeticOK" doc:"rise and fall, height of instrument, their sums and any booked level agree"`
	Setups       int                 `json:"setups" unit:"1" doc:"number of set-ups"`
	MisclosureM  *float64            `json:"misclosureM,omitempty" unit:"m" decimals:"4" doc:"reduced less known level at the last known foresight; absent when the run never comes to one"`
	AllowableM   *float64            `json:"allowableM,omitempty" unit:"m" decimals:"4" doc:"what the tolerance allows to there; absent when it cannot be calculated"`
	Closed       bool                `json:"closed" doc:"the run ends on a known level and is within the allowable on every known level"`
	Unfinished   bool                `json:"unfinished" doc:"in order as far as it goes, and does not end on a known level: not closed yet"`
	ClosedToRow  *int                `json:"closedToRow,omitempty" unit:"1" doc:"row of the book, counted from 1, up to which the levels are proven; what is booked after it is not closed yet; absent when none is"`
	Closures     []levelling.Closure `json:"closures" doc:"each known level after the first, against the known level before it"`
	AdjustedBy   string              `json:"adjustedBy" choices:"none|set-ups|distance" doc:"how the misclosure was spread"`
	Basis        string              `json:"basis" choices:"levelled|unproven" doc:"of the run's levels"`
	Reasons      []string            `json:"reasons" doc:"why the run does not close or its arithmetic is not in order"`
	Cautions     []caution           `json:"cautions" doc:"what to know beside the figures"`
}

type reducedRow struct {
	Point            string   `json:"point,omitempty" doc:"as given"`
	Struck           bool     `json:"struck,omitempty" doc:"passed over: the row has no level"`
	Setup            int      `json:"setup" unit:"1" doc:"set-up that the level was sighted from; 0 at the start"`
	LevelM           *float64 `json:"levelM,omitempty" unit:"m" decimals:"4" doc:"level as reduced, before any adjustment"`
	RiseM            *float64 `json:"riseM,omitempty" unit:"m" decimals:"4" doc:"rise from the sight before"`
	FallM            *float64 `json:"fallM,omitempty" unit:"m" decimals:"4" doc:"fall from the sight before"`
	InstrumentLevelM *float64 `json:"instrumentLevelM,omitempty" unit:"m" decimals:"4" doc:"level of the line of sight after this row's backsight"`
	AdjustedLevelM   *float64 `json:"adjustedLevelM,omitempty" unit:"m" decimals:"4" doc:"level after spreading the misclosure, to 0.1 mm; past a known level, carried from that"`
	PlusMinusM       *float64 `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation against the start of the run: that of a reading times the root of twice the set-ups"`
	Basis            string   `json:"basis,omitempty" choices:"levelled|unproven" doc:"unproven where the run fails here or before, or hangs"`
	Feature          string   `json:"feature,omitempty" doc:"as given"`
	Spot             string   `json:"spot,omitempty" doc:"as given"`
	ChainageM        *float64 `json:"chainageM,omitempty" unit:"m" doc:"as given"`
	OffsetM          *float64 `json:"offsetM,omitempty" unit:"m" doc:"as given"`
}

type runSums struct {
	BS   float64 `json:"bs" unit:"m" decimals:"4" doc:"of backsights"`
	FS   float64 `json:"fs" unit:"m" decimals:"4" doc:"of foresights"`
	Rise float64 `json:"rise" unit:"m" decimals:"4" doc:"of rises"`
	Fall float64 `json:"fall" unit:"m" decimals:"4" doc:"of falls"`
}

type caution struct {
	About string `json:"about" doc:"the value it is tied to"`
	Text  string `json:"text" doc:"the caution"`
}

var levelRunDoc = Doc{
	Name:    "level-run",
	Growth:  Linear,
	Summary: "levels from a level book, with its checks, its misclosure and its adjustment",
	Limits: []string{
		"Readings and known levels are exact to 0.1 mm; finer digits are refused.",
		"Levels are on the run's own datum. Heights from a GPS are not levels and must not start or close a run.",
		"A run that does not end on a known level, or is out by more than the allowable, is reduced and answered as not closed; its levels are unproven, except those to closedToRow. Where unfinished is true it is only not closed yet, as a half-keyed book is.",
		"levelM is carried from the first known level alone; known levels on the way are compared, and used by the adjustment: adjustedLevelM goes on from the last of them.",
	},
	Cautions: []string{
		"No check of the arithmetic sees a misread staff: only closing on a known level does, and never for an intermediate sight.",
		"On short runs a rule by root kilometre is severe: at 250 m, 12 mm a root kilometre is 6 mm.",
	},
	Sources: []model.Source{
		{Title: "Structural Community, Booking and reduction of levels", Place: "both methods and their checks", How: model.LookedUp},
		{Title: "ExpertsMind, The rise and fall method", Place: "what each check covers", How: model.LookedUp},
		{Title: "R. Rode, Collimation method to reduce a levelling field book page", Place: "adjustment, steps 1-16", How: model.LookedUp},
		{Title: "Civinnovate levelling lessons", Place: "lesson 7: inverted staff", How: model.LookedUp},
		{Title: "Uren and Price, Surveying for Engineers", Place: "5 mm for each root set-up", How: model.FromMemory},
		{Title: "± s*sqrt(2k) after k set-ups: independent readings add by squares", How: model.Derived},
		{Title: "2 mm for one reading of a centimetre staff", How: model.CommonPractice},
	},
}

var levelRun = define(levelRunDoc, runLevels)

func runLevels(in levelRunIn, _ *model.Work) (levelRunOut, error) {
	options, err := in.options()
	if err != nil {
		return levelRunOut{}, err
	}
	rows := make([]model.LevelRow, len(in.Rows))
	for i, r := range in.Rows {
		rows[i] = model.LevelRow{
			Point: r.Point, BS: r.BS, IS: r.IS, FS: r.FS, KnownLevelM: r.KnownLevelM, DistanceM: r.DistanceM,
			Inverted: r.Inverted, Struck: r.Struck, BookedLevelM: r.BookedLevelM,
		}
	}
	run, err := levelling.Reduce(rows, options)
	if err != nil {
		return levelRunOut{}, err
	}
	out := levelRunOut{
		Sums:         runSums{BS: run.SumBSM, FS: run.SumFSM, Rise: run.SumRiseM, Fall: run.SumFallM},
		ArithmeticOK: run.ArithmeticOK, Setups: run.SetUps, MisclosureM: run.MisclosureM, AllowableM: micron(run.AllowableM),
		Closed: run.Closed, Unfinished: run.Unfinished, AdjustedBy: string(run.Method), Basis: string(run.Basis()), Reasons: run.Reasons,
		Closures: run.Closures, Cautions: cautions(run.Cautions),
	}
	if run.ClosedTo != nil {
		row := *run.ClosedTo + 1
		out.ClosedToRow = &row
	}
	for i, c := range run.Closures {
		run.Closures[i].AllowableM = micron(c.AllowableM)
	}
	for i, r := range run.Rows {
		row := reducedRow{Point: r.Point, Struck: r.Struck}
		if !r.Struck {
			row = reducedRow{
				Point: r.Point, Setup: r.SetUp, LevelM: &r.LevelM, RiseM: r.RiseM, FallM: r.FallM,
				InstrumentLevelM: r.InstrumentLevelM, AdjustedLevelM: r.AdjustedLevelM,
				PlusMinusM: micron(&r.PlusMinusM), Basis: string(r.Basis()),
			}
		}
		of := in.Rows[i]
		row.Feature, row.Spot, row.ChainageM, row.OffsetM = of.Feature, of.Spot, of.ChainageM, of.OffsetM
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}

func (in levelRunIn) options() (levelling.Options, error) {
	var o levelling.Options
	tolerance := orElse(in.Tolerance, runTolerance{})
	for _, input := range []struct {
		path  string
		given *float64
		to    *float64
	}{
		{"tolerance.perRootKmMm", tolerance.PerRootKmMm, &o.PerRootKmMm},
		{"tolerance.perRootSetupMm", tolerance.PerRootSetupMm, &o.PerRootSetupMm},
		{"staffLengthM", in.StaffLengthM, &o.StaffLengthM},
		{"readingPlusMinusMm", in.ReadingPlusMinusMm, &o.ReadingMm},
	} {
		if input.given == nil {
			continue
		}
		if *input.given <= 0 { // nought stands for "not given" below this function
			return o, &model.Problem{Path: input.path, Reason: fmt.Sprintf("%v is not above 0", *input.given), Fix: "leave it out to take the usual value"}
		}
		*input.to = *input.given
	}
	if in.Adjust != nil {
		o.Adjust = levelling.AdjustNever
		if *in.Adjust {
			o.Adjust = levelling.AdjustAlways
		}
	}
	return o, nil
}

func cautions(all []model.Caution) []caution {
	return model.Each(all, func(c model.Caution) caution { return caution(c) })
}

// micron rounds metres that come out of a root to a thousandth of a millimetre.
func micron(m *float64) *float64 {
	if m == nil {
		return nil
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(*m, 'f', 6, 64), 64)
	if err != nil {
		return m
	}
	return &rounded
}
