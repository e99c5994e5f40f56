package treatment

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// shallow is a gully that both screens let through, for tests to alter.
func shallow(alter func(*Site)) Site {
	s := at(Gully, map[Field]float64{DepthM: 0.4, WallRunPerRise: 2, HeadDepthM: 0.2, CatchmentHa: 1}, map[Field]bool{Tunnels: false, StockOut: true, Dispersive: false})
	if alter != nil {
		alter(&s)
	}
	return s
}

func TestScreens(t *testing.T) {
	measure := func(f Field, v, plusMinus float64) func(*Site) {
		return func(s *Site) { s.Measure(f, v, plusMinus) }
	}
	for _, c := range []struct {
		name             string
		alter            func(*Site)
		practice, judged Truth
	}{
		{"shallow", nil, True, True},
		{"half-a-metre", measure(DepthM, 0.5, -1), True, True},
		{"six-tenths", measure(DepthM, 0.6, -1), False, True},
		{"a-metre", measure(DepthM, 1, -1), False, False},
		{"walls-one-to-one", measure(WallRunPerRise, 1, -1), True, False},
		{"steep-walls", measure(WallRunPerRise, 0.5, -1), False, False},
		{"deep-head", measure(HeadDepthM, 0.5, -1), False, False},
		{"two-hectares", measure(CatchmentHa, 2, -1), False, False},
		{"tunnels", func(s *Site) { s.Answer(Tunnels, true) }, False, False},
		{"dispersive", func(s *Site) { s.Answer(Dispersive, true) }, False, False},
		{"soil-not-tested", func(s *Site) { s.values[Dispersive] = measureNone }, NotMeasured, NotMeasured},
		{"stock-stay", func(s *Site) { s.Answer(StockOut, false) }, False, False},
		{"depth-too-close", measure(DepthM, 0.48, 0.05), TooClose, True},
		{"catchment-not-measured", func(s *Site) { s.values[CatchmentHa] = measureNone }, NotMeasured, NotMeasured},
		{"one-failure-settles-it", func(s *Site) { s.values[CatchmentHa] = measureNone; s.Measure(DepthM, 2, -1) }, False, False},
		// The black-soil trial's gullies: 0.47 m deep in the mean, steep walls, and grass did not hold them.
		{"burdekin-trial", func(s *Site) { s.Measure(DepthM, 0.47, -1); s.Measure(WallRunPerRise, 0.2, -1) }, False, False},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i, want := range []Truth{c.practice, c.judged} {
				got, findings, err := Screens[i].Find(shallow(c.alter))
				if err != nil || got != want || len(findings) != len(Screens[i].Limits) {
					t.Errorf("%s: %q, %v, want %q of %+v", Screens[i].Name, got, err, want, findings)
				}
			}
		})
	}
	s := shallow(measure(DepthM, 400, -1))
	if _, _, err := Screens[0].Find(s); err == nil {
		t.Error("a depth of 400 m is let through")
	}
}

var measureNone measure

func TestScreensAreWhole(t *testing.T) {
	for _, s := range Screens {
		for _, l := range s.Limits {
			if l.Source.Title == "" || len(l.Else) == 0 {
				t.Errorf("%s: %s has no source or nothing else to consider", s.Name, l.Condition)
			}
			for _, other := range l.Else {
				if !isTreatment(other) {
					t.Errorf("%s: %s leads to %q, which is no treatment", s.Name, l.Condition, other)
				}
			}
		}
	}
}

// TestDecidedLimitsSeldomTurnBySimulation measures each field 10,000 times about values on
// both sides of its threshold. A limit that was called decided turns in at most the share
// of a normal curve past one standard deviation, 15.9 %; one called too close turns more
// often than that.
func TestDecidedLimitsSeldomTurnBySimulation(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 15))
	const times = 10_000
	share := 0.1587
	for _, screen := range Screens {
		for _, l := range screen.Limits {
			if !l.Field.Measured() {
				continue
			}
			sd := l.Value / 10
			for _, off := range []float64{-3, -1.5, -1, -0.9, -0.5, 0, 0.5, 0.9, 1, 1.5, 3} {
				var s Site
				value := l.Value + off*sd
				s.Measure(l.Field, value, sd)
				said := l.At(s)
				s.Measure(l.Field, value, -1)
				best := l.At(s)
				turned := 0.0
				for range times {
					s.Measure(l.Field, value+sd*random.NormFloat64(), -1)
					if l.At(s) != best {
						turned++
					}
				}
				const noise = 0.012 // three times the scatter of such a share
				if got := turned / times; said != TooClose && got > share+noise || said == TooClose && got < share-noise {
					t.Errorf("%s at %v ± %v is %q, and %.3f of the draws turn it", l.Condition, value, sd, said, got)
				}
			}
		}
	}
}

// The mulch rate of the advice is the permit text's two short tons an acre, converted.
func TestMulchAdviceAgainstCase(t *testing.T) {
	c := modeltest.Named(t, "gully", "RA01")
	most := modeltest.Want[float64](t, c, "t_ha")
	want := fmt.Sprintf("%.1f to %.1f t/ha", most/2, most)
	if !slices.ContainsFunc(GrassAdvice, func(e Evidence) bool { return strings.Contains(e.Text, want) }) {
		t.Errorf("no advice of %s", want)
	}
}
