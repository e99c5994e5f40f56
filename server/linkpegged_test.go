package server

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// A bank that an open run pegged is as good to the landholder as to the officer: the page and the
// files say that nothing has checked its level, until the run closes.
func TestLinkSaysThatAPeggedLevelIsNotChecked(t *testing.T) {
	const mark = "not yet checked by a closed level run"
	book := []fields{{"point": "BM", "bs": 1.5, "knownLevelM": 100}, {"point": "Whoa-boy 1", "is": 3.52}}
	closed := append(book, fields{"point": "BM", "fs": 1.5, "knownLevelM": 100})
	bank := fields{"kind": "whoa-boy", "name": "Whoa-boy 1", "status": "pegged", "geometry": point(144.3, -19.6), "levelM": 97.98, "trackSlopePct": 4.8, "levelRun": "run", "heightM": 0.5, "heightBasis": "taped"}
	for _, c := range []struct {
		name string
		book []fields
		want map[string]string
	}{
		{"open", book, map[string]string{"Ground as pegged": "97.98\u00a0m, " + mark, "Fall of the track above it": "4.8\u00a0%, " + mark, "Height of bank": "0.5\u00a0m, by tape"}},
		{"closed", closed, map[string]string{"Ground as pegged": "97.98\u00a0m", "Fall of the track above it": "4.8\u00a0%", "Height of bank": "0.5\u00a0m, by tape"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := viewOf(t, folded(t, "bank", bank), folded(t, "run", fields{"kind": "level-run", "rows": c.book}))
			if len(v.Works) != 1 {
				t.Fatalf("works %+v, want the bank", v.Works)
			}
			got := map[string]string{}
			for _, fact := range v.Works[0].Facts {
				got[fact.Label] = fact.Text
			}
			for label, text := range c.want {
				if got[label] != text {
					t.Errorf("%s is %q, want %q", label, got[label], text)
				}
			}

			s := newSite(t)
			p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
			if err != nil {
				t.Fatal(err)
			}
			maker := storetest.Maker{Property: p.ID, Device: "a"}
			entry := func(id string, set fields) json.RawMessage {
				var pairs []string
				for name, value := range set {
					pairs = append(pairs, name, string(asJSON(value)))
				}
				return maker.Entry(id, nil, pairs...)
			}
			raw := []json.RawMessage{entry("bank", bank), entry("run", fields{"kind": "level-run", "rows": c.book})}
			if _, err := s.bolt.Append(t.Context(), p.ID, raw); err != nil {
				t.Fatal(err)
			}
			secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
			if err != nil {
				t.Fatal(err)
			}
			for _, file := range []string{"works.kml", "works.geojson"} {
				status, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/"+file, "")
				if has := strings.Contains(body, "Its levels are "+mark+"."); status != 200 || has != (c.name == "open") {
					t.Errorf("%s: %d, with the caution %t:\n%.1500s", file, status, has, body)
				}
			}
		})
	}
}
