package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// undoneSite is a property with one dam, which phones planted, and what intakes and phones say of it.
type undoneSite struct {
	*site
	t        *testing.T
	property string
	phones   map[string]*storetest.Maker
}

func newUndoneSite(t *testing.T) *undoneSite {
	t.Helper()
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	return &undoneSite{s, t, p.ID, map[string]*storetest.Maker{}}
}

// says has a phone write of the dam, having seen all that is there or, unaware, only the dam's first entry.
func (s *undoneSite) says(phone string, unaware bool, pairs ...string) {
	s.t.Helper()
	if s.phones[phone] == nil {
		s.phones[phone] = &storetest.Maker{Property: s.property, Device: phone}
	}
	entries, err := s.bolt.EntriesOf(s.t.Context(), s.property, "dam-5")
	if err != nil {
		s.t.Fatal(err)
	}
	if unaware {
		entries = entries[:1]
	}
	raw := s.phones[phone].Entry("dam-5", register.Gather("dam-5", entries).Saw(phone), pairs...)
	if _, err := s.bolt.Append(s.t.Context(), s.property, []json.RawMessage{raw}); err != nil {
		s.t.Fatal(err)
	}
}

func (s *undoneSite) export() string {
	_, exported := ask(s.t, http.MethodGet, s.admin.URL+"/office/export?property=Saltbush&format=geojson", "")
	return exported
}

// edits takes in an export whose dam is moved, unless north is 0, and says the pairs besides.
func (s *undoneSite) edits(exported string, north float64, pairs ...any) {
	s.t.Helper()
	var file struct{ Features []map[string]any }
	if err := json.Unmarshal([]byte(exported), &file); err != nil || len(file.Features) != 1 {
		s.t.Fatalf("%v: %s", err, exported)
	}
	if north != 0 {
		file.Features[0]["geometry"] = map[string]any{"type": "Point", "coordinates": []float64{144.2, north}}
	}
	for i := 0; i < len(pairs); i += 2 {
		file.Features[0]["properties"].(map[string]any)[pairs[i].(string)] = pairs[i+1]
	}
	if taken := s.takes(s.t, "x.geojson", fileOf(s.t, file.Features), ""); taken.Edited != 1 {
		s.t.Fatalf("taken: %+v", taken)
	}
}

func (s *undoneSite) dam() register.Folded {
	s.t.Helper()
	for f, err := range s.bolt.FeaturesNamed(s.t.Context(), s.property, []string{"dam-5"}) {
		if err != nil {
			s.t.Fatal(err)
		}
		return f
	}
	s.t.Fatal("there is no dam")
	return register.Folded{}
}

// undoes undoes the first intake and gives what stays, a line each.
func (s *undoneSite) undoes() string {
	s.t.Helper()
	undone, err := s.UndoIntake(s.t.Context(), 1, "")
	if err != nil {
		s.t.Fatal(err)
	}
	var kept []string
	for _, k := range undone.Kept {
		kept = append(kept, k.Error())
	}
	return strings.Join(kept, "\n")
}

