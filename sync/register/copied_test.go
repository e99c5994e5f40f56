package register

import (
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCopyDevice(t *testing.T) {
	phone := "0198f3a0-1111-7222-8333-444455556666"
	for device, want := range map[string]string{phone: phone, "d": "d", strings.Repeat("x", IDBytes): ""} {
		id := CopyDevice("k7m2x9qd", device)
		if !ValidID(id) || !IsCopy(id) || CopiedFrom(id) != want {
			t.Errorf("a copy of %q is of device %q, which names %q; want %q", device, id, CopiedFrom(id), want)
		}
	}
	for _, other := range []string{"", phone, "copy-", "copy-k7m2x9qd", "copy-k7m2x9qdd", "copyk7m2x9qd-d", "intake-0123"} {
		if got := CopiedFrom(other); got != "" {
			t.Errorf("%q is taken for a copy of %q", other, got)
		}
	}
}

// What was handed in for a device, and what the device then sends itself and goes on with, fold to
// what the device alone would have given: nothing clashes, whatever of it was handed in, and a
// changed copy gives way to the device's own word.
func TestCopiesGiveWayToTheirDevice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var own, all []Numbered
		struck := false
		for i := range rapid.IntRange(1, 8).Draw(t, "entries") {
			says := "restore" // what is struck out is not edited
			if !struck {
				says = rapid.SampledFrom([]string{"x=1", "x=2 y=1", "y=2", "strike", "restore"}).Draw(t, "says")
			}
			struck = says == "strike"
			n := play{"v", uint64(i + 1), i, "", says}.numbered(i + 1)
			own = append(own, n)
			for _, nonce := range []string{"one00000", "two00000"} {
				if rapid.Bool().Draw(t, nonce) {
					c := copied(nonce, n.Entry)
					if rapid.Bool().Draw(t, "changed") {
						for field := range c.Set.All() {
							c.Set = c.Set.With(field, json.RawMessage("9"))
						}
					}
					all = append(all, number(c, 100+len(all)))
				}
			}
		}
		all = append(all, own...)
		want, got := Fold("f", own), Fold("f", rapid.Permutation(all).Draw(t, "order"))
		if len(got.Clashes) > 0 || got.Struck != want.Struck || len(got.Fields) != len(want.Fields) {
			t.Fatalf("with copies: %+v, want %+v", got, want)
		}
		for field, value := range want.Fields {
			if string(got.Fields[field]) != string(value) {
				t.Fatalf("%s is %s, want %s, as its device says", field, got.Fields[field], value)
			}
		}
	})
}

// A copy under a number that its device has not reached overrides nothing of it: both are shown.
func TestCopyOfWhatNeverWasClashes(t *testing.T) {
	own := play{"v", 1, 0, "", "x=1"}.numbered(1)
	forged := play{"v", 1 << 50, 1, "", "x=9"}.numbered(2)
	f := Fold("f", []Numbered{own, number(copied("one00000", forged.Entry), 2), play{"v", 2, 2, "", "y=1"}.numbered(3)})
	if len(f.Clashes) != 1 || len(f.Clashes[0].Values) != 2 {
		t.Errorf("got %+v, want one clash of two", f.Clashes)
	}
}
