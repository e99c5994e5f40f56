package section

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model/geodesy"
)

// geodSolve runs GeographicLib's GeodSolve over lines of numbers and gives its numbers.
func geodSolve(t *testing.T, lines [][]float64, args ...string) [][]float64 {
	t.Helper()
	path, err := exec.LookPath("GeodSolve")
	if err != nil {
		t.Fatal("GeodSolve is not installed: run make test, which installs geographiclib-tools")
	}
	var in, out bytes.Buffer
	for _, line := range lines {
		for _, v := range line {
			in.WriteString(strconv.FormatFloat(v, 'f', -1, 64) + " ")
		}
		in.WriteByte('\n')
	}
	cmd := exec.Command(path, append(args, "-p", "10")...)
	cmd.Stdin, cmd.Stdout = &in, &out
	if err := cmd.Run(); err != nil {
		t.Fatalf("GeodSolve: %v", err)
	}
	var all [][]float64
	for line := range strings.Lines(out.String()) {
		var numbers []float64
		for word := range strings.FieldsSeq(line) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatalf("GeodSolve says %q", line)
			}
			numbers = append(numbers, v)
		}
		all = append(all, numbers)
	}
	if len(all) != len(lines) {
		t.Fatalf("GeodSolve answers %d lines to %d", len(all), len(lines))
	}
	return all
}

// TestSnapAgainstGeodSolve builds 1000 places with GeodSolve alone: so far along a segment,
// then so far square to it. Snap must find both lengths again within 2 µm.
func TestSnapAgainstGeodSolve(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 21))
	type problem struct{ startLat, startLon, bearing, firstM, turn, alongM, lengthM, offM float64 }
	problems := make([]problem, 1000)
	first := make([][]float64, len(problems))
	for i := range problems {
		lengthM := 5 * math.Pow(400, random.Float64()) // 5 m to 2 km
		p := problem{
			startLat: 150*random.Float64() - 75, startLon: 360*random.Float64() - 180,
			bearing: 360*random.Float64() - 180, firstM: 10 + 500*random.Float64(), turn: 60*random.Float64() - 30,
			lengthM: lengthM, alongM: lengthM * (0.1 + 0.8*random.Float64()),
		}
		p.offM = (2*random.Float64() - 1) * 0.09 * min(p.alongM, lengthM-p.alongM, 200) // nearer to this segment than to the first
		problems[i] = p
		first[i] = []float64{p.startLat, p.startLon, p.bearing, p.firstM}
	}
	corners := geodSolve(t, first)
	onward, feet := make([][]float64, len(problems)), make([][]float64, len(problems))
	for i, p := range problems {
		c := corners[i]
		onward[i] = []float64{c[0], c[1], c[2] + p.turn, p.lengthM}
		feet[i] = []float64{c[0], c[1], c[2] + p.turn, p.alongM}
	}
	ends, squares := geodSolve(t, onward), geodSolve(t, feet)
	aside := make([][]float64, len(problems))
	for i, p := range problems {
		aside[i] = []float64{squares[i][0], squares[i][1], squares[i][2] + 90, p.offM} // plus: to the right of the line
	}
	fixes := geodSolve(t, aside)
	worstAlong, worstOff := 0.0, 0.0
	for i, p := range problems {
		line := []orb.Point{{p.startLon, p.startLat}, {corners[i][1], corners[i][0]}, {ends[i][1], ends[i][0]}}
		fix := orb.Point{fixes[i][1], fixes[i][0]}
		got, err := Snap(line, fix)
		if err != nil {
			t.Fatal(err)
		}
		along, off := math.Abs(got.ChainageM-p.firstM-p.alongM), math.Abs(got.OffsetM-math.Abs(p.offM))
		worstAlong, worstOff = max(worstAlong, along), max(worstOff, off)
		if !(along <= 2e-6 && off <= 1e-7) {
			t.Errorf("Snap(%v, %v) = %v m along and %v m off, want %v and %v", line, fix, got.ChainageM, got.OffsetM, p.firstM+p.alongM, math.Abs(p.offM))
		}
		want := RightBank
		if p.offM > 0 {
			want = LeftBank // right of a line that runs upstream
		}
		if got.Side != want && math.Abs(p.offM) > 1e-3 {
			t.Errorf("Snap(%v, %v) lies on the %s, want %s", line, fix, got.Side, want)
		}
	}
	t.Logf("worst difference from GeodSolve: %v m along, %v m off", worstAlong, worstOff)
}

// gully is a thalweg that runs north, then east: 100 m each.
func gully() []orb.Point {
	start := orb.Point{146.26, -20.08}
	bend := geodesy.Destination(start, 0, 100)
	return []orb.Point{start, bend, geodesy.Destination(bend, 90, 100)}
}

