package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/intake"
	"headcut/sync/register"
	"headcut/sync/store"
)

// TestVersionsOfAView: what covers another, and what is near it.
func TestVersionsOfAView(t *testing.T) {
	end := func(epoch string, n uint64) store.Position { return store.Position{Epoch: register.ID(epoch), N: n} }
	at := version{name: "Ridge", parts: []string{"a", "b"}, ends: []store.Position{end("e", 5), end("e", 9)}, day: "2026-05-13"}
	for name, c := range map[string]struct {
		change       func(*version)
		covers, near bool
	}{
		"the same":        {func(*version) {}, true, true},
		"older":           {func(w *version) { w.ends[0].N = 4 }, true, true},
		"newer by two":    {func(w *version) { w.ends[1].N = 11 }, false, true},
		"newer by three":  {func(w *version) { w.ends[1].N = 12 }, false, false},
		"both newer":      {func(w *version) { w.ends[0].N, w.ends[1].N = 7, 11 }, false, true},
		"another name":    {func(w *version) { w.name = "Flat" }, false, true},
		"another day":     {func(w *version) { w.day = "2026-05-14" }, false, true},
		"another epoch":   {func(w *version) { w.ends[1].Epoch = "f" }, false, false},
		"another part":    {func(w *version) { w.parts[1] = "c" }, false, false},
		"a part less":     {func(w *version) { w.parts, w.ends = w.parts[:1], w.ends[:1] }, false, false},
		"parts turned":    {func(w *version) { slices.Reverse(w.parts) }, false, false},
		"nothing made":    {func(w *version) { *w = version{} }, false, false},
		"name and no day": {func(w *version) { w.name, w.day = "Flat", "" }, false, true},
	} {
		w := version{at.name, slices.Clone(at.parts), slices.Clone(at.ends), at.day}
		c.change(&w)
		if at.covers(w) != c.covers || at.near(w, 2) != c.near {
			t.Errorf("%s: covered %t, near %t", name, at.covers(w), at.near(w, 2))
		}
	}
	if none := (version{}); none.covers(none) || none.near(none, 1) {
		t.Error("what was never made covers something")
	}
}

