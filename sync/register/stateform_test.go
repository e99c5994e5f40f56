package register

import (
	"reflect"
	"testing"
)

// TestStateIsReadAgain: whatever is taken as a state can be written and read again, also when a
// byte of it is another than was written.
func TestStateIsReadAgain(t *testing.T) {
	taken := 0
	for _, entries := range [][]Numbered{
		{play{"a", 1, 0, "b3", "x=1"}.numbered(1)},
		{play{"a", 1, 0, "", "x=1"}.numbered(1), play{"b", 1, 1, "c2", "x=2 y=3"}.numbered(2), play{"a", 2, 2, "", "strike"}.numbered(3)},
	} {
		good := Gather("f", entries).Encode()
		for i := range good {
			for _, other := range []byte{0, 1, 2, 3, good[i] ^ 1, good[i] + 1} {
				raw := append([]byte(nil), good...)
				raw[i] = other
				s, err := DecodeState("f", raw)
				if err != nil {
					continue
				}
				taken++
				if _, err := DecodeState("f", s.Encode()); err != nil {
					t.Errorf("%q is taken, and written as %q, which is not: %v", raw, s.Encode(), err)
				}
			}
		}
	}
	if taken < 100 {
		t.Errorf("only %d were taken", taken)
	}
}

// TestStateKeepsWhoIsShown: a state that was written and read tells of every side of a clash whose it
// is, also of an edit that nothing else shows.
func TestStateKeepsWhoIsShown(t *testing.T) {
	for name, entries := range map[string][]Numbered{
		"fields": {play{"a", 1, 0, "", "x=1"}.numbered(1), play{"b", 1, 1, "", "x=2"}.numbered(2), play{"c", 1, 2, "", "y=3"}.numbered(3)},
		"an edit that the strike had not seen": {play{"a", 1, 0, "", "x=1"}.numbered(1), play{"b", 1, 1, "a1", "x=2"}.numbered(2),
			play{"c", 1, 2, "a1", "strike"}.numbered(3), play{"b", 2, 3, "a1", "y=2"}.numbered(4), play{"d", 1, 4, "a1", "z=1"}.numbered(5), play{"a", 2, 5, "b2 d1", "x=7"}.numbered(6)},
	} {
		want := Gather("f", entries).Folded()
		if len(want.Clashes) == 0 {
			t.Fatalf("%s: no clash", name)
		}
		s, err := DecodeState("f", Gather("f", entries).Encode())
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Folded(); !reflect.DeepEqual(got.Clashes, want.Clashes) {
			t.Errorf("%s: read again the clashes are\n%+v\nwant\n%+v", name, got.Clashes, want.Clashes)
		}
		for _, c := range want.Clashes {
			for _, v := range c.Values {
				if v.Author == "" || v.Entry == "" || v.SeenAt == "" {
					t.Errorf("%s: a side of the clash of %s is of nobody: %+v", name, c.Field, v)
				}
			}
		}
	}
}
