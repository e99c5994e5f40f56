package figures

import (
	"encoding/json"
	"slices"
	"testing"

	"headcut/model"
)

// What a sheet rests on is what changes it: without one of those named the sheet is another, without one that is not it stays.
func TestASheetChangesWithoutWhatItRestsOn(t *testing.T) {
	dam := func(id string, chainageM float64, fields ...any) model.Feature {
		return feature("check-dam", id, north(chainageM, 0), append([]any{"thalweg", "t", "status", "built", "chainageM", chainageM}, fields...)...)
	}
	all := []model.Feature{
		gully("chainageZero", zeroAtStart), dam("a", 20), dam("b", 30), dam("c", 40), dam("d", 50, "damBelow", "c", "fromBelowM", 10),
		feature("level-run", "r", nil, "rows", book(0, staff{"b", model.ToeSpot, -1, 100}, staff{"b", model.CrestSpot, -1, 100.4}, staff{"c", model.ToeSpot, -1, 100.6})),
		feature("level-run", "q", nil, "rows", book(0, staff{"x", model.ToeSpot, -1, 100})),
	}
	for id, want := range map[string][]string{"a": {"b", "t"}, "b": {"a", "c", "r", "t"}, "d": {"c", "t"}, "q": nil} {
		of, _ := model.Find(all, func(f model.Feature) bool { return f.ID == id })
		if got := survey(all...).RestsOn(of); !slices.Equal(got, want) {
			t.Errorf("%s rests on %v, want %v", id, got, want)
		}
	}
	b := all[2]
	sheet := func(without string) string {
		kept := slices.DeleteFunc(slices.Clone(all), func(f model.Feature) bool { return f.ID == without })
		return survey(kept...).Of(b).text(t)
	}
	for _, f := range all {
		rests := slices.Contains([]string{"c", "r", "t"}, f.ID)
		if changes := sheet(f.ID) != sheet(""); f.ID != "a" && f.ID != "b" && changes != rests {
			t.Errorf("without %s the sheet of b changes: %t, want %t", f.ID, changes, rests)
		}
	}
}

func (s Sheet) text(t *testing.T) string {
	raw, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}
