package levelling

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
)

func TestClosing(t *testing.T) {
	tests := []struct {
		name, text string
		options    Options
		misclosure string
		allowable  float64 // mm; 0: cannot be told
		closed     bool
		proven     string // a letter for each row: y or n
		reasons    []string
	}{
		{
			name: "never-returns",
			text: `
				pt | known | bs | fs
				A  | 100   | 1  |
				B  |       | 2  | 1
				A  |       |    | 2`,
			proven:  "nnn",
			reasons: []string{"never closes on a known level; if it ends where it started, give the level there too"},
		},
		{
			name: "on-the-limit-of-root-kilometres", options: Options{PerRootKmMm: 12},
			text: `
				pt | known | m   | bs | fs
				A  | 100   | 0   | 1  |
				B  | 100   | 360 |    | 0.9928`,
			misclosure: "0.0072", allowable: 7.2, closed: true, proven: "yy",
		},
		{
			name: "beyond-it-by-a-tenth", options: Options{PerRootKmMm: 12},
			text: `
				pt | known | m   | bs | fs
				A  | 100   | 0   | 1  |
				B  | 100   | 360 |    | 0.9927`,
			misclosure: "0.0073", allowable: 7.2, proven: "nn",
			reasons: []string{"Row 2 (B) is out by 7.3 mm; 7.2 mm is allowed."},
		},
		{
			name: "distance-starts-at-a-marker", options: Options{PerRootKmMm: 10},
			text: `
				pt | known | m    | bs | fs
				A  | 100   | 5000 | 1  |
				B  | 100   | 6000 |    | 1`,
			misclosure: "0.000", allowable: 10, closed: true, proven: "yy",
		},
		{
			name: "usual-limit-by-set-ups",
			text: `
				pt | known | bs | fs
				A  | 100   | 1  |
				B  |       | 1  | 1
				C  |       | 1  | 1
				D  |       | 1  | 1
				A  | 100   |    | 1.010`,
			misclosure: "-0.010", allowable: 10, closed: true, proven: "yyyyy",
		},
		{
			name: "stricter-of-two-rules", options: Options{PerRootKmMm: 1, PerRootSetupMm: 5},
			text: `
				pt | known | m    | bs | fs
				A  | 100   | 0    | 1  |
				B  | 100   | 1000 |    | 1.002`,
			misclosure: "-0.002", allowable: 1, proven: "nn",
			reasons: []string{"1.0 mm is allowed"},
		},
		{
			name: "stricter-of-two-rules-by-set-ups", options: Options{PerRootKmMm: 12, PerRootSetupMm: 1},
			text: `
				pt | known | m    | bs | fs
				A  | 100   | 0    | 1  |
				B  | 100   | 1000 |    | 1.002`,
			misclosure: "-0.002", allowable: 1, proven: "nn",
			reasons: []string{"1.0 mm is allowed"},
		},
		{
			name: "root-kilometres-without-distances", options: Options{PerRootKmMm: 12},
			text: `
				pt | known | bs | fs
				A  | 100   | 1  |
				B  | 100   |    | 1`,
			misclosure: "0.000", proven: "nn",
			reasons: []string{"cannot be calculated without distances"},
		},
		{
			name: "known-on-the-way",
			text: `
				pt | known  | bs | is  | fs
				A  | 100    | 1  |     |
				p  |        |    | 1.5 |
				B  | 99.998 | 2  |     | 1
				q  |        |    | 1.5 |
				C  | 100.5  |    |     | 1.501`,
			misclosure: "-0.001", allowable: 5 * math.Sqrt2, closed: true, proven: "yyyyy",
		},
		{
			name: "fault-in-the-first-stretch-spoils-the-rest",
			text: `
				pt | known  | bs | fs
				A  | 100    | 1  |
				B  | 99.970 | 2  | 1
				C  | 100.47 |    | 1.5`,
			misclosure: "0.030", allowable: 5 * math.Sqrt2, proven: "nnn",
			reasons: []string{"Row 2 (B) is out by 30.0 mm; 5.0 mm is allowed."},
		},
		{
			name: "fault-in-the-second-leaves-the-first",
			text: `
				pt | known  | bs | fs
				A  | 100    | 1  |
				B  | 100    | 2  | 1
				C  | 100.47 |    | 1.5`,
			misclosure: "0.030", allowable: 5 * math.Sqrt2, proven: "yyn",
			reasons: []string{"Row 3 (C) is out by 30.0 mm; 5.0 mm is allowed."},
		},
		{
			name: "stretches-that-add-up",
			text: `
				pt | known  | bs | fs
				A  | 100    | 1  |
				B  | 99.996 | 1  | 1
				C  | 99.992 |    | 1`,
			misclosure: "0.008", allowable: 5 * math.Sqrt2, proven: "yyn",
			reasons: []string{"The whole run is out by 8.0 mm; 7.1 mm is allowed."},
		},
		{
			name: "hangs-beyond-the-last-known",
			text: `
				pt | known  | bs | fs
				A  | 100    | 1  |
				B  | 100    | 2  | 1
				C  |        |    | 1.5`,
			misclosure: "0.000", allowable: 5, proven: "yyn",
			reasons: []string{"goes on after its last known level, on row 2"},
		},
		{
			name: "intermediate-sight-checks-and-does-not-close",
			text: `
				pt | known  | bs | is    | fs
				A  | 100    | 1  |       |
				B  | 100    |    | 1     |
				C  |        |    |       | 1`,
			proven:  "nnn",
			reasons: []string{"never closes on a known level"},
		},
		{
			name: "intermediate-sight-finds-a-fault",
			text: `
				pt | known  | bs | is    | fs
				A  | 100    | 1  |       |
				B  | 100    |    | 1.020 |
				C  | 100    |    |       | 1`,
			misclosure: "0.000", allowable: 5, proven: "nnn",
			reasons: []string{"Row 2 (B) is out by −20.0 mm; 5.0 mm is allowed."},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			run := reduce(t, book(t, test.text).rows, test.options)
			misclosure, allowable := "", 0.0
			if run.MisclosureM != nil {
				misclosure = nearest(*run.MisclosureM).String()
			}
			if run.AllowableM != nil {
				allowable = 1000 * *run.AllowableM
			}
			if misclosure != test.misclosure || math.Abs(allowable-test.allowable) > 1e-9 || run.Closed != test.closed {
				t.Errorf("misclosure %q allowable %v closed %t, want %q %v %t", misclosure, allowable, run.Closed, test.misclosure, test.allowable, test.closed)
			}
			proven := ""
			for _, row := range run.Rows {
				proven += map[bool]string{true: "y", false: "n"}[row.Proven]
			}
			if proven != test.proven {
				t.Errorf("rows proven: %s, want %s", proven, test.proven)
			}
			if len(run.Reasons) != len(test.reasons) {
				t.Fatalf("reasons %q, want %q", run.Reasons, test.reasons)
			}
			for i, want := range test.reasons {
				if !strings.Contains(run.Reasons[i], want) {
					t.Errorf("reason %q, want it to hold %q", run.Reasons[i], want)
				}
			}
			if run.Method != NotAdjusted && run.ClosedTo == nil {
				t.Errorf("adjusted by %s although not closed and not asked to", run.Method)
			}
		})
	}
}

