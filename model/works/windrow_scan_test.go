package works

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// TestUnderByScanning looks straight down the fall from many places of each gap at all that lies there, on
// slopes whose rows bend, hide each other and, on every other slope, cross: what is met first, over what width, and
// how near it comes, is what the sweep from break to break says.
func TestUnderByScanning(t *testing.T) {
	frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
	r := rand.New(rand.NewPCG(20261125, 44))
	met := map[string]int{}
	for n := range 160 {
		reach := []int{11, 30}[n%2] // down the fall: rows that lie 12 m apart do not cross, or do
		h := hillside{accuracyM: 0.5, work: &model.Work{Most: math.MaxInt}}
		for i := range 2 + r.IntN(4) {
			var w Windrow
			x := float64(r.IntN(40))
			for range 2 + r.IntN(4) {
				w.Line = append(w.Line, frame.Position(x, float64(-12*i+r.IntN(reach))))
				x += float64(1 + r.IntN(30))
			}
			if r.IntN(2) == 0 {
				w.Line.Reverse()
			}
			length, at := geodesy.Length(w.Line), 0.0
			for {
				from := at + 1 + 12*r.Float64()
				to := from + 1 + 9*r.Float64()
				if to > length {
					break
				}
				w.Gaps, at = append(w.Gaps, RowGap{from, to}), to
			}
			if length < 2 {
				w.Line = orb.LineString{frame.Position(0, float64(-12*i)), frame.Position(60, float64(-12*i))}
				w.Gaps = nil
			}
			h.lay(frame, 180, w)
		}
		type key struct{ row, gap int }
		for i, row := range h.rows {
			for g, o := range row.gaps {
				const samples = 800
				step := (o.toM - o.fromM) / samples
				width, nearest := map[key]float64{}, map[key]float64{}
				for k := range samples {
					x := o.fromM + (float64(k)+0.5)*step
					start, below, what := math.Inf(-1), math.Inf(1), key{-1, -1}
					for _, p := range row.pieces {
						if p.gap == g && p.left <= x && x <= p.right {
							start = max(start, p.downAt(x))
						}
					}
					for j, other := range h.rows {
						for _, p := range other.pieces {
							if d := p.downAt(x); j != i && p.left <= x && x <= p.right && d > start && d < below {
								below, what = d, key{p.row, p.gap}
							}
						}
					}
					width[what] += step
					if d, seen := nearest[what]; !seen || below-start < d {
						nearest[what] = below - start
					}
				}
				got := map[key]sighting{}
				for _, s := range h.under(i, g) {
					if _, twice := got[key{s.row, s.gap}]; twice {
						t.Fatalf("slope %d, row %d, gap %d: %+v is listed twice", n, i, g, s)
					}
					got[key{s.row, s.gap}] = s
				}
				few := 20*step + 1e-6
				for at, s := range got {
					if math.Abs(s.widthM-width[at]) > few {
						t.Errorf("slope %d, row %d, gap %d meets %+v over %v m, by scanning %v", n, i, g, at, s.widthM, width[at])
					}
					if at.row >= 0 && width[at] > few && !(s.downM <= nearest[at]+1e-6 && s.downM >= nearest[at]-0.2) {
						t.Errorf("slope %d, row %d, gap %d comes to %v m of %+v, by scanning %v", n, i, g, s.downM, at, nearest[at])
					}
					switch {
					case at.row < 0:
						met["open"]++
					case at.gap < 0:
						met["timber"]++
					default:
						met["gap"]++
					}
				}
				for at, w := range width {
					if _, listed := got[at]; !listed && w > few {
						t.Errorf("slope %d, row %d, gap %d meets %+v over %v m, which is not listed", n, i, g, at, w)
					}
				}
			}
		}
	}
	for _, what := range []string{"open", "timber", "gap"} {
		if met[what] < 40 {
			t.Errorf("only %d of %s were met", met[what], what)
		}
	}
}
