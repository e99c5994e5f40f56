package server

import (
	"encoding/json"
	"encoding/xml"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// lived is a property after two years: works of every stage, inspected or not, a head that
// moves below a catchment that somebody mapped, and a hazard.
func lived(t *testing.T) []register.Folded {
	t.Helper()
	ring := func(lon, lat, size float64) fields {
		return fields{"type": "Polygon", "coordinates": [][][2]float64{{{lon, lat}, {lon + size, lat}, {lon + size, lat + size}, {lon, lat + size}, {lon, lat}}}}
	}
	all := gully(t)
	for i := range all {
		if all[i].Feature == "dam-1" { // levelled and taped: two ways to tell one height
			all[i].Fields["crestHeightBasis"] = json.RawMessage(`"taped"`)
			all[i].Fields["toeLevelM"] = json.RawMessage("98.001")
		}
	}
	return append(all,
		folded(t, "bank", fields{"kind": "whoa-boy", "name": "Bank 5", "status": "failed", "builtOn": "2025-04-08", "failedOn": "2026-05-13", "outletSide": "right", "geometry": line([2]float64{147.31, -22.6}, [2]float64{147.3101, -22.6001})}),
		folded(t, "rip", fields{"kind": "rip-line", "name": "Rip 1", "status": "built", "builtOn": "2025-03-19", "accuracyM": 3, "positionBasis": "GPS", "geometry": line([2]float64{147.3, -22.61}, [2]float64{147.30112345678, -22.61012345678})}),
		folded(t, "sown", fields{"kind": "revegetation", "name": "Flat", "status": "built", "builtOn": "2026-02-03", "accuracyM": 3, "positionBasis": "GPS", "geometry": ring(147.32, -22.6, 0.002)}),
		folded(t, "row", fields{"kind": "windrow", "name": "Row 1", "status": "built", "builtOn": "2025-06-03", "geometry": point(147.33, -22.6)}),
		folded(t, "row-look", fields{"kind": "visit", "of": "row", "observedOn": "2026-05-13", "condition": "failed"}),
		folded(t, "rebuilt", fields{"kind": "windrow", "name": "Row 2", "status": "built", "builtOn": "2026-06-03", "geometry": point(147.33, -22.61)}),
		folded(t, "rebuilt-look", fields{"kind": "visit", "of": "rebuilt", "observedOn": "2026-05-13", "condition": "needs work"}),
		folded(t, "dam-3-look", fields{"kind": "visit", "of": "dam-3", "observedOn": "2026-05-13", "condition": "sound", "sedimentDepthM": 0.31, "sedimentDepthBasis": "taped"}),
		folded(t, "plan", fields{"kind": "windrow", "name": "Row 3", "status": "proposed", "geometry": point(147.33, -22.62)}),
		folded(t, "head", fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.6, "catchmentHa": 14, "geometry": point(147.34, -22.6)}),
		folded(t, "above", fields{"kind": "catchment", "name": "Above the head", "geometry": ring(147.34, -22.6, 0.002)}),
		folded(t, "head-1", fields{"kind": "visit", "of": "head", "observedOn": "2024-11-26", "condition": "needs work", "headOffsetM": 12.40}),
		folded(t, "head-2", fields{"kind": "visit", "of": "head", "observedOn": "2026-05-12", "condition": "needs work", "headOffsetM": 11.30}),
		folded(t, "pit", fields{"kind": "hazard", "name": "Old well", "danger": "Open shaft: keep away.", "geometry": point(147.35, -22.6)}),
	)
}

// Numbers at the head of the page are those that its key, list and map show.
func TestNumbersOfThePageAgree(t *testing.T) {
	v := viewOf(t, lived(t)...)
	stages, states := map[model.Status]int{}, map[itemState]int{}
	for _, items := range [][]linkItem{v.Works, v.Others} {
		for _, item := range items {
			stages[item.Status]++
			states[item.State]++
		}
	}
	want := []linkCount{
		{stages[model.Built], "works built 2025–2026", ""}, {stages[model.Failed], "failed", failedState},
		{states[attentionState], "need attention", attentionState}, {stages[model.Proposed], "proposed", ""},
	}
	if !slices.Equal(v.Done, want) || stages[model.Built] != 6 || stages[model.Failed] != 2 || states[attentionState] != 2 {
		t.Errorf("done: got %+v, want %+v: 6 built, 2 failed, 2 that need attention", v.Done, want)
	}
	if len(v.Watch) != states[failedState]+states[attentionState] || len(v.Hazards) != states[dangerState] || states[failedState] != stages[model.Failed] {
		t.Errorf("%d to watch and %d hazards for %v", len(v.Watch), len(v.Hazards), states)
	}
	if want := []string{"Last inspected 13 May 2026 by Kim, field officer.", "Of 8 works on the ground, 3 inspected and 5 never."}; !slices.Equal(v.Inspected, want) {
		t.Errorf("inspections: got %q, want %q", v.Inspected, want)
	}
}

