package works

import (
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// geodSolve runs GeographicLib's GeodSolve over lines of numbers and reads its first numbers.
func geodSolve(t *testing.T, text string, args ...string) [][]float64 {
	t.Helper()
	path, err := exec.LookPath("GeodSolve")
	if err != nil {
		t.Fatal("GeodSolve is not installed: run make test, which installs geographiclib-tools")
	}
	cmd := exec.Command(path, append(args, "-p", "10")...)
	cmd.Stdin = strings.NewReader(text)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("GeodSolve %v: %v", args, err)
	}
	var all [][]float64
	for line := range strings.Lines(string(out)) {
		var numbers []float64
		for _, word := range strings.Fields(line) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatalf("GeodSolve says %q: %v", line, err)
			}
			numbers = append(numbers, v)
		}
		all = append(all, numbers)
	}
	return all
}

// TestWindrowsAgainstGeodSolve finds the ends of gaps along rows of 400 m, and the way
// from one to the other, with GeodSolve alone: overlap, shift and the distance agree to a
// millimetre, from the tropics to 55° and across the antimeridian.
func TestWindrowsAgainstGeodSolve(t *testing.T) {
	worst := 0.0
	cases := 0
	for _, place := range []orb.Point{{146.26, -20.08}, {179.999, -17.5}, {-105.2, 39.7}, {-3.1, 55.4}, {36.9, 0.01}} {
		for _, turn := range []float64{0, 201} {
			azimuth, fall := math.Mod(90+turn, 360), math.Mod(180+turn, 360)
			direct := func(lat, lon, azimuth, m float64) (float64, float64) {
				got := geodSolve(t, fmt.Sprintf("%.12f %.12f %.12f %.6f\n", lat, lon, azimuth, m))
				return got[0][0], got[0][1]
			}
			type edge struct{ lat, lon float64 }
			var w Windrows
			w.FallBearingDeg = fall
			gaps := []RowGap{{100, 120}, {110, 140}}
			var edges [2][2]edge
			var ends [2]edge
			for i, downM := range []float64{0, 60} {
				lat, lon := direct(place[1], place[0], fall, downM)
				ends[i] = edge{lat, lon}
				farLat, farLon := direct(lat, lon, azimuth, 400)
				w.Rows = append(w.Rows, Windrow{Line: orb.LineString{{lon, lat}, {farLon, farLat}}, Gaps: gaps[i : i+1]})
				for k, m := range []float64{gaps[i].FromM, gaps[i].ToM} {
					edges[i][k].lat, edges[i][k].lon = direct(lat, lon, azimuth, m)
				}
			}
			s, err := w.Stagger(nil)
			if err != nil {
				t.Fatal(err)
			}
			// Across the fall, as seen from the first position, whose north the bearing is counted
			// from; and straight from the end of the upper gap to the start of the lower one.
			inverse := func(from, to edge) (m, sin float64) {
				got := geodSolve(t, fmt.Sprintf("%.12f %.12f %.12f %.12f\n", from.lat, from.lon, to.lat, to.lon), "-i")[0]
				return got[2], math.Sin((got[0] - fall) * math.Pi / 180)
			}
			m0, sin0 := inverse(ends[0], edges[0][1])
			m1, sin1 := inverse(ends[0], edges[1][0])
			across := math.Abs(m0*sin0 - m1*sin1)
			apart, _ := inverse(edges[0][1], edges[1][0])
			p := s.Pairs[0]
			for what, d := range map[string]float64{"overlap": p.OverlapM - across, "shift": p.ShiftM - across, "apart": math.Hypot(p.ShiftM, p.DownM) - apart} {
				worst = max(worst, math.Abs(d))
				if math.Abs(d) > 1e-3 || p.Meets != MeetsGap {
					t.Errorf("at %v, fall %v°: %+v; GeodSolve has %v across and %v apart: %s is %v off", place, fall, p, across, apart, what, d)
				}
			}
			cases++
		}
	}
	t.Logf("%d slopes against GeodSolve, worst difference %.2g m", cases, worst)
}
