package main

import (
	"encoding/json"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// TestVerifySaysWhoMayHaveAbsentPhotos: of each photo that the register names and that is not
// here, the device whose entry named it first, not the one that named it again.
func TestVerifySaysWhoMayHaveAbsentPhotos(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	d, err := openDataDir(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	one, two := register.HashOf([]byte("one")).String(), register.HashOf([]byte("two")).String()
	first, second := &storetest.Maker{Property: "creek", Device: "d-first"}, &storetest.Maker{Property: "creek", Device: "d-second"}
	entries := []json.RawMessage{
		first.Entry("head", nil, "kind", `"gully-head"`, "photos", `["`+one+`"]`),
		second.Entry("head", nil, "photos", `["`+one+`","`+two+`"]`),
	}
	if _, err := d.store.Append(t.Context(), "creek", entries); err != nil {
		t.Fatal(err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
	text := said(t, 0, "verify", "--data", dir)
	mustSay(t, text, "Photos that entries name and that have not come yet: 2.")
	for device, sha := range map[string]string{"d-first": one, "d-second": two} {
		found := false
		for line := range strings.Lines(text) {
			found = found || strings.Contains(line, "("+device+") may have 1 photo: "+sha+".")
		}
		if !found {
			t.Errorf("verify does not say that %s may have %s:\n%s", device, sha, text)
		}
	}
}
