package server

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// blockIDs are ids of which every other ends a block, so that few rows make many blocks.
func blockIDs(stem string, n int) (ids []string) {
	for i := 0; len(ids) < n; i++ {
		id := fmt.Sprint(stem, i)
		if (&listRow{id: id}).ends() == (len(ids)%2 == 0) {
			ids = append(ids, id)
		}
	}
	return ids
}

// A book shows after whatever came what one made of everything at once shows, in the same
// blocks.
func TestBookShowsWhatAFreshOneShows(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 5))
	dams, gullies, heads, visits, scalds := blockIDs("dam-", 9), blockIDs("gully-", 3), blockIDs("head-", 4), blockIDs("visit-", 6), blockIDs("scald-", 5)
	one := func(ids []string) string { return ids[random.IntN(len(ids))] }
	east := func() float64 { return 147.3 + float64(random.IntN(20))*1e-4 }
	north := func() float64 { return -22.6 + float64(random.IntN(20))*1e-4 }
	change := func() register.Folded {
		name := fmt.Sprint("Name ", random.IntN(12))
		set := fields{"name": name, "observedOn": fmt.Sprintf("2026-0%d-01", 1+random.IntN(9))}
		id := ""
		switch random.IntN(7) {
		case 0, 1:
			id = one(dams)
			set["kind"], set["status"], set["geometry"] = "check-dam", []string{"built", "failed", "pegged"}[random.IntN(3)], point(east(), north())
			set["builtOn"], set["crestHeightM"] = fmt.Sprintf("202%d-05-01", random.IntN(6)), 0.1*float64(1+random.IntN(14))
			if random.IntN(2) == 0 {
				set["thalweg"], set["chainageM"] = one(gullies), 10*random.IntN(20)
			}
			if random.IntN(3) == 0 {
				set["damBelow"], set["fromBelowM"] = one(dams), 8
			}
		case 2:
			id = one(gullies)
			at := east()
			set["kind"], set["geometry"] = "thalweg", line([2]float64{at, -22.6}, [2]float64{at, -22.599}, [2]float64{at + 1e-5, -22.598})
		case 3:
			id = one(heads)
			set["kind"], set["geometry"], set["headDepthM"] = "gully-head", point(east(), north()), 1.2
		case 4:
			id = one(visits)
			set["kind"], set["of"], set["condition"] = "visit", one(slices.Concat(dams, heads)), []string{"sound", "needs work", "failed"}[random.IntN(3)]
			set["headOffsetM"], set["photos"] = float64(random.IntN(9)), []string{[]string{shaA, shaB, shaC}[random.IntN(3)]}
		case 5:
			id = "run-" + fmt.Sprint(random.IntN(3))
			toe := 100 + 0.1*float64(random.IntN(20))
			lower := one(dams)
			set["kind"] = "level-run"
			set["rows"] = []fields{
				{"backsight": 2, "knownLevelM": 100.0, "point": "BM"},
				{"intermediate": 102 - toe, "feature": lower, "spot": "toe"}, {"intermediate": 101.5 - toe, "feature": lower, "spot": "crest"},
				{"intermediate": 0.9, "feature": one(gullies), "spot": "bed", "chainageM": 10 * random.IntN(20)},
				{"foresight": 2, "knownLevelM": 100.0, "point": "BM"},
			}
		default:
			id = one(scalds)
			set["kind"], set["geometry"] = []string{"scald", "hazard", "rip-line", "peg"}[random.IntN(4)], line([2]float64{east(), north()}, [2]float64{east(), north()})
			set["status"], set["danger"] = "built", "Open shaft."
		}
		if random.IntN(6) == 0 {
			set["sensitive"] = true
		}
		f := folded(t, id, set)
		f.Struck = random.IntN(8) == 0
		f.Changed = register.Word{Author: "Kim", SeenAt: fmt.Sprintf("2026-05-%02dT08:00:00+10:00", 1+random.IntN(28))}
		return f
	}
	b, now := newLinkBook(), map[string]register.Folded{}
	for round := range 600 {
		var came []register.Folded
		for range 1 + random.IntN(3) {
			f := change()
			came = slices.DeleteFunc(came, func(other register.Folded) bool { return other.Feature == f.Feature })
			came, now[f.Feature] = append(came, f), f
		}
		if err := b.take(storeOf(came...)); err != nil {
			t.Fatal(err)
		}
		fresh := bookOf(t, slices.Collect(maps.Values(now))...)
		got, want := viewIn(t, b), viewIn(t, fresh)
		if got.text != want.text {
			t.Fatalf("round %d, after %+v: the kept book shows\n%s\na fresh one\n%s", round, came, got.text, want.text)
		}
		if got, want := string(asJSON(b.view("Ridge Block", true))), string(asJSON(fresh.view("Ridge Block", true))); got != want {
			t.Fatalf("round %d: the kept book has the blocks\n%s\na fresh one\n%s", round, got, want)
		}
	}
	if len(b.works.blocks) < 3 || len(b.sections.blocks) == 0 {
		t.Errorf("%d blocks of works and %d of sections: the comparison above proves little", len(b.works.blocks), len(b.sections.blocks))
	}
}

