package server

import (
	"encoding/json"
	"errors"
	"iter"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// fields is a feature's fields as a test writes them.
type fields map[string]any

func folded(t *testing.T, id string, set fields) register.Folded {
	t.Helper()
	f := register.Folded{Feature: id, Fields: map[string]json.RawMessage{}, Recorded: register.Word{Author: "Kim, field officer", SeenAt: "2020-01-01T08:00:00+10:00"}}
	for name, value := range set {
		raw, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		f.Fields[name] = raw
	}
	return f
}

func storeOf(all ...register.Folded) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		for _, f := range all {
			if !yield(f, nil) {
				return
			}
		}
	}
}

func point(lon, lat float64) fields {
	return fields{"type": "Point", "coordinates": []float64{lon, lat}}
}

func line(positions ...[2]float64) fields {
	return fields{"type": "LineString", "coordinates": positions}
}

// wholeView is what a small property's page shows, with its lists.
type wholeView struct {
	LastEntry string        `json:"lastEntry"`
	Inspected []string      `json:"inspected"`
	Done      []linkCount   `json:"done"`
	Watch     []watchRow    `json:"watch"`
	Hazards   []watchRow    `json:"hazards"`
	Kinds     []linkKind    `json:"kinds"`
	Works     []linkItem    `json:"works"`
	Others    []linkItem    `json:"others"`
	Sections  []linkSection `json:"sections"`
	LastVisit *inspection   `json:"-"`

	text string // the JSON
}

func viewOf(t *testing.T, all ...register.Folded) wholeView {
	t.Helper()
	return viewIn(t, bookOf(t, all...))
}

func bookOf(t testing.TB, all ...register.Folded) *linkBook {
	t.Helper()
	b := newLinkBook()
	if err := b.take(storeOf(all...)); err != nil {
		t.Fatal(err)
	}
	return b
}

// viewIn is what a book shows now.
func viewIn(t testing.TB, b *linkBook) wholeView {
	t.Helper()
	if err := b.pack(); err != nil {
		t.Fatal(err)
	}
	v := wholeView{text: string(asJSON(b.view("Ridge Block", false)))}
	if err := json.Unmarshal([]byte(v.text), &v); err != nil {
		t.Fatal(err)
	}
	var all itemSums
	for _, list := range []*blockList{&b.works, &b.others} {
		for _, block := range list.blocks {
			all.add(&block.sums)
		}
	}
	if v.LastVisit = all.lastVisit; v.LastVisit != nil {
		v.LastVisit = &inspection{On: all.lastVisit.On, By: all.lastVisit.By}
	}
	return v
}

func jsonOf(_ *testing.T, v wholeView) string { return v.text }

const (
	shaA = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
	shaB = "bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb"
	shaC = "cccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccc"
)

// gully is a thalweg of about 111 m up a meridian, levelled every 10 m by a run that
// closes, with three dams of which the first two leave a gap of 0.20 m and the others meet.
func gully(t *testing.T) []register.Folded {
	t.Helper()
	var rows []fields
	rows = append(rows, fields{"point": "BM", "bs": 3.0, "knownLevelM": 100.0})
	level := func(name string, levelM float64, more fields) {
		row := fields{"point": name, "is": math.Round((103-levelM)*1000) / 1000}
		maps.Copy(row, more)
		rows = append(rows, row)
	}
	for c := 0.0; c <= 100; c += 10 {
		level("bed", 100+c*0.02, fields{"feature": "thal", "spot": "bed", "chainageM": c})
	}
	for _, d := range []struct {
		id         string
		toe, crest float64
	}{{"dam-1", 100.20, 100.60}, {"dam-2", 100.80, 101.20}, {"dam-3", 101.20, 101.60}} {
		level(d.id, d.toe, fields{"feature": d.id, "spot": "toe"})
		level(d.id, d.crest, fields{"feature": d.id, "spot": "crest"})
	}
	rows = append(rows, fields{"point": "BM", "fs": 3.0, "knownLevelM": 100.0})
	dam := func(id, name string, chainageM float64) register.Folded {
		return folded(t, id, fields{
			"kind": "check-dam", "name": name, "status": "built", "builtOn": "2026-05-12", "thalweg": "thal",
			"chainageM": chainageM, "crestHeightM": 0.4, "geometry": point(147.3, -22.6+chainageM/110700),
		})
	}
	return []register.Folded{
		folded(t, "thal", fields{"kind": "thalweg", "name": "Lower Gully", "geometry": line([2]float64{147.3, -22.6}, [2]float64{147.3, -22.599})}),
		folded(t, "run", fields{"kind": "level-run", "name": "Book 1", "rows": rows}),
		dam("dam-1", "Dam one", 10), dam("dam-2", "Dam two", 40), dam("dam-3", "Dam three", 60),
	}
}

