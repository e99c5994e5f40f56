package boltstore

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// TestNothingIsAcknowledgedIntoAFileThatIsGone: a register that was removed or replaced
// under its server takes nothing more, so that devices keep what they have.
func TestNothingIsAcknowledgedIntoAFileThatIsGone(t *testing.T) {
	for name, change := range map[string]func(path string) error{
		"removed": os.Remove,
		"replaced": func(path string) error {
			text, err := os.ReadFile(path)
			return errors.Join(err, os.WriteFile(path+".other", text, 0o600), os.Rename(path+".other", path))
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "register")
			s := reopen(t, path)
			m := &storetest.Maker{Property: "p", Device: "phone"}
			appendNew(t, s, m.Entry("f", nil, "name", `"one"`))
			if err := change(path); err != nil {
				t.Fatal(err)
			}
			for range 2 {
				receipts, err := s.Append(t.Context(), "p", []json.RawMessage{m.Entry("f", nil, "name", `"two"`)})
				if !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), "moved or replaced") {
					t.Errorf("gave %v (%+v), want that it was moved or replaced", err, receipts)
				}
			}
			if _, err := s.Verify(t.Context(), nil); !errors.Is(err, store.ErrDamaged) {
				t.Errorf("verify gave %v", err)
			}
		})
	}
}
