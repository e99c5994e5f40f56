package levelling

import (
	"errors"
	"math"
	"strings"
	"testing"

	"headcut/model"
)

func TestBooksThatAreRefused(t *testing.T) {
	tests := []struct{ name, text, path, reason string }{
		{"all-struck", `
			pt | known | struck | bs | fs
			A  | 100   | x      | 1  |
			B  |       | x      |    | 1`, "rows", "has 0 that are not struck"},
		{"starts-with-a-foresight", `
			pt | known | bs | fs
			A  | 100   |    | 1
			B  |       | 1  |
			C  |       |    | 1`, "rows[0].bs", "starts with a backsight"},
		{"starts-with-both", `
			pt | known | bs | fs
			A  | 100   | 1  | 1
			C  |       |    | 1`, "rows[0].fs", "before any backsight"},
		{"first-row-struck-and-next-no-backsight", `
			pt | known | struck | bs | fs
			A  | 100   | x      | 1  |
			B  |       |        |    | 1
			C  |       |        |    | 1`, "rows[1].bs", "starts with a backsight"},
		{"no-level-to-start-on", `
			pt | bs | fs
			A  | 1  |
			B  |    | 1`, "rows[0].knownLevelM", "starts on a known level"},
		{"moved-without-looking-back", `
			pt | known | bs | fs
			A  | 100   | 1  |
			B  |       |    | 1
			C  |       |    | 1`, "rows[1].bs", "did not look back"},
		{"backsight-alone-in-the-middle", `
			pt | known | bs | fs
			A  | 100   | 1  |
			B  |       | 1  |
			C  |       |    | 1`, "rows[1].fs", "needs a foresight"},
		{"intermediate-beside-foresight", `
			pt | known | bs | is | fs
			A  | 100   | 1  |    |
			B  |       |    | 1  | 1`, "rows[1].is", "cannot be given with a foresight"},
		{"intermediate-beside-backsight", `
			pt | known | bs | is | fs
			A  | 100   | 1  | 1  |
			B  |       |    |    | 1`, "rows[0].is", "cannot be given with a backsight"},
		{"three-readings", `
			pt | known | bs | is | fs
			A  | 100   | 1  |    |
			B  |       | 1  | 1  | 1
			C  |       |    |    | 1`, "rows[1].is", "cannot be given with"},
		{"blank-row", `
			pt | known | bs | fs
			A  | 100   | 1  |
			B  |       |    |
			C  |       |    | 1`, "rows[1]", "has no reading"},
		{"millimetres", `
			pt | known | bs   | fs
			A  | 100   | 1216 |
			B  |       |      | 1`, "rows[0].bs", "not on a staff of 5.000 m"},
		{"beyond-the-staff-upside-down", `
			pt | known | bs | fs
			A  | 100   | 1  |
			B  |       |    | -5.0001`, "rows[1].fs", "not on a staff"},
		{"finer-than-a-tenth", `
			pt | known | bs      | fs
			A  | 100   | 1.21605 |
			B  |       |         | 1`, "rows[0].bs", "finer than 0.1 mm"},
		{"known-level-too-fine", `
			pt | known     | bs | fs
			A  | 100.00001 | 1  |
			B  |           |    | 1`, "rows[0].knownLevelM", "finer than 0.1 mm"},
		{"known-level-in-millimetres", `
			pt | known  | bs | fs
			A  | 106366 | 1  |
			B  |        |    | 1`, "rows[0].knownLevelM", "no level on earth"},
		{"inverted-twice", `
			pt | known | inv | bs | fs
			A  | 100   |     | 1  |
			B  |       | x   |    | -1`, "rows[1].fs", "negative and the row is marked inverted"},
		{"distance-backwards", `
			pt | known | m  | bs | fs
			A  | 100   | 0  | 1  |
			B  |       | 50 | 1  | 1
			C  |       | 40 |    | 1`, "rows[2].distanceM", "lies behind the backsight at 50 m"},
		{"set-up-without-length", `
			pt | known | m  | bs | fs
			A  | 100   | 50 | 1  |
			B  |       | 50 |    | 1`, "rows[1].distanceM", "not beyond"},
		{"foresight-short-of-a-sight", `
			pt | known | m  | bs | is | fs
			A  | 100   | 0  | 1  |    |
			p  |       | 60 |    | 1  |
			B  |       | 50 |    |    | 1`, "rows[2].distanceM", "not beyond"},
		{"distance-negative", `
			pt | known | m  | bs | fs
			A  | 100   | -1 | 1  |
			B  |       | 50 |    | 1`, "rows[0].distanceM", "not a distance"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := Reduce(book(t, test.text).rows, Options{})
			p, ok := errors.AsType[*model.Problem](err)
			if !ok {
				t.Fatalf("Reduce gave %v, want a problem at %s", err, test.path)
			}
			if p.Path != test.path || !strings.Contains(p.Reason, test.reason) {
				t.Errorf("problem %q, want one at %s that holds %q", p, test.path, test.reason)
			}
		})
	}
}

