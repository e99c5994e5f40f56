package levelling

import (
	"testing"
)

// Books whose every printed column is checked. The arithmetic of those that are our own,
// or of which only the statement is published, was done by hand and again by a script.
var books = []struct {
	name, source string
	text         string
	options      Options
	misclosure   string // "" for a run that never closes
	closed       bool
	setUps       int
	method       Method
}{
	{
		name: "LB1", source: "R. Rode, Collimation method to reduce a levelling field book page",
		text: `
			pt  | known   | bs    | is    | fs    | rise  | fall  | hoc     | rl      | adj
			BM1 | 106.366 | 1.216 |       |       |       |       | 107.582 | 106.366 | 106.366
			a   |         |       | 0.025 |       | 1.191 |       |         | 107.557 | 107.564
			b   |         |       | 1.555 |       |       | 1.530 |         | 106.027 | 106.034
			CP1 |         | 1.386 |       | 2.508 |       | 0.953 | 106.460 | 105.074 | 105.081
			c   |         |       | 3.625 |       |       | 2.239 |         | 102.835 | 102.849
			CP2 |         | 1.235 |       | 1.196 | 2.429 |       | 106.499 | 105.264 | 105.278
			CP3 |         | 3.655 |       | 3.566 |       | 2.331 | 106.588 | 102.933 | 102.954
			CP4 |         | 2.126 |       | 0.506 | 3.149 |       | 108.208 | 106.082 | 106.110
			e   |         |       | 2.605 |       |       | 0.479 |         | 105.603 | 105.638
			f   |         |       | 1.094 |       | 1.511 |       |         | 107.114 | 107.149
			CP5 |         | 1.125 |       | 3.628 |       | 2.534 | 105.705 | 104.580 | 104.615
			h   |         |       | 1.394 |       |       | 0.269 |         | 104.311 | 104.353
			BM2 | 105.263 |       |       | 0.484 | 0.910 |       |         | 105.221 | 105.263`,
		options: Options{Adjust: AdjustAlways}, misclosure: "-0.042", setUps: 6, method: BySetUps,
	},
	{
		name: "LB2", source: "Ghilani and Wolf, Elementary Surveying, 1fourth edition, problem 5.12, answer ours, in feet",
		text: `
			pt  | known   | m    | bs    | fs    | rise  | fall  | hoc     | rl      | adj
			BM7 | 852.045 |      | 4.388 |       |       |       | 856.433 | 852.045 | 852.045
			TP1 |         |      | 6.907 | 4.538 |       | 0.150 | 858.802 | 851.895 | 851.893
			BM8 |         |      | 4.680 | 8.800 |       | 1.893 | 854.682 | 850.002 | 849.998
			TP2 |         |      | 3.730 | 5.978 |       | 1.298 | 852.434 | 848.704 | 848.698
			TP3 |         |      | 8.464 | 5.245 |       | 1.515 | 855.653 | 847.189 | 847.181
			BM7 | 852.045 | 1500 |       | 3.598 | 4.866 |       |         | 852.055 | 852.045`,
		options: Options{PerRootKmMm: 12, StaffLengthM: 20}, misclosure: "0.010", closed: true, setUps: 5, method: BySetUps,
	},
	{
		name: "LB3", source: "own example, inverted staff booked negative",
		text: `
			pt          | known | bs    | is     | fs    | rise  | fall  | hoc    | rl
			BM A        | 50    | 1.842 |        |       |       |       | 51.842 | 50.000
			track CL 0  |       |       | 1.655  |       | 0.187 |       |        | 50.187
			track CL 20 |       |       | 1.310  |       | 0.345 |       |        | 50.532
			pipe obvert |       |       | -2.105 |       | 3.415 |       |        | 53.947
			CP1         |       | 2.460 |        | 0.975 |       | 3.080 | 53.327 | 50.867
			bank crest  |       |       | 1.120  |       | 1.340 |       |        | 52.207
			bank toe    |       |       | 1.735  |       |       | 0.615 |        | 51.592
			BM B        |       |       |        | 0.668 | 1.067 |       |        | 52.659`,
		setUps: 2, method: NotAdjusted,
	},
	{
		name: "LB3-inverted-marked", source: "the same, reading as read on a row marked inverted, with a struck row",
		text: `
			pt          | known | inv | struck | bs    | is    | fs    | rise  | fall  | hoc    | rl
			BM A        | 50    |     |        | 1.842 |       |       |       |       | 51.842 | 50.000
			track CL 0  |       |     |        |       | 1.655 |       | 0.187 |       |        | 50.187
			misread     |       |     | x      |       | 9999  |       |       |       |        |
			track CL 20 |       |     |        |       | 1.310 |       | 0.345 |       |        | 50.532
			pipe obvert |       | x   |        |       | 2.105 |       | 3.415 |       |        | 53.947
			CP1         |       |     |        | 2.460 |       | 0.975 |       | 3.080 | 53.327 | 50.867
			BM B        |       |     |        |       |       | 0.668 | 1.792 |       |        | 52.659`,
		setUps: 2, method: NotAdjusted,
	},
	{
		name: "LB4", source: "Civinnovate levelling lesson 7, inverted backsight and foresight",
		text: `
			pt       | known | bs    | fs    | rise | fall | hoc   | rl
			A lintel | 101.5 | -2.25 |       |      |      | 99.25 | 101.50
			B ground |       | 1.35  | 1.05  |      | 3.30 | 99.55 | 98.20
			C canopy |       |       | -4.10 | 5.45 |      |       | 103.65`,
		setUps: 2, method: NotAdjusted,
	},
	{
		name: "LB7", source: "own example, adjusted by distance",
		text: `
			pt | known | m   | bs    | fs    | rise  | fall  | hoc     | rl      | adj
			BM | 100   | 0   | 1.505 |       |       |       | 101.505 | 100.000 | 100.000
			P1 |       | 80  | 2.310 | 0.842 | 0.663 |       | 102.973 | 100.663 | 100.6654
			P2 |       | 190 | 0.915 | 1.127 | 1.183 |       | 102.761 | 101.846 | 101.8517
			P3 |       | 310 | 0.650 | 2.404 |       | 1.489 | 101.007 | 100.357 | 100.3663
			BM | 100   | 400 |       | 1.019 |       | 0.369 |         | 99.988  | 100.000`,
		options: Options{PerRootKmMm: 12, Adjust: AdjustAlways}, misclosure: "-0.012", setUps: 4, method: ByDistance,
	},
	{
		name: "thirds", source: "own: 1 mm over three set-ups, each share from the start",
		text: `
			pt | known  | bs    | fs    | rise  | fall  | rl      | adj
			A  | 10.000 | 1.000 |       |       |       | 10.000  | 10.000
			B  |        | 1.000 | 1.000 | 0     |       | 10.000  | 9.9997
			C  |        | 1.000 | 1.000 | 0     |       | 10.000  | 9.9993
			D  | 9.999  |       | 1.000 | 0     |       | 10.000  | 9.999`,
		misclosure: "0.001", closed: true, setUps: 3, method: BySetUps,
	},
}

