package boltstore

import (
	"context"
	"encoding/json"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// TestClaimedToHaveSeenHidesNothing: one phone says that it saw entries of another that are not
// written yet, and an office edits over that; what the other writes later still stands beside it,
// as the register was folded one by one, as verify folds it, and after it is opened again.
func TestClaimedToHaveSeenHidesNothing(t *testing.T) {
	for name, office := range map[string]bool{"by the phone": false, "through an office's edit": true} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "register.db")
			var clock atomic.Int64
			now := time.Now()
			clock.Store(now.Add(-time.Hour).UnixMilli())
			s, err := Open(path, Options{Now: func() time.Time { return time.UnixMilli(clock.Load()) }})
			if err != nil {
				t.Fatal(err)
			}
			put := func(raw json.RawMessage) {
				t.Helper()
				got, err := s.Append(context.Background(), "p", []json.RawMessage{raw})
				if err != nil || got[0].N == 0 {
					t.Fatalf("Append = %+v, %v", got, err)
				}
				clock.Add(1000)
			}
			a, c := storetest.Maker{Property: "p", Device: "phone-a"}, storetest.Maker{Property: "p", Device: "phone-c"}
			put(a.Entry("f", nil, "name", `"A1"`, "kind", `"scald"`))
			claimed := map[string]uint64{"phone-a": 1<<53 - 1}
			beside := "phone-c"
			if office {
				put(c.Entry("f", claimed, "notes", `"harmless"`))
				o := storetest.Maker{Property: "p", Device: "intake-o"}
				beside = o.Device
				put(o.Entry("f", map[string]uint64{"phone-a": 1, "phone-c": 1}, "name", `"other"`))
			} else {
				put(c.Entry("f", claimed, "name", `"other"`))
			}
			clock.Store(now.UnixMilli())
			put(a.Entry("f", nil, "name", `"A2"`))
			look := func() {
				t.Helper()
				var all []register.Folded
				for f, err := range s.Features(context.Background(), "p") {
					if err != nil {
						t.Fatal(err)
					}
					all = append(all, f)
				}
				if len(all) != 1 || string(all[0].Fields["name"]) != `"A2"` || len(all[0].Clashes) != 1 || len(all[0].Clashes[0].Values) != 2 || all[0].Clashes[0].Values[1].Device != beside {
					t.Errorf("the feature folds to %+v, want the name A2, and what %s says beside it", all, beside)
				}
				mustVerify(t, s)
			}
			look()
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			s = reopen(t, path)
			look()
		})
	}
}
