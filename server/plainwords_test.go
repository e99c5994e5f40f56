package server

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/figures"
)

func TestStatusSentence(t *testing.T) {
	for _, c := range []struct {
		name string
		set  fields
		want string
	}{
		{"proposed", fields{"status": "proposed"}, "Proposed. Nothing is on the ground yet."},
		{"proposed-dated", fields{"status": "proposed", "proposedOn": "2026-02-03"}, "Proposed 3 February 2026. Nothing is on the ground yet."},
		{"pegged", fields{"status": "pegged", "peggedOn": "2026-02-28"}, "Pegged 28 February 2026. Not built yet."},
		{"built", fields{"status": "built", "builtOn": "2026-12-31"}, "Built 31 December 2026."},
		{"built-undated", fields{"status": "built"}, "Built. The date was not recorded."},
		{"built-bad-date", fields{"status": "built", "builtOn": "last winter"}, "Built. The date was not recorded."},
		{"failed-undated", fields{"status": "failed"}, ""}, // its state says that
		{"failed", fields{"status": "failed", "failedOn": "2026-03-01", "builtOn": "2025-03-01"}, "Built 1 March 2025."},
		{"removed", fields{"status": "removed"}, "Removed."},
		{"none", fields{}, "Its stage was not recorded."},
		{"unknown", fields{"status": "dreamt of"}, "Its stage was not recorded."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := statusSentence(folded(t, "x", c.set).Model()); got != c.want {
				t.Errorf("statusSentence(%v): got %q, want %q", c.set, got, c.want)
			}
		})
	}
	for _, s := range model.Statuses {
		if got := statusSentence(folded(t, "x", fields{"status": s}).Model()); strings.HasPrefix(got, "Its stage") {
			t.Errorf("statusSentence of the known status %q: got %q", s, got)
		}
	}
}

