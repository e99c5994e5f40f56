package server

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// What is in clash about whether it may be shown is kept from the landholder until somebody settles
// it, whichever claim stands first: on the page, in its counts and long sections, in its files and photos.
func TestWhatIsInClashIsKeptFromTheLandholder(t *testing.T) {
	yes, no := "true", "false"
	for name, c := range map[string]struct {
		one, other []string // pairs of fields; "strike" strikes out or restores
		settle     []string
		shown      bool // while in clash
	}{
		"sensitive, not sensitive": {[]string{"sensitive", yes}, []string{"sensitive", no}, []string{"sensitive", no}, false},
		"not sensitive, sensitive": {[]string{"sensitive", no}, []string{"sensitive", yes}, []string{"sensitive", no}, false},
		"sensitive, cleared":       {[]string{"sensitive", yes}, []string{"sensitive", "null"}, []string{"sensitive", no}, false},
		"no, cleared":              {[]string{"sensitive", no}, []string{"sensitive", "null"}, nil, true},
		"struck out, restored":     {[]string{"strike", yes}, []string{"strike", no}, []string{"strike", no}, false},
		"restored, struck out":     {[]string{"strike", no}, []string{"strike", yes}, []string{"strike", no}, false},
		"another kind":             {[]string{"kind", `"level-run"`}, []string{"kind", `"windrow"`}, []string{"kind", `"check-dam"`}, false},
		"two kinds that are shown": {[]string{"kind", `"windrow"`}, []string{"kind", `"whoa-boy"`}, nil, true},
		"names":                    {[]string{"name", `"Dam A"`}, []string{"name", `"Dam B"`}, nil, true},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			p, secret, shas, _ := photographed(t, s, 3)
			put(t, s, jpegOf(t, 1))
			a, b := &storetest.Maker{Property: p.ID, Device: "a"}, &storetest.Maker{Property: p.ID, Device: "b"}
			saw := map[string]uint64{plantedPhone: 2}
			say := func(m *storetest.Maker, saw map[string]uint64, pairs []string) {
				t.Helper()
				var raw json.RawMessage
				if pairs[0] == "strike" {
					raw = m.Strike("dam-1", saw, pairs[1] == yes)
				} else {
					raw = m.Entry("dam-1", saw, pairs...)
				}
				got, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{raw})
				if err != nil || got[0].Refused != "" {
					t.Fatal(err, got)
				}
			}
			want := func(when string, shown bool) {
				t.Helper()
				_, page := ask(t, "GET", s.web.URL+"/map/"+secret+"/land.json", "")
				_, kml := ask(t, "GET", s.web.URL+"/map/"+secret+"/works.kml", "")
				_, geojson := ask(t, "GET", s.web.URL+"/map/"+secret+"/works.geojson", "")
				var land struct{ Done []linkCount }
				if err := json.Unmarshal([]byte(page), &land); err != nil {
					t.Fatal(err)
				}
				counted := slices.ContainsFunc(land.Done, func(c linkCount) bool { return c.Count == 3 })
				photo := s.statusOf(secret, shas[1]) == 200
				for what, is := range map[string]bool{"page": strings.Contains(page, `"dam-1"`), "works.kml": strings.Contains(kml, `"f_dam-1"`),
					"works.geojson": strings.Contains(geojson, `"dam-1"`), "counts": counted, "photo": photo} {
					if is != shown {
						t.Errorf("%s: shown by %s: got %v, want %v", when, what, is, shown)
					}
				}
			}
			want("before", true)
			say(a, saw, c.one)
			say(b, saw, c.other)
			want("in clash", c.shown)
			if c.settle == nil {
				return
			}
			s.at = s.at.Add(time.Minute)
			say(a, map[string]uint64{plantedPhone: 2, "b": b.Seq}, c.settle)
			want("settled", true)
		})
	}
}

// A photo that one of two phones took off is not shown while they are in clash.
func TestPhotosInClashAreShownWhereAllNameThem(t *testing.T) {
	s := newSite(t)
	p, secret, shas, _ := photographed(t, s, 3)
	for i := range 3 {
		put(t, s, jpegOf(t, i))
	}
	a, b := &storetest.Maker{Property: p.ID, Device: "a"}, &storetest.Maker{Property: p.ID, Device: "b"}
	quoted := func(of ...string) string { return string(asJSON(of)) }
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{
		a.Entry("dam-1", map[string]uint64{plantedPhone: 2}, "photos", quoted(shas[1])),
		b.Entry("dam-1", map[string]uint64{plantedPhone: 2}, "photos", quoted(shas[2], shas[1], hashOf("unsent"))),
		a.Entry("look", nil, "kind", `"visit"`, "of", `"dam-0"`, "photos", quoted(shas[0])),
		b.Entry("look", map[string]uint64{"a": 2}, "of", `"dam-2"`),
		(&storetest.Maker{Property: p.ID, Device: "c"}).Entry("look", map[string]uint64{"a": 2}, "of", `"dam-9"`),
		(&storetest.Maker{Property: p.ID, Device: "d"}).Entry("dam-0", map[string]uint64{plantedPhone: 1}, "photos", "null"),
		(&storetest.Maker{Property: p.ID, Device: "e"}).Entry("dam-2", map[string]uint64{plantedPhone: 3}, "photos", "null"),
	}); err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{404, 200, 404} { // of a visit to nobody knows which, of both lists, of one list
		if got := s.statusOf(secret, shas[i]); got != want {
			t.Errorf("photo %d: got %d, want %d", i, got, want)
		}
	}
	if _, page := ask(t, "GET", s.web.URL+"/map/"+secret+"/land.json", ""); strings.Contains(page, shas[0]) || strings.Contains(page, shas[2]) || !strings.Contains(page, shas[1]) {
		t.Errorf("the page shows other photos: %s", page)
	}
}

// A dam whose mark is in clash leaves the long section, and takes the checks of its neighbours along.
func TestLongSectionWithoutWhatIsInClash(t *testing.T) {
	all := gully(t)
	i := slices.IndexFunc(all, func(f register.Folded) bool { return f.Feature == "dam-2" })
	all[i].Fields["sensitive"] = json.RawMessage("false")
	all[i].Clashes = []register.Clash{{Field: "sensitive", Values: []register.Claim{{Value: json.RawMessage("false")}, {Value: json.RawMessage("true")}}}}
	v := viewOf(t, all...)
	if strings.Contains(v.text, "dam-2") || len(v.Sections) != 1 || len(v.Sections[0].Dams) != 2 || len(v.Sections[0].Pairs) != 0 {
		t.Errorf("the section tells of the dam: %s", v.text)
	}
}

// hashOf is the hash of a photo that nobody sent.
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// A danger that one person struck out and another did not stays on the landholder's map.
func TestHazardInClashIsShown(t *testing.T) {
	for _, c := range []struct {
		kind string
		kept bool
	}{{"hazard", false}, {"check-dam", true}} {
		f := register.Folded{Fields: map[string]json.RawMessage{"kind": asJSON(c.kind)},
			Clashes: []register.Clash{{Field: "strike", Values: []register.Claim{{Value: json.RawMessage("false")}, {Value: json.RawMessage("true")}}}}}
		if got := keptOff(f); got != c.kept {
			t.Errorf("keptOff of a %s whose striking out is in clash = %v, want %v", c.kind, got, c.kept)
		}
	}
}
