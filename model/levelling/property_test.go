package levelling

import (
	"fmt"
	"slices"
	"testing"

	"headcut/model"
	"pgregory.net/rapid"
)

// A drawn book has one to eight set-ups with up to three intermediate sights each,
// readings on a 5 m staff, some upside down, and a known level at its start and end.

func metres(t int) *float64 {
	m := float64(t) / perMetre
	return &m
}

func drawReading(t *rapid.T) *float64 {
	return metres(rapid.IntRange(-50_000, 50_000).Draw(t, "reading"))
}

func drawBook(t *rapid.T, sights int) []model.LevelRow {
	rows := []model.LevelRow{{Point: "start", BS: drawReading(t), KnownLevelM: metres(rapid.IntRange(-1e7, 1e7).Draw(t, "start"))}}
	for setUp := range rapid.IntRange(1, 8).Draw(t, "set-ups") {
		if setUp > 0 {
			rows[len(rows)-1].BS = drawReading(t)
		}
		for range rapid.IntRange(0, sights).Draw(t, "sights") {
			rows = append(rows, model.LevelRow{IS: drawReading(t)})
		}
		rows = append(rows, model.LevelRow{Point: fmt.Sprint("change ", setUp+1), FS: drawReading(t)})
	}
	last := &rows[len(rows)-1]
	run, err := Reduce(rows, Options{})
	if err != nil {
		t.Fatal(err)
	}
	off := rapid.IntRange(-300, 300).Draw(t, "misclosure")
	last.KnownLevelM = metres(int(nearest(run.Rows[len(rows)-1].LevelM)) + off)
	return rows
}

func mustReduce(t *rapid.T, rows []model.LevelRow, o Options) Run {
	run, err := Reduce(rows, o)
	if err != nil {
		t.Fatal(err)
	}
	return run
}

// Both methods give every level, whichever the run carries: here each is worked out once
// more by the other method, from the columns of the answer alone.
func TestBothMethodsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawBook(t, 3)
		run := mustReduce(t, rows, Options{})
		if !run.ArithmeticOK {
			t.Fatalf("arithmetic: %q", run.Reasons)
		}
		level := nearest(run.Rows[0].LevelM)
		for i := 1; i < len(rows); i++ {
			row := run.Rows[i]
			if (row.RiseM == nil) == (row.FallM == nil) {
				t.Fatalf("row %d has a rise %v and a fall %v, want one", i+1, row.RiseM, row.FallM)
			}
			level += nearest(value(row.RiseM)) - nearest(value(row.FallM))
			if level != nearest(row.LevelM) {
				t.Fatalf("row %d: %v m by rise and fall, %v m by height of instrument", i+1, level, row.LevelM)
			}
		}
		if run.Rows[len(rows)-1].BestM() != *rows[len(rows)-1].KnownLevelM && run.Closed {
			t.Fatalf("closes at %v after adjustment, want %v", run.Rows[len(rows)-1].BestM(), *rows[len(rows)-1].KnownLevelM)
		}
	})
}

func TestMovingTheDatumMovesEveryLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawBook(t, 3)
		o := Options{Adjust: AdjustAlways}
		before := mustReduce(t, rows, o)
		by := rapid.IntRange(-1e7, 1e7).Draw(t, "by")
		moved := slices.Clone(rows)
		for _, i := range []int{0, len(rows) - 1} {
			moved[i].KnownLevelM = metres(int(nearest(*rows[i].KnownLevelM)) + by)
		}
		after := mustReduce(t, moved, o)
		if *before.MisclosureM != *after.MisclosureM || before.Closed != after.Closed {
			t.Fatalf("misclosure %v became %v", *before.MisclosureM, *after.MisclosureM)
		}
		for i := range rows {
			if nearest(after.Rows[i].LevelM)-nearest(before.Rows[i].LevelM) != tenths(by) {
				t.Fatalf("row %d moved from %v to %v, want by %d tenths", i+1, before.Rows[i].LevelM, after.Rows[i].LevelM, by)
			}
			if nearest(after.Rows[i].BestM())-nearest(before.Rows[i].BestM()) != tenths(by) {
				t.Fatalf("row %d moved from %v to %v adjusted, want by %d tenths", i+1, before.Rows[i].BestM(), after.Rows[i].BestM(), by)
			}
		}
	})
}

