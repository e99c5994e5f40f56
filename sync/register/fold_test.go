package register

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"headcut/model"
)

// drawHistory makes entries of a few devices about one feature. Honest devices see what
// reached them; the others claim what they like, circles included.
func drawHistory(t *rapid.T, honest bool) []Numbered {
	devices := []string{"a", "b", "c", "d"}[:rapid.IntRange(1, 4).Draw(t, "devices")]
	seqs := map[string]uint64{}
	var all []Numbered
	for i := range rapid.IntRange(0, 14).Draw(t, "entries") {
		device := rapid.SampledFrom(devices).Draw(t, "device")
		seqs[device] += rapid.Uint64Range(1, 2).Draw(t, "step")
		e := Entry{Version: 1, ID: testID(device, seqs[device]), Property: "p", Feature: "f", Device: device, DeviceSeq: seqs[device],
			Stamp:  StampAt(arrival.Add(time.Duration(rapid.IntRange(-300, 300).Draw(t, "seconds")) * time.Second)),
			SeenAt: "2026-11-25T09:00:00Z", Author: "Officer " + device}
		for _, other := range devices {
			if other == device || !rapid.Bool().Draw(t, "saw") {
				continue
			}
			if most := seqs[other]; honest && most > 0 {
				put(&e, other, rapid.Uint64Range(1, most).Draw(t, "seq"))
			} else if !honest {
				put(&e, other, rapid.Uint64Range(1, 9).Draw(t, "seq"))
			}
		}
		switch what := rapid.IntRange(0, 9).Draw(t, "what"); {
		case what < 2:
			strike := what == 0
			e.Strike = &strike
		default:
			e.Set = model.FieldValues{}
			for _, field := range []string{"x", "y"} {
				if field == "x" || rapid.Bool().Draw(t, "also") {
					e.Set = e.Set.With(field, json.RawMessage(rapid.SampledFrom([]string{"1", "2", "null", `"<é>"`, "1.0"}).Draw(t, field)))
				}
			}
		}
		all = append(all, number(e, i+1))
		if rapid.IntRange(0, 5).Draw(t, "copied") == 0 {
			all = append(all, number(copied(rapid.SampledFrom([]string{"one00000", "two00000"}).Draw(t, "nonce"), e), 100+i))
		}
	}
	return all
}

// copied is what an office hands in of an entry.
func copied(nonce string, e Entry) Entry {
	e.ID, e.Device = ID(fmt.Sprintf("019abc01-0000-7000-8000-%02x%02x%08x", nonce[0], e.Device[0], e.DeviceSeq)), CopyDevice(nonce, e.Device)
	e.Author += ", handed in by the office"
	return e
}

func put(e *Entry, device string, seq uint64) {
	if e.Saw == nil {
		e.Saw = map[string]uint64{}
	}
	e.Saw[device] = seq
}

// TestRule05AnyOrderSameFold: whatever order entries arrive in, however often, and
// whether folded at once or one by one with the state written and read in between, the
// result is the same, byte for byte.
func TestRule05AnyOrderSameFold(t *testing.T) {
	for _, honest := range []bool{true, false} {
		t.Run(fmt.Sprintf("honest-%v", honest), rapid.MakeCheck(func(t *rapid.T) {
			all := drawHistory(t, honest)
			want := string(Gather("f", all).Encode())
			shuffled := rapid.Permutation(all).Draw(t, "order")
			twice := append(slices.Clone(shuffled), rapid.SliceOf(rapid.SampledFrom(append(all, Numbered{}))).Draw(t, "again")...)
			if got := string(Gather("f", twice).Encode()); got != want {
				t.Fatalf("another order with repeats folds to\n%q\nwant\n%q", got, want)
			}
			for _, order := range [][]Numbered{all, shuffled} {
				s, sofar := NewState("f"), []Numbered(nil)
				for _, n := range order {
					sofar = append(sofar, n)
					before := string(s.Encode())
					if !s.Apply(n) {
						if after := string(s.Encode()); after != before {
							t.Fatalf("a refused Apply changed\n%s\nto\n%s", before, after)
						}
						s = Gather("f", sofar)
					}
					read, err := DecodeState("f", s.Encode())
					if err != nil {
						t.Fatal(err)
					}
					sameRead(t, s)
					if got, want := string(s.Encode()), string(Gather("f", sofar).Encode()); got != want {
						t.Fatalf("one by one, entry %s gives\n%s\nwant\n%s", n.Entry.ID, got, want)
					}
					s = read
				}
				if got := string(s.Encode()); got != want {
					t.Fatalf("one by one folds to\n%s\nwant\n%s", got, want)
				}
				if got, want := FingerprintOf(s.Saw("")), s.Folded().Seen; got != want {
					t.Fatalf("the fingerprint of what was seen is %x, want that of the fold, %x", got, want)
				}
			}
		}))
	}
}

// TestApplySeldomGathers keeps the quick way quick: two devices that edit in turn, and
// one that comes back from a day without signal, are folded one by one.
func TestApplySeldomGathers(t *testing.T) {
	history := []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "x=2"}, {"a", 2, 2, "b1", "y=1"}, {"a", 3, 3, "", "y=2"},
		{"b", 2, 4, "a3", "x=3"}, {"b", 3, 5, "", "y=3"}, {"a", 4, 3, "", "x=9"}, {"a", 5, 4, "b1", "y=9"}}
	s := NewState("f")
	for i, p := range history {
		if !s.Apply(p.numbered(i + 1)) {
			t.Errorf("entry %d of %v cannot be applied, want all in order", i+1, history)
		}
	}
}

