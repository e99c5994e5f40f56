package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"headcut/sync/store/storetest"
)

// An intake is undone as far as nobody edited since what it said: what it made is struck out, what it edited
// says again what it said, and what stays is named with who edited it.
func TestUndoKeepsWhatWasEditedSince(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	maker := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	say := func(feature string, pairs ...string) {
		t.Helper()
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry(feature, nil, pairs...)}); err != nil {
			t.Fatal(err)
		}
	}
	take := func(file string) Taken {
		t.Helper()
		status, body := ask(t, http.MethodPost, s.admin.URL+"/office/intake?property=Saltbush&file=x.geojson", file)
		var taken Taken
		if err := json.Unmarshal([]byte(body), &taken); status != 200 || err != nil {
			t.Fatalf("%d %s", status, body)
		}
		return taken
	}
	for i, name := range []string{"Dam 1", "Dam 2", "Dam 3"} {
		say("dam-"+name[4:], "kind", `"check-dam"`, "name", `"`+name+`"`, "notes", `"as found"`, "geometry", `{"type":"Point","coordinates":[144.2,-19.1`+string(rune('0'+i))+`]}`)
	}
	_, exported := ask(t, http.MethodGet, s.admin.URL+"/office/export?property=Saltbush&format=geojson", "")
	edited := strings.NewReplacer(`"Dam 1"`, `"Weir 1"`, `"Dam 2"`, `"Weir 2"`, `"Dam 3"`, `"Weir 3"`, `"as found"`, `"in the file"`).Replace(exported)
	if taken := take(edited); taken.Intake != 1 || taken.Edited != 3 {
		t.Fatalf("the edited export: %+v", taken)
	}
	if taken := take(points(3)); taken.Intake != 2 || taken.NewFeatures != 3 {
		t.Fatalf("the points: %+v", taken)
	}
	say("dam-1", "notes", `"since"`) // of which the name goes back
	say("dam-2", "notes", `"since"`)
	say("dam-2", "name", `"Weir two"`) // nothing goes back
	var pegs []string
	for f, err := range s.bolt.Features(t.Context(), p.ID) {
		if err != nil {
			t.Fatal(err)
		}
		if string(f.Fields["kind"]) == `"peg"` {
			pegs = append(pegs, f.Feature)
		}
	}
	say(pegs[0], "notes", `"since"`)
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Strike(pegs[1], nil, true)}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ number, want, again string }{
		{"1", "0 struck, 2 restored, 0 unchanged, 3 kept", "0 struck, 0 restored, 2 unchanged, 3 kept"},
		{"2", "1 struck, 0 restored, 1 unchanged, 1 kept", "0 struck, 0 restored, 2 unchanged, 1 kept"},
	} {
		for _, want := range []string{c.want, c.again} {
			status, body := ask(t, http.MethodPost, s.admin.URL+"/office/intake/undo?number="+c.number, "")
			var u Undone
			if err := json.Unmarshal([]byte(body), &u); status != 200 || err != nil || !u.Intake.Undone {
				t.Fatalf("undo %s: %d %s", c.number, status, body)
			}
			if got := undoneWords(u); got != want {
				t.Errorf("undo %s: %s, want %s", c.number, got, want)
			}
			for _, kept := range u.Kept {
				if !strings.Contains(kept.Reason, "edited since by Officer planted1: it stays") {
					t.Errorf("kept: %v", kept)
				}
			}
		}
	}
	for f, err := range s.bolt.Features(t.Context(), p.ID) {
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]string{"dam-1": `"Dam 1" "since" false`, "dam-2": `"Weir two" "since" false`, "dam-3": `"Dam 3" "as found" false`}[f.Feature]
		got := string(f.Fields["name"]) + " " + string(f.Fields["notes"]) + " " + map[bool]string{true: "true", false: "false"}[f.Struck]
		if want != "" && got != want || want == "" && f.Struck != (f.Feature != pegs[0]) {
			t.Errorf("%s is %s, want %s", f.Feature, got, want)
		}
	}
	for _, number := range []string{"", "x", "3", "0"} {
		if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/intake/undo?number="+number, ""); status != http.StatusUnprocessableEntity || !strings.Contains(body, "headcut intake --list") {
			t.Errorf("undo of %q: %d %s", number, status, body)
		}
	}
}

func undoneWords(u Undone) string {
	return fmt.Sprintf("%d struck, %d restored, %d unchanged, %d kept", u.Struck, u.Restored, u.Unchanged, len(u.Kept))
}
