package levelling

import (
	"errors"
	"math"
	"testing"

	"headcut/model"
	"pgregory.net/rapid"
)

// Anything may stand in a book or a list of pegs. Either it is refused with a problem
// that says where, or every number of the answer is one.

// anyNumber draws numbers a person might type, and some nobody would.
var anyNumber = rapid.OneOf(
	rapid.Map(rapid.IntRange(-60_000, 60_000), func(t int) float64 { return float64(t) / perMetre }),
	rapid.Float64(),
	rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, 5e-324, -0.0, 12_000, 1e-5}),
)

func maybe(t *rapid.T, name string) *float64 {
	if !rapid.Bool().Draw(t, name+" given") {
		return nil
	}
	v := anyNumber.Draw(t, name)
	return &v
}

// anyBook leans towards books in order, so that some get past the checks.
func anyBook(t *rapid.T) []model.LevelRow {
	n := rapid.IntRange(0, 8).Draw(t, "rows")
	rows := make([]model.LevelRow, n)
	likely := func(name string) *float64 {
		if rapid.IntRange(0, 9).Draw(t, name+" as it should be") > 0 {
			return metres(rapid.IntRange(0, 40_000).Draw(t, name))
		}
		return maybe(t, name)
	}
	for i := range rows {
		row := &rows[i]
		row.Inverted, row.Struck = rapid.Bool().Draw(t, "inverted"), rapid.IntRange(0, 9).Draw(t, "struck") == 0
		switch {
		case i == 0:
			row.BS, row.KnownLevelM = likely("bs"), likely("known")
		case i == n-1:
			row.FS, row.KnownLevelM = likely("fs"), maybe(t, "known")
		case rapid.Bool().Draw(t, "change point"):
			row.FS, row.BS, row.KnownLevelM = likely("fs"), likely("bs"), maybe(t, "known")
		default:
			row.IS = likely("is")
		}
		if rapid.Bool().Draw(t, "distance given") {
			d := float64(100 * i)
			row.DistanceM = &d
		} else if rapid.IntRange(0, 9).Draw(t, "wild distance") == 0 {
			row.DistanceM = maybe(t, "distance")
		}
	}
	return rows
}

func reduceAnything(t *rapid.T) {
	rows := anyBook(t)
	o := Options{Adjust: rapid.SampledFrom([]Adjust{AdjustWhenClosed, AdjustAlways, AdjustNever}).Draw(t, "adjust")}
	for _, k := range []*float64{&o.PerRootKmMm, &o.PerRootSetupMm, &o.ReadingMm} {
		*k = float64(rapid.IntRange(-1, 1001).Draw(t, "mm"))
	}
	run, err := Reduce(rows, o)
	if err != nil {
		refused(t, err)
		return
	}
	if len(run.Rows) != len(rows) {
		t.Fatalf("%d rows from %d", len(run.Rows), len(rows))
	}
	finite(t, run.SumBSM, run.SumFSM, run.SumRiseM, run.SumFallM, value(run.MisclosureM), value(run.AllowableM))
	for _, row := range run.Rows {
		finite(t, row.LevelM, row.BestM(), value(row.RiseM), value(row.FallM), value(row.InstrumentLevelM), row.PlusMinusM)
		if row.Proven && !run.ArithmeticOK {
			t.Fatalf("%+v is proven by a run whose arithmetic is not", row)
		}
	}
	if run.Closed && (run.MisclosureM == nil || run.AllowableM == nil || math.Abs(*run.MisclosureM) > *run.AllowableM+1e-9) {
		t.Fatalf("closed, out by %v of %v", run.MisclosureM, run.AllowableM)
	}
	if !run.Closed && len(run.Reasons) == 0 {
		t.Fatal("not closed, and no reason why")
	}
}

func contourOfAnything(t *rapid.T) {
	pegs := make([]Peg, rapid.IntRange(0, 8).Draw(t, "pegs"))
	for i := range pegs {
		pegs[i] = Peg{ChainageM: 10 * float64(i), LevelM: 50 + anyNumber.Draw(t, "level")}
		if rapid.IntRange(0, 4).Draw(t, "wild chainage") == 0 {
			pegs[i].ChainageM = anyNumber.Draw(t, "chainage")
		}
	}
	basis := rapid.SampledFrom(model.Bases).Draw(t, "basis")
	c, err := CheckContour(pegs, ContourOptions{ToleranceM: anyNumber.Draw(t, "tolerance"), GradeTolerancePct: math.Abs(anyNumber.Draw(t, "grade")), Basis: basis,
		Lip: Lip{HeightM: max(0, anyNumber.Draw(t, "lip")), OpenEnds: rapid.Bool().Draw(t, "open ends")}})
	if err != nil {
		refused(t, err)
		return
	}
	finite(t, c.MeanLevelM, c.MeanPlusMinusM, c.OffPlusMinusM, c.Worst.OffM)
	finite(t, c.GradesPct...)
	finite(t, c.GradesPlusMinusPct...)
	for _, low := range c.LowPoints {
		finite(t, low.LevelM, low.DepthM)
	}
	for _, r := range c.Reaches {
		finite(t, r.FromM, r.ToM, r.FromPlusMinusM, r.ToPlusMinusM, r.Worst.OffM, r.PlusMinusM)
	}
	if h := c.Holding; h != nil {
		finite(t, h.LengthM, h.PlusMinusM, h.SharePct)
		finite(t, h.StopsAtM...)
	}
	if c.Verdict == model.OK && basis != model.Levelled {
		t.Fatalf("levels that are %s hold", basis)
	}
	if (c.Verdict == model.OK) != (len(c.Reasons) == 0) {
		t.Fatalf("%s for the reasons %q", c.Verdict, c.Reasons)
	}
}

func readingOfAnything(t *rapid.T) {
	set, err := SetOut(anyNumber.Draw(t, "sight"), anyNumber.Draw(t, "target"), math.Abs(anyNumber.Draw(t, "staff")))
	if err != nil {
		refused(t, err)
		return
	}
	finite(t, set.ReadingM)
	now, err := set.At(anyNumber.Draw(t, "read"))
	if err != nil {
		refused(t, err)
		return
	}
	finite(t, now.LevelM, now.OffM)
}

func refused(t *rapid.T, err error) {
	if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
		t.Fatalf("refused by %#v, want a problem with a path", err)
	}
}

func finite(t *rapid.T, all ...float64) {
	for _, v := range all {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("an accepted answer holds %v of %v", v, all)
		}
	}
}

func TestReduceTakesAnything(t *testing.T)  { rapid.Check(t, reduceAnything) }
func TestContourTakesAnything(t *testing.T) { rapid.Check(t, contourOfAnything) }
func TestSetOutTakesAnything(t *testing.T)  { rapid.Check(t, readingOfAnything) }
func FuzzReduce(f *testing.F)               { f.Fuzz(rapid.MakeFuzz(reduceAnything)) }
func FuzzCheckContour(f *testing.F)         { f.Fuzz(rapid.MakeFuzz(contourOfAnything)) }
func FuzzSetOut(f *testing.F)               { f.Fuzz(rapid.MakeFuzz(readingOfAnything)) }
