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