func TestAdjustmentFollowsEachStretch(t *testing.T) {
	b := book(t, `
		pt | known  | bs | is  | fs    | rl      | adj
		A  | 100    | 1  |     |       | 100     | 100
		p  |        |    | 1.5 |       | 99.5    | 99.498
		B  | 99.998 | 2  |     | 1     | 100     | 99.998
		C  |        | 1  |     | 1     | 101     | 101.000
		q  |        |    | 1.5 |       | 100.5   | 100.502
		D  | 101.002|    |     | 1     | 101     | 101.002`)
	b.check(t, reduce(t, b.rows, Options{}))
	never := reduce(t, b.rows, Options{Adjust: AdjustNever})
	for i, row := range never.Rows {
		if row.AdjustedLevelM != nil || row.BestM() != row.LevelM {
			t.Errorf("row %d adjusted to %v although told never to", i+1, row.BestM())
		}
	}
	hanging := book(t, `
		pt | known  | bs | fs  | adj
		A  | 100    | 1  |     | 100
		B  | 99.998 | 2  | 1   | 99.998
		C  |        |    | 2   | 99.998`)
	hanging.check(t, reduce(t, hanging.rows, Options{Adjust: AdjustAlways}))
}

func TestPlusMinusGrowsWithSetUps(t *testing.T) {
	rows := book(t, `
		pt | known | bs | is | fs
		A  | 100   | 1  |    |
		p  |       |    | 1  |
		B  |       | 1  |    | 1
		A  | 100   |    |    | 1`).rows
	for i, row := range reduce(t, rows, Options{ReadingMm: 3}).Rows {
		// 3 mm a reading, two readings a set-up: 3*sqrt(2) after one, 6 after two.
		want := []float64{0, 0.0042426, 0.0042426, 0.006}[i]
		if math.Abs(row.PlusMinusM-want) > 1e-7 {
			t.Errorf("row %d: plus-minus %v, want %v", i+1, row.PlusMinusM, want)
		}
		if row.Basis() != model.Levelled {
			t.Errorf("row %d: basis %s, want levelled", i+1, row.Basis())
		}
	}
	out := 100.5
	rows[3].KnownLevelM = &out
	for i, row := range reduce(t, rows, Options{}).Rows {
		want := 0.5 // the misclosure swallows the rest
		if i == 0 {
			want = 0
		}
		if row.PlusMinusM != want || row.Basis() != model.Unproven {
			t.Errorf("row %d of a run out by 0.5 m: plus-minus %v, basis %s, want %v, unproven", i+1, row.PlusMinusM, row.Basis(), want)
		}
	}
}