// A value, how it was measured and, of a place, its accuracy and heights go back together or stay together, and
// what stays has the name that screens give it: a place of one day never stands with the accuracy of another.
func TestUndoKeepsAValueWithItsBasis(t *testing.T) {
	const edit = " (edit it on the field page if it should change)"
	const placeBefore = `[144.2,-19.1] 3.0 "GPS" 212`
	for name, c := range map[string]struct {
		since func(s *undoneSite)
		kept  string
		want  string // place, accuracy, basis, GPS height; crest and its basis; name
	}{
		"nobody": {func(s *undoneSite) {}, "", placeBefore + ` 0.45 "from plan" "Dam 5"`},
		"another intake moved it": {func(s *undoneSite) { s.edits(s.export(), -19.3) },
			"Place of Dam 5 was edited since by intake: it stays" + edit, `[144.2,-19.3]  "drawn on the map"  0.45 "from plan" "Dam 5"`},
		"a phone measured how well it is placed": {func(s *undoneSite) { s.says(plantedPhone, false, "accuracyM", "8") },
			"Place of Dam 5 was edited since by Officer planted1: it stays" + edit, `[144.2,-19.2] 8 "drawn on the map"  0.45 "from plan" "Dam 5"`},
		"a phone says the crest": {func(s *undoneSite) { s.says(plantedPhone, false, "crestHeightM", "0.5") },
			"Crest above bed of Dam 5 was edited since by Officer planted1: it stays" + edit, placeBefore + ` 0.5 "taped" "Dam 5"`},
		"a phone says how the crest was measured": {func(s *undoneSite) { s.says(plantedPhone, false, "crestHeightBasis", `"levelled"`) },
			"Crest above bed of Dam 5 was edited since by Officer planted1: it stays" + edit, placeBefore + ` 0.47 "levelled" "Dam 5"`},
	} {
		t.Run(name, func(t *testing.T) {
			s := newUndoneSite(t)
			s.says(plantedPhone, false, "kind", `"check-dam"`, "name", `"Dam 5"`, "crestHeightM", "0.45", "crestHeightBasis", `"from plan"`,
				"geometry", `{"type":"Point","coordinates":[144.2,-19.1]}`, "accuracyM", "3.0", "positionBasis", `"GPS"`, "gpsHeightM", "212")
			s.edits(s.export(), -19.2, "name", "Weir 5", "crestHeightM", 0.47, "crestHeightBasis", "taped")
			c.since(s)
			for range 2 {
				kept := strings.ReplaceAll(s.undoes(), "of Weir 5", "of Dam 5") // as it is called before and after
				f := s.dam().Fields
				var place struct{ Coordinates json.RawMessage }
				if err := json.Unmarshal(f["geometry"], &place); err != nil {
					t.Fatal(err)
				}
				got := fmt.Sprintf("%s %s %s %s %s %s %s", place.Coordinates, f["accuracyM"], f["positionBasis"], f["gpsHeightM"], f["crestHeightM"], f["crestHeightBasis"], f["name"])
				if got != c.want || kept != c.kept {
					t.Errorf("the dam is\n%s\nwant\n%s\nkept %q, want %q", got, c.want, kept, c.kept)
				}
			}
		})
	}
}

// What was in clash before the intake stays as it is: an entry that gave back one side would hide the other.
func TestUndoKeepsWhatSettledAClash(t *testing.T) {
	for name, c := range map[string]struct {
		stale   bool // the export was made before the clash
		kept    string
		clashes int
	}{
		"the intake settled it":  {false, "Name of Dam 5 was in clash before: it stays as settled (edit it on the field page if it should change)", 0},
		"it is in clash as ever": {true, "Name of Dam 5 was in clash before, and is: it stays so (settle it on the field page)", 3},
	} {
		t.Run(name, func(t *testing.T) {
			s := newUndoneSite(t)
			s.says(plantedPhone, false, "kind", `"check-dam"`, "name", `"Dam"`, "notes", `"as found"`, "geometry", `{"type":"Point","coordinates":[144.2,-19.1]}`)
			exported := s.export()
			s.says("phone-a", true, "name", `"Dam A"`)
			s.says("phone-b", true, "name", `"Dam B"`)
			if len(s.dam().Clashes) != 1 {
				t.Fatalf("no clash: %+v", s.dam())
			}
			if !c.stale {
				exported = s.export()
			}
			s.edits(exported, 0, "name", "Dam 5", "notes", "in the file")
			for range 2 {
				f := s.dam()
				before := f.Fields["name"]
				kept := strings.Replace(s.undoes(), "of "+strings.Trim(string(before), `"`), "of Dam 5", 1)
				f = s.dam()
				sides := 0
				if at := slices.IndexFunc(f.Clashes, func(c register.Clash) bool { return c.Field == "name" }); at >= 0 {
					sides = len(f.Clashes[at].Values)
				}
				if string(f.Fields["name"]) != string(before) || !c.stale && string(before) != `"Dam 5"` || string(f.Fields["notes"]) != `"as found"` || kept != c.kept || sides != c.clashes {
					t.Errorf("the dam is %s, notes %s, %d sides; kept %q, want %q", f.Fields["name"], f.Fields["notes"], sides, kept, c.kept)
				}
			}
		})
	}
}