func TestSnapPlaces(t *testing.T) {
	line := gully()
	at := func(i int, bearings ...float64) orb.Point {
		p := line[i]
		for k := 0; k < len(bearings); k += 2 {
			p = geodesy.Destination(p, bearings[k], bearings[k+1])
		}
		return p
	}
	tests := []struct {
		name                string
		fix                 orb.Point
		chainageM, offsetM  float64
		side                Side
		beyond              bool
		sayFar, sayWhoKnows bool
	}{
		{"west-of-the-lower-reach", at(0, 0, 40, 270, 3), 40, 3, RightBank, false, false, true},
		{"east-of-the-lower-reach", at(0, 0, 40, 90, 3), 40, 3, LeftBank, false, false, true},
		{"on-a-position", at(1), 100, 0, OnThalweg, false, false, false},
		{"outside-the-bend", at(1, 315, 5), 100, 5, RightBank, false, false, true},
		{"inside-the-bend", at(1, 180, 30, 90, 20), 70, 20, LeftBank, false, true, true},
		{"below-the-outlet", at(0, 180, 7), 0, 7, OnThalweg, true, false, true},
		{"above-the-head", at(2, 90, 7), 200, 7, OnThalweg, true, false, true},
		{"beside-the-head", at(2, 0, 7), 200, 7, RightBank, false, false, true},
		{"far-off", at(0, 0, 50, 270, 400), 50, 400, RightBank, false, true, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := Snap(line, test.fix)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got.ChainageM-test.chainageM) > 2e-3 || math.Abs(got.OffsetM-test.offsetM) > 2e-3 || got.Side != test.side || got.Beyond != test.beyond {
				t.Errorf("Snap = %.4f m, %.4f m, %s, beyond %v; want %v m, %v m, %s, beyond %v",
					got.ChainageM, got.OffsetM, got.Side, got.Beyond, test.chainageM, test.offsetM, test.side, test.beyond)
			}
			said := fmt.Sprint(got.Cautions(3, 3))
			if far := strings.Contains(said, "right gully"); far != test.sayFar {
				t.Errorf("Cautions with 3 m fixes say %s, want far off told: %v", said, test.sayFar)
			}
			if past := strings.Contains(said, "past the end"); past != test.beyond {
				t.Errorf("Cautions say %s, want past the end told: %v", said, test.beyond)
			}
			if unknown := strings.Contains(fmt.Sprint(got.Cautions(0, 0)), "nobody said"); unknown != test.sayWhoKnows {
				t.Errorf("Cautions without accuracies: %v, want the offset told: %v", got.Cautions(0, 0), test.sayWhoKnows)
			}
		})
	}
}

// TestSnapTellsOfAnotherReach sets a fix between two limbs of a bend 8 m apart.
func TestSnapTellsOfAnotherReach(t *testing.T) {
	start := orb.Point{146.26, -20.08}
	top := geodesy.Destination(start, 0, 60)
	over := geodesy.Destination(top, 90, 8)
	line := []orb.Point{start, top, over, geodesy.Destination(over, 180, 60)}
	fix := geodesy.Destination(geodesy.Destination(start, 0, 20), 90, 3)
	got, err := Snap(line, fix)
	if err != nil || math.Abs(got.ChainageM-20) > 0.01 {
		t.Fatalf("Snap = %+v, %v, want 20 m along", got, err)
	}
	if said := fmt.Sprint(got.Cautions(3, 3)); !strings.Contains(said, "winds") || !strings.Contains(said, "chainage 108 m") {
		t.Errorf("Cautions with 3 m fixes = %s, want chainage 108 m told", said)
	}
	if said := fmt.Sprint(got.Cautions(0.3, 0.3)); strings.Contains(said, "winds") {
		t.Errorf("Cautions with 0.3 m fixes = %s, want nothing of another reach", said)
	}
}

func TestSnapRefuses(t *testing.T) {
	p := orb.Point{146, -20}
	tests := []struct {
		name string
		line []orb.Point
		fix  orb.Point
		want string
	}{
		{"no-thalweg", nil, p, "thalweg: has no length"},
		{"one-position", []orb.Point{p}, p, "thalweg: has no length"},
		{"one-place", []orb.Point{p, p, p}, p, "thalweg: has no length"},
		{"swapped-axes", []orb.Point{{146, -20}, {-20, 146}}, p, "thalweg[1]: latitude 146 is beyond 90"},
		{"not-a-number", []orb.Point{p, {146.1, -20}}, orb.Point{math.NaN(), 0}, "fix: a position has a number that is not finite"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if _, err := Snap(test.line, test.fix); err == nil || !strings.HasPrefix(err.Error(), test.want) {
				t.Errorf("Snap(%v, %v) = %v, want %s", test.line, test.fix, err, test.want)
			}
		})
	}
}

