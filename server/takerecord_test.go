package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"headcut/sync/store/storetest"
)

// takenWords are the counts of an answer that are not 0.
func takenWords(taken Taken) string {
	var words []string
	for _, c := range []struct {
		what string
		n    int
	}{{"new", taken.New}, {"known", taken.Known}, {"made", taken.NewFeatures}, {"same", taken.KnownFeatures}, {"struck", taken.StruckFeatures}, {"edited", taken.Edited}, {"absent", taken.Absent}, {"left out", taken.LeftOut}, {"edits", len(taken.Edits)}} {
		if c.n > 0 {
			words = append(words, fmt.Sprint(c.what, " ", c.n))
		}
	}
	return strings.Join(words, ", ")
}

// exportedDams is a site with three dams in a register, and what is exported of them.
func exportedDams(t *testing.T) (*site, *storetest.Maker, []map[string]any) {
	t.Helper()
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	maker := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	for i := range 3 {
		raw := maker.Entry(fmt.Sprint("dam-", i), nil, "kind", `"check-dam"`, "name", fmt.Sprintf(`"Dam %d"`, i), "crestHeightM", "0.4", "geometry", fmt.Sprintf(`{"type":"Point","coordinates":[144.2,-19.1%d]}`, i))
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{raw}); err != nil {
			t.Fatal(err)
		}
	}
	_, text := ask(t, http.MethodGet, s.admin.URL+"/office/export?property=Saltbush&format=geojson", "")
	var file struct{ Features []map[string]any }
	if err := json.Unmarshal([]byte(text), &file); err != nil || len(file.Features) != 3 {
		t.Fatalf("%v: %s", err, text)
	}
	return s, maker, file.Features
}

func (s *site) takes(t *testing.T, name, file, query string) Taken {
	t.Helper()
	status, body := ask(t, http.MethodPost, s.admin.URL+"/office/intake?property=Saltbush&file="+url.QueryEscape(name)+query, file)
	var taken Taken
	if err := json.Unmarshal([]byte(body), &taken); status != 200 || err != nil {
		t.Fatalf("%d %s", status, body)
	}
	return taken
}

func fileOf(t *testing.T, features []map[string]any) string {
	t.Helper()
	return string(asJSON(map[string]any{"type": "FeatureCollection", "features": features}))
}

// Each row of an export that comes back is an edit of its feature, or says why it is none.
func TestExportComesBack(t *testing.T) {
	of := func(f []map[string]any, i int) map[string]any { return f[i]["properties"].(map[string]any) }
	for name, c := range map[string]struct {
		edit        func(f []map[string]any) []map[string]any
		query, want string
		note        string
		again       string // of the same file
	}{
		"as it was":  {func(f []map[string]any) []map[string]any { return f }, "", "same 3", "", "same 3"},
		"a name":     {func(f []map[string]any) []map[string]any { of(f, 1)["name"] = "Weir"; return f }, "", "new 1, same 2, edited 1, edits 1", "", "known 1, same 3"},
		"tried only": {func(f []map[string]any) []map[string]any { of(f, 1)["name"] = "Weir"; return f }, "&dryRun=1", "new 1, same 2, edited 1, edits 1", "", "new 1, same 2, edited 1, edits 1"},
		"a row less": {func(f []map[string]any) []map[string]any { return f[1:] }, "", "same 2, absent 1", "", "same 2, absent 1"},
		"another version": {func(f []map[string]any) []map[string]any {
			of(f, 1)["version"], of(f, 1)["name"] = "v0123456789abcdef", "Weir"
			return f
		}, "", "same 2, left out 1", "none that this register knows", "same 2, left out 1"},
		"no version": {func(f []map[string]any) []map[string]any { delete(of(f, 1), "version"); return f }, "", "same 3", "", "same 3"},
		"no version, other": {func(f []map[string]any) []map[string]any {
			delete(of(f, 1), "version")
			of(f, 1)["name"] = "Weir"
			return f
		}, "", "same 3, left out 1", "which is newer cannot be known", "same 3, left out 1"},
		"a copy":      {func(f []map[string]any) []map[string]any { delete(of(f, 1), "version"); return append(f, f[1]) }, "", "same 3, left out 1", "is in the file twice", "same 3, left out 1"},
		"another uid": {func(f []map[string]any) []map[string]any { of(f, 1)["uid"] = "dam-9"; return f }, "", "new 1, made 1, same 2, absent 1", "taken as a feature of its own", "known 1, same 3, absent 1"},
		"struck elsewhere": {func(f []map[string]any) []map[string]any {
			of(f, 1)["uid"], of(f, 1)["struckOut"] = "dam-9", true
			return f
		}, "", "same 2, absent 1, left out 1", "was struck out where it was exported", "same 2, absent 1, left out 1"},
		"sensitive, unclear": {func(f []map[string]any) []map[string]any { of(f, 1)["sensitive"] = "ja"; return f }, "", "new 1, same 2, edited 1, left out 1, edits 1", "marked sensitive", "known 1, same 3, left out 1"},
		"far off": {func(f []map[string]any) []map[string]any {
			f[1]["geometry"] = map[string]any{"type": "Point", "coordinates": []float64{144.2, 19.11}}
			return f
		}, "", "same 3, left out 1", "Dam 1 is 4 2", "same 3, left out 1"},
		"far off and right": {func(f []map[string]any) []map[string]any {
			f[1]["geometry"] = map[string]any{"type": "Point", "coordinates": []float64{144.2, 19.11}}
			return f
		}, "&far=1", "new 1, same 2, edited 1, edits 1", "", "known 1, same 3"},
		"too high": {func(f []map[string]any) []map[string]any { of(f, 1)["crestHeightM"] = 2.5; return f }, "", "new 1, same 2, edited 1, edits 1", "above the limit", "known 1, same 3"},
	} {
		t.Run(name, func(t *testing.T) {
			s, _, features := exportedDams(t)
			file := fileOf(t, c.edit(features))
			taken := s.takes(t, "x.geojson", file, c.query)
			if got := takenWords(taken); got != c.want {
				t.Errorf("taken: %s, want %s", got, c.want)
			}
			notes := ""
			for _, note := range taken.Notes {
				notes += note.Error() + "\n"
			}
			if (notes == "") != (c.note == "") || !strings.Contains(notes, c.note) {
				t.Errorf("notes: %q, want %q", notes, c.note)
			}
			if again := takenWords(s.takes(t, "x.geojson", file, c.query)); again != c.again {
				t.Errorf("taken in again: %s, want %s", again, c.again)
			}
		})
	}
}

