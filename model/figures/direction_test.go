package figures

import (
	"strings"
	"testing"

	"headcut/model"
)

// upGully is a gully that rises 3 % from its mouth, with four dams on it whose toes stand
// by their positions at 10, 30, 50 and 70 m, each so much off the bed as given, and its bed
// levelled and taped upstream where withBed.
func upGully(withBed bool, offM ...float64) (*PropertyFigures, []model.Feature) {
	var dams []model.Feature
	var spots []staff
	for i, off := range offM {
		upM, id := 10+20*float64(i), string(rune('a'+i))
		dams = append(dams, damAt(id, upM, 0, "name", "Dam "+id, "status", "pegged", "accuracyM", 1))
		spots = append(spots, staff{id, model.ToeSpot, -1, 100 + 0.03*upM + off})
	}
	if withBed {
		for _, upM := range []float64{0, 50, 100} {
			spots = append(spots, staff{"t", model.BedSpot, upM, 100 + 0.03*upM})
		}
	}
	return survey(append(dams, gully("accuracyM", 1), feature("level-run", "r", nil, "rows", book(0, spots...)))...), dams
}

// TestOneBadPegTurnsNoGully: the toe of the lowest dam was read far too high. Its neighbours
// keep their chainages, and it is named.
func TestOneBadPegTurnsNoGully(t *testing.T) {
	for _, withBed := range []bool{true, false} {
		l, dams := upGully(withBed, 1.9, 0, 0)
		for i, d := range dams {
			got, _ := l.Of(d).Figure("chainageM")
			if want := 10 + 20*float64(i); got.Value < want-0.1 || got.Value > want+0.1 {
				t.Errorf("bed levelled %t: chainage of dam %s is %.1f m, want %.0f", withBed, d.ID, got.Value, want)
			}
		}
		notes := strings.Join(l.LongSections()[0].Notes, " ")
		if strings.Contains(notes, "turned") || !strings.Contains(notes, "Dam a") || strings.Contains(notes, "Dam b:") {
			t.Errorf("bed levelled %t: notes are %q, want the bad one named and nothing turned", withBed, notes)
		}
	}
	// Of two dams with no bed either could be the bad one; with a bed it is known which.
	l, _ := upGully(true, 2.4, 0)
	if notes := strings.Join(l.LongSections()[0].Notes, " "); strings.Contains(notes, "turned") {
		t.Errorf("two dams turned a levelled bed's gully: %q", notes)
	}
}

// TestToeAndBedThatDisagreeAreTold, as a dam's page and the section tell it: a toe 0.99 m
// under the bed that was levelled where it stands.
func TestToeAndBedThatDisagreeAreTold(t *testing.T) {
	l, dams := upGully(true, 0, -0.99, 0.05)
	s := l.Of(dams[1])
	warns(t, s, "toeLevelM", "Its toe is levelled at 99.91 m, but the bed at chainage 30.0 m at 100.90 m. Its level and its place do not agree: tape its chainage, or check the reading.")
	section := l.LongSections()[0]
	if !strings.Contains(strings.Join(section.Notes, " "), "Dam b: its toe is levelled at 99.91 m") {
		t.Errorf("notes are %q, want that dam b does not agree", section.Notes)
	}
	for _, d := range section.Dams {
		if d.Disagrees != (d.ID == "b") {
			t.Errorf("dam %s disagrees: %t", d.ID, d.Disagrees)
		}
	}
	// What was taped already is not to be taped for the first time.
	taped := damAt("b", 30, 0, "status", "pegged", "chainageM", 30.0, "chainageBasis", "taped")
	l = survey(gully("accuracyM", 1), taped, feature("level-run", "r", nil, "rows", book(0, staff{"b", model.ToeSpot, -1, 99.91},
		staff{"t", model.BedSpot, 0, 100}, staff{"t", model.BedSpot, 100, 103})))
	warns(t, l.Of(taped), "toeLevelM", "Its level and its place do not agree: check its reading and its chainage.")
	// A place that is good for 15 m may be anywhere on 60 m of bed, which rise 1.8 m.
	loose := damAt("b", 30, 0, "status", "pegged", "accuracyM", 15)
	l = survey(gully("accuracyM", 1), loose, feature("level-run", "r", nil, "rows", book(0, staff{"b", model.ToeSpot, -1, 99.91},
		staff{"t", model.BedSpot, 0, 100}, staff{"t", model.BedSpot, 100, 103})))
	quiet(t, l.Of(loose), "toeLevelM")
}

// TestPegOffTheCrestBelowIsTold: pegged 0.50 m above the crest that the dam below is pegged for.
func TestPegOffTheCrestBelowIsTold(t *testing.T) {
	pegged := func(id string, upM float64, target float64) model.Feature {
		return damAt(id, upM, 0, "name", "Dam "+id, "status", "pegged", "targetCrestLevelM", target, "chainageM", upM, "chainageBasis", "taped")
	}
	a, b, c := pegged("a", 10, 100.9), pegged("b", 28, 101.8), pegged("c", 36, 102.2)
	l := survey(gully(), a, b, c, feature("level-run", "r", nil, "rows", book(0,
		staff{"a", model.ToeSpot, 10, 100.5}, staff{"b", model.ToeSpot, 28, 101.4}, staff{"c", model.ToeSpot, 36, 101.8})))
	warns(t, l.Of(a), "toeLevelM", "Beside Dam b as pegged: the upper toe stands 0.50 m above the lower crest to be built, a gap.")
	warns(t, l.Of(b), "toeLevelM", "Beside Dam a as pegged")
	quiet(t, l.Of(c), "toeLevelM")
	if notes := strings.Join(l.LongSections()[0].Notes, " "); !strings.Contains(notes, "Dam a and Dam b as pegged: the upper toe stands 0.50 m above") {
		t.Errorf("notes are %q, want the gap", notes)
	}
}

func TestPlannedWords(t *testing.T) {
	for stepM, want := range map[float64]string{
		0.5:  "the upper toe stands 0.50 m above the lower crest to be built, a gap.",
		-0.3: "the upper toe stands 0.30 m below the lower crest to be built and will drown in silt.",
	} {
		if got := plannedWords(stepM); got != want {
			t.Errorf("a step of %v m is said as %q, want %q", stepM, got, want)
		}
	}
}
