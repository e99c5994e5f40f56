package register

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

// stateOf applies plays one after the other, all of which must go on from the state before.
func stateOf(t *testing.T, all ...play) *State {
	t.Helper()
	s := NewState("f")
	for i, p := range all {
		if !s.Apply(p.numbered(i + 1)) {
			t.Fatalf("play %d %+v does not go on", i+1, p)
		}
	}
	return s
}

// again is a state as a store gives it back.
func again(t *testing.T, s *State) *State {
	t.Helper()
	out, err := DecodeState("f", s.Encode())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestWhatGoesOnFromAState: which entries fold into what a store kept, and which need all of the feature's
// entries. A store that gathers more than it must writes large items far more often.
func TestWhatGoesOnFromAState(t *testing.T) {
	edited := []play{{"a", 1, 1, "", `kind="peg"`}, {"a", 2, 2, "", `name="x"`}}
	both := append(slices.Clone(edited), play{"b", 1, 3, "a2", `notes="n"`})
	later := play{"b", 2, 9, "a2", `notes="m"`}.numbered(9)
	later.Entry.Version = Version + 1
	for name, c := range map[string]struct {
		before []play
		next   Numbered
		want   bool
	}{
		"the first":                            {nil, play{"a", 1, 1, "", `kind="peg"`}.numbered(1), true},
		"a newer version's":                    {edited, later, true},
		"of the same device":                   {edited, play{"a", 3, 9, "", `name="y"`}.numbered(9), true},
		"of the same device, beside another's": {both, play{"a", 3, 9, "b1", `name="y"`}.numbered(9), true},
		"another field, unseen":                {edited, play{"b", 1, 9, "", `notes="n"`}.numbered(9), true},
		"the same field, seen":                 {edited, play{"b", 1, 9, "a2", `name="y"`}.numbered(9), true},
		"the same field, unseen":               {append(slices.Clone(edited), play{"a", 3, 3, "", `notes="n"`}), play{"b", 1, 9, "", `name="gate"`}.numbered(9), false},
		"the last field, unseen":               {edited, play{"b", 1, 9, "", `name="y"`}.numbered(9), true}, // its author is kept as the newest
		"seen, but not the newest":             {edited, play{"b", 1, 9, "a1", `notes="n"`}.numbered(9), false},
		"of an earlier number":                 {edited, play{"b", 1, 9, "", `notes="n"`}.numbered(1), false},
		"known already":                        {edited, play{"a", 2, 2, "", `name="x"`}.numbered(9), false},
		"a strike of what was seen":            {edited, play{"b", 1, 9, "a2", "strike"}.numbered(9), true},
		"a strike of what was not":             {edited, play{"b", 1, 9, "", "strike"}.numbered(9), false},
		"a strike of one's own":                {edited, play{"a", 3, 9, "", "strike"}.numbered(9), true},
		"a restoring, unseen":                  {edited, play{"b", 1, 9, "", "restore"}.numbered(9), true},
		"a second device's strike":             {both, play{"b", 2, 9, "a2", "strike"}.numbered(9), true},
	} {
		s := again(t, stateOf(t, c.before...))
		was := s.Encode()
		if got := s.Apply(c.next); got != c.want {
			t.Errorf("%s: it goes on: %t", name, got)
		}
		if same := bytes.Equal(was, s.Encode()); same != (!c.want || c.next.Entry.Version > Version) {
			t.Errorf("%s: the state stays as it was: %t", name, same)
		}
		if !c.want || c.next.Entry.Version > Version {
			continue
		}
		var all []Numbered
		for i, p := range c.before {
			all = append(all, p.numbered(i+1))
		}
		if whole := Gather("f", append(all, c.next)); !reflect.DeepEqual(whole.Folded(), s.Folded()) {
			t.Errorf("%s: folded %+v, gathered %+v", name, s.Folded(), whole.Folded())
		}
	}
}

// TestWhatAStateSays of its fields, its kind and its stamp.
func TestWhatAStateSays(t *testing.T) {
	if s := NewState("f"); !s.Empty() || s.Kind() != "" || s.Value("kind") != "" || s.Stamp() != 0 || len(s.Saw("")) > 0 {
		t.Errorf("of nothing: %+v", s)
	}
	if s := NewState("f"); !s.Apply(play{"a", 1, 1, "", `kind="peg"`}.numbered(0)) || s.Empty() { // on a phone, which numbers nothing
		t.Error("with an entry of no number it is empty")
	}
	for text, want := range map[string]string{`"peg"`: "peg", `""`: "", `"a\"b"`: `a"b`, `"\u0070eg"`: "peg", "null": "", "7": ""} {
		if got := stateOf(t, play{"a", 1, 1, "", "kind=" + text}).Kind(); got != want {
			t.Errorf("%s is the kind %q, want %q", text, got, want)
		}
	}
	s := stateOf(t, play{"a", 1, 5, "", `name="m"`}, play{"b", 1, 2, "", `zone="z"`}, play{"c", 1, 3, "", `area=1`}, play{"c", 2, 4, "", `area=2 kind="peg"`})
	for name, want := range map[string]string{"name": `"m"`, "zone": `"z"`, "area": "2", "kind": `"peg"`, "none": ""} {
		if got := s.Value(name); got != want {
			t.Errorf("%s is %s, want %s", name, got, want)
		}
	}
	if first := (play{"a", 1, 5, "", ""}).numbered(1).Capped; s.Stamp() != first {
		t.Errorf("its stamp is %x, want %x", s.Stamp(), first)
	}
	if saw := s.Saw("b"); !reflect.DeepEqual(saw, map[string]uint64{"a": 1, "c": 2}) {
		t.Errorf("whoever applied it saw %v", saw)
	}
	if got := setValue(model.FieldValuesOf(map[string]json.RawMessage{"name": json.RawMessage(`"<a> & b"`)})); got != `{"name":"<a> & b"}` {
		t.Errorf("an edit says %s", got)
	}
}

// TestAStateOfManyDevices comes back as it was, and has the words of those alone that are shown.
func TestAStateOfManyDevices(t *testing.T) {
	for devices := 1; devices <= 3*fewAuthors; devices++ {
		s := NewState("f")
		for i := range devices {
			e := play{string(rune('a' + i)), 1, i, "", fmt.Sprintf("f%02d=%d", i, i)}
			if !s.Apply(e.numbered(i + 1)) {
				t.Fatalf("device %d does not go on", i)
			}
		}
		raw := s.Encode()
		back := again(t, s)
		if !reflect.DeepEqual(back.Folded(), s.Folded()) || !bytes.Equal(back.Encode(), raw) {
			t.Errorf("of %d devices: %+v, want %+v", devices, back.Folded(), s.Folded())
		}
		for i := range devices {
			id := string(testID(string(rune('a'+i)), 1))
			if is, want := bytes.Contains(raw, []byte(id)), i == 0 || i == devices-1; is != want {
				t.Errorf("of %d devices, the words of number %d are kept: %t", devices, i, is)
			}
		}
	}
}

// TestStatesThatAreBroken are refused at whatever byte they end, and with one more.
func TestStatesThatAreBroken(t *testing.T) {
	s := stateOf(t, play{"a", 1, 1, "", `kind="peg" name="x"`}, play{"b", 1, 2, "", `name="y"`}, play{"c", 1, 3, "a1 b1", "strike"}, play{"d", 1, 4, "z7", `notes="n"`})
	raw := s.Encode()
	for end := range raw {
		if _, err := DecodeState("f", raw[:end]); err == nil {
			t.Errorf("of %d bytes the first %d are taken for a state", len(raw), end)
		}
	}
	for name, bad := range map[string][]byte{"nothing": nil, "one more": append(slices.Clone(raw), 0), "another version": append([]byte{StateVersion + 1}, raw[1:]...)} {
		if _, err := DecodeState("f", bad); err == nil {
			t.Errorf("%s is taken for a state", name)
		}
	}
	s.fields[0].claims = nil
	if _, err := DecodeState("f", s.Encode()); err == nil {
		t.Error("a field that nobody set is taken for one")
	}
	for text, want := range map[string]uint64{"\x00": 0, "\x7f": 127, "\x80\x01": 128, strings.Repeat("\xff", 9) + "\x01": 1<<64 - 1, strings.Repeat("\x80", 9) + "\x00": 0} {
		if r := (formReader[string]{left: text + "x"}); r.number() != want || r.broken || r.left != "x" {
			t.Errorf("%x is not %d: %+v", text, want, r)
		}
	}
	for _, text := range []string{"", "\x80", strings.Repeat("\x80", 10) + "\x00"} {
		if r := (formReader[string]{left: text}); r.number() != 0 || !r.broken {
			t.Errorf("%x is taken for a number", text)
		}
	}
	for names, want := range map[string]bool{"": true, "a": true, "ab": true, "aa": false, "ba": false, "acb": false} {
		r := stateReader{}
		if r.rising(len(names), func(i int) string { return names[i : i+1] }); r.broken == want {
			t.Errorf("%q rise: %t", names, want)
		}
	}
}

// TestCrowdsAhead: of as many devices as may be, each is known of which an entry says that it saw it.
func TestCrowdsAhead(t *testing.T) {
	saw := map[string]uint64{}
	for n := 1; n <= aheadLimit+1; n++ {
		saw[fmt.Sprint("unknown-", n)] = 1
		s := NewState("f")
		if s.claims(saw); s.crowded != (n > aheadLimit) || !s.crowded && len(s.ahead) != n {
			t.Errorf("of %d devices %d are known, crowded: %t", n, len(s.ahead), s.crowded)
		}
	}
}

// TestStampsAreSixteenDigits in lower case.
func TestStampsAreSixteenDigits(t *testing.T) {
	for text, want := range map[string]bool{"0000000000000000": true, "ffffffffffffffff": true, "FFFFFFFFFFFFFFFF": false, "0": false, "00000000000000000": false, "000000000000000g": false, "+00000000000000f": false, "": false} {
		var s Stamp
		if err := s.UnmarshalText([]byte(text)); (err == nil) != want {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestKindsReadAlone are those of the whole state, or only the whole can tell.
func TestKindsReadAlone(t *testing.T) {
	var r FoldedReader
	for text, want := range map[string]string{`"peg"`: "peg", `""`: "", `"a\"b"`: "?", `"\\b"`: "?", "null": "", "7": ""} {
		kind, ok := r.Kind(stateOf(t, play{"a", 1, 1, "", "area=1 kind=" + text + ` name="\\x"`}).Encode())
		if want == "?" && ok || want != "?" && (!ok || kind != want) {
			t.Errorf("%s is the kind %q, sure %t", text, kind, ok)
		}
	}
}