// large is a property of dams along gullies with visits and scalds, with a link to it.
func large(t testing.TB, features int) (s *site, p Property, secret string, maker *storetest.Maker) {
	t.Helper()
	s = newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	maker = &storetest.Maker{Property: p.ID, Device: "a"}
	var raw []json.RawMessage
	for i := range features {
		id, gully := fmt.Sprint("f-", i), i/50
		east, north := 147.3+float64(gully%100)*1e-3, -22.6+float64(gully/100)*4e-3+float64(i%50)*5e-5
		place := fmt.Sprintf(`{"type":"Point","coordinates":[%f,%f]}`, east, north)
		switch i % 50 {
		case 0:
			raw = append(raw, maker.Entry(id, nil, "kind", `"thalweg"`, "name", fmt.Sprintf(`"Gully %d"`, gully), "geometry",
				fmt.Sprintf(`{"type":"LineString","coordinates":[[%f,%f],[%f,%f]]}`, east, north, east, north+25e-4)))
		case 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24:
			status := []string{`"built"`, `"built"`, `"built"`, `"pegged"`, `"failed"`}[i%5]
			raw = append(raw, maker.Entry(id, nil, "kind", `"check-dam"`, "name", fmt.Sprintf(`"Dam %d-%d"`, gully, i%50), "status", status, "geometry", place,
				"thalweg", fmt.Sprintf(`"f-%d"`, gully*50), "chainageM", fmt.Sprint(8*(i%50)), "crestHeightM", "0.4", "builtOn", `"2026-05-01"`))
		case 25, 26, 27, 28, 29:
			raw = append(raw, maker.Entry(id, nil, "kind", `"visit"`, "of", fmt.Sprintf(`"f-%d"`, i-20), "observedOn", `"2026-06-01"`, "condition", `"sound"`))
		case 30, 31, 32:
			raw = append(raw, maker.Entry(id, nil, "kind", `"gully-head"`, "name", fmt.Sprintf(`"Head %d"`, i), "headDepthM", "1.2", "geometry", place))
		default:
			raw = append(raw, maker.Entry(id, nil, "kind", `"rip-line"`, "name", fmt.Sprintf(`"Rip %d"`, i), "status", `"built"`, "geometry",
				fmt.Sprintf(`{"type":"LineString","coordinates":[[%f,%f],[%f,%f]]}`, east, north, east+8e-4, north)))
		}
	}
	for page := range slices.Chunk(raw, 1000) {
		if _, err := s.bolt.Append(t.Context(), p.ID, page); err != nil {
			t.Fatal(err)
		}
	}
	if secret, err = s.Share(t.Context(), p, "", s.at.Add(24*time.Hour)); err != nil {
		t.Fatal(err)
	}
	return s, p, secret, maker
}

// renewed appends one entry to a large property and gives the page's index, as a page asks for it.
func renewed(t testing.TB, s *site, p Property, secret string, entry json.RawMessage) {
	t.Helper()
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{entry}); err != nil {
		t.Fatal(err)
	}
	if answer := s.open(secret + "/land.json"); answer.Code != 200 || !strings.Contains(answer.Body.String(), `"blocks":{`) {
		t.Fatalf("land.json: %d, %.200s", answer.Code, answer.Body)
	}
}

// An entry has those items written again that it changed, and those blocks packed in which
// they stand, however large the property is.
func TestEntryRenewsWhatItChanged(t *testing.T) {
	s, p, secret, maker := large(t, 6000)
	renewed(t, s, p, secret, maker.Entry("f-2001", nil, "name", `"Dam 40-1"`))
	b := s.books.of(p.ID, nil)
	for _, c := range []struct {
		name          string
		items, blocks int // at most
		entry         json.RawMessage
	}{
		{"a rip line moves", 1, 1, maker.Entry("f-2040", nil, "geometry", `{"type":"LineString","coordinates":[[147.34,-22.59],[147.35,-22.59]]}`)},
		{"a head is renamed", 1, 4, maker.Entry("f-2031", nil, "name", `"Main head"`)},
		{"a dam is taped", 3, 6, maker.Entry("f-2007", nil, "chainageM", "57")}, // and those beside it; its gully's section
		{"a dam is visited", 1, 3, maker.Entry("visit-new", nil, "kind", `"visit"`, "of", `"f-2007"`, "observedOn", `"2026-06-02"`, "condition", `"failed"`)},
		{"a note is written", 1, 1, maker.Entry("f-2040", nil, "notes", `"Ask about the gate."`)},
		{"a peg is set", 0, 0, maker.Entry("peg-1", nil, "kind", `"peg"`)},
	} {
		before := b.did
		renewed(t, s, p, secret, c.entry)
		if items, blocks := b.did.Items-before.Items, b.did.Blocks-before.Blocks; items > c.items || blocks > c.blocks || items == 0 && c.items > 0 {
			t.Errorf("%s: %d items were written and %d blocks packed, want at most %d and %d of %d", c.name, items, blocks, c.items, c.blocks, len(b.items))
		}
	}
}

