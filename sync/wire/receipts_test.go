package wire_test

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// TestReceiptsAreThoseOfEncodingJSON: receipts are written by hand, and read as if they were not.
func TestReceiptsAreThoseOfEncodingJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		receipts := &wire.Receipts{Push: rapid.Uint64().Draw(t, "push"), Property: rapid.String().Draw(t, "property")}
		for range rapid.IntRange(0, 4).Draw(t, "receipts") {
			receipts.Receipts = append(receipts.Receipts, store.Receipt{
				ID: register.ID(rapid.String().Draw(t, "id")), N: rapid.Uint64().Draw(t, "n"), Known: rapid.Bool().Draw(t, "known"),
				Refused: rapid.StringOf(rapid.SampledFrom([]rune(`ab<>&"\é`+"\n\u2028"))).Draw(t, "refused"), Cloned: rapid.Bool().Draw(t, "cloned"),
				HighSeq: rapid.Uint64().Draw(t, "highSeq"), ClockOffS: rapid.Int64().Draw(t, "clockOffS"),
			})
		}
		members, err := json.Marshal(receipts)
		if err != nil {
			t.Fatal(err)
		}
		want := `{"type":"receipts",` + string(members[1:])
		if got, err := wire.Append([]byte("before"), receipts); err != nil || string(got) != "before"+want {
			t.Fatalf("Append wrote\n%s (%v), want\n%s", got, err, want)
		}
	})
}