// Every key that may appear in land.json. A new one is a decision, made here.
var allowedKeys = strings.Fields(`
	property lastEntry inspected done watch hazards kinds works others sections
	name label plural work mark colour what care
	on count
	id kind status statusOn builtOn state geometry plain wrong seen facts photos
	text sha
	type coordinates
	thalweg lengthM proven bed dams pairs notes
	chainageM levelM toeLevelM crestLevelM heightM heightPlanned basis
	lower upper spacingM plusMinusM stepM verdict hump aboveM`)

func TestOnlyListedKeysLeave(t *testing.T) {
	all := append(gully(t),
		folded(t, "sown", fields{"kind": "revegetation", "status": "built", "seedMix": "buffel and stylo", "photos": []string{shaA}, "observedOn": "2026-07-01",
			"geometry": fields{"type": "Polygon", "coordinates": [][][2]float64{{{147.3, -22.6}, {147.31, -22.6}, {147.31, -22.59}, {147.3, -22.6}}}}}),
		folded(t, "dam-4", fields{"kind": "check-dam", "name": "Dam four", "status": "pegged", "thalweg": "thal", "chainageM": 90, "crestHeightM": 0.4,
			"crestHeightBasis": "from plan", "geometry": point(147.3, -22.5992)}),
		folded(t, "bluff", fields{"kind": "hazard", "name": "Bluff", "danger": "undercut bank", "geometry": point(147.3, -22.6)}),
		folded(t, "look", fields{"kind": "visit", "of": "sown", "observedOn": "2026-08-01", "condition": "needs work"}),
	)
	var value any
	if err := json.Unmarshal([]byte(jsonOf(t, viewOf(t, all...))), &value); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, inner := range v {
				seen[key] = true
				walk(inner)
			}
		case []any:
			for _, inner := range v {
				walk(inner)
			}
		}
	}
	walk(value)
	for key := range seen {
		if !slices.Contains(allowedKeys, key) {
			t.Errorf("land.json has the key %q, which is not on the list", key)
		}
	}
	for _, key := range allowedKeys {
		if !seen[key] && key != "statusOn" && key != "hump" && key != "aboveM" { // TestHumpIsToldInMetres
			t.Errorf("the list has %q, which this land does not show: the test does not look at it", key)
		}
	}
}

func TestPrivateValuesStay(t *testing.T) {
	const secret = "SECRET"
	dam := folded(t, "dam", fields{
		"kind": "check-dam", "name": "Dam", "status": "built", "geometry": point(147.3, -22.6), "material": "loose rock",
		"notes": secret + " owner quarrels", "author": secret, "device": secret, "private": secret,
		"accuracyM": 4.25, "gpsHeightM": 231.5, "builtBy": secret, "thalweg": secret, "observedOn": "2026-01-02",
	})
	dam.Clashes = []register.Clash{{Field: "name", Values: []register.Claim{{Value: json.RawMessage(`"` + secret + `"`), Author: secret, Device: secret}}}}
	hazard := folded(t, "hazard", fields{"kind": "hazard", "danger": "old well", "notes": secret, "geometry": point(147.3, -22.6)})
	visit := folded(t, "visit", fields{"kind": "visit", "of": "dam", "observedOn": "2026-06-01", "condition": "needs work", "notes": secret})
	wrong := folded(t, "wrong", fields{"kind": "check-dam", "status": secret, "material": secret, "geometry": point(147.3, -22.6)})
	text := jsonOf(t, viewOf(t, dam, hazard, visit, wrong))
	for _, never := range []string{secret, "4.25", "231.5"} {
		if strings.Contains(text, never) {
			t.Errorf("land.json tells %q: %s", never, text)
		}
	}
	if want := "Found to need work on 1 June 2026."; !strings.Contains(text, want) {
		t.Errorf("land.json lacks %q: %s", want, text)
	}
}

func TestWithheldFeatures(t *testing.T) {
	for _, c := range []struct {
		name  string
		set   fields
		strik bool
		shown bool
	}{
		{"built dam", fields{"kind": "check-dam", "status": "built"}, false, true},
		{"sensitive dam", fields{"kind": "check-dam", "status": "built", "sensitive": true}, false, false},
		{"struck dam", fields{"kind": "check-dam", "status": "built"}, true, false},
		{"track", fields{"kind": "track"}, false, true},
		{"sensitive track", fields{"kind": "track", "sensitive": true}, false, false},
		{"benchmark", fields{"kind": "benchmark"}, false, false},
		{"peg", fields{"kind": "peg"}, false, false},
		{"level run", fields{"kind": "level-run", "rows": []fields{}}, false, false},
		{"kind of a newer program", fields{"kind": "swale"}, false, false},
		{"no kind", fields{}, false, false},
	} {
		t.Run(strings.ReplaceAll(c.name, " ", "-"), func(t *testing.T) {
			c.set["name"], c.set["geometry"] = "Tell-tale", point(147.3, -22.6)
			f := folded(t, "feature-of-the-case", c.set)
			f.Struck = c.strik
			text := jsonOf(t, viewOf(t, f))
			for _, trace := range []string{"feature-of-the-case", "Tell-tale", "147.3"} {
				if got := strings.Contains(text, trace); got != c.shown {
					t.Errorf("%s: land.json has %q: got %v, want %v in %s", c.name, trace, got, c.shown, text)
				}
			}
		})
	}
}

