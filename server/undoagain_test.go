package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// Several intakes that say something of the same features are undone in any order: what another undo said
// is nobody's edit, nor is what another undone intake said; and nothing that an intake said is out of reach.
func TestUndoesOfSeveralIntakes(t *testing.T) {
	for name, c := range map[string]struct {
		do   []string
		want string // of Peg 1 and Peg 2: name, notes, whether it is struck out
		list string
	}{
		"the later one first":        {[]string{"undo 3: 0 struck, 1 restored, 0 unchanged, 0 kept", "undo 2: 0 struck, 1 restored, 0 unchanged, 0 kept", "undo 1: 2 struck, 0 restored, 0 unchanged, 0 kept"}, "Peg 1 true, Peg 2 true", "undone, undone, undone"},
		"the first one first":        {[]string{"undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept"}, "Peg 1 C b false, Peg 2 true", "undone but for 1, in, in"},
		"the first one first, again": {[]string{"undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept", "undo 2: 0 struck, 1 restored, 0 unchanged, 1 kept", "undo 3: 0 struck, 1 restored, 0 unchanged, 0 kept", "undo 2: 0 struck, 1 restored, 0 unchanged, 0 kept", "undo 2: 0 struck, 0 restored, 1 unchanged, 0 kept", "undo 1: 1 struck, 0 restored, 1 unchanged, 0 kept"}, "Peg 1 true, Peg 2 true", "undone, undone, undone"},
		"one that was restored":      {[]string{"undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept", "restore 2", "undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept", "restore 2", "undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept"}, "Peg 1 C b false, Peg 2 true", "undone but for 1, in, in"},
		"one that a phone restored":  {[]string{"undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept", "phone restores 2", "undo 1: 0 struck, 0 restored, 0 unchanged, 2 kept"}, "Peg 1 C b false, Peg 2 false", "undone but for 2, in, in"},
		"edited by a phone between":  {[]string{"undo 3: 0 struck, 1 restored, 0 unchanged, 0 kept", "phone names 1", "undo 2: 0 struck, 1 restored, 0 unchanged, 1 kept", "undo 1: 1 struck, 0 restored, 0 unchanged, 1 kept"}, "P false, Peg 2 true", "undone but for 1, undone but for 1, undone"},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
			if err != nil {
				t.Fatal(err)
			}
			var uids [3]string
			edited := func(set ...string) string {
				_, exported := ask(t, http.MethodGet, s.admin.URL+"/office/export?property=Saltbush&format=geojson", "")
				var file struct{ Features []map[string]any }
				if err := json.Unmarshal([]byte(exported), &file); err != nil {
					t.Fatal(err)
				}
				file.Features = slices.DeleteFunc(file.Features, func(f map[string]any) bool { return f["id"] != uids[1] })
				for i := 0; i < len(set); i += 2 {
					file.Features[0]["properties"].(map[string]any)[set[i]] = set[i+1]
				}
				return fileOf(t, file.Features)
			}
			s.takes(t, "a.csv", "latitude,longitude,name,kind\n-19.1,144.2,Peg 1,peg\n-19.2,144.2,Peg 2,peg\n", "")
			for f, err := range s.bolt.Features(t.Context(), p.ID) {
				if err != nil {
					t.Fatal(err)
				}
				uids[map[string]int{`"Peg 1"`: 1, `"Peg 2"`: 2}[string(f.Fields["name"])]] = f.Feature
			}
			s.takes(t, "b.geojson", edited("name", "Peg 1 B", "notes", "b"), "")
			s.takes(t, "c.geojson", edited("name", "Peg 1 C"), "")
			phone := &storetest.Maker{Property: p.ID, Device: plantedPhone}
			for _, do := range c.do {
				what, want, _ := strings.Cut(do, ": ")
				word, number, _ := strings.Cut(what, " ")
				var says json.RawMessage
				switch what {
				case "restore 2":
					if restored, err := s.RestoreFeature(t.Context(), "Saltbush", uids[2], ""); err != nil || restored.Already {
						t.Fatalf("restored: %+v, %v", restored, err)
					}
				case "phone restores 2":
					entries, err := s.bolt.EntriesOf(t.Context(), p.ID, uids[2])
					if err != nil {
						t.Fatal(err)
					}
					says = phone.Strike(uids[2], register.Gather(uids[2], entries).Saw(plantedPhone), false)
				case "phone names 1":
					says = phone.Entry(uids[1], nil, "name", `"P"`)
				default:
					var n int
					fmt.Sscan(number, &n)
					undone, err := s.UndoIntake(t.Context(), n, "")
					if got := undoneWords(undone); err != nil || word != "undo" || got != want {
						t.Errorf("%s: %s, %v, want %s: %v", what, got, err, want, undone.Kept)
					}
					for _, kept := range undone.Kept {
						if strings.Contains(kept.Reason, "undo of intake") {
							t.Errorf("%s: an undo counts as an edit: %v", what, kept)
						}
					}
				}
				if says != nil {
					if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{says}); err != nil {
						t.Fatal(err)
					}
				}
			}
			var got, list []string
			for _, uid := range uids[1:] {
				for f, err := range s.bolt.FeaturesNamed(t.Context(), p.ID, []string{uid}) {
					if err != nil {
						t.Fatal(err)
					}
					m := f.Model()
					got = append(got, strings.Join(strings.Fields(fmt.Sprint(m.Text("name")+" "+m.Text("notes"), " ", f.Struck)), " "))
				}
			}
			for _, i := range s.Intakes(t.Context()) {
				list = append(list, map[bool]string{true: "undone", false: "in"}[i.Undone]+map[bool]string{true: fmt.Sprint(" but for ", i.Kept)}[i.Kept > 0])
			}
			if got, list := strings.Join(got, ", "), strings.Join(list, ", "); got != c.want || list != c.list {
				t.Errorf("got %s and the list %s, want %s and %s", got, list, c.want, c.list)
			}
		})
	}
}

