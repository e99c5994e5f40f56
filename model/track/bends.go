package track

import (
	"math"

	"headcut/model/geodesy"
)

// bendStepM is how finely a bank is moved along a track that bends back on itself.
const bendStepM = 1

// bends finds where a track comes back to itself, so that water let out of one limb would
// run on to another, into the catch of another bank. Segments are kept by the squares of a
// grid of the side reachM, those next to a place being the only ones looked at.
type bends struct {
	track  Track
	reachM float64
	points [][2]float64 // stations, metres east and north of the first
	cells  map[[2]int][]int
}

func newBends(t Track, reachM float64) *bends {
	if !(reachM > 0) {
		return nil
	}
	b := &bends{track: t, reachM: reachM, points: make([][2]float64, len(t.Positions)), cells: map[[2]int][]int{}}
	// Steps are laid off one by one in the frame of the station before: what matters is what
	// lies within reachM, and there the sum of the steps is right to well under a metre.
	for i := 1; i < len(t.Positions); i++ {
		east, north := geodesy.Frame{Origin: t.Positions[i-1]}.Offset(t.Positions[i])
		b.points[i] = [2]float64{b.points[i-1][0] + east, b.points[i-1][1] + north}
	}
	for i := 1; i < len(b.points); i++ {
		last := [2]int{math.MaxInt, 0}
		steps := 1 + int(t.Stations[i].ChainageM-t.Stations[i-1].ChainageM)/int(math.Ceil(reachM/2))
		for k := range steps + 1 {
			if c := b.cell(b.along(i-1, float64(k)/float64(steps))); c != last {
				b.cells[c] = append(b.cells[c], i-1)
				last = c
			}
		}
	}
	return b
}

func (b *bends) along(i int, share float64) [2]float64 {
	p, q := b.points[i], b.points[i+1]
	return [2]float64{p[0] + share*(q[0]-p[0]), p[1] + share*(q[1]-p[1])}
}

func (b *bends) cell(p [2]float64) [2]int {
	return [2]int{int(math.Floor(p[0] / b.reachM)), int(math.Floor(p[1] / b.reachM))}
}

// reentry finds the nearest lower place of the track that water let out at a chainage to
// the left or right, looking along growing chainages, may run on to: within reach, and not more than 45° off square to the
// track there, as an outlet at 45 to 90° to the track points.
func (b *bends) reentry(chainageM float64, side Side) (againM float64, found bool) {
	t := b.track
	i := t.reach(chainageM)
	from := b.along(i, (chainageM-t.Stations[i].ChainageM)/(t.Stations[i+1].ChainageM-t.Stations[i].ChainageM))
	level, _ := t.LevelAt(chainageM)
	ux, uy := b.points[i+1][0]-b.points[i][0], b.points[i+1][1]-b.points[i][1]
	run := math.Hypot(ux, uy)
	sx, sy := -uy/run, ux/run // square to the left
	if side == Right {
		sx, sy = -sx, -sy
	}
	nearest := b.reachM
	home := b.cell(from)
	for cx := home[0] - 1; cx <= home[0]+1; cx++ {
		for cy := home[1] - 1; cy <= home[1]+1; cy++ {
			here := b.cells[[2]int{cx, cy}]
			if !t.Work.Do(len(here)) {
				return 0, false
			}
			for _, k := range here {
				if k == i {
					continue
				}
				p, q := b.points[k], b.points[k+1]
				share := foot(from, p, q)
				at := b.along(k, share)
				dx, dy := at[0]-from[0], at[1]-from[1]
				away := math.Hypot(dx, dy)
				if away >= nearest || away < sameM || dx*sx+dy*sy < away*math.Sqrt2/2 {
					continue
				}
				x := t.Stations[k].ChainageM + share*(t.Stations[k+1].ChainageM-t.Stations[k].ChainageM)
				if lower, _ := t.LevelAt(min(x, t.endM())); lower < level {
					nearest, againM, found = away, x, true
				}
			}
		}
	}
	return againM, found
}

// foot is how far from p to q, as a share, the nearest point to a place lies.
func foot(from, p, q [2]float64) float64 {
	ux, uy := q[0]-p[0], q[1]-p[1]
	if l := ux*ux + uy*uy; l > 0 {
		return min(1, max(0, ((from[0]-p[0])*ux+(from[1]-p[1])*uy)/l))
	}
	return 0
}
