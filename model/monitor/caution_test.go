package monitor

import (
	"fmt"
	"strings"
	"testing"

	"headcut/model"
)

// TestCautionsFromWhere: a caution is given beyond its bound and not at it.
func TestCautionsFromWhere(t *testing.T) {
	lip := 0.3
	record := HeadRecord{Visits: []Visit{{OffsetM: &lip}}, Season: &Season{11, 4}}
	step := func(change func(*Step)) []model.Caution {
		seasons := LeastSeason
		s := Step{Years: 1, RateMPerYear: FastestMPerYear, MoreThanNoise: Yes, Seasons: &seasons}
		change(&s)
		return record.Cautions(Retreat{Overall: s, Steps: []Step{s}})
	}
	silt := func(heightM float64) []model.Caution {
		return SiltTrap{CrestHeightM: 0.4, SiltHeightM: &heightM}.Cautions("dam 1")
	}
	for _, c := range []struct {
		name  string
		all   []model.Caution
		says  string
		given bool
	}{
		{"reads-as-high", VolumeSurvey{}.Cautions(Volume{}), "reads high", false},
		{"reads-high", VolumeSurvey{}.Cautions(Volume{ReadsHighM3: 0.1}), "reads high", true},
		{"method-without-error", VolumeSurvey{}.Cautions(Volume{}), "readings alone", false},
		{"no-method", VolumeSurvey{MethodErrorPct: -1}.Cautions(Volume{}), "readings alone", true},
		{"stays", step(func(s *Step) {}), "down the gully", false},
		{"moves-down", step(func(s *Step) { s.RetreatM = -0.1 }), "down the gully", true},
		{"perhaps-moves-down", step(func(s *Step) { s.RetreatM, s.MoreThanNoise = -0.1, No }), "down the gully", false},
		{"fast", step(func(s *Step) {}), "went faster", false},
		{"faster", step(func(s *Step) { s.RateMPerYear++ }), "went faster", true},
		{"faster-for-a-while", step(func(s *Step) { s.RateMPerYear++; s.Years = 0.5 }), "went faster", false},
		{"a-year", step(func(s *Step) {}), "Less than a year", false},
		{"no-year", step(func(s *Step) { s.Years = 0.99 }), "Less than a year", true},
		{"half-a-season", step(func(s *Step) {}), "of a wet season", false},
		{"no-season", step(func(s *Step) { *s.Seasons -= 0.01 }), "Only 49 % of a wet season", true},
		{"nobody-asked", step(func(s *Step) { s.Seasons = nil }), "of a wet season", false},
		{"silt-to-the-crest", silt(0.4), "dam 1", false},
		{"silt-above-the-crest", silt(0.41), "dam 1: 0.41 m of silt behind a crest of 0.40 m", true},
	} {
		if given := strings.Contains(fmt.Sprint(c.all), c.says); given != c.given {
			t.Errorf("%s: cautions %v, want one that says %q: %t", c.name, c.all, c.says, c.given)
		}
	}
}