// TestPlacesFarFromAll: where much is on a property, from all of it; where nothing is, from the middle
// of the file, if most are there. A degree of latitude is some 111 km.
func TestPlacesFarFromAll(t *testing.T) {
	points := func(lats ...float64) (file intake.File) {
		for _, lat := range lats {
			file.Records = append(file.Records, intake.Record{Fields: map[string]json.RawMessage{"geometry": fmt.Appendf(nil, `{"type":"Point","coordinates":[147,%v]}`, lat)}})
		}
		file.Records = append(file.Records, intake.Record{}, intake.Record{Fields: map[string]json.RawMessage{"geometry": json.RawMessage("null")}})
		return file
	}
	for name, c := range map[string]struct {
		here string // a latitude of something on the property
		file intake.File
		far  map[float64]bool
	}{
		"two alone":      {"", points(-22, -60), map[float64]bool{-22: false, -60: false}},
		"most together":  {"", points(-22, -22.5, -60), map[float64]bool{-22: false, -22.5: false, -60: true, -23: false, -23.3: false, -23.5: true}},
		"half together":  {"", points(-22, -22.5, -60, -70), map[float64]bool{-22: false, -60: false, -70: false}},
		"something here": {"-30", points(-22, -22.5, -22.6), map[float64]bool{-22: true, -30: false, -30.05: false, -30.5: false, -31: true}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
			if err != nil {
				t.Fatal(err)
			}
			if c.here != "" {
				items := saved(t, p.ID, 1, 2)
				raws := []json.RawMessage{items[0].Entry, items[1].Entry}
				raws[0] = json.RawMessage(strings.Replace(string(raws[0]), `"name":"Peg 1"`, `"name":"Peg 1","geometry":{"type":"Point","coordinates":[147,`+c.here+`]}`, 1))
				if receipts, err := s.bolt.Append(t.Context(), p.ID, raws); err != nil || receipts[0].N == 0 {
					t.Fatal(receipts, err)
				}
			}
			taking := &taking{intakeRun: &intakeRun{s: s.Server, property: p}, ctx: t.Context()}
			if taking.anchors, err = taking.anchorsOf(c.file); err != nil {
				t.Fatal(err)
			}
			left := 0
			for lat, far := range c.far {
				fields := map[string]json.RawMessage{"geometry": fmt.Appendf(nil, `{"type":"Point","coordinates":[147,%v]}`, lat)}
				if got := taking.tooFar(intake.Record{}, fields); got != far {
					t.Errorf("%v is far: %t", lat, got)
				}
				if far {
					left++
				}
			}
			if taking.taken.LeftOut != left || len(taking.taken.Notes) != left {
				t.Errorf("%d are left out and %d told, want %d", taking.taken.LeftOut, len(taking.taken.Notes), left)
			}
			if taking.tooFar(intake.Record{}, nil) {
				t.Error("no place is far")
			}
		})
	}
	a := anchors{}
	a.add(json.RawMessage(`{"type":"LineString","coordinates":[[147.01,-22.01],[147.02,-22.02],[147.11,-22.01]]}`))
	if len(a) != 2 || a[[2]int{1470, -221}][0] != 147.01 || a[[2]int{1471, -221}][0] != 147.11 {
		t.Errorf("anchors are %v", a)
	}
	if m := a.fromM([2]float64{147, -22.91}); m != 0 {
		t.Errorf("a place 99 km away is %v m from the nearest", m)
	}
	if m := a.fromM([2]float64{147, -23}); m < 109_000 || m > 110_500 {
		t.Errorf("a place 110 km away is %v m from the nearest", m)
	}
	if m := a.fromM([2]float64{147, -24}); m < 219_000 || m > 221_500 { // 1.98 degrees of latitude
		t.Errorf("a place 220 km away is %v m from the nearest", m)
	}
}

// TestPartsOfAProperty: those merged into it come in the order in which they were made, and who has a
// right to one has it to all, in the order of their rows.
func TestPartsOfAProperty(t *testing.T) {
	s := newSite(t)
	c := s.enrolledAs(t, "c1", "Cora", "Third")
	s.enrolledAs(t, "b1", "Ben", "Second")
	s.enrolledAs(t, "a1", "Ana", "First", "Second")
	s.enrolledAs(t, "d1", "Dora", "Fourth")
	id := func(name string) string {
		p, err := s.Property(name)
		if err != nil {
			t.Fatal(err)
		}
		return p.ID
	}
	ids := []string{id("Third"), id("Second"), id("First"), id("Fourth")}
	for _, pair := range [][2]string{{"Fourth", "First"}, {"Third", "Second"}, {"Second", "First"}} {
		if _, err := s.Merge(t.Context(), pair[0], pair[1]); err != nil {
			t.Fatal(pair, err)
		}
	}
	o := s.office
	want := []string{ids[2], ids[0], ids[1], ids[3]} // itself, then as they were made
	for _, one := range ids {
		if got := o.parts(one); !slices.Equal(got, want) {
			t.Errorf("the parts of %s are %v, want %v", one, got, want)
		}
		if o.root(one) != ids[2] {
			t.Errorf("%s is part of %s", one, o.root(one))
		}
		var who []string
		for _, d := range o.reachedBy(one) {
			who = append(who, d.Author)
		}
		if !slices.Equal(who, []string{"Cora", "Ben", "Ana", "Dora"}) {
			t.Errorf("%s is reached by %v", one, who)
		}
	}
	if got := o.root("nothing"); got != "nothing" || o.property("nothing") != (Property{ID: "nothing"}) {
		t.Errorf("what is not kept is part of %s", got)
	}
	cora := o.devices.one(byDevice, c.Device)
	if got := o.reach(cora); !slices.Equal(got, want) {
		t.Errorf("Cora reaches %v", got)
	}
	if o.reach(nil) != nil || o.reaches(nil, ids[0]) || o.reaches(cora, "nothing") || !o.reaches(cora, ids[3]) {
		t.Error("who reaches what")
	}
	named := o.propertiesNamed([]string{ids[0], ids[2]})
	if named[0].Into != ids[2] || named[1].Into != "" {
		t.Errorf("they hear of %v", named)
	}
	if alone := o.propertiesNamed([]string{ids[0]}); alone[0].Into != "" {
		t.Errorf("who lost the whole hears of %v", alone)
	}
	rows, err := s.PropertyRows(t.Context())
	if err != nil || len(rows) != 4 || rows[0].Into == "" || !slices.Equal(rows[2].Devices, []string{"Cora", "Ben", "Ana", "Dora"}) {
		t.Errorf("rows are %+v, %v", rows, err)
	}
	if all := s.Properties(); len(all) != 1 || all[0].Name != "First" {
		t.Errorf("the properties are %v", all)
	}
	if p, err := s.Property(" third "); err != nil || p.Name != "First" {
		t.Errorf("the third is %v, %v", p, err)
	}
}

