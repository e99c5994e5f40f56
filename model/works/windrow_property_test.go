package works

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model/geodesy"
)

// slope is a set of windrows on the plane, metres east and north, water running to bearing.
type slope struct {
	rows    [][][2]float64
	gaps    [][]RowGap
	bearing float64
}

// on lays a slope on the ground at a place.
func (s slope) on(origin orb.Point) Windrows {
	frame := geodesy.Frame{Origin: origin}
	w := Windrows{FallBearingDeg: s.bearing, AccuracyM: 0.5, ChainagePlusMinusM: 0.1}
	for i, row := range s.rows {
		line := make(orb.LineString, len(row))
		for j, p := range row {
			line[j] = frame.Position(p[0], p[1])
		}
		w.Rows = append(w.Rows, Windrow{Line: line, Gaps: s.gaps[i]})
	}
	return w
}

// turned is the slope turned clockwise, or mirrored in the line from south to north first.
func (s slope) turned(deg float64, mirror bool) slope {
	out := slope{gaps: s.gaps, bearing: s.bearing}
	sign := 1.0
	if mirror {
		sign, out.bearing = -1, 360-out.bearing
	}
	out.bearing = math.Mod(out.bearing+deg+720, 360)
	sin, cos := math.Sincos(deg * math.Pi / 180)
	for _, row := range s.rows {
		var moved [][2]float64
		for _, p := range row {
			x, y := sign*p[0], p[1]
			moved = append(moved, [2]float64{x*cos + y*sin, y*cos - x*sin})
		}
		out.rows = append(out.rows, moved)
	}
	return out
}

// anySlope draws rows some 30 m apart that bend a little, with a few gaps each.
func anySlope(t *rapid.T) slope {
	s := slope{bearing: rapid.Float64Range(170, 190).Draw(t, "bearing")}
	for i := range rapid.IntRange(1, 4).Draw(t, "rows") {
		var row [][2]float64
		x := rapid.Float64Range(-30, 30).Draw(t, "start")
		for range rapid.IntRange(2, 5).Draw(t, "positions") {
			row = append(row, [2]float64{x, -30*float64(i) + rapid.Float64Range(-4, 4).Draw(t, "north")})
			x += rapid.Float64Range(20, 60).Draw(t, "step")
		}
		length, at := 0.0, 0.0
		for j := range row[1:] {
			length += math.Hypot(row[j+1][0]-row[j][0], row[j+1][1]-row[j][1])
		}
		var gaps []RowGap
		for {
			from := at + rapid.Float64Range(3, 40).Draw(t, "timber")
			to := from + rapid.Float64Range(2, 10).Draw(t, "gap")
			if to > length-1 {
				break
			}
			gaps, at = append(gaps, RowGap{from, to}), to
		}
		s.rows, s.gaps = append(s.rows, row), append(s.gaps, gaps)
	}
	return s
}

// samePairs compares pairs, leaving out slopes with one at the edge of another verdict, where
// a millimetre decides.
func samePairs(t *rapid.T, got, want Staggering, what string) {
	find := func(p GapPair) (GapPair, bool) {
		for _, q := range got.Pairs {
			if q.Row == p.Row && q.Gap == p.Gap && q.Below == p.Below && q.BelowGap == p.BelowGap && (q.Meets == MeetsOpen) == (p.Meets == MeetsOpen) {
				return q, true
			}
		}
		return GapPair{}, false
	}
	for _, p := range slices.Concat(want.Pairs, got.Pairs) {
		const edge = 2 * edgeM
		if math.Abs(math.Abs(p.ShiftM)-max(0, p.ShiftPlusMinusM)) < edge || math.Abs(p.OverlapM) < edge {
			return
		}
	}
	if len(got.Pairs) != len(want.Pairs) || got.Verdict != want.Verdict {
		t.Fatalf("%s: %s: %s, want %s: %s", what, gapsInWords(got.Pairs), got.Verdict, gapsInWords(want.Pairs), want.Verdict)
	}
	for _, p := range want.Pairs {
		q, found := find(p)
		if math.Abs(math.Abs(p.OverlapM)-math.Abs(p.ShiftM)) < edgeM { // two ways of the overlap tie: it may be told with the plus-minus of either
			q.OverlapPlusMinusM = p.OverlapPlusMinusM
		}
		if !found || q.Meets != p.Meets || math.Abs(q.OverlapM-p.OverlapM) > edgeM || math.Abs(q.DownM-p.DownM) > edgeM ||
			math.Abs(q.OverlapPlusMinusM-p.OverlapPlusMinusM) > edgeM || math.Abs(q.ShiftM-p.ShiftM) > edgeM {
			t.Fatalf("%s: %+v, want %+v", what, q, p)
		}
	}
}

