package register

import (
	"fmt"
	"testing"
	"time"

	"headcut/model"
)

// wideClaims are entries of one device about one feature: first some that say to have seen nine hundred
// devices each, of which none ever writes, then many that name a few of those again.
func wideClaims() (wide, narrow []Numbered) {
	const each, wideEntries, narrowEntries = 900, 44, 256
	seq := uint64(0)
	entry := func(saw map[string]uint64) Numbered {
		seq++
		e := play{"c", seq, int(seq), "", "name=" + fmt.Sprint(seq)}.numbered(int(seq)).Entry
		e.ID, e.Saw = ID(fmt.Sprintf("019abc00-0000-7000-8000-%012x", seq)), saw
		return number(e, int(seq))
	}
	name := func(i int) string { return fmt.Sprintf("0198f3a0-1111-7222-8333-%012x", i*7919%(each*wideEntries)) }
	for i := range wideEntries {
		saw := make(map[string]uint64, each)
		for k := range each {
			saw[name(i*each+k)] = 1
		}
		wide = append(wide, entry(saw))
	}
	for i := range narrowEntries {
		saw := make(map[string]uint64)
		for k := range 60 {
			saw[name(i*60+k)] = 2
		}
		narrow = append(narrow, entry(saw))
	}
	return wide, narrow
}

// TestWideClaimsCostTheirOwnBytes: whatever devices the entries before it said to have seen, an entry is
// folded in at about the cost of reading it, and the state stays small; so does the fold of all of them.
func TestWideClaimsCostTheirOwnBytes(t *testing.T) {
	wide, narrow := wideClaims()
	plain := make([]Numbered, len(narrow)) // the same, with nothing said before
	copy(plain, narrow)
	apply := func(s *State, all []Numbered) time.Duration {
		began := time.Now()
		for _, n := range all {
			if !s.Apply(n) {
				t.Fatalf("entry %d is not applied", n.N)
			}
		}
		return time.Since(began)
	}
	after, before, gathered := time.Hour, time.Hour, time.Hour
	const times = 5
	for tries := 0; tries < 3 || tries < 30 && after > times*before; tries++ { // neighbours come and go: the best of some
		before = min(before, apply(NewState("f"), plain))
		s := NewState("f")
		apply(s, wide)
		after = min(after, apply(s, narrow))
		if n := len(s.Encode()); n > 8<<10 {
			t.Fatalf("the state has %d bytes, want few: it names devices that wrote nothing", n)
		}
		all := append(append([]Numbered(nil), wide...), narrow...)
		began := time.Now()
		g := Gather("f", all)
		gathered = min(gathered, time.Since(began))
		if string(g.Encode()) != string(s.Encode()) {
			t.Fatal("folded at once the entries give another state")
		}
	}
	t.Logf("%d entries: %v with nothing before, %v after wide claims; all gathered in %v", len(narrow), before, after, gathered)
	if after > times*before {
		t.Errorf("%d entries take %v after wide claims and %v without, want at most %d times that", len(narrow), after, before, times)
	}
	if reading := readAll(t, wide) + readAll(t, narrow); gathered > times*reading {
		t.Errorf("all are gathered in %v and read in %v, want at most %d times that", gathered, reading, times)
	}
}

// readAll is how long it takes to read the bytes of entries.
func readAll(t *testing.T, all []Numbered) time.Duration {
	began := time.Now()
	for _, n := range all {
		if _, err := Decode(n.Raw); err != nil {
			t.Fatal(err)
		}
	}
	return time.Since(began)
}

// TestManyAheadOfTheirWriters: also where too many devices are said to have been seen for the state to
// keep their names, one that does write is known as seen, and one by one gives what all at once do.
func TestManyAheadOfTheirWriters(t *testing.T) {
	for _, devices := range []int{1, aheadLimit - 1, aheadLimit, aheadLimit + 1, 3 * aheadLimit} {
		var all []Numbered
		put := func(device string, seq uint64, minute int, saw map[string]uint64, value string) {
			all = append(all, number(Entry{Version: 1, ID: ID(fmt.Sprintf("019abc00-0000-7000-8000-%012x", len(all)+1)), Property: "p", Feature: "f",
				Device: device, DeviceSeq: seq, Stamp: StampAt(arrival.Add(timeMinutes(minute))), SeenAt: "2026-11-25T09:00:00Z", Author: "x",
				Saw: saw, Set: model.FieldValues{}.With("x", []byte(value))}, len(all)+1))
		}
		saw := map[string]uint64{}
		for i := range devices {
			saw[fmt.Sprint("seen-", i)] = 2
		}
		put("c", 1, 0, saw, "1")
		put("c", 2, 0, map[string]uint64{"seen-0": 3}, "2")
		put("d", 1, 0, map[string]uint64{"c": 2}, "3")
		put("seen-0", 3, -5, nil, "4") // c and d saw it
		put("copy-00000000-seen-0", 3, -5, nil, "5")
		put("copy-00000000-seen-0", 4, -4, nil, "6") // nobody did
		for i := range min(devices, 30) {
			put(fmt.Sprint("seen-", i), 4, -3, nil, "7")
		}
		put("e", 1, 1, map[string]uint64{"d": 1}, "8")
		put("copy-00000000-seen-1", 2, -5, nil, "9")
		put("c", 3, 2, nil, "10")
		s := NewState("f")
		for i := range all {
			if !s.Apply(all[i]) {
				s = Gather("f", all[:i+1])
			}
			one, want := string(s.Encode()), string(Gather("f", all[:i+1]).Encode())
			if one != want {
				t.Fatalf("%d devices: one by one, the first %d fold to\n%q\nwant\n%q", devices, i+1, one, want)
			}
			var err error
			if s, err = DecodeState("f", []byte(want)); err != nil || string(s.Encode()) != want {
				t.Fatalf("%d devices: the state of %d entries reads as %v", devices, i+1, err)
			}
			sameRead(t, s)
		}
		if f := Fold("f", all[:4]); string(f.Fields["x"]) != "3" || len(f.Clashes) > 0 {
			t.Errorf("%d devices: %s and clashes %v, want 3, which saw all", devices, f.Fields["x"], f.Clashes)
		}
	}
}
