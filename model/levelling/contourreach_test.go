package levelling

import (
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"pgregory.net/rapid"
)

// Pegs stand 10 m apart about a mean of 50 m; crossings of the tolerance, 0.05 m, are worked
// out on paper.
func TestReaches(t *testing.T) {
	type want struct {
		fromM, toM float64
		peg        int
		offM       float64
		runs       Runs
		drainsTo   []int
	}
	tests := []struct {
		name string
		pegs []Peg
		want []want
	}{
		{"level", line(50, 50, 50), nil},
		{"within", line(50.05, 49.95), nil},
		{"one-high", line(49.95, 50.15, 49.95, 49.95), []want{{5, 15, 2, 0.15, BothWays, []int{1, 4}}}},
		{"one-low", line(50.05, 49.85, 50.05, 50.05), []want{{5, 15, 2, -0.15, Into, []int{2}}}},
		{"high-at-the-start", line(50.15, 49.95, 49.95, 49.95), []want{{0, 5, 1, 0.15, TowardsEnd, []int{4}}}},
		{"high-at-the-end", line(49.95, 49.95, 49.95, 50.15), []want{{25, 30, 4, 0.15, TowardsStart, []int{1}}}},
		{"low-at-the-start", line(49.85, 50.05, 50.05, 50.05), []want{{0, 5, 1, -0.15, TowardsStart, []int{1}}}},
		{"low-at-the-end", line(50.05, 50.05, 50.05, 49.85), []want{{25, 30, 4, -0.15, TowardsEnd, []int{4}}}},
		{"falls-all-along", line(50.15, 50.05, 49.95, 49.85), []want{{0, 10, 1, 0.15, TowardsEnd, []int{4}}, {20, 30, 4, -0.15, TowardsEnd, []int{4}}}},
		{"one-side-to-the-other", line(50, 50.1, 49.9, 50), []want{{5, 12.5, 2, 0.1, BothWays, []int{1, 3}}, {17.5, 25, 3, -0.1, Into, []int{3}}}},
		{"flat-top", line(49.9, 50.1, 50.1, 49.9, 50), []want{{0, 2.5, 1, -0.1, TowardsStart, []int{1}}, {7.5, 22.5, 2, 0.1, BothWays, []int{1, 4}}, {27.5, 35, 4, -0.1, Into, []int{4}}}},
		{"rests-in-a-dip-on-the-way", line(50.2, 49.96, 50.02, 49.94, 49.88), []want{{0, 6.25, 1, 0.2, TowardsEnd, []int{2}}, {28.75, 40, 5, -0.12, TowardsEnd, []int{5}}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			c, err := CheckContour(test.pegs, ContourOptions{ToleranceM: 0.05, Basis: model.Levelled})
			if err != nil {
				t.Fatal(err)
			}
			if c.MeanLevelM != 50 || len(c.Reaches) != len(test.want) {
				t.Fatalf("reaches about %v = %+v, want %+v", c.MeanLevelM, c.Reaches, test.want)
			}
			for i, w := range test.want {
				r := c.Reaches[i]
				if math.Abs(r.FromM-w.fromM) > 1e-4 || math.Abs(r.ToM-w.toM) > 1e-4 || r.Worst.Peg != w.peg || r.Worst.OffM != w.offM || r.Runs != w.runs || !slices.Equal(r.DrainsTo, w.drainsTo) {
					t.Errorf("reach %d = %+v, want %+v", i+1, r, w)
				}
				if !r.Sure {
					t.Errorf("reach %d is not sure by levels good to 3 mm: %+v", i+1, r)
				}
			}
			if (len(c.Reaches) > 0) != (c.Verdict == model.Fails) {
				t.Errorf("%s with %d reaches", c.Verdict, len(c.Reaches))
			}
		})
	}
}

func TestReachesOfLevelsThatProveNothing(t *testing.T) {
	for basis, want := range map[model.Basis]float64{model.GPS: -1, model.Taped: -1, model.Unproven: -1, model.Levelled: 0.0028} {
		c, err := CheckContour(line(49.95, 50.15, 49.95, 49.95), ContourOptions{ToleranceM: 0.05, Basis: basis})
		if err != nil {
			t.Fatal(err)
		}
		if r := c.Reaches[0]; math.Abs(r.PlusMinusM-want) > 0.001 || r.Sure != (basis == model.Levelled) {
			t.Errorf("a reach by levels that are %s: %+v, want it plus or minus %v", basis, r, want)
		}
	}
	c, err := CheckContour(line(49.95, 50.15, 49.95, 49.95), ContourOptions{ToleranceM: 0.05, Basis: model.Levelled, PlusMinusM: 0.1})
	if err != nil || c.Reaches[0].Sure {
		t.Errorf("a reach off by 0.1 m more than allowed, by levels good to 0.1 m: %+v, %v, want it not sure", c.Reaches[0], err)
	}
}

func TestTextOfReaches(t *testing.T) {
	c, err := CheckContour(line(49.95, 50.15, 49.95, 49.95), ContourOptions{ToleranceM: 0.05, Basis: model.Levelled})
	if err != nil {
		t.Fatal(err)
	}
	want := "From 5.0 to 15.0 m the line runs up to 0.150 m above the contour (peg 2): water runs both ways, to peg 1 and peg 4."
	if got := c.Reaches[0].Text(); got != want {
		t.Errorf("Text = %q, want %q", got, want)
	}
}