// TestPropertiesByName: in the order of their names, and a name that none has is answered with those
// there are, up to fifty.
func TestPropertiesByName(t *testing.T) {
	s := newSite(t)
	said := func() string {
		_, err := s.Property("Ridge Blok")
		p, ok := err.(*model.Problem)
		if !ok || p.Reason != `there is no property called "Ridge Blok"` {
			t.Fatal(err)
		}
		return p.Fix
	}
	if got := said(); got != "make it by enrolling a device or taking a file in for it" {
		t.Errorf("without any: %s", got)
	}
	for n := range namesListed {
		if _, isNew, err := s.PropertyOrNew(t.Context(), fmt.Sprintf("Paddock number %c%c", 'Z'-n/26, 'Z'-n%26)); err != nil || !isNew {
			t.Fatal(n, isNew, err)
		}
	}
	all := s.Properties()
	if !slices.IsSortedFunc(all, func(a, b Property) int { return strings.Compare(a.Name, b.Name) }) {
		t.Errorf("they are listed as %v", all)
	}
	if got := said(); !strings.HasPrefix(got, "The properties here are: Paddock number YC, ") {
		t.Errorf("with fifty: %s", got)
	}
	if _, _, err := s.PropertyOrNew(t.Context(), "Ridge Block"); err != nil {
		t.Fatal(err)
	}
	if got := said(); got != `did you mean "Ridge Block"? 'headcut properties' lists the 51 there are` {
		t.Errorf("with one more: %s", got)
	}
	for name, want := range map[string]string{"  Two   words ": "Two words", strings.Repeat("x", 200): strings.Repeat("x", 200), "a\xffb": "ab", strings.Repeat("x", 201): "", "": "", " ": "", "a\x7fb": "", "a\x01b": "", "12": ""} {
		p, isNew, err := s.PropertyOrNew(t.Context(), name)
		if (err == nil) != (want != "") || err == nil && (p.Name != want || !isNew) {
			t.Errorf("%q becomes %q, new %t, %v", name, p.Name, isNew, err)
		}
	}
	if p, isNew, err := s.PropertyOrNew(t.Context(), "TWO words"); err != nil || isNew || p.Name != "Two words" {
		t.Errorf("in other letters it is %v, new %t, %v", p, isNew, err)
	}
}

// TestNamesOfSalvagedProperties: one whose record was lost is found by a name that no other has.
func TestNamesOfSalvagedProperties(t *testing.T) {
	s := newSite(t)
	if _, _, err := s.PropertyOrNew(t.Context(), "Salvaged 1"); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"lost-a", "lost-b"} {
		p, had, err := s.NameAgain(t.Context(), id)
		want := map[string]string{"lost-a": "Salvaged 2", "lost-b": "Salvaged 3"}[id]
		if err != nil || had || p != (Property{ID: id, Name: want}) {
			t.Errorf("%s is %v, had one %t, %v", id, p, had, err)
		}
		if again, had, err := s.NameAgain(t.Context(), id); err != nil || !had || again != p {
			t.Errorf("again it is %v, had one %t, %v", again, had, err)
		}
	}
}