func TestNumbersThatAreNone(t *testing.T) {
	good := func() []model.LevelRow {
		return book(t, `
			pt | known | m   | bs | fs | booked
			A  | 100   | 0   | 1  |    | 100
			B  | 100   | 100 |    | 1  | 100`).rows
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64} {
		for name, cell := range map[string]func(*model.LevelRow) **float64{
			"fs":           func(r *model.LevelRow) **float64 { return &r.FS },
			"knownLevelM":  func(r *model.LevelRow) **float64 { return &r.KnownLevelM },
			"distanceM":    func(r *model.LevelRow) **float64 { return &r.DistanceM },
			"bookedLevelM": func(r *model.LevelRow) **float64 { return &r.BookedLevelM },
		} {
			rows := good()
			*cell(&rows[1]) = &v
			_, err := Reduce(rows, Options{})
			p, ok := errors.AsType[*model.Problem](err)
			if !ok || p.Path != "rows[1]."+name {
				t.Errorf("%s %v: %v, want a problem at rows[1].%s", name, v, err, name)
			}
		}
		for name, o := range map[string]Options{
			"tolerance.perRootKmMm": {PerRootKmMm: v}, "tolerance.perRootSetupMm": {PerRootSetupMm: v},
			"staffLengthM": {StaffLengthM: v}, "readingPlusMinusMm": {ReadingMm: v},
		} {
			_, err := Reduce(good(), o)
			p, ok := errors.AsType[*model.Problem](err)
			if !ok || p.Path != name {
				t.Errorf("option %v: %v, want a problem at %s", v, err, name)
			}
		}
	}
}

func TestStaffLengthIsAnInput(t *testing.T) {
	rows := book(t, `
		pt | known | bs    | fs
		A  | 100   | 4.990 |
		B  |       |       | 0.1`).rows
	for _, test := range []struct {
		staff float64
		ok    bool
	}{{0, true}, {5, true}, {4.99, true}, {4, false}} {
		_, err := Reduce(rows, Options{StaffLengthM: test.staff})
		if (err == nil) != test.ok {
			t.Errorf("4.990 m on a staff of %v m: %v, want accepted %t", test.staff, err, test.ok)
		}
	}
}

// TestAHalfKeyedBookIsReduced: a book is reduced as far as it goes, and no sight is added to
// its rows or sums. Worked by hand.
func TestAHalfKeyedBookIsReduced(t *testing.T) {
	known, bs, is, fs := 100.0, 1.5, 1.2, 1.9
	for name, c := range map[string]struct {
		rows   []model.LevelRow
		levelM float64 // of the last row
		fsM    float64
	}{
		"one-row":      {[]model.LevelRow{{BS: &bs, KnownLevelM: &known}}, 100, 0},
		"intermediate": {[]model.LevelRow{{BS: &bs, KnownLevelM: &known}, {IS: &is}}, 100.3, 0},
		"moved":        {[]model.LevelRow{{BS: &bs, KnownLevelM: &known}, {FS: &fs, BS: &bs}}, 99.6, 1.9},
		"hangs":        {[]model.LevelRow{{BS: &bs, KnownLevelM: &known}, {FS: &fs}}, 99.6, 1.9},
	} {
		run, err := Reduce(c.rows, Options{})
		if err != nil || !run.Unfinished || run.Closed || len(run.Rows) != len(c.rows) || run.SumFSM != c.fsM || math.Abs(run.Rows[len(c.rows)-1].LevelM-c.levelM) > 1e-9 {
			t.Errorf("%s: %+v, %v; want %v m and foresights of %v m, not closed yet", name, run, err, c.levelM, c.fsM)
		}
	}
	// One that is out is wrong, whether or not it goes on.
	out := []model.LevelRow{{BS: &bs, KnownLevelM: &known}, {FS: &fs, BS: &bs, KnownLevelM: &known}, {IS: &is}}
	if run, err := Reduce(out, Options{}); err != nil || run.Unfinished {
		t.Errorf("a run that is out by 0.4 m: unfinished %v, %v; want it to fail", run.Unfinished, err)
	}
}

func TestAReadingInFeetIsHinted(t *testing.T) {
	known := 100.0
	for reading, want := range map[float64]string{7.12: "feet", 16.4: "feet", 16.5: "millimetres", 1435: "millimetres"} {
		_, err := Reduce([]model.LevelRow{{BS: &reading, KnownLevelM: &known}, {FS: &known}}, Options{})
		if p, ok := err.(*model.Problem); !ok || !strings.Contains(p.Fix, want) {
			t.Errorf("a reading of %v: %v, want a word of %s", reading, err, want)
		}
	}
}