func TestHiddenDamTellsNothingThroughItsNeighbours(t *testing.T) {
	open := viewOf(t, gully(t)...)
	if len(open.Sections) != 1 || len(open.Sections[0].Pairs) != 2 || !strings.Contains(jsonOf(t, open), "Dam two") {
		t.Fatalf("the open gully: got %s, want a section with two pairs that name Dam two", jsonOf(t, open))
	}
	all := gully(t)
	for i := range all {
		if all[i].Feature == "dam-2" {
			all[i].Fields["sensitive"] = json.RawMessage("true")
		}
	}
	v := viewOf(t, all...)
	text := jsonOf(t, v)
	for _, trace := range []string{"Dam two", "dam-2", "spacingM\":30", "a gap"} {
		if strings.Contains(text, trace) {
			t.Errorf("land.json tells %q of a sensitive dam: %s", trace, text)
		}
	}
	if len(v.Sections) != 1 || len(v.Sections[0].Dams) != 2 || len(v.Sections[0].Pairs) != 0 || len(v.Sections[0].Notes) != 1 {
		t.Errorf("section with a hidden dam: got %+v, want two dams, no pair and a note", v.Sections)
	}
	for _, w := range v.Works {
		if len(w.Wrong) != 0 || w.State != "" {
			t.Errorf("%s beside a hidden dam: got %q %q, want nothing against its neighbours", w.ID, w.State, w.Wrong)
		}
	}
}

func TestPhotos(t *testing.T) {
	all := []register.Folded{
		folded(t, "dam", fields{"kind": "check-dam", "status": "built", "photos": []string{shaB}, "observedOn": "2026-03-01"}),
		folded(t, "later", fields{"kind": "visit", "of": "dam", "observedOn": "2026-09-01", "photos": []string{shaC, shaB}}),
		folded(t, "earlier", fields{"kind": "visit", "of": "dam", "observedOn": "2026-01-01", "photos": []string{shaA}}),
		folded(t, "hidden", fields{"kind": "visit", "of": "dam", "observedOn": "2026-02-01", "photos": []string{strings.Repeat("d", 64)}, "sensitive": true}),
		folded(t, "bad", fields{"kind": "visit", "of": "dam", "observedOn": "2026-02-01", "photos": []string{"../../etc/passwd"}}),
		folded(t, "peg", fields{"kind": "peg", "photos": []string{strings.Repeat("e", 64)}}),
	}
	v := viewOf(t, all...)
	b := bookOf(t, all...)
	for sha, want := range map[string]bool{shaA: true, shaB: true, shaC: true, strings.Repeat("d", 64): false, strings.Repeat("e", 64): false} {
		if b.shows(sha) != want {
			t.Errorf("photo %.1s… is shown: %v, want %v: those of the dam alone", sha, !want, want)
		}
	}
	want := []linkPhoto{{shaA, "2026-01-01"}, {shaB, "2026-03-01"}, {shaC, "2026-09-01"}}
	if len(v.Works) != 1 || !slices.Equal(v.Works[0].Photos, want) {
		t.Errorf("photos of the dam: got %v, want %v", v.Works, want)
	}
}

// A photo whose day nobody knows is neither the first nor the newest, and no inspection.
func TestPhotoOfAnUnknownDay(t *testing.T) {
	v := viewOf(t,
		folded(t, "dam", fields{"kind": "check-dam", "status": "built"}),
		folded(t, "undated", fields{"kind": "visit", "of": "dam", "photos": []string{shaA}}),
		folded(t, "new", fields{"kind": "visit", "of": "dam", "observedOn": "2026-09-01", "photos": []string{shaB}}),
		folded(t, "old", fields{"kind": "visit", "of": "dam", "observedOn": "2024-03-01", "photos": []string{shaC}}),
	)
	want := []linkPhoto{{shaC, "2024-03-01"}, {shaB, "2026-09-01"}, {shaA, ""}}
	if len(v.Works) != 1 || !slices.Equal(v.Works[0].Photos, want) {
		t.Errorf("photos of the dam: got %v, want %v", v.Works, want)
	}
	if v.LastVisit != nil || v.Works[0].Seen != "Not inspected yet." {
		t.Errorf("a photo counts as an inspection: %+v, %q", v.LastVisit, v.Works[0].Seen)
	}
}

