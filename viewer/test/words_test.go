package pages

import (
	"fmt"
	"image/color"
	"strings"
	"testing"
)

// wantIn fails the test when the text lacks a part; spaces of every sort count as one.
func wantIn(t *testing.T, where, text, part string) {
	t.Helper()
	if !strings.Contains(plainSpaces(text), plainSpaces(part)) {
		t.Errorf("%s: got %q, want it to say %q", where, text, part)
	}
}

func plainSpaces(s string) string {
	return strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\n", " ").Replace(s)
}

func hexColour(t *testing.T, hex string) color.RGBA {
	t.Helper()
	c := color.RGBA{A: 255}
	if _, err := fmt.Sscanf(hex, "#%02x%02x%02x", &c.R, &c.G, &c.B); err != nil {
		t.Fatalf("colour %q: %v", hex, err)
	}
	return c
}
