package recorded

import (
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"headcut/model"
)

func item(kind string, fields string, clashes ...string) *Item {
	is := &Item{Feature: model.Feature{ID: "f-1", Kind: kind}, Clashes: clashes}
	if err := json.Unmarshal([]byte(fields), &is.Fields); err != nil {
		panic(err)
	}
	return is
}

func TestCalled(t *testing.T) {
	for want, is := range map[string]*Item{
		"Dam 1":                         item("check-dam", `{"name": "Dam 1", "observedOn": "2026-05-13"}`),
		"the gully head of 13 May 2026": item("gully-head", `{"observedOn": "2026-05-13"}`),
		"the gully head f-1":            item("gully-head", `{}`),
		"the pond f-1":                  item("pond", `{}`),
		"the feature f-1":               item("", `{}`),
	} {
		if got := is.Called(); got != want {
			t.Errorf("called %q, want %q", got, want)
		}
	}
}

func TestUnsettled(t *testing.T) {
	for _, c := range []struct{ clash, asked, want string }{
		{"crestHeightM", "crestHeightM", "its crest above bed"}, {"crestHeightM", "name", ""},
		{"strike", "name", "whether it is struck out"}, {"kind", "name", "its kind"}, {"ownField", "ownField", "its ownfield"},
	} {
		if got := item("check-dam", `{}`, c.clash).Unsettled(c.asked); got != c.want {
			t.Errorf("of %s, asked about %s: %q, want %q", c.clash, c.asked, got, c.want)
		}
	}
}

// Of two with one id the later stands, unless it was struck out, in whichever order they come.
func TestByID(t *testing.T) {
	old, now, struck := Item{Feature: model.Feature{ID: "a"}, Version: "1"}, Item{Feature: model.Feature{ID: "a"}, Version: "2"}, Item{Feature: model.Feature{ID: "a"}, Version: "3", Struck: true}
	for want, items := range map[string][]Item{"2": {old, now, struck}, "1": {struck, old}, "3": {struck}} {
		if all := ByID(slices.Values(items)); len(all) != 1 || slices.Collect(maps.Values(all))[0].Version != want {
			t.Errorf("of %+v stands %+v, want version %s", items, all["a"], want)
		}
	}
}