// One fact is one sentence, and no sentence contradicts another.
func TestNothingIsSaidTwice(t *testing.T) {
	v := viewOf(t, lived(t)...)
	for id, want := range map[string]string{
		"bank":    "Found failed on 13 May 2026: it no longer does its job.|Built 8 April 2025.",
		"row":     "Found failed on 13 May 2026: it no longer does its job.|Built 3 June 2025.",
		"rebuilt": "Built 3 June 2026.|Not inspected since then. The inspection before was on 13 May 2026.",
		"rip":     "Built 19 March 2025.|Not inspected yet.",
		"dam-3":   "Built 12 May 2026.|Last inspected 13 May 2026: sound.",
		"plan":    "Proposed. Nothing is on the ground yet.",
		"head":    "Cut back 1.1\u00a0m up the gully since 26 November 2024.|Found to need work on 12 May 2026.",
		"pit":     "Open shaft: keep away.",
	} {
		var item linkItem
		for _, items := range [][]linkItem{v.Works, v.Others} {
			if i := slices.IndexFunc(items, func(o linkItem) bool { return o.ID == id }); i >= 0 {
				item = items[i]
			}
		}
		said := slices.Concat(item.Wrong, item.Plain)
		if item.Seen != "" {
			said = append(said, item.Seen)
		}
		if got := strings.Join(said, "|"); got != want {
			t.Errorf("%s: got %q, want %q", id, got, want)
		}
	}
}

// A catchment that was mapped otherwise than it was written down is shown with the doubt; of
// a hidden map of it only that there is one.
func TestCatchmentIsShownWithItsDoubt(t *testing.T) {
	all := lived(t)
	fact := func() string {
		for _, o := range viewOf(t, all...).Others {
			for _, f := range o.Facts {
				if f.Label == "Land draining to it" {
					return f.Text
				}
			}
		}
		return ""
	}
	if want := "14\u00a0ha was written down and 4.6\u00a0ha mapped: the officer has to find out which is right"; fact() != want {
		t.Errorf("the catchment: got %q, want %q", fact(), want)
	}
	for i := range all {
		if all[i].Feature == "above" {
			all[i].Fields["sensitive"] = json.RawMessage("true")
		}
	}
	if want := "14\u00a0ha, in doubt: ask the officer"; fact() != want {
		t.Errorf("the catchment beside a hidden map: got %q, want %q", fact(), want)
	}
}

var longNumber = regexp.MustCompile(`\d\.\d{8,}`)

// No number of the page or of a link's files has digits that nobody measured.
func TestPageAndFilesAreNoFinerThanTheyAreUsed(t *testing.T) {
	if long := longNumber.FindAllString(jsonOf(t, viewOf(t, lived(t)...)), -1); len(long) > 0 {
		t.Errorf("land.json has %q", long)
	}
}

// The files of a link say of each item what its page says, in the page's words and digits.
func TestLinkFilesSayWhatThePageSays(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	maker := storetest.Maker{Property: p.ID, Device: "a"}
	var raw []json.RawMessage
	for _, f := range lived(t) {
		var pairs []string
		for name, value := range f.Fields {
			pairs = append(pairs, name, string(value))
		}
		raw = append(raw, maker.Entry(f.Feature, nil, pairs...))
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, raw); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	_, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/land.json", "")
	var page struct{ Works, Others []linkItem }
	if err := json.Unmarshal([]byte(body), &page); err != nil {
		t.Fatal(err)
	}
	_, kml := ask(t, "GET", s.web.URL+"/map/"+secret+"/works.kml", "")
	var file struct {
		Placemarks []struct {
			ID          string `xml:"id,attr"`
			Description string `xml:"description"`
			Data        []struct {
				Name string `xml:"name,attr"`
				Text string `xml:",chardata"`
			} `xml:"ExtendedData>SchemaData>SimpleData"`
		} `xml:"Document>Folder>Placemark"`
	}
	if err := xml.Unmarshal([]byte(kml), &file); err != nil {
		t.Fatal(err)
	}
	said, columns := map[string]string{}, map[string]map[string]string{}
	for _, m := range file.Placemarks {
		id := strings.TrimPrefix(m.ID, "f_")
		said[id], columns[id] = m.Description, map[string]string{}
		for _, d := range m.Data {
			columns[id][d.Name] = d.Text
		}
	}
	n := 0
	for _, item := range slices.Concat(page.Works, page.Others) {
		lines := slices.Concat(item.Wrong, item.Plain)
		if item.Seen != "" {
			lines = append(lines, item.Seen)
		}
		for _, f := range item.Facts {
			lines = append(lines, f.Label+" "+f.Text)
		}
		for _, line := range lines {
			if n++; !slices.ContainsFunc(strings.Split(said[item.ID], "\n"), func(got string) bool { return strings.TrimPrefix(got, "Danger: ") == line }) {
				t.Errorf("works.kml says of %s %q, without the page's %q", item.ID, said[item.ID], line)
			}
		}
		if got, want := strings.Count(said[item.ID], "\n"), len(lines); got != want {
			t.Errorf("works.kml says of %s %q: %d lines more than the kind, want the page's %d", item.ID, said[item.ID], got, want)
		}
		if columns[item.ID]["status"] != string(item.Status) {
			t.Errorf("works.kml has %s as %q, the page as %q", item.ID, columns[item.ID]["status"], item.Status)
		}
	}
	if n < 25 {
		t.Errorf("the page says %d things, want more to compare", n)
	}
	for column, want := range map[string]string{"crestHeightM": "", "crestHeightBasis": "", "computedCrestHeightM": "0.4", "computedCrestHeightBasis": "levelled", "computedChainageM": "10.0", "toeLevelM": "", "thalweg": ""} {
		if got := columns["dam-1"][column]; got != want {
			t.Errorf("column %s of a levelled dam: got %q, want %q", column, got, want)
		}
	}
	for column, want := range map[string]string{"lengthM": "116.0", "lengthPlusMinusM": "4.0", "lengthBasis": "GPS"} {
		if got := columns["rip"][column]; got != want {
			t.Errorf("column %s of a rip line by GPS: got %q, want %q", column, got, want)
		}
	}
}