// TestCodingsThatAreTaken: by RFC 9110, 12.5.3, but that what is not named is not taken.
func TestCodingsThatAreTaken(t *testing.T) {
	for header, want := range map[string]bool{"gzip": true, "br, gzip": true, "GZIP": true, "gzip;q=1": true, "gzip; q=0.5": true, "gzip;q=0.001": true, "gzip;q=0": false, "gzip;q=0.000": false,
		"gzip; q=0.0": false, "": false, "br": false, "gzipped": false, "*": false, "br;q=1,gzip;q=0": false, "deflate , gzip": true} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Encoding", header)
		if got := accepts(r, "gzip"); got != want {
			t.Errorf("%q: %t", header, got)
		}
	}
	for _, c := range []struct {
		lines []string
		want  bool
	}{
		{nil, false}, {[]string{`"a"`}, true}, {[]string{`W/"a"`}, true}, {[]string{`"b", "a"`}, true}, {[]string{`"b"`, `"a"`}, true}, {[]string{`*`}, true}, {[]string{`"b"`}, false}, {[]string{`a`}, false}, {[]string{`"a`}, false},
	} {
		if got := namesTag(c.lines, `"a"`); got != c.want {
			t.Errorf("%q: %t", c.lines, got)
		}
	}
}

// TestTaggedAnswers: with a tag in quotation marks (RFC 9110, 8.8.3), a coding where there is one, and
// nothing to who has it or only asks.
func TestTaggedAnswers(t *testing.T) {
	for name, c := range map[string]struct {
		method, coding, has string
		status              int
		body                string
	}{
		"plain":     {http.MethodGet, "", "", 200, "abc"},
		"packed":    {http.MethodGet, "gzip", "", 200, "abc"},
		"had":       {http.MethodGet, "gzip", `"t"`, 304, ""},
		"had other": {http.MethodGet, "", `"u"`, 200, "abc"},
		"asked":     {http.MethodHead, "", "", 200, ""},
	} {
		w, r := httptest.NewRecorder(), httptest.NewRequest(c.method, "/", nil)
		r.Header.Set("If-None-Match", c.has)
		sendTagged(w, r, "t", c.coding, 3, strings.NewReader("abc"))
		h := w.Header()
		length, coding := "3", c.coding
		if c.status == 304 {
			length, coding = "", ""
		}
		if w.Code != c.status || w.Body.String() != c.body || h.Get("ETag") != `"t"` || h.Get("Content-Encoding") != coding || h.Get("Content-Length") != length {
			t.Errorf("%s: %d %q with %v", name, w.Code, w.Body, h)
		}
	}
}

// TestPackedAnswers: whatever is written is packed once, but what has no body or is packed already.
func TestPackedAnswers(t *testing.T) {
	for name, c := range map[string]struct {
		accept, method string
		answer         http.HandlerFunc
		packed         bool
		status         int
	}{
		"a body":       {"gzip", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("abc")) }, true, 200},
		"a status":     {"gzip", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(422); _, _ = w.Write([]byte("abc")) }, true, 422},
		"not wanted":   {"br", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("abc")) }, false, 200},
		"asked alone":  {"gzip", http.MethodHead, func(w http.ResponseWriter, _ *http.Request) {}, false, 200},
		"not modified": {"gzip", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(304) }, false, 304},
		"no content":   {"gzip", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(204) }, false, 204},
		"packed already": {"gzip", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Encoding", "br")
			_, _ = w.Write([]byte("abc"))
		}, false, 200},
		"nothing is said": {"gzip", http.MethodGet, func(http.ResponseWriter, *http.Request) {}, false, 200},
		"a length was said": {"gzip", http.MethodGet, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "3")
			_, _ = w.Write([]byte("abc"))
		}, true, 200},
	} {
		w, r := httptest.NewRecorder(), httptest.NewRequest(c.method, "/", nil)
		r.Header.Set("Accept-Encoding", c.accept)
		zipped(c.answer)(w, r)
		body := w.Body.String()
		if got := w.Header().Get("Content-Encoding") == "gzip"; got != c.packed || strings.HasPrefix(body, "\x1f\x8b") != c.packed || w.Code != c.status || w.Header().Get("Vary") != "Accept-Encoding" || c.packed && w.Header().Get("Content-Length") != "" {
			t.Errorf("%s: %d %q with %v", name, w.Code, body, w.Header())
		}
	}
}

