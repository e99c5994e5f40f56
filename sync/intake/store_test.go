package intake

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestRegisterKnowsFiles reads every acceptable file of the manifest into a real register
// twice: the second time it knows every entry and grows by none.
func TestRegisterKnowsFiles(t *testing.T) {
	ctx := context.Background()
	db, err := boltstore.Open(filepath.Join(t.TempDir(), "register.db"), boltstore.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	files := 0
	for _, row := range manifest(t) {
		if row.outcome == "reject" {
			continue
		}
		files++
		raw, err := os.ReadFile(filepath.Join(casesDir, row.file))
		if err != nil {
			t.Fatal(err)
		}
		entries := checkEntries(t, mustRead(t, string(raw)))
		first := appendAll(ctx, t, db, entries)
		again := appendAll(ctx, t, db, checkEntries(t, mustRead(t, string(raw))))
		for i := range first {
			if first[i].Refused != "" || first[i].N == 0 || first[i].HighSeq == 0 {
				t.Errorf("%s, entry %d: the receipt is %+v, want a number", row.file, i, first[i])
			}
			if !again[i].Known || again[i].N != first[i].N {
				t.Errorf("%s, entry %d: the second receipt is %+v, want known as %d", row.file, i, again[i], first[i].N)
			}
		}
	}
	if files == 0 {
		t.Error("no file was read")
	}
	for f, err := range db.Features(ctx, "sandalwood") {
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Clashes) > 0 {
			t.Errorf("feature %s clashes: %+v", f.Feature, f.Clashes)
		}
	}
}

func appendAll(ctx context.Context, t *testing.T, db store.Register, entries []json.RawMessage) []store.Receipt {
	t.Helper()
	receipts, err := db.Append(ctx, "sandalwood", entries)
	if err != nil || len(receipts) != len(entries) {
		t.Fatalf("%d receipts for %d entries: %v", len(receipts), len(entries), err)
	}
	return receipts
}