func TestFacts(t *testing.T) {
	figure := func(name, unit string, value, plusMinus float64, basis model.Basis) model.Figure {
		return model.Figure{Name: name, Label: name, Unit: unit, Value: value, PlusMinus: &plusMinus, Basis: basis}
	}
	for _, c := range []struct {
		name, kind string
		set        fields
		figures    []model.Figure
		visited    *figures.Visited
		want       []linkFact
	}{
		{"in-the-order-of-the-row", "check-dam", fields{"sedimentDepthM": 0.1, "material": "hay bales", "crestLengthM": 6}, nil, nil,
			[]linkFact{{"Built from", "hay bales"}, {"Length across the gully", "6\u00a0m"}, {"Depth of silt caught", "0.1\u00a0m"}}},
		{"figures-not-twice", "check-dam", fields{"crestHeightM": 0.4, "material": "timber"}, []model.Figure{figure("crestHeightM", "m", 0.4, 0.005, model.Levelled)}, nil,
			[]linkFact{{"Height", "0.4\u00a0m, by level"}, {"Built from", "timber"}}},
		{"surveyors-figures-stay", "check-dam", fields{}, []model.Figure{figure("spacingM", "m", 9, 7, model.GPS), figure("offsetM", "m", 0.01, 3, model.GPS), figure("stepM", "m", 0, 0.007, model.Levelled)}, nil, []linkFact{}},
		{"how-it-was-measured", "check-dam", fields{"kind": "check-dam", "crestLengthM": 3.2, "crestLengthBasis": "taped"}, nil, nil, []linkFact{{"Length across the gully", "3.2\u00a0m, by tape"}}},
		{"wrong-values-stay", "check-dam", fields{"material": "gold", "crestHeightM": "high", "crestLengthM": -3}, nil, nil, []linkFact{}},
		{"nulls-stay", "check-dam", fields{"material": nil}, nil, nil, []linkFact{}},
		{"surveyors-fields-stay", "rip-line", fields{"toleranceM": 0.05, "depthM": 0.4, "betweenBanks": true}, nil, nil,
			[]linkFact{{"Depth of rip", "0.4\u00a0m"}, {"Between contour banks", "yes"}}},
		{"units", "revegetation", fields{"seedMix": "stylo", "seedKgHa": 4, "coverPct": 35}, nil, nil,
			[]linkFact{{"Seed mix", "stylo"}, {"Seed rate", "4\u00a0kg/ha"}, {"Ground cover", "35\u00a0%"}}},
		{"as-the-newest-visit-found", "revegetation", fields{"coverPct": 5}, nil,
			&figures.Visited{Measured: []figures.Measured{{Name: "coverPct", Value: 72, Unit: "%", Basis: model.Estimated, On: "2026-05-13", Visit: "v"}}},
			[]linkFact{{"Ground cover", "72\u00a0%, estimated, 13 May 2026"}}},
		{"from-which-end", "whoa-boy", fields{"chainageM": 41.1, "chainageBasis": "taped"}, nil, nil, []linkFact{{"Distance from the upper end", "41.1\u00a0m, by tape"}}},
		{"references-stay", "whoa-boy", fields{"track": "some-id", "outletSide": "left"}, nil, nil, []linkFact{{"Outlet side", "left, looking down the track"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			kind, _ := model.KindNamed(c.kind)
			if got := factsOf(kind, folded(t, "x", c.set).Model(), figures.Sheet{Figures: c.figures, Visited: c.visited}); !slices.Equal(got, c.want) {
				t.Errorf("factsOf(%s, %v): got %q, want %q", c.kind, c.set, got, c.want)
			}
		})
	}
}

func known(plusMinus float64) *float64 { return &plusMinus }

// No figure is finer than its plus-minus, or than a landholder can use it.
func TestMeasuresAreAsFineAsTheyAreUsed(t *testing.T) {
	for _, c := range []struct {
		f    model.Figure
		want string
	}{
		{model.Figure{Value: 0.400, Unit: "m", PlusMinus: known(0.005), Basis: model.Levelled}, "0.4 m, by level"},
		{model.Figure{Value: 84.237, Unit: "m", PlusMinus: known(4.2), Basis: model.GPS}, "84 ± 4 m, by GPS"},
		{model.Figure{Value: 1234.5, Unit: "m", PlusMinus: known(42), Basis: model.GPS}, "1 230 ± 40 m, by GPS"},
		{model.Figure{Value: 8000, Unit: "m2", PlusMinus: known(403), Basis: model.GPS}, "8 000 ± 400 m², by GPS"},
		{model.Figure{Value: 34567, Unit: "m2", PlusMinus: known(1203), Basis: model.Drawn}, "3.5 ± 0.1 ha, drawn on the map"},
		{model.Figure{Value: 61.2, Unit: "m", PlusMinus: known(0.05), Basis: model.Taped}, "61 m, by tape"},
		{model.Figure{Value: 0.15, Unit: "m", PlusMinus: known(0.005), Basis: model.Levelled}, "0.15 m, by level"},
		{model.Figure{Value: 0.45, Unit: "m", PlusMinus: known(0.007), Basis: model.Levelled}, "0.45 m, by level"},
		{model.Figure{Value: 0.45, Unit: "m", PlusMinus: nil, Basis: model.FromPlan}, "about 0.45 m, from the plan"},
		{model.Figure{Value: 1.25, Unit: "m", PlusMinus: known(0.007), Basis: model.Levelled}, "1.3 m, by level"},
		{model.Figure{Value: 61.2, Unit: "m", PlusMinus: nil, Basis: model.NotRecorded}, "about 61 m"},
		{model.Figure{Value: 0.05, Unit: "m", PlusMinus: known(0.004), Basis: model.Taped}, "0.05 m, by tape"},
		{model.Figure{Name: "chainageM", Value: 0, Unit: "m", PlusMinus: known(0.05), Basis: model.Taped}, "0 m, by tape"},
		{model.Figure{Name: "chainageM", Value: 13.3, Unit: "m", PlusMinus: known(0.05), Basis: model.Taped}, "13.3 m, by tape"},
		{model.Figure{Name: "chainageM", Value: 13.3, Unit: "m", PlusMinus: known(0.25), Basis: model.Taped}, "13 m, by tape"},
		{model.Figure{Name: "chainageM", Value: 149.99214, Unit: "m", PlusMinus: known(5.02), Basis: model.GPS}, "150 ± 5 m, by GPS"},
		{model.Figure{Name: "lengthM", Value: 1.24, Unit: "m", PlusMinus: known(0.05), Basis: model.Taped}, "1.2 m, by tape"},
	} {
		plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ")
		if got := plain.Replace(measureInWords(c.f)); got != c.want {
			t.Errorf("measureInWords(%+v): got %q, want %q", c.f, got, c.want)
		}
		// A file of a link holds the number that the words tell.
		if got := plain.Replace(measureInWords(asShown(c.f))); c.f.PlusMinus != nil && got != c.want {
			t.Errorf("asShown(%+v) is told as %q, want %q", c.f, got, c.want)
		}
		if short := asShown(c.f); len(strconv.FormatFloat(short.Value, 'f', -1, 64)) > 5 {
			t.Errorf("asShown(%+v): got %v, which is finer than its words", c.f, short.Value)
		}
	}
}

// A field added to a row of the kinds' table must not leave because of that, when it is
// free text.
func TestFreeTextOfANewFieldStays(t *testing.T) {
	kind := &model.Kind{Name: "swale", Fields: []model.Field{{Name: "diary", Label: "Diary", Type: model.Text}, {Name: "seedMix", Label: "Seed mix", Type: model.Text}}}
	got := factsOf(kind, folded(t, "x", fields{"diary": "quarrel at the gate", "seedMix": "stylo"}).Model(), figures.Sheet{})
	if want := []linkFact{{"Seed mix", "stylo"}}; !slices.Equal(got, want) {
		t.Errorf("factsOf a kind with a diary: got %q, want %q", got, want)
	}
}

func TestNamesCountLikePeople(t *testing.T) {
	want := []string{"", "Dam", "Dam 1", "Dam 2", "Dam 02b", "Dam 10", "Dam 10 left", "Weir 1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, compareNames)
	if !slices.Equal(got, want) {
		t.Errorf("sorted by compareNames: got %q, want %q", got, want)
	}
}