// TestWhoHandsIn: a name of up to half of an author's letters.
func TestWhoHandsIn(t *testing.T) {
	s := newSite(t)
	for by, want := range map[string]string{"": officeHand, "  A.   Clerk ": "A. Clerk", "A\xff": "A", strings.Repeat("é", register.AuthorRunes/2): strings.Repeat("é", register.AuthorRunes/2), strings.Repeat("x", register.AuthorRunes/2+1): ""} {
		h, err := s.handingIn(t.Context(), by)
		if (err == nil) != (want != "") || err == nil && h.by != want {
			t.Errorf("%q is %+v, %v", by, h, err)
		}
	}
	h, err := s.handingIn(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	one := &sealedEntry{Entry: register.Entry{Property: "p", Device: "d", DeviceSeq: 1}}
	first := h.copyDevice("p", one)
	second := h.copyDevice("p", &sealedEntry{Entry: register.Entry{Property: "p", Device: "d", DeviceSeq: 2}})
	if again := h.copyDevice("p", one); first != second || again == first || register.CopiedFrom(again) != "d" || register.CopiedFrom(first) != "d" {
		t.Errorf("copies are of %q, %q and, of a number that was used, %q", first, second, again)
	}
}

// TestSameWords: an entry that the phone sent again under another device id says what it said.
func TestSameWords(t *testing.T) {
	raw, err := register.Encode(register.Entry{Version: 1, ID: "01890000-0000-7000-8000-000000000001", Property: "p", Feature: "f", Device: "d", DeviceSeq: 1, Stamp: 1 << 20,
		SeenAt: "2026-03-01T18:00:00+10:00", Author: "Ana", Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"peg"`)})})
	if err != nil {
		t.Fatal(err)
	}
	entry, err := register.Decode(raw)
	if err != nil {
		t.Fatal(err)
	}
	yes := true
	for name, c := range map[string]struct {
		change func(*register.Entry)
		hash   register.Hash
		want   bool
	}{
		"the same":          {func(*register.Entry) {}, register.HashOf(raw), true},
		"another spelling":  {func(*register.Entry) {}, register.Hash{1}, true},
		"another device":    {func(e *register.Entry) { e.Device, e.DeviceSeq = "e", 7 }, register.Hash{1}, true},
		"another id":        {func(e *register.Entry) { e.ID = "01890000-0000-7000-8000-000000000002" }, register.HashOf(raw), false},
		"another author":    {func(e *register.Entry) { e.Author = "Ben" }, register.Hash{1}, false},
		"another stamp":     {func(e *register.Entry) { e.Stamp++ }, register.Hash{1}, false},
		"another time":      {func(e *register.Entry) { e.SeenAt = "2026-03-01T18:00:01+10:00" }, register.Hash{1}, false},
		"another value":     {func(e *register.Entry) { e.Set = e.Set.With("kind", json.RawMessage(`"fence"`)) }, register.Hash{1}, false},
		"struck out":        {func(e *register.Entry) { e.Strike = &yes }, register.Hash{1}, false},
		"the same, changed": {func(e *register.Entry) { e.Author = "Ben" }, register.HashOf(raw), true},
	} {
		here := entry
		c.change(&here)
		if got := says(register.Numbered{Entry: here, Hash: c.hash}, &sealedEntry{Entry: entry, raw: raw}); got != c.want {
			t.Errorf("%s: %t", name, got)
		}
	}
}
