package intake

import (
	"encoding/json"
	"fmt"
	"testing"
)

// TestStruckOutInAFile: a file has a feature as struck out when its column says so, or nobody can tell.
func TestStruckOutInAFile(t *testing.T) {
	for raw, want := range map[string]bool{`true`: true, `"yes"`: true, `1`: true, `"T"`: true, `false`: false, `"no"`: false, `0`: false, `""`: false, `null`: false, ` `: false, `"perhaps"`: true, `2`: true} {
		if got := (&Ours{columns: []member{{"struckOut", json.RawMessage(raw)}}}).StruckOut(); got != want {
			t.Errorf("%s: struck out %t", raw, got)
		}
	}
	if (&Ours{columns: []member{{"name", json.RawMessage(`"x"`)}}}).StruckOut() {
		t.Error("without the column it is struck out")
	}
}

// TestPlacesAreKept: an edit without its place keeps what it says besides, and what tells how a place
// was found only where that is an edit too.
func TestPlacesAreKept(t *testing.T) {
	e := Edit{Changes: []Change{{Field: "geometry"}, {Field: "accuracyM"}, {Field: "name"}}, set: map[string]json.RawMessage{}}
	for _, name := range []string{"geometry", "positionBasis", "accuracyM", "gpsHeightM", "gpsHeightsM", "name"} {
		e.set[name] = json.RawMessage("1")
	}
	if e.Place() == nil {
		t.Error("it has no place")
	}
	e.KeepPlace()
	if got, want := fmt.Sprint(e.Values()), "map[accuracyM:[49] name:[49]]"; got != want || len(e.Changes) != 2 || e.Changes[0].Field != "accuracyM" || e.Place() != nil {
		t.Errorf("it says %s, want %s; changes %+v", got, want, e.Changes)
	}
}