// An edit that was undone stays so, and what was struck out is neither absent nor back.
func TestWhatWasTakenBackStaysSo(t *testing.T) {
	s, maker, features := exportedDams(t)
	features[1]["properties"].(map[string]any)["name"] = "Weir"
	file := fileOf(t, features)
	s.takes(t, "x.geojson", file, "")
	if undone, err := s.UndoIntake(t.Context(), 1, "A. Clerk"); err != nil || undone.Restored != 1 {
		t.Fatalf("undone: %+v (%v)", undone, err)
	}
	taken := s.takes(t, "x.geojson", file, "")
	if got := takenWords(taken); got != "known 1, same 3, left out 1" || !strings.Contains(taken.Notes[0].Reason, "Dam 1: what the file says otherwise was taken in before and undone since (A. Clerk)") {
		t.Errorf("after it was undone: %s, %v", got, taken.Notes)
	}
	if _, err := s.bolt.Append(t.Context(), maker.Property, []json.RawMessage{maker.Strike("dam-2", nil, true)}); err != nil {
		t.Fatal(err)
	}
	if got := takenWords(s.takes(t, "x.geojson", fileOf(t, features[:1]), "")); got != "same 1, absent 1" {
		t.Errorf("of two that the file has no more one is struck out: %s", got)
	}
	delete(features[2]["properties"].(map[string]any), "version")
	if got := takenWords(s.takes(t, "x.geojson", fileOf(t, features[2:]), "")); got != "same 1, struck 1, absent 2" {
		t.Errorf("one that is struck out, without a version: %s", got)
	}
}

// A point whose kind nobody knew is sorted by the same file, once, and again only when nobody undid it.
func TestUnsortedIsSorted(t *testing.T) {
	s := newSite(t)
	const file = "name,lat,lon\nA,-20,147\nB,-20.001,147\n"
	for _, c := range []struct{ query, want string }{
		{"&new=1", "new 2, made 2"}, {"", "known 2, same 2"}, {"&kind=peg", "new 2, known 2, edited 2, edits 2"}, {"&kind=peg", "known 2, same 2"}, {"", "known 2, same 2"},
	} {
		taken := s.takes(t, "x.csv", file, c.query)
		if got := takenWords(taken); got != c.want {
			t.Errorf("with %q: %s, want %s", c.query, got, c.want)
		}
	}
	if undone, err := s.UndoIntake(t.Context(), 2, ""); err != nil || undone.Restored != 2 {
		t.Fatalf("undone: %+v (%v)", undone, err)
	}
	if taken := s.takes(t, "x.csv", file, "&kind=peg"); taken.Edited != 0 || taken.LeftOut != 2 || !strings.Contains(taken.Notes[0].Reason, "undone since") {
		t.Errorf("after it was undone: %+v", taken)
	}
}

// What was struck out is restored by its uid, once.
func TestFeatureIsRestored(t *testing.T) {
	s, maker, _ := exportedDams(t)
	if _, err := s.bolt.Append(t.Context(), maker.Property, []json.RawMessage{maker.Strike("dam-1", nil, true)}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		query, want string
		status      int
	}{
		{"property=Saltbush&feature=dam-1", `{"feature":"dam-1","kind":"check-dam","name":"Dam 1"}`, 200},
		{"property=Saltbush&feature=dam-1", `{"feature":"dam-1","kind":"check-dam","name":"Dam 1","already":true}`, 200},
		{"property=Saltbush&feature=dam-9", `"dam-9\" is no feature of Saltbush`, 422}, {"property=Mulga&feature=dam-1", "there is no property called", 422},
		{"property=Saltbush&feature=dam-1&author=" + strings.Repeat("x", 10), `"already":true`, 200},
	} {
		if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/restore?"+c.query, ""); status != c.status || !strings.Contains(body, c.want) {
			t.Errorf("%s: %d %s, want %s", c.query, status, body, c.want)
		}
	}
	entries, err := s.bolt.EntriesOf(t.Context(), maker.Property, "dam-1")
	if err != nil || len(entries) != 3 || entries[2].Entry.Author != officeAuthor || entries[2].Entry.Strike == nil || *entries[2].Entry.Strike {
		t.Errorf("the entries are %+v (%v), want a third by the office", entries, err)
	}
}