// A record that is too long for one entry, of which an intake that was cut off had taken in the first, is undone
// whole when the intake went on.
func TestUndoOfARecordInTwoStretches(t *testing.T) {
	s, l := leaverSite(t)
	ctx, leave := context.WithCancel(t.Context())
	l.leave, l.during = leave, func(part string) bool { return part != officeProperty }
	long := strings.Repeat("n", register.EntryBytes/2)
	file := strings.TrimSuffix(points(takeInAtOnce-1), "]}") + `,{"type":"Feature","geometry":null,"properties":{"kind":"peg","a":"` + long + `","b":"` + long + `"}}]}`
	for _, ctx := range []context.Context{ctx, t.Context()} {
		taken, err := s.takeFile(ctx, strings.NewReader(file), url.Values{"property": {"Saltbush"}, "file": {"x.geojson"}})
		if err != nil || taken.Intake != 1 {
			t.Fatalf("taken: %+v, %v", taken, err)
		}
		phone := &storetest.Maker{Property: taken.Property.ID, Device: string(storetest.NewID())} // between the two
		if _, err := s.store.Append(t.Context(), taken.Property.ID, []json.RawMessage{phone.Entry("scald", nil, "kind", `"scald"`)}); err != nil {
			t.Fatal(err)
		}
	}
	if all := s.Intakes(t.Context()); len(all) != 1 || len(all[0].ranges) != 2 || all[0].New != takeInAtOnce {
		t.Errorf("the list is %+v", all)
	}
	if undone, err := s.UndoIntake(t.Context(), 1, ""); err != nil || undoneWords(undone) != fmt.Sprintf("%d struck, 0 restored, 0 unchanged, 0 kept", takeInAtOnce) {
		t.Errorf("undone: %s, %v, %v", undoneWords(undone), undone.Kept, err)
	}
}