// anyLine draws pegs to a tenth of a millimetre.
func anyLine(t *rapid.T) []Peg {
	pegs := make([]Peg, rapid.IntRange(2, 15).Draw(t, "pegs"))
	at := 0.0
	for i := range pegs {
		pegs[i] = Peg{ChainageM: at, LevelM: 300 + float64(rapid.IntRange(-1000, 1000).Draw(t, "level"))/perMetre}
		at += float64(rapid.IntRange(1, 300).Draw(t, "apart")) / 10
	}
	return pegs
}

// A place is in a reach when the line there is off by more than the tolerance, and only then.
func TestReachesHoldWhatIsOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pegs := anyLine(t)
		const tolerance = 0.03
		c, err := CheckContour(pegs, ContourOptions{ToleranceM: tolerance, Basis: model.Levelled})
		if err != nil {
			t.Fatal(err)
		}
		k := rapid.IntRange(0, len(pegs)-2).Draw(t, "after peg")
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		x := pegs[k].ChainageM + share*(pegs[k+1].ChainageM-pegs[k].ChainageM)
		off := c.Offs[k].OffM + share*(c.Offs[k+1].OffM-c.Offs[k].OffM)
		if math.Abs(math.Abs(off)-tolerance) < 1e-3 {
			return
		}
		in := slices.ContainsFunc(c.Reaches, func(r Reach) bool { return r.FromM <= x && x <= r.ToM && (r.Worst.OffM > 0) == (off > 0) })
		if in != (math.Abs(off) > tolerance) {
			t.Fatalf("%v m along, %v off: in a reach %t of %+v", x, off, in, c.Reaches)
		}
		for i, r := range c.Reaches {
			if r.FromM >= r.ToM && len(pegs) > 1 && r.FromM != pegs[0].ChainageM && r.ToM != pegs[len(pegs)-1].ChainageM || i > 0 && r.FromM < c.Reaches[i-1].ToM {
				t.Fatalf("reaches %+v are out of order", c.Reaches)
			}
			for _, d := range r.DrainsTo {
				if pegs[d-1].LevelM > pegs[r.Worst.Peg-1].LevelM+0.5/perMetre {
					t.Fatalf("water of %+v climbs to peg %d", r, d)
				}
			}
		}
	})
}

// Walked from the other end, a line has the same reaches, with water running the other way.
func TestReachesWalkedBack(t *testing.T) {
	turned := map[Runs]Runs{TowardsStart: TowardsEnd, TowardsEnd: TowardsStart, BothWays: BothWays, Into: Into}
	if len(turned) != len(AllRuns) {
		t.Fatalf("%d ways to run, want %d", len(turned), len(AllRuns))
	}
	rapid.Check(t, func(t *rapid.T) {
		there := anyLine(t)
		end := there[len(there)-1].ChainageM
		var back []Peg
		for _, p := range slices.Backward(there) {
			back = append(back, Peg{ChainageM: end - p.ChainageM, LevelM: p.LevelM})
		}
		o := ContourOptions{ToleranceM: 0.03, Basis: model.Levelled, Lip: Lip{HeightM: 0.05}}
		a, err := CheckContour(there, o)
		if err != nil {
			t.Fatal(err)
		}
		b, err := CheckContour(back, o)
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Reaches) != len(b.Reaches) {
			if math.Abs(a.MeanLevelM-b.MeanLevelM) > 1e-9 {
				return // the mean was rounded the other way
			}
			t.Fatalf("reaches %+v there, %+v back", a.Reaches, b.Reaches)
		}
		for i, r := range a.Reaches {
			q := b.Reaches[len(b.Reaches)-1-i]
			level := there[r.Worst.Peg-1].LevelM
			alone := !slices.ContainsFunc(there, func(p Peg) bool { return p != there[r.Worst.Peg-1] && same(p.LevelM, level) })
			if math.Abs(r.FromM-(end-q.ToM)) > 0.2 || math.Abs(r.ToM-(end-q.FromM)) > 0.2 || alone && turned[r.Runs] != q.Runs {
				t.Fatalf("reach %+v there, %+v back", r, q)
			}
		}
		if math.Abs(a.Holding.LengthM-b.Holding.LengthM) > 1e-3 || a.Holding.StopsNeeded != b.Holding.StopsNeeded {
			t.Fatalf("holds %+v there, %+v back", a.Holding, b.Holding)
		}
	})
}

func TestTextNamesEveryPart(t *testing.T) {
	r := Reach{FromM: 1, ToM: 2, Worst: OffPeg{Peg: 3, Name: "gate", OffM: -0.2}, Runs: Into, DrainsTo: []int{3}}
	for _, want := range []string{"1.0 to 2.0 m", "0.200 m below", "gate", "into it", "peg 3"} {
		if !strings.Contains(r.Text(), want) {
			t.Errorf("%q lacks %q", r.Text(), want)
		}
	}
}
