package server

import (
	"strings"
	"testing"
)

// TestAlike: a slip is told from another name.
func TestAlike(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"Sandalwod Run", "Sandalwood Run", true},
		{"sandal wood run", "Sandalwood Run", true},
		{"Sandalwood-Run", "Sandalwood Run", true},
		{"Sandlewood Run", "Sandalwood Run", true},
		{"Block 1", "Block 2", false},
		{"Block A", "Block B", false},
		{"North Run", "South Run", false},
		{"East Block", "West Block", false},
		{"Sandalwood", "Sandalwood Run", false},
		{"Ridge Block", "Ridge Paddock", false},
		{"--", "Ridge", false},
	} {
		if got := alike(c.a, c.b); got != c.want {
			t.Errorf("alike(%q, %q) = %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

// TestNearNamesAreSuggested: what names a phone or a property that is not there is told the near one.
func TestNearNamesAreSuggested(t *testing.T) {
	s := newSite(t)
	enrolled(t, s) // the phone of R. Field, on Stony Block
	if _, err := s.Property("Stoney Block"); err == nil || !strings.Contains(err.Error(), `did you mean "Stony Block"?`) {
		t.Errorf("a property: %v", err)
	}
	if _, err := s.RevokeDevice(t.Context(), "R. Feild"); err == nil || !strings.Contains(err.Error(), `did you mean "R. Field"?`) {
		t.Errorf("a phone: %v", err)
	}
}

// TestEndedLinksAreFound by whom they were for and by their property, unless another link is open under
// that: they were refused as unknown, with their own name as the one that may be meant.
func TestEndedLinksAreFound(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	share := func(days int) {
		t.Helper()
		if _, err := s.Share(t.Context(), p, "Neighbour", s.at.AddDate(0, 0, days)); err != nil {
			t.Fatal(err)
		}
	}
	share(1)
	s.at = s.at.AddDate(0, 0, 2)
	for _, which := range []string{"neighbour", p.Name} {
		if row, err := s.RevokeLink(t.Context(), which); err != nil || row.Row != 1 || row.Revoked.IsZero() {
			t.Errorf("the ended link of %s: %+v %v", which, row, err)
		}
	}
	share(1)
	for _, which := range []string{"Neighbour", p.Name} {
		if l, err := s.pickLink(which); err != nil || l.row != 2 {
			t.Errorf("the open one of %s: %+v %v", which, l, err)
		}
	}
	s.at = s.at.AddDate(0, 0, 2)
	if _, err := s.RevokeLink(t.Context(), "Neighbour"); err == nil || !strings.Contains(err.Error(), "give the row: 1, 2") {
		t.Errorf("of two that have ended: %v", err)
	}
	if _, err := s.Confirm(t.Context(), Confirmation{Link: "2"}); err == nil || !strings.Contains(err.Error(), "ended on "+DayWords(s.at.AddDate(0, 0, -1))) {
		t.Errorf("one that has ended is confirmed: %v", err)
	}
	if _, err := s.RevokeLink(t.Context(), "Nieghbour"); err == nil || !strings.Contains(err.Error(), `did you mean "Neighbour"?`) {
		t.Errorf("a slip: %v", err)
	}
}