// TestSnapIsNearest walks along random thalwegs and never comes nearer to the fix than Snap,
// and finds the place again from its chainage.
func TestSnapIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := orb.Point{rapid.SampledFrom([]float64{-180, 0, 146.26, 179.999}).Draw(t, "lon"), rapid.Float64Range(-80, 80).Draw(t, "lat")}
		bearing := rapid.Float64Range(0, 360).Draw(t, "bearing")
		line := []orb.Point{p}
		for range rapid.IntRange(1, 12).Draw(t, "segments") {
			bearing += rapid.Float64Range(-120, 120).Draw(t, "turn")
			p = geodesy.Destination(p, bearing, rapid.SampledFrom([]float64{0, 0.5, 20, 300, 3000, 20000}).Draw(t, "step"))
			line = append(line, p)
		}
		fix := geodesy.Destination(line[rapid.IntRange(0, len(line)-1).Draw(t, "near")], rapid.Float64Range(0, 360).Draw(t, "way"), rapid.Float64Range(0, 500).Draw(t, "off"))
		got, err := Snap(line, fix)
		if geodesy.Length(line) == 0 {
			if err == nil {
				t.Fatalf("Snap on a thalweg of no length gives %v", got)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		alongM, found := 0.0, false
		for i, stepM := range geodesy.Segments(line) {
			bearing := geodesy.Azimuth(line[i], line[i+1])
			for k := range 21 {
				on := geodesy.Destination(line[i], bearing, stepM*float64(k)/20)
				if d := geodesy.Distance(on, fix); d < got.OffsetM-1e-6 {
					t.Fatalf("Snap(%v, %v) is %v m off, but %v is %v m away", line, fix, got.OffsetM, on, d)
				}
			}
			if over := got.ChainageM - alongM; over >= -1e-6 && over <= stepM+1e-6 && !found {
				on := geodesy.Destination(line[i], bearing, over)
				found = math.Abs(geodesy.Distance(on, fix)-got.OffsetM) <= 1e-5
			}
			alongM += stepM
		}
		if !found {
			t.Fatalf("Snap(%v, %v) = chainage %v, which is not %v m from the fix", line, fix, got.ChainageM, got.OffsetM)
		}
	})
}

// TestSnapPlusMinusBySimulation compares the formula with 4000 seeded scatters of the fix
// and of the thalweg. Their own spread is uncertain by 1.1 %, so 5 % is allowed.
func TestSnapPlusMinusBySimulation(t *testing.T) {
	start := orb.Point{146.26, -20.08}
	long := []orb.Point{start}
	for i := range 6 {
		long = append(long, geodesy.Destination(long[i], float64(40*(i%3)), 120))
	}
	middle := func(i int, along, off float64) orb.Point {
		b := geodesy.Azimuth(long[i], long[i+1])
		return geodesy.Destination(geodesy.Destination(long[i], b, along), b+90, off)
	}
	tests := []struct {
		name          string
		fix           orb.Point
		fixM, thalweg float64
	}{
		{"first-segment", middle(0, 60, 5), 3, 2},
		{"third-segment", middle(2, 60, -15), 2, 3},
		{"last-segment-far-off", middle(5, 50, 40), 1, 3},
	}
	random := rand.New(rand.NewPCG(20261125, 22))
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			base, err := Snap(long, test.fix)
			if err != nil {
				t.Fatal(err)
			}
			scattered := func(p orb.Point, m float64) orb.Point {
				return geodesy.Frame{Origin: p}.Position(m*random.NormFloat64(), m*random.NormFloat64())
			}
			const times = 4000
			var sum, sum2, off, off2 float64
			for range times {
				moved := make([]orb.Point, len(long))
				for i, p := range long {
					moved[i] = scattered(p, test.thalweg)
				}
				at, err := Snap(moved, scattered(test.fix, test.fixM))
				if err != nil {
					t.Fatal(err)
				}
				d, o := at.ChainageM-base.ChainageM, at.OffsetM
				if at.Side != base.Side {
					o = -o
				}
				o -= base.OffsetM
				sum, sum2, off, off2 = sum+d, sum2+d*d, off+o, off2+o*o
			}
			chainage, offset := base.PlusMinus(test.fixM, test.thalweg)
			if want := math.Sqrt(sum2/times - sum*sum/times/times); math.Abs(chainage/want-1) > 0.05 {
				t.Errorf("chainage ± %v, but it scatters by %v", chainage, want)
			}
			if want := math.Sqrt(off2/times - off*off/times/times); math.Abs(offset/want-1) > 0.05 {
				t.Errorf("offset ± %v, but it scatters by %v", offset, want)
			}
		})
	}
	at, _ := Snap(long, start)
	if c, o := at.PlusMinus(0, 3); c != -1 || o != -1 {
		t.Errorf("PlusMinus without an accuracy = %v, %v, want -1, -1", c, o)
	}
}

func BenchmarkSnap(b *testing.B) {
	line := []orb.Point{{146.26, -20.08}}
	for i := range 2000 {
		line = append(line, geodesy.Destination(line[i], 30*math.Sin(float64(i)/5), 5))
	}
	fix := geodesy.Destination(line[1000], 90, 4)
	for b.Loop() {
		if _, err := Snap(line, fix); err != nil {
			b.Fatal(err)
		}
	}
}
