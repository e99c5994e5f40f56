package figures

import "testing"

func TestPegWords(t *testing.T) {
	for _, c := range []struct {
		name string
		n    int
		want string
	}{{"", 2, "peg 2"}, {"7", 2, "peg 7"}, {"Peg 2", 2, "Peg 2"}, {"left end", 1, "left end"}} {
		if got := pegWords(c.name, c.n); got != c.want {
			t.Errorf("pegWords(%q, %d) = %q, want %q", c.name, c.n, got, c.want)
		}
	}
}

func TestOffLevel(t *testing.T) {
	for _, c := range []struct {
		offM float64
		want string
	}{{-0.044, "0.044 m below it"}, {0.05, "0.050 m above it"}} {
		if got := offLevel(c.offM); got != c.want {
			t.Errorf("offLevel(%v) = %q, want %q", c.offM, got, c.want)
		}
	}
}
