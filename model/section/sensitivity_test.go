package section

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
)

// TestPlusMinusIsTheSumOfSensitivities moves the fix and each position of the thalweg by 20 cm, one at
// a time, east and north: the squares of what that changes add to the stated ± (JCGM 100:2008, 5.1.2).
func TestPlusMinusIsTheSumOfSensitivities(t *testing.T) {
	line := []orb.Point{{146.26, -20.08}}
	for i, bearing := range []float64{10, 50, 15, -20} {
		line = append(line, geodesy.Destination(line[i], bearing, 100))
	}
	for _, test := range []struct {
		segment        int
		alongM, rightM float64
	}{{0, 50, 30}, {0, 30, -20}, {1, 40, -25}, {2, 60, 30}, {2, 50, -30}, {3, 50, 45}, {3, 70, -60}} {
		t.Run(fmt.Sprintf("%d-%v-%v", test.segment, test.alongM, test.rightM), func(t *testing.T) {
			bearing := geodesy.Azimuth(line[test.segment], line[test.segment+1])
			fix := geodesy.Destination(geodesy.Destination(line[test.segment], bearing, test.alongM), bearing+90, test.rightM)
			all := append([]orb.Point{fix}, line...)
			base, err := Snap(line, fix)
			if err != nil || math.Abs(base.OffsetM-math.Abs(test.rightM)) > 1e-3 {
				t.Fatalf("Snap = %+v, %v; want %v m off", base, err, math.Abs(test.rightM))
			}
			const fixM, thalwegM, step = 2, 3, 0.2
			chainage2, offset2 := 0.0, 0.0
			for i, p := range all {
				errorM := float64(thalwegM)
				if i == 0 {
					errorM = fixM
				}
				for _, way := range [][2]float64{{step, 0}, {0, step}} {
					var chainage, offset [2]float64
					for k, sign := range []float64{-1, 1} {
						all[i] = geodesy.Frame{Origin: p}.Position(sign*way[0], sign*way[1])
						at, err := Snap(all[1:], all[0])
						if err != nil {
							t.Fatal(err)
						}
						chainage[k], offset[k] = at.ChainageM, at.OffsetM
					}
					all[i] = p
					chainage2 += math.Pow(errorM*(chainage[1]-chainage[0])/(2*step), 2)
					offset2 += math.Pow(errorM*(offset[1]-offset[0])/(2*step), 2)
				}
			}
			chainage, offset := base.PlusMinus(fixM, thalwegM)
			if math.Abs(chainage/math.Sqrt(chainage2)-1) > 1e-3 || math.Abs(offset/math.Sqrt(offset2)-1) > 1e-3 {
				t.Errorf("± %v and %v, want %v and %v", chainage, offset, math.Sqrt(chainage2), math.Sqrt(offset2))
			}
		})
	}
}

// One accuracy alone gives no ±, but says how far off a fix may be without a question.
func TestOneAccuracyAlone(t *testing.T) {
	place := func(offM float64) Place {
		at, err := Snap(gully(), geodesy.Destination(geodesy.Destination(gully()[0], 0, 40), 270, offM))
		if err != nil {
			t.Fatal(err)
		}
		return at
	}
	for _, accuracies := range [][2]float64{{3, 0}, {0, 3}, {3, math.NaN()}, {-1, -1}} {
		if c, o := place(5).PlusMinus(accuracies[0], accuracies[1]); c != -1 || o != -1 {
			t.Errorf("PlusMinus%v = %v, %v; want -1, -1", accuracies, c, o)
		}
	}
	if c, o := (Place{}).PlusMinus(3, 3); c != -1 || o != -1 {
		t.Errorf("PlusMinus of no place = %v, %v; want -1, -1", c, o)
	}
	short, _ := Snap(gully()[:2], gully()[0])
	if c, o := short.PlusMinus(3, 4); math.Abs(c-5) > 1e-6 || math.Abs(o-5) > 1e-6 {
		t.Errorf("PlusMinus at the start of a straight thalweg = %v, %v; want 5, 5", c, o)
	}
	for _, c := range []struct {
		offM, fixM, thalwegM float64
		want                 string
	}{{8, 3, 0, "[]"}, {8, 0, 3, "[]"}, {10, 3, 0, "right gully"}, {7, 1, 3, "[]"}, {1, 0, 0, "nobody said"}} {
		if said := fmt.Sprint(place(c.offM).Cautions(c.fixM, c.thalwegM)); !strings.Contains(said, c.want) {
			t.Errorf("%v m off, accuracies %v and %v: %s, want %s", c.offM, c.fixM, c.thalwegM, said, c.want)
		}
	}
}

// Where a thalweg comes back to a place, the place downstream is taken, whichever side is longer.
func TestSnapTakesTheLowerOfTwo(t *testing.T) {
	a := orb.Point{146.26, -20.08}
	near, far := geodesy.Destination(a, 0, 10), geodesy.Destination(a, 90, 100)
	for _, line := range [][]orb.Point{{a, near, far, a}, {a, far, near, a}} {
		if at, err := Snap(line, a); err != nil || at.ChainageM != 0 || at.Beyond {
			t.Errorf("Snap = %+v, %v; want chainage 0", at, err)
		}
	}
}

// A fix outside a bend is not past the end, whatever the bend.
func TestOutsideABendIsNotBeyond(t *testing.T) {
	start := orb.Point{146.26, -20.08}
	for bearing := 0.0; bearing < 360; bearing += 10 {
		bend := geodesy.Destination(start, bearing, 100)
		for _, turn := range []float64{-90, 90} {
			line := []orb.Point{start, bend, geodesy.Destination(bend, bearing+turn, 100)}
			at, err := Snap(line, geodesy.Destination(bend, bearing-turn/2, 5))
			if err != nil || at.Beyond || math.Abs(at.ChainageM-100) > 1e-3 {
				t.Errorf("bearing %v, turn %v: Snap = %+v, %v; want chainage 100, not beyond", bearing, turn, at, err)
			}
		}
	}
}

// reach is below the offset, by no more than what it allows for the earth's curve and rounding.
func TestReachIsJustBelowTheOffset(t *testing.T) {
	for bearing := 0.0; bearing < 360; bearing += 15 {
		for _, lengthM := range []float64{1, 100, 5000} {
			a := orb.Point{146.26, -20.08}
			b := geodesy.Destination(a, bearing, lengthM)
			for _, fix := range []orb.Point{geodesy.Destination(a, bearing+130, 40), geodesy.Destination(b, bearing+60, 40),
				geodesy.Destination(geodesy.Destination(a, bearing, lengthM/3), bearing+90, 40)} {
				feet, err := newFeet([]orb.Point{a, b}, fix)
				if err != nil {
					t.Fatal(err)
				}
				over := feet.on(0).offsetM - feet.reachM[0]
				if most := lengthM*lengthM/(7*6335439) + 3e-6; !(over >= 0 && over <= most) {
					t.Errorf("bearing %v, %v m: the offset is %v m over the reach, want 0 to %v", bearing, lengthM, over, most)
				}
			}
		}
	}
}
