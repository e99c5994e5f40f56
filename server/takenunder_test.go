package server

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"headcut/sync/intake"
	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

const hiddenRows = "latitude,longitude,name,kind,notes,sensitive\n-19.11,144.2,Rock hole,check-dam,as found,yes\n-19.12,144.2,Open dam,check-dam,as found,\n"

// takeRows takes in a file on Saltbush.
func takeRows(t *testing.T, s *site, text string) Taken {
	t.Helper()
	status, body := ask(t, http.MethodPost, s.admin.URL+"/office/intake?"+url.Values{"property": {"Saltbush"}, "file": {"rows.csv"}}.Encode(), text)
	var taken Taken
	if err := json.Unmarshal([]byte(body), &taken); status != 200 || err != nil {
		t.Fatalf("%d %s", status, body)
	}
	return taken
}

// ofRows are the entries that an intake of the rows makes on a property, which anybody can work out.
func ofRows(t *testing.T, property string) (all []register.Entry) {
	t.Helper()
	file, err := intake.Read("rows.csv", strings.NewReader(hiddenRows))
	if err != nil {
		t.Fatal(err)
	}
	entries, err := intake.Entries(file, property, "")
	if err != nil {
		t.Fatal(err)
	}
	for e := range entries {
		all = append(all, e)
	}
	return all
}

// A register that was restored has of a file's features only what phones send again, until the file is taken
// in again: then all that it says is there, below what the phones said since, and undoing it keeps what they edited.
// Until then the landholder sees nothing of them.
func TestFileIsTakenInUnderWhatPhonesSaidOfIt(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	phone := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	made := ofRows(t, p.ID)
	for i, e := range made {
		saw := map[string]uint64{e.Device: 1}
		say := phone.Entry(e.Feature, saw, "kind", `"check-dam"`, "notes", `"since"`, "geometry", `{"type":"Point","coordinates":[144.2,-19.1]}`)
		if i == 0 {
			say = phone.Entry(e.Feature, saw, "name", `"Secret rock"`, "kind", `"check-dam"`, "geometry", `{"type":"Point","coordinates":[144.2,-19.1]}`)
		}
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{say}); err != nil {
			t.Fatal(err)
		}
	}
	onLink := func() string {
		_, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/works.geojson", "")
		return body
	}
	if seen := onLink(); strings.Contains(seen, made[0].Feature) || strings.Contains(seen, made[1].Feature) {
		t.Errorf("the landholder sees what a lost file may have hidden: %s", seen)
	}
	taken := takeRows(t, s, hiddenRows)
	if taken.New != 2 || taken.Edited != 2 || taken.NewFeatures+taken.KnownFeatures != 0 || len(taken.Notes) != 2 || len(taken.Edits[0].Clashes)+len(taken.Edits[1].Clashes) > 0 {
		t.Errorf("the file is taken in again: %+v", taken)
	}
	for i, want := range []string{`"Secret rock" "as found" true`, `"Open dam" "since" `} {
		entries, err := s.bolt.EntriesOf(t.Context(), p.ID, made[i].Feature)
		if err != nil {
			t.Fatal(err)
		}
		f := register.Fold(made[i].Feature, entries).Fields
		if got := string(f["name"]) + " " + string(f["notes"]) + " " + string(f["sensitive"]); got != want {
			t.Errorf("feature %d is %s, want %s", i, got, want)
		}
	}
	if seen := onLink(); strings.Contains(seen, made[0].Feature) || !strings.Contains(seen, made[1].Feature) {
		t.Errorf("the landholder sees %s, want the open dam alone", seen)
	}
	if taken := takeRows(t, s, hiddenRows); taken.New != 0 || taken.KnownFeatures != 2 {
		t.Errorf("the file is taken in a third time: %+v", taken)
	}
	undone, err := s.UndoIntake(t.Context(), 1, "")
	if err != nil || undoneWords(undone) != "0 struck, 0 restored, 0 unchanged, 2 kept" || strings.Contains(onLink(), made[0].Feature) {
		t.Errorf("undone: %s (%v)", undoneWords(undone), err)
	}
}

// Whoever works out the ids that a file's features and entries will have, and writes under them first, keeps
// nothing of the file out: it comes in as a clash, as an edit, or under another id.
func TestForeseenIdsKeepNoFileOut(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	phone := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	made := ofRows(t, p.ID)
	squat := func(id register.ID, feature string) {
		t.Helper()
		e, err := register.Decode(phone.Entry(feature, nil, "name", `"Taken"`, "kind", `"scald"`))
		if err != nil {
			t.Fatal(err)
		}
		if id != "" {
			e.ID = id
		}
		raw, err := register.Encode(e)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{raw}); err != nil || got[0].Refused != "" {
			t.Fatal(err, got)
		}
	}
	squat(made[0].ID, made[0].Feature) // both ids
	squat(made[1].ID, "another")       // that of the entry
	if taken := takeRows(t, s, hiddenRows); taken.New != 2 || taken.Edited != 1 || taken.NewFeatures != 1 || len(taken.Refused) > 0 || len(taken.Edits) != 1 || len(taken.Edits[0].Clashes) != 2 {
		t.Errorf("the file is taken in: %+v", taken)
	}
	for i, name := range []string{"Rock hole", "Open dam"} {
		entries, err := s.bolt.EntriesOf(t.Context(), p.ID, made[i].Feature)
		if err != nil {
			t.Fatal(err)
		}
		f := register.Fold(made[i].Feature, entries)
		claims, _ := json.Marshal(f)
		if !strings.Contains(string(claims), name) || i == 0 && string(f.Fields["sensitive"]) != "true" {
			t.Errorf("%s did not come in: %s", name, claims)
		}
	}
	if taken := takeRows(t, s, hiddenRows); taken.New != 0 || taken.KnownFeatures != 2 {
		t.Errorf("the file is taken in again: %+v", taken)
	}
	for range 2 { // the second time nothing is left to undo
		if _, err := s.UndoIntake(t.Context(), 1, ""); err != nil {
			t.Fatal(err)
		}
	}
	if f := foldedOf(t, s, p.ID, made[0].Feature); string(f.Fields["name"]) != `"Taken"` || f.Struck {
		t.Errorf("after undoing, what the phone said is %+v", f)
	}
}

func foldedOf(t *testing.T, s *site, property, feature string) register.Folded {
	t.Helper()
	entries, err := s.bolt.EntriesOf(t.Context(), property, feature)
	if err != nil {
		t.Fatal(err)
	}
	return register.Fold(feature, entries)
}