func TestLongSightsAreTold(t *testing.T) {
	tests := []struct {
		apart float64
		want  string // about, and what the text holds; "" for none
	}{
		{200, ""},
		{200.1, "rows[1].levelM 0.7 mm"}, // 0.0673 x 0.10005^2
		{600, "rows[1].levelM 6.1 mm"},   // a laser at 300 m
	}
	for _, test := range tests {
		rows := book(t, fmt.Sprintf(`
			pt | known | m  | bs | fs
			A  | 100   | 0  | 1  |
			B  | 100   | %v |    | 1`, test.apart)).rows
		told := ""
		for _, c := range reduce(t, rows, Options{}).Cautions {
			if strings.Contains(c.Text, "refraction") {
				told = c.About + " " + c.Text
			}
		}
		about, holds, _ := strings.Cut(test.want, " ")
		if (test.want == "") != (told == "") || !strings.HasPrefix(told, about) || !strings.Contains(told, holds) {
			t.Errorf("points %v m apart: caution %q, want %q", test.apart, told, test.want)
		}
	}
}

// What each sort of run is cautioned of, and of nothing else.
func TestCautionsOfRuns(t *testing.T) {
	const closing = "A run that closes can still hide a staff misread"
	sights := func(last string, metres ...int) string {
		text := "pt | known | m | bs | fs\nA | 100 | 0 | 1 |"
		for i, m := range metres {
			if i < len(metres)-1 {
				text += fmt.Sprintf("\nP | | %d | 1 | 1", m)
			} else {
				text += fmt.Sprintf("\nA | %s | %d | | 1", last, m)
			}
		}
		return text
	}
	for _, test := range []struct {
		name, text string
		options    Options
		want       []string
	}{
		{"closed", sights("100", 100), Options{}, []string{closing}},
		{"never closed", sights("", 100), Options{}, nil},
		{"one long sight", sights("100", 300, 400), Options{}, []string{"misread", "into row 2"}},
		{"three long sights, told once and counted", sights("100", 300, 600, 700, 1000), Options{}, []string{"misread", "into row 2", "3 set-ups have sights beyond 100 m."}},
		{"two long sights", sights("100", 300, 600), Options{}, []string{"misread", "into row 2", "2 set-ups have"}},
		{"adjusted although it does not close", sights("100.5", 100), Options{Adjust: AdjustAlways}, []string{"adjusted as asked although it does not close"}},
		{"adjusted, and it closes", sights("100.001", 100), Options{Adjust: AdjustAlways}, []string{"misread"}},
		{"not adjusted", sights("100.5", 100), Options{}, nil},
	} {
		all := reduce(t, book(t, test.text).rows, test.options).Cautions
		ok := len(all) == len(test.want)
		for i := 0; ok && i < len(all); i++ {
			ok = strings.Contains(fmt.Sprint(all), test.want[i])
		}
		if !ok {
			t.Errorf("%s: cautions %q, want %q", test.name, all, test.want)
		}
	}
}

