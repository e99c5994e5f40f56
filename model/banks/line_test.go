package banks

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Levels go up from the outlet, whichever end the chainages are measured from.
func TestPegs(t *testing.T) {
	line := Line{Reaches: []Reach{{45, 0.2}, {30, 0.4}}, OutletLevelM: 50}
	for _, c := range []struct {
		from      End
		chainages []float64
		levels    []float64
		grades    []float64
	}{
		{Top, []float64{0, 20, 40, 45, 60, 75}, []float64{50.21, 50.17, 50.13, 50.12, 50.06, 50}, []float64{0.2, 0.2, 0.2, 0.4, 0.4, 0.4}},
		{Outfall, []float64{0, 20, 30, 40, 60, 75}, []float64{50, 50.08, 50.12, 50.14, 50.18, 50.21}, []float64{0.4, 0.4, 0.4, 0.2, 0.2, 0.2}},
	} {
		pegs, err := line.Pegs(20, c.from)
		if err != nil || len(pegs) != len(c.chainages) {
			t.Fatalf("from the %s: %d pegs, want %d (%v)", c.from, len(pegs), len(c.chainages), err)
		}
		for i, p := range pegs {
			if !near(p.ChainageM, c.chainages[i], 1e-9) || !near(p.LevelM, c.levels[i], 1e-9) || p.GradePct != c.grades[i] {
				t.Errorf("from the %s, peg %d: %+v, want %v m, level %v, %v %%", c.from, i+1, p, c.chainages[i], c.levels[i], c.grades[i])
			}
		}
	}
}

// A change of grade at a whole peg, and a length of whole pegs, lead to no peg twice.
func TestPegsStandOnce(t *testing.T) {
	for _, from := range []End{Top, Outfall} {
		pegs, err := Line{Reaches: []Reach{{40, 0.2}, {20, 0.4}}}.Pegs(20, from)
		if err != nil || len(pegs) != 4 {
			t.Errorf("from the %s: %+v, want 4 pegs (%v)", from, pegs, err)
		}
	}
}

func TestPegLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var line Line
		grade := 0.1
		for range rapid.IntRange(1, 6).Draw(t, "reaches") {
			grade += rapid.Float64Range(0, 0.3).Draw(t, "steeper")
			line.Reaches = append(line.Reaches, Reach{rapid.Float64Range(1, 90).Draw(t, "length"), grade})
		}
		apartM := rapid.Float64Range(1, 30).Draw(t, "apart")
		down, err := line.Pegs(apartM, Top)
		if err != nil || line.Check() != nil {
			t.Fatal(err, line.Check())
		}
		if first, last := down[0], down[len(down)-1]; first.ChainageM != 0 || !near(first.LevelM, line.FallM(), 1e-9) || last.ChainageM != line.LengthM() || !near(last.LevelM, 0, 1e-9) {
			t.Fatalf("it goes from %+v to %+v, want %v m of fall over %v m", first, last, line.FallM(), line.LengthM())
		}
		for i := 1; i < len(down); i++ {
			a, b := down[i-1], down[i]
			run := b.ChainageM - a.ChainageM
			if !(run > 0 && run <= apartM+0.001) || // ends and changes of grade take the place of a peg a millimetre off
				!near(100*(a.LevelM-b.LevelM)/run, a.GradePct, 0.01*a.GradePct+1e-3/run) {
				t.Fatalf("from %+v to %+v", a, b)
			}
		}
	})
}

// One set-up does not see the whole bank: what the staff cannot show is said, and the rest stands.
func TestReadings(t *testing.T) {
	pegs, err := Line{Reaches: []Reach{{2000, 0.3}}, OutletLevelM: 50}.Pegs(200, Outfall)
	if err != nil {
		t.Fatal(err)
	}
	if err := SetReadings(pegs, 54, 3); err != nil {
		t.Fatal(err)
	}
	for i, p := range pegs {
		reading := 4 - 0.6*float64(i)
		seen := reading >= 0 && reading <= 3
		if seen != (p.ReadingM != nil) || seen != (p.Cannot == "") || seen && !near(*p.ReadingM, reading, 1e-9) {
			t.Errorf("peg at %v m: %v %q, want %v", p.ChainageM, p.ReadingM, p.Cannot, reading)
		}
	}
	if err := SetReadings(pegs, 54, 0); !refused(err, "staffLengthM") {
		t.Errorf("without a staff: %v", err)
	}
}

func TestFlatteningIsRefused(t *testing.T) {
	p := Line{Reaches: []Reach{{50, 0.3}, {50, 0.2}}}.Check()
	if p == nil || p.Path != "reaches[1].gradePct" || !strings.Contains(p.Reason, "silt") || p.Fix == "" {
		t.Errorf("a bank that flattens: %v", p)
	}
	if p := (Line{Reaches: []Reach{{50, 0.2}, {50, 0.2}, {50, 0.3}}}).Check(); p != nil {
		t.Errorf("a bank that steepens: %v", p)
	}
}
