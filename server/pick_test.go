package server

import (
	"strings"
	"testing"
	"time"
)

// TestLostPhoneIsFoundByWhoAndWhen: who carries two phones learns which row is which, and a name that
// is none, where the names are.
func TestLostPhoneIsFoundByWhoAndWhen(t *testing.T) {
	s := newSite(t)
	first := s.enrolledAs(t, "d1", "R. Field", "Stony Block")
	s.enrolledAs(t, "d2", "R. Field", "Stony Block")
	if _, err := s.admitToSync(t.Context(), first.Token); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Label(t.Context(), "2", "old blue"); err != nil {
		t.Fatal(err)
	}
	_, err := s.RevokeDevice(t.Context(), "r. field")
	if day := s.at.Local().Format("2 January 2006"); err == nil || !strings.Contains(err.Error(), "1 (d1, last seen "+day+"), 2 (old blue, never seen)") {
		t.Errorf("revoking one of two: %v", err)
	}
	if _, err := s.RevokeDevice(t.Context(), "Nobody"); err == nil || !strings.Contains(err.Error(), "'headcut devices'") {
		t.Errorf("revoking nobody's: %v", err)
	}
	if row, err := s.RevokeDevice(t.Context(), "Old Blue"); err != nil || row.Row != 2 || row.Revoked.IsZero() {
		t.Errorf("revoking by its label: %+v %v", row, err)
	}
	s.at = s.at.Add(time.Hour)
	if row, err := s.RevokeDevice(t.Context(), "R. Field"); err != nil || row.Row != 1 {
		t.Errorf("the one that is left: %+v %v", row, err)
	}
}
