package main

import (
	"strings"
	"testing"
)

func TestPrintedIsPlain(t *testing.T) {
	for _, c := range []struct{ said, want string }{
		{"North\tSouth\n", "North\tSouth\n"},
		{"Zoë, Đặng, 北, 🐄", "Zoë, Đặng, 北, 🐄"},
		{"\x1b[31mred\x1b]0;title\x07", "�[31mred�]0;title�"},
		{"by \u009b31m", "by �31m"},
		{"\u202ehtroN", "�htroN"},
		{"over\rwritten\x00", "over�written�"},
		{"cut \xff", "cut �"},
	} {
		var out strings.Builder
		if n, err := (printed{&out}).Write([]byte(c.said)); n != len(c.said) || err != nil || out.String() != c.want {
			t.Errorf("printed %q as %q (%d, %v), want %q", c.said, &out, n, err, c.want)
		}
	}
}