// The blocks of a large property hold what its page would, and are given while they are shown:
// not once something in them was hidden, and not by another link.
func TestBlocksGivenAreThoseShown(t *testing.T) {
	s, p, secret, maker := large(t, 3000)
	other, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	elsewhere, err := s.Share(t.Context(), other, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	var index linkView
	read := func() {
		t.Helper()
		index = linkView{}
		if err := json.Unmarshal(s.open(secret+"/land.json").Body.Bytes(), &index); err != nil || index.Blocks == nil || index.Works != nil {
			t.Fatalf("land.json is no index: %v, %+v", err, index)
		}
	}
	read()
	whole, err := LinkJSON(p.Name, s.folded(t.Context(), p.ID))
	if err != nil {
		t.Fatal(err)
	}
	var want wholeView
	if err := json.Unmarshal(whole, &want); err != nil {
		t.Fatal(err)
	}
	var works []linkItem
	hidden := ""
	for _, name := range index.Blocks.Works.Names {
		answer := s.open(secret + "/blocks/" + name)
		var rows []linkItem
		if err := json.Unmarshal(answer.Body.Bytes(), &rows); err != nil || answer.Header().Get("Cache-Control") != "private, max-age=31536000, immutable" {
			t.Fatalf("block %s: %d, %v, %v", name, answer.Code, err, answer.Header())
		}
		if slices.ContainsFunc(rows, func(item linkItem) bool { return item.ID == "f-1" }) {
			hidden = name
		}
		works = append(works, rows...)
		if answer := s.open(elsewhere + "/blocks/" + name); answer.Code != 404 {
			t.Errorf("another link gives block %s: %d", name, answer.Code)
		}
	}
	if got, want := string(asJSON(works)), string(asJSON(want.Works)); got != want || index.Blocks.Works.Count != len(works) {
		t.Errorf("the blocks of %d works hold\n%.500s\nwant\n%.500s", len(works), got, want)
	}
	before := index.Blocks.Works.Names
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("f-1", nil, "sensitive", "true")}); err != nil {
		t.Fatal(err)
	}
	if answer := s.open(secret + "/blocks/" + hidden); answer.Code != 404 {
		t.Errorf("the block with a dam that was hidden: %d", answer.Code)
	}
	read()
	changed := 0
	for _, name := range index.Blocks.Works.Names {
		if !slices.Contains(before, name) {
			changed++
		}
		if answer := s.open(secret + "/blocks/" + name); answer.Code != 200 || strings.Contains(answer.Body.String(), `"f-1"`) {
			t.Errorf("block %s after a dam was hidden: %d", name, answer.Code)
		}
	}
	if changed == 0 || changed > 3 {
		t.Errorf("hiding one dam changed %d blocks of %d", changed, len(before))
	}
}

// The page is renewed in the same time whether the property is large or small. Measured 2026-11-30
// on an AMD EPYC: 1.4 ms for either; at 100,000 features the index takes at most 10 ms of a
// processor and 6.7 KB, the first one after a start 3.6 s.
func TestRenewalDoesNotGrowWithTheProperty(t *testing.T) {
	type property struct{ took func() time.Duration }
	made := func(features int) property {
		s, p, secret, maker := large(t, features)
		n := 0
		return property{func() time.Duration {
			n++
			entry := maker.Entry(fmt.Sprint("f-", 40+50*(n%10)), nil, "notes", `"seen"`)
			began := time.Now()
			renewed(t, s, p, secret, entry)
			return time.Since(began)
		}}
	}
	small, big := made(1000), made(20_000)
	small.took()
	big.took() // the first request reads the property
	best := [2]time.Duration{time.Hour, time.Hour}
	for range 15 { // in turn, so that a busy machine slows both
		best[0], best[1] = min(best[0], small.took()), min(best[1], big.took())
	}
	t.Logf("renewed after an entry in %v among 1,000 features, in %v among 20,000", best[0], best[1])
	if best[1] > 5*best[0] {
		t.Errorf("the page is renewed in %v among 20,000 features and in %v among 1,000, want no more than 5 times that", best[1], best[0])
	}
}

// BenchmarkEntryOnALink is one entry and the page's index after it, and what the book and the
// blocks of the property take in memory.
func BenchmarkEntryOnALink(b *testing.B) {
	for _, features := range []int{1000, 100_000} {
		b.Run(fmt.Sprint(features, "-features"), func(b *testing.B) {
			s, p, secret, maker := large(b, features)
			before := heapMB()
			renewed(b, s, p, secret, maker.Entry("f-41", nil, "notes", `"first"`))
			kept := heapMB() - before
			n := 0
			for b.Loop() {
				n++
				renewed(b, s, p, secret, maker.Entry(fmt.Sprint("f-", 5+50*(n%20)), nil, "name", fmt.Sprintf(`"Dam %d"`, n)))
			}
			b.ReportMetric(kept, "MB-kept")
		})
	}
}

func heapMB() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / 1e6
}