func TestWorksStandInTheTablesOrder(t *testing.T) {
	v := viewOf(t,
		folded(t, "c", fields{"kind": "windrow", "name": "Row 1"}),
		folded(t, "b", fields{"kind": "check-dam", "name": "Dam 10"}),
		folded(t, "a", fields{"kind": "check-dam", "name": "Dam 9"}),
	)
	var got []string
	for _, w := range v.Works {
		got = append(got, w.Name)
	}
	if want := []string{"Dam 9", "Dam 10", "Row 1"}; !slices.Equal(got, want) {
		t.Errorf("order of works: got %v, want %v", got, want)
	}
	if len(v.Kinds) != 2 || v.Kinds[0].Name != "check-dam" || v.Kinds[0].What == "" {
		t.Errorf("kinds: got %+v, want the rows of check-dam and windrow", v.Kinds)
	}
}

func TestEmptyRegisterGivesEmptyLists(t *testing.T) {
	want := `{"property":{"name":"Ridge Block"},"inspected":[],"done":[],"kinds":[],"watch":[],"hazards":[],"works":[],"others":[],"sections":[]}`
	if got := jsonOf(t, viewOf(t)); got != want {
		t.Errorf("empty register: got %s, want %s", got, want)
	}
}

func TestBrokenStoreIsToldNotHidden(t *testing.T) {
	broken := errors.New("page 7 is torn")
	_, err := LinkJSON("Ridge Block", func(yield func(register.Folded, error) bool) {
		if yield(folded(t, "a", fields{"kind": "check-dam"}), nil) {
			yield(register.Folded{}, broken)
		}
	})
	if !errors.Is(err, broken) {
		t.Errorf("LinkJSON of a store that breaks off: got %v, want %v", err, broken)
	}
}

// The files of a link tell no more than its page: not the name of a hidden dam through its
// neighbours, no advice on building, no surveyor's figures.
func TestLinkFilesTellNoMoreThanThePage(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	var raw []json.RawMessage
	maker := storetest.Maker{Property: p.ID, Device: "a"}
	for _, f := range gully(t) {
		set := maps.Clone(f.Fields)
		if f.Feature == "dam-2" {
			set["sensitive"] = json.RawMessage("true")
		}
		var pairs []string
		for name, value := range set {
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
	for _, file := range []string{"works.kml", "works.geojson"} {
		status, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/"+file, "")
		if status != 200 || !strings.Contains(body, "Dam one") {
			t.Fatalf("%s: %d %.300s", file, status, body)
		}
		if file == "works.kml" && (!strings.Contains(body, "<name>Gully beds</name>") || !strings.Contains(body, "Height about 0.4\u00a0m\nDistance up the gully 10.0\u00a0m, by tape") || strings.Contains(body, "halweg\n") || strings.Contains(body, "<description>Thalweg")) {
			t.Errorf("%s does not speak of gully beds and the distance up the gully: %.600s", file, body)
		}
		for _, never := range []string{"Dam two", "dam-2", "Key each dam", "before digging", "a gap"} {
			if at := strings.Index(body, never); at >= 0 {
				t.Errorf("%s tells %q: …%s", file, never, body[max(0, at-80):min(len(body), at+120)])
			}
		}
	}
}

// A file from a link warns as the page does: of what is dangerous at a hazard, and of what
// the last visit found.
func TestLinkFilesWarn(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	maker := storetest.Maker{Property: p.ID, Device: "a"}
	raw := []json.RawMessage{
		maker.Entry("tunnel", nil, "kind", `"hazard"`, "geometry", `{"type":"Point","coordinates":[144.3,-19.6]}`, "danger", `"hollow rim: stay three metres back"`, "notes", `"told to the owner alone"`),
		maker.Entry("dam", nil, "kind", `"check-dam"`, "name", `"Dam seven"`, "status", `"built"`, "geometry", `{"type":"Point","coordinates":[144.3,-19.6]}`),
		maker.Entry("look", nil, "kind", `"visit"`, "of", `"dam"`, "condition", `"needs work"`, "observedOn", `"2026-05-13"`, "notes", `"private words"`),
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, raw); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	for file, wants := range map[string][]string{
		"works.kml":     {"Danger: hollow rim: stay three metres back", "needs work", "13 May 2026"},
		"works.geojson": {`"danger":"hollow rim: stay three metres back"`, `"needs work"`, `"2026-05-13"`},
	} {
		status, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/"+file, "")
		for _, want := range wants {
			if status != 200 || !strings.Contains(body, want) {
				t.Errorf("%s: %d, without %q:\n%.1500s", file, status, want, body)
			}
		}
		for _, never := range []string{"owner alone", "private words", "before digging"} {
			if strings.Contains(body, never) {
				t.Errorf("%s tells %q", file, never)
			}
		}
	}
}