// FuzzFold: whatever decodes folds without a panic, the same in both directions, and a
// second fold of the same adds nothing.
func FuzzFold(f *testing.F) {
	lines := append(readLines(f, "version1.jsonl"), readLines(f, "version2.jsonl")...)
	for _, a := range lines {
		for _, b := range lines {
			f.Add([]byte(a), []byte(b), []byte(lines[0]))
		}
	}
	f.Fuzz(func(t *testing.T, a, b, c []byte) {
		var all []Numbered
		for i, raw := range [][]byte{a, b, c} {
			e, err := Decode(raw)
			if err != nil {
				continue
			}
			e.Feature = "f"
			all = append(all, Numbered{N: uint64(i + 1), Capped: Capped(e.Stamp, arrival), Arrived: ArrivedAt(arrival), Hash: HashOf(raw), Entry: e, Raw: raw})
		}
		want := string(Gather("f", all).Encode())
		back := slices.Clone(all)
		slices.Reverse(back)
		if got := string(Gather("f", append(back, all...)).Encode()); got != want {
			t.Fatalf("backwards folds to\n%s\nwant\n%s", got, want)
		}
		s, err := DecodeState("f", []byte(want))
		if err != nil {
			t.Fatalf("the state %s cannot be read: %v", want, err)
		}
		if got := string(s.Encode()); got != want {
			t.Fatalf("the state reads as\n%s\nwant\n%s", got, want)
		}
		if distinctIDs(all) {
			if got := string(applied(all).Encode()); got != want {
				t.Fatalf("one by one folds to\n%s\nwant\n%s", got, want)
			}
		}
	})
}

// distinctIDs tells whether no id comes twice; a store sees to that.
func distinctIDs(all []Numbered) bool {
	seen := map[ID]bool{}
	for _, n := range all {
		if seen[n.Entry.ID] {
			return false
		}
		seen[n.Entry.ID] = true
	}
	return true
}

// FuzzState: no bytes make reading a state, showing it or writing it panic. (A store seals
// its states, so that odd bytes do not come this far.)
func FuzzState(f *testing.F) {
	f.Add(NewState("f").Encode())
	f.Add(Gather("f", []Numbered{play{"a", 1, 0, "", "x=1"}.numbered(1), play{"b", 1, 1, "", "x=2 y=3"}.numbered(2)}).Encode())
	f.Add(Gather("f", []Numbered{play{"a", 1, 0, "", "x=1"}.numbered(1), play{"b", 1, 1, "", "strike"}.numbered(2)}).Encode())
	f.Fuzz(func(t *testing.T, raw []byte) {
		s, err := DecodeState("f", raw)
		if err != nil {
			return
		}
		sameRead(t, s)
		new(FoldedReader).Read("f", raw)
		if len(raw) == 0 || raw[0] != StateVersion {
			t.Fatalf("the bytes %x were read as a state of version %d", raw, StateVersion)
		}
	})
}

// sameRead: the quick reader gives what the state gives.
func sameRead(t interface{ Fatalf(string, ...any) }, s *State) {
	raw := s.Encode()
	state, err := DecodeState("f", raw)
	if err != nil {
		t.Fatalf("%v", err)
	}
	want := state.Folded()
	var r FoldedReader
	got, ok, err := r.Read("f", raw)
	if err != nil || ok == state.Empty() || !state.Empty() && !reflect.DeepEqual(got, want) {
		t.Fatalf("the quick reader gives %v, %v, %v\nwant %v", got, ok, err, want)
	}
	if kind, ok := r.Kind(raw); ok && kind != want.Model().Kind {
		t.Fatalf("the quick reader gives the kind %q, want %q", kind, want.Model().Kind)
	}
}

// TestFirstAndNewest: a feature knows who wrote its first and its newest entry, and which
// entries it was folded from.
func TestFirstAndNewest(t *testing.T) {
	a, b, c := play{"a", 1, 0, "", "x=1"}.numbered(1), play{"b", 1, 5, "a1", "x=2"}.numbered(2), play{"a", 2, 3, "", "y=1"}.numbered(3)
	f := Fold("f", []Numbered{c, a, b})
	if f.Recorded.Author != "Officer a" || f.Changed.Author != "Officer b" {
		t.Errorf("recorded by %q and changed by %q, want officers a and b", f.Recorded.Author, f.Changed.Author)
	}
	two, three := Fold("f", []Numbered{a, b}).Seen, f.Seen
	if two == three || three != Fold("f", []Numbered{b, c, a}).Seen {
		t.Errorf("fingerprints %x of two entries and %x of three, want them apart and free of order", two, three)
	}
	text := string(three.Append(nil))
	if back, ok := ParseFingerprint(text); !ok || back != three {
		t.Errorf("%s reads as %x, %v", text, back, ok)
	}
	for _, bad := range []string{"", "v", text + "0", text[1:], "V" + text[1:]} {
		if _, ok := ParseFingerprint(bad); ok {
			t.Errorf("%q is read as a fingerprint", bad)
		}
	}
}