func TestReversingTheRunNegatesTheMisclosure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawBook(t, 0) // intermediate sights have no place in a reversed book
		back := slices.Clone(rows)
		slices.Reverse(back)
		for i := range back {
			back[i].BS, back[i].FS = back[i].FS, back[i].BS
		}
		there, again := mustReduce(t, rows, Options{}), mustReduce(t, back, Options{})
		if *there.MisclosureM != -*again.MisclosureM || there.Closed != again.Closed || there.SumBSM != again.SumFSM {
			t.Fatalf("misclosure %v forward, %v back", *there.MisclosureM, *again.MisclosureM)
		}
	})
}

func TestSplittingAtAChangePoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawBook(t, 3)
		whole := mustReduce(t, rows, Options{})
		var changes []int
		for i, row := range rows {
			if row.BS != nil && row.FS != nil {
				changes = append(changes, i)
			}
		}
		if len(changes) == 0 {
			return // one set-up: nothing to split
		}
		at := rapid.SampledFrom(changes).Draw(t, "at")
		first, second := slices.Clone(rows[:at+1]), slices.Clone(rows[at:])
		first[at].BS, second[0].FS = nil, nil
		a := mustReduce(t, first, Options{})
		second[0].KnownLevelM = &a.Rows[at].LevelM
		b := mustReduce(t, second, Options{})
		if a.SetUps+b.SetUps != whole.SetUps || *b.MisclosureM != *whole.MisclosureM {
			t.Fatalf("%d + %d set-ups out by %v, want %d out by %v", a.SetUps, b.SetUps, *b.MisclosureM, whole.SetUps, *whole.MisclosureM)
		}
		for i, row := range whole.Rows {
			got := a.Rows[min(i, at)].LevelM
			if i > at {
				got = b.Rows[i-at].LevelM
			}
			if got != row.LevelM {
				t.Fatalf("row %d: %v m in parts, %v m whole", i+1, got, row.LevelM)
			}
		}
	})
}

func TestStruckRowsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawBook(t, 3)
		plain := mustReduce(t, rows, Options{Adjust: AdjustAlways})
		at := rapid.IntRange(0, len(rows)).Draw(t, "at")
		wild := model.LevelRow{Point: "struck", Struck: true, BS: metres(1e9), IS: metres(-7), KnownLevelM: metres(3)}
		with := mustReduce(t, slices.Insert(slices.Clone(rows), at, wild), Options{Adjust: AdjustAlways})
		if len(with.Rows) != len(rows)+1 || !with.Rows[at].Struck {
			t.Fatalf("the struck row is not kept at %d", at)
		}
		for i, row := range slices.Delete(with.Rows, at, at+1) {
			if row.LevelM != plain.Rows[i].LevelM || row.BestM() != plain.Rows[i].BestM() || row.Proven != plain.Rows[i].Proven {
				t.Fatalf("row %d: %+v with a struck row, %+v without", i+1, row, plain.Rows[i])
			}
		}
	})
}

// A share worked out from the start is never further than half a tenth from the exact
// fraction, whatever the number of set-ups.
func TestAdjustmentHasNoRoundingThatAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawBook(t, 2)
		run := mustReduce(t, rows, Options{Adjust: AdjustAlways})
		for i, row := range run.Rows {
			exact := -*run.MisclosureM * perMetre * float64(row.SetUp) / float64(run.SetUps)
			got := float64(nearest(row.BestM()) - nearest(row.LevelM))
			if off := got - exact; off > 0.5+1e-6 || off < -0.5-1e-6 {
				t.Fatalf("row %d of set-up %d: corrected by %v tenths, exactly %v", i+1, row.SetUp, got, exact)
			}
		}
	})
}