// Pegging on from a closed run: the run to its benchmark stays proven and adjusted, and
// what is sighted after a new backsight on the benchmark counts from the level it is known
// to have, proven or not. Worked by hand: the loop gains 4 mm over two set-ups, 2 mm each;
// the new line of sight is 100 + 1.500.
func TestGoingOnFromAClosedRun(t *testing.T) {
	const closed = `
		pt  | known | bs    | is    | fs
		BM  | 100   | 1.000 |       |
		bed |       |       | 1.500 |
		CP  |       | 2.000 |       | 0.500
		BM  | 100   |       |       | 2.496`
	const on = `
		pt  | known | bs    | is    | fs
		BM  | 100   | 1.000 |       |
		bed |       |       | 1.500 |
		CP  |       | 2.000 |       | 0.500
		BM  | 100   | 1.500 |       | 2.496`
	for _, test := range []struct {
		name, text, proven string
		best               []float64
		closed             bool
		closedTo           int
		reason             string
	}{
		{"closed", closed, "yyyy", []float64{100, 99.498, 100.498, 100}, true, 3, ""},
		{"a toe is pegged", on + `
		toe |       |       | 1.100 |
		end |       |       |       | 1.200`, "yyyynn", []float64{100, 99.498, 100.498, 100, 100.4, 100.3}, false, 3, "goes on after its last known level, on row 4"},
		{"and closed again", on + `
		toe |       |       | 1.100 |
		BM  | 100   |       |       | 1.502`, "yyyyyy", []float64{100, 99.498, 100.498, 100, 100.402, 100}, true, 5, ""},
		{"and it does not close", on + `
		toe |       |       | 1.100 |
		BM  | 100   |       |       | 1.560`, "yyyynn", []float64{100, 99.498, 100.498, 100, 100.4, 99.94}, false, 3, "is out by −60.0 mm"},
	} {
		t.Run(test.name, func(t *testing.T) {
			run := reduce(t, book(t, test.text).rows, Options{})
			if run.Closed != test.closed || run.ClosedTo == nil || *run.ClosedTo != test.closedTo {
				t.Fatalf("closed %t to %v, want %t to %d; %q", run.Closed, run.ClosedTo, test.closed, test.closedTo, run.Reasons)
			}
			if got := strings.Join(run.Reasons, " "); !strings.Contains(got, test.reason) {
				t.Errorf("reasons %q, want them to hold %q", got, test.reason)
			}
			proven := ""
			for i, row := range run.Rows {
				proven += map[bool]string{true: "y", false: "n"}[row.Proven]
				if math.Abs(row.BestM()-test.best[i]) > 1e-9 {
					t.Errorf("row %d (%s) stands at %v, want %v", i+1, row.Point, row.BestM(), test.best[i])
				}
			}
			if proven != test.proven {
				t.Errorf("rows proven: %s, want %s", proven, test.proven)
			}
		})
	}
}

// A run that is out by more than is allowed proves nothing, but a backsight on the
// benchmark it ended on starts from the benchmark's level.
func TestBacksightOnABenchmarkTakesItsLevel(t *testing.T) {
	run := reduce(t, book(t, `
		pt  | known | bs    | is    | fs
		BM  | 100   | 1.000 |       |
		CP  |       | 2.000 |       | 0.500
		BM  | 100   | 1.500 |       | 2.440
		toe |       |       | 1.100 |
		end |       |       |       | 1.100`).rows, Options{})
	if run.ClosedTo != nil || run.Rows[3].Proven || math.Abs(run.Rows[3].BestM()-100.4) > 1e-9 || run.Rows[1].AdjustedLevelM != nil {
		t.Errorf("the run is %+v, want it unproven and the toe at 100 + 1.5 - 1.1", run)
	}
}