func TestReduceBooks(t *testing.T) {
	for _, test := range books {
		t.Run(test.name, func(t *testing.T) {
			b := book(t, test.text)
			run := reduce(t, b.rows, test.options)
			b.check(t, run)
			misclosure := ""
			if run.MisclosureM != nil {
				misclosure = nearest(*run.MisclosureM).String()
			}
			if misclosure != test.misclosure || run.Closed != test.closed || run.SetUps != test.setUps || run.Method != test.method {
				t.Errorf("misclosure %q closed %t set-ups %d method %s, want %q %t %d %s (%s)",
					misclosure, run.Closed, run.SetUps, run.Method, test.misclosure, test.closed, test.setUps, test.method, test.source)
			}
			if !run.ArithmeticOK {
				t.Errorf("arithmetic is not in order: %q", run.Reasons)
			}
			if run.Closed != (len(run.Reasons) == 0) {
				t.Errorf("closed %t with the reasons %q", run.Closed, run.Reasons)
			}
			for i, row := range run.Rows {
				if row.Proven != (run.Closed && !row.Struck) {
					t.Errorf("row %d: proven %t in a run closed %t", i+1, row.Proven, run.Closed)
				}
			}
		})
	}
}

func TestBookedLevelsAreChecked(t *testing.T) {
	tests := []struct {
		name, booked string
		ok           bool
	}{
		{"same", "98.2", true},
		{"rounded-to-the-millimetre", "98.2005", true},
		{"slip-of-a-centimetre", "98.21", false},
		{"just-beyond", "98.2006", false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			b := book(t, `
				pt | known | bs   | fs   | booked
				A  | 100   | 1.10 |      |
				B  |       | 1.35 | 2.90 | `+test.booked+`
				C  | 98.3  |      | 1.25 |`)
			run := reduce(t, b.rows, Options{})
			if run.ArithmeticOK != test.ok || run.Proven() != test.ok || run.Rows[1].Proven != test.ok {
				t.Errorf("booked %s: arithmetic %t, run proven %t, row proven %t, want all %t; %q",
					test.booked, run.ArithmeticOK, run.Proven(), run.Rows[1].Proven, test.ok, run.Reasons)
			}
			if !run.Closed {
				t.Errorf("booked %s: not closed, but closing is another matter: %q", test.booked, run.Reasons)
			}
		})
	}
}

func TestSumsThatDoNotAgree(t *testing.T) {
	good := sums{bs: 56200, fs: 49500, rise: 13700, fall: 7000, first: 1000000, last: 1006700}
	if !good.agree() {
		t.Fatalf("%+v do not agree", good)
	}
	for name, bad := range map[string]sums{
		"foresight": {bs: 56200, fs: 49501, rise: 13700, fall: 7000, first: 1000000, last: 1006700},
		"fall":      {bs: 56200, fs: 49500, rise: 13700, fall: 7001, first: 1000000, last: 1006700},
		"last":      {bs: 56200, fs: 49500, rise: 13700, fall: 7000, first: 1000000, last: 1006701},
	} {
		if bad.agree() {
			t.Errorf("%s: %+v agree", name, bad)
		}
	}
}