// edgeM is what a slope may change by when it is laid elsewhere: at 60° the meridians close
// in, and over 200 m of row and 120 m of fall that moves a gap by some 6 mm.
const edgeM = 1e-2

// edgeDeg turns the fall by what moves a gap by more than that.
const edgeDeg = 0.1

// onEdge tells whether a slope is drawn so that so little decides what lies below a gap.
func onEdge(t *rapid.T, w Windrows, want Staggering) bool {
	for _, turn := range []float64{-edgeDeg, edgeDeg} {
		w := w
		w.FallBearingDeg += turn
		got, err := w.Stagger(nil)
		if err != nil {
			t.Fatal(err)
		}
		same := func(a, b GapPair) bool {
			return a.Row == b.Row && a.Gap == b.Gap && a.Below == b.Below && a.BelowGap == b.BelowGap && a.Meets == b.Meets
		}
		if !slices.EqualFunc(got.Pairs, want.Pairs, same) {
			return true
		}
	}
	return false
}

func TestTurningMovingMirroringWindrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySlope(t)
		here := s.on(orb.Point{146.26, -20.08})
		want, err := here.Stagger(nil)
		if err != nil {
			t.Fatal(err)
		}
		if onEdge(t, here, want) {
			return
		}
		elsewhere := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "longitude"), rapid.Float64Range(-60, 60).Draw(t, "latitude")}
		for what, other := range map[string]slope{
			"moved": s, "turned": s.turned(rapid.Float64Range(0, 360).Draw(t, "turn"), false), "mirrored": s.turned(0, true),
		} {
			got, err := other.on(elsewhere).Stagger(nil)
			if err != nil {
				t.Fatal(err)
			}
			samePairs(t, got, want, what)
		}
	})
}

// Every gap is told of, and a gap is told of once for each thing below it.
func TestEveryGapIsTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySlope(t)
		got, err := s.on(orb.Point{146, -20}).Stagger(nil)
		if err != nil {
			t.Fatal(err)
		}
		told := map[[2]int]int{}
		for _, p := range got.Pairs {
			told[[2]int{p.Row, p.Gap}]++
			if p.Below == p.Row {
				t.Fatalf("%+v lies below itself", p)
			}
		}
		for i, gaps := range s.gaps {
			for g := range gaps {
				if told[[2]int{i, g}] == 0 {
					t.Fatalf("gap %d of row %d is not told of in %+v", g, i, got.Pairs)
				}
			}
		}
	})
}

// The pieces of a row leave no sliver between them through which the next row would be seen.
func TestPiecesOfARowMeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anySlope(t).on(orb.Point{146.26, -20.08})
		var h hillside
		for _, row := range w.Rows {
			h.lay(geodesy.Frame{Origin: w.Rows[0].Line[0]}, w.FallBearingDeg, row)
		}
		for _, r := range h.rows {
			for i, p := range r.pieces[1:] {
				if before := r.pieces[i]; before.left != p.right && before.right != p.left {
					t.Fatalf("pieces from %v to %v and from %v to %v do not meet", before.left, before.right, p.left, p.right)
				}
			}
		}
	})
}
