package register

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"maps"
	"reflect"
	"strings"
	"testing"

	"headcut/model"
)

// historyOf are plays in the order of their numbers.
func historyOf(plays ...play) (all []Numbered) {
	for i, p := range plays {
		all = append(all, p.numbered(i+1))
	}
	return all
}

// TestEntriesInACircle: who claim, one through the other, to have seen each other count as above all
// that any of them saw outside, and of one device each above the one before it.
func TestEntriesInACircle(t *testing.T) {
	all := historyOf(play{"x", 1, -3, "", "x=0"}, play{"a", 1, -4, "b1 x1", "x=1"}, play{"a", 2, -9, "", "x=2"}, play{"b", 1, -9, "a2", "x=3"})
	twin := play{"a", 2, -9, "", "y=2"}.numbered(5) // a second entry under one number
	twin.Entry.ID = testID("t", 2)
	outside := StampAt(arrival.Add(timeMinutes(-3))) + 1
	h := newHistory("f", append(all, twin))
	for _, n := range h.nodes {
		want := outside
		switch {
		case n.Entry.Device == "x":
			want--
		case n.Entry.Device == "a" && n.Entry.DeviceSeq == 2:
			want++
		}
		if n.eff != want {
			t.Errorf("%s%d counts as %x, want %x", n.Entry.Device, n.Entry.DeviceSeq, n.eff, want)
		}
	}
}

// TestHistories: what an entry may say that it saw is held down to what can have been there, and each
// copy of a device is known once.
func TestHistories(t *testing.T) {
	copied := func(seq uint64) Numbered {
		n := play{"a", seq, 60, "", "x=9"}.numbered(9)
		n.Entry.Device, n.Entry.ID = "copy-00000000-a", testID("k", seq)
		return n
	}
	h := newHistory("f", []Numbered{later{play{"a", 1, 0, "", "x=1"}, 0}.numbered(1), later{play{"c", 1, 1, "a99999", "x=2"}, 1}.numbered(2),
		later{play{"a", 2, 60, "", "x=3"}, 60}.numbered(3), copied(1), copied(2)})
	if want := map[string][]string{"a": {"copy-00000000-a"}}; !reflect.DeepEqual(h.copies, want) {
		t.Errorf("copies %v, want %v", h.copies, want)
	}
	for _, n := range h.nodes {
		if want := map[string]uint64{"a": 1}; n.Entry.Device == "c" && !maps.Equal(n.Entry.Saw, want) {
			t.Errorf("c saw %v, want %v", n.Entry.Saw, want)
		}
	}
}

// TestDoubledNumbers: of a device whose number stands on two entries, as after its storage was copied,
// both count.
func TestDoubledNumbers(t *testing.T) {
	for says, want := range map[[2]string]string{
		{"x=1", "x=2"}:         "x=2 x(a2:2 a1:1)",
		{"strike", "restore"}:  "strike(a2:false a1:true)",
		{"restore", "restore"}: "",
	} {
		all := historyOf(play{"a", 1, 0, "", "x=0"}, play{"a", 2, 1, "", says[0]}, play{"a", 2, 1, "", says[1]})
		all[1].Entry.ID = testID("a", 1)
		all[0].Entry.ID = testID("a", 0)
		got := summary(Fold("f", all))
		if strings.TrimPrefix(got, "x=0 ") != want && got != "x=0" {
			t.Errorf("%v fold to %s, want %s", says, got, want)
		}
	}
}

// TestClashesInOrder: by field, that of a strike among them, and an edit that two strikes had not seen
// stands once.
func TestClashesInOrder(t *testing.T) {
	all := historyOf(play{"c", 1, 0, "", "zone=1"}, play{"d", 1, 1, "", "zone=2"}, play{"a", 1, 2, "", "strike"}, play{"b", 1, 3, "", "strike"})
	if got, want := summary(Fold("f", all)), `zone=2 struck strike(b1:true d1:{"zone":2} c1:{"zone":1}) zone(d1:2 c1:1)`; got != want {
		t.Errorf("folds to %s, want %s", got, want)
	}
}

// TestManyAuthors: of more authors than are searched one by one, each claim keeps its own, whichever
// order their fields have.
func TestManyAuthors(t *testing.T) {
	for _, authors := range []int{fewAuthors - 1, fewAuthors, fewAuthors + 1, 3 * fewAuthors} {
		var plays []play
		for i := range authors {
			plays = append(plays, play{string(rune('a' + i)), 1, i * 7 % authors, "", fmt.Sprintf("x%02d=%d same=%d", i, i, i)})
		}
		want := Gather("f", historyOf(plays...))
		got, err := DecodeState("f", want.Encode())
		if err != nil || !reflect.DeepEqual(got.Folded(), want.Folded()) {
			t.Errorf("%d authors: read again\n%+v, %v\nwant\n%+v", authors, got.Folded(), err, want.Folded())
		}
		for i := range got.fields {
			for j, c := range got.fields[i].claims {
				if w := want.fields[i].claims[j]; c.device != w.device || c.seq != w.seq || c.eff != w.eff {
					t.Errorf("%d authors: claim %d on %s is of %s%d, want %s%d", authors, j, want.fields[i].name, c.device, c.seq, w.device, w.seq)
				}
			}
		}
	}
}

// TestQuickReader: a state in which nothing is contested and nothing struck out is read quickly, and as
// the whole reader reads it; of any other, and of one that is broken, the quick reader says nothing.
func TestQuickReader(t *testing.T) {
	ahead := func(n int) Numbered {
		e := play{"a", 1, 0, "", "kind=\"peg\" x=1"}.numbered(1)
		e.Entry.Saw = map[string]uint64{}
		for i := range n {
			e.Entry.Saw[fmt.Sprint("seen-", i)] = 200
		}
		return e
	}
	devices := func(n int) (plays []play) {
		saw := ""
		for i := range n {
			device := string(rune('a' + i))
			plays = append(plays, play{device, 300, i, saw, `kind="peg" x=` + fmt.Sprint(i)})
			saw += " " + device + "300"
		}
		return plays
	}
	for name, c := range map[string]struct {
		all    []Numbered
		plain  bool
		kind   string
		kindOK bool
	}{
		"one entry":               {historyOf(play{"a", 1, 0, "", `a=1 kind="peg" z=1`}), true, "peg", true},
		"of two, one after other": {historyOf(play{"a", 1, 0, "", `a=1 kind="peg"`}, play{"b", 1, 1, "a1", "z=null"}), true, "peg", true},
		"apart":                   {historyOf(play{"a", 1, 0, "", `kind="peg"`}, play{"b", 1, 1, "", "z=1"}), true, "peg", true},
		"no kind":                 {historyOf(play{"a", 1, 0, "", "a=1"}), true, "", true},
		"a kind of no name":       {historyOf(play{"a", 1, 0, "", `kind=""`}), true, "", true},
		"a kind that is no text":  {historyOf(play{"a", 1, 0, "", "kind=1"}), true, "", true},
		"an escaped kind":         {historyOf(play{"a", 1, 0, "", `kind="p\u0065g"`}), true, `p\u0065g`, false},
		"contested before":        {historyOf(play{"a", 1, 0, "", `a=1 kind="peg"`}, play{"b", 1, 1, "", "a=2"}), false, "", false},
		"contested after":         {historyOf(play{"a", 1, 0, "", `kind="peg" z=1`}, play{"b", 1, 1, "", "z=2"}), false, "peg", true},
		"struck out":              {historyOf(play{"a", 1, 0, "", `kind="peg"`}, play{"a", 2, 1, "", "strike"}), false, "peg", true},
		"struck out, no kind":     {historyOf(play{"a", 1, 0, "", "a=1"}, play{"a", 2, 1, "", "strike"}), false, "", false},
		"as many devices":         {historyOf(devices(8)...), true, "peg", true},
		"one too many":            {historyOf(devices(9)...), false, "", false},
		"one ahead":               {[]Numbered{ahead(1)}, true, "peg", true},
		"as many ahead":           {[]Numbered{ahead(aheadLimit)}, true, "peg", true},
		"a crowd ahead":           {[]Numbered{ahead(aheadLimit + 1)}, true, "peg", true},
		"no entry":                {nil, false, "", true},
	} {
		state := Gather("f", c.all)
		raw := state.Encode()
		var r FoldedReader
		f, plain := r.plain("f", raw)
		if plain != c.plain || plain && !reflect.DeepEqual(f, state.Folded()) {
			t.Errorf("%s: read quickly %t: %+v, want %t: %+v", name, plain, f, c.plain, state.Folded())
		}
		if kind, ok := r.Kind(raw); kind != c.kind || ok != c.kindOK {
			t.Errorf("%s: the kind is %q, %t, want %q, %t", name, kind, ok, c.kind, c.kindOK)
		}
		for cut := range raw {
			if _, plain := r.plain("f", raw[:cut]); plain {
				t.Errorf("%s: the first %d bytes of %d are read", name, cut, len(raw))
			}
			if kind, ok := r.Kind(raw[:cut]); ok && kind != c.kind {
				t.Errorf("%s: the kind in the first %d bytes of %d is %q", name, cut, len(raw), kind)
			}
		}
		if _, plain := r.plain("f", append(bytes.Clone(raw), 0)); plain {
			t.Errorf("%s: a byte too many is read", name)
		}
		if _, ok := r.Kind(append([]byte{StateVersion + 1}, raw[1:]...)); ok {
			t.Errorf("%s: another version is read", name)
		}
	}
	var r FoldedReader
	one := Gather("f", historyOf(play{"a", 1, 0, "", "x=1"})).Encode() // ends with the author, the value and no strikes
	one[len(one)-4] = 1
	if _, plain := r.plain("f", one); plain {
		t.Error("a claim of an author who is not there is read")
	}
	short := Gather("f", historyOf(play{"a", 1, 0, "", "kind=1"})).Encode()
	short[len(short)-2] = '"'
	if kind, ok := r.Kind(short); kind != "" || !ok {
		t.Errorf("the kind of a lone quote is %q, %t", kind, ok)
	}
}

// TestFingerprint: it is the 64-bit FNV-1a hash of each device and its highest deviceSeq, as
// hash/fnv has it (Fowler, Noll and Vo).
func TestFingerprint(t *testing.T) {
	sum := fnv.New64a()
	for device, seq := range map[string]uint64{"ab": 1<<40 + 7} {
		sum.Write([]byte(device + "\x00"))
		sum.Write(binary.LittleEndian.AppendUint64(nil, seq))
	}
	if got := and(fnvStart, "ab", 1<<40+7); uint64(got) != sum.Sum64() {
		t.Errorf("the fingerprint is %x, want %x", got, sum.Sum64())
	}
}

// TestHashes are of SHA-256, and read in lower-case hex alone; a chain is of all before it.
func TestHashes(t *testing.T) {
	var h Hash
	for text, want := range map[string]bool{HashOf(nil).String(): true, strings.Repeat("g", 64): false, strings.Repeat("A", 64): false, strings.Repeat("a", 63): false, strings.Repeat("a", 65): false, "": false} {
		if err := h.UnmarshalText([]byte(text)); (err == nil) != want || want && h.String() != text {
			t.Errorf("%q is read as %v, %v", text, h, err)
		}
	}
	a, b := HashOf([]byte("a")), HashOf([]byte("b"))
	if want := Hash(sha256.Sum256(append(bytes.Clone(a[:]), b[:]...))); Chain(a, b) != want {
		t.Errorf("the chain is %v, want %v", Chain(a, b), want)
	}
	longest := strings.Repeat("d", IDBytes-len(copyPrefix)-nonceBytes-1)
	if id := CopyDevice("k7m2x9qd", longest); CopiedFrom(id) != longest || CopiedFrom(CopyDevice("k7m2x9qd", longest+"d")) != "" || CopiedFrom(CopyDevice("k7m2x9q", "d")) != "" {
		t.Errorf("the longest device that a copy names has %d bytes: %s", len(longest), id)
	}
}

// TestNamesAndIDs: what an id and a field's name may have, letter by letter.
func TestNamesAndIDs(t *testing.T) {
	for id, want := range map[string]bool{"a": true, "z": true, "0": true, "9": true, "-": true, "`": false, "{": false, "/": false, ":": false, "A": false, "_": false, "é": false, "": false} {
		if ValidID(id) != want {
			t.Errorf("%q as an id: %t", id, !want)
		}
	}
	for name, want := range map[string]bool{"a": true, "az-AZ": true, "x 1": true, "x_1.2:3": true, " x": false, "x ": false, "-x": false, "x-": false, "_": false, "é": true, "x-é": true, "x/y": false, "x\ty": false, "": false, "strike": false, "strikes": true, "Strike": true, "@": false, "x{": false} {
		if validFieldName(name) != want {
			t.Errorf("%q as a field's name: %t", name, !want)
		}
	}
	for n, want := range map[int]string{39: strings.Repeat("x", 39), 40: strings.Repeat("x", 40), 41: strings.Repeat("x", 40) + "…"} {
		if got := short(bytes.Repeat([]byte("x"), n)); got != want {
			t.Errorf("%d bytes are shown as %s", n, got)
		}
	}
	for _, pair := range [][2]string{{"{", "1"}, {"1", "{"}, {"1", "2"}} {
		if sameValue(pair[0], pair[1]) {
			t.Errorf("%s and %s are the same", pair[0], pair[1])
		}
	}
	if !sameValue(`{"a":1,"b":2.0}`, `{"b":2, "a":1}`) {
		t.Error("the order of members and the spelling of numbers make a value another")
	}
}

// TestTextsOfEntries: what is read and what is told of texts at their ends, and where a member stands.
func TestTextsOfEntries(t *testing.T) {
	for text, want := range map[string]string{
		"\n" + good: "has a line feed, at byte 1", `{"v":zap}`: `"zap" stands where a value should be`, `{"v":1-x}`: `"-" stands where a comma`,
		`{"v":"\u00e9`: "where the closing quote should be", `{"v":"\x0041"}`: `where one of "\/bfnrtu after a backslash should be`, `{"v":"\ud83dx0041de00"}`: "half a surrogate pair", `{"v":"\ud83d\nde00"}`: "half a surrogate pair",
		`{"v":-`: "the text ends where a digit should be, at byte 7", `{"v":1e`: "the text ends where a digit should be, at byte 8", `{"v":1e+`: "the text ends where a digit should be, at byte 9", "{\"v\":\"\xff\"}": "is not UTF-8",
		`"`: "where the closing quote should be", "\"\x01\"": "text without control characters", `"\`: "after a backslash should be", `{"v":1e999}`: "too large", `{"v":` + strings.Repeat("9", 400) + `}`: "too large",
	} {
		if _, err := Decode([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	for _, text := range []string{"true", "false", "null", `"\u00e9"`, "-0", "-1.5e-3", `"\ud83d\ude00"`, `{"":1,"a":2}`, "0"} {
		if p := ReadAlike([]byte(text)); p != nil {
			t.Errorf("%s: %v", text, p)
		}
	}
	turned := strings.Replace(good, `"saw":{"b":2},"set":{"name":"x"}`, `"set":{"geometry":{"type":"Point","coordinates":[1,2]},"name":"x"},"saw":{"b":2}`, 1)
	if e, err := Decode([]byte(turned)); err != nil || string(e.Set.Get("name")) != `"x"` || len(e.Set) != 2 || e.Saw["b"] != 2 {
		t.Errorf("saw after set: %+v, %v", e, err)
	}
	for version, want := range map[string]bool{"9223372036854775807": true, "9223372036854775808": false, "99999999999999999999": false} {
		if e, err := Decode([]byte(strings.Replace(good, `"v":1,`, `"v":`+version+`,`, 1))); (err == nil) != want || want && fmt.Sprint(e.Version) != version {
			t.Errorf("version %s: %d, %v", version, e.Version, err)
		}
	}
}

// TestCheckAtItsLimits: a level run has so many rows, and what a newer version means is not judged.
func TestCheckAtItsLimits(t *testing.T) {
	rows := func(n int) Entry {
		raw := "[" + strings.TrimSuffix(strings.Repeat(`{"point":"a","foreM":1},`, n), ",") + "]"
		return Entry{Version: Version, Set: model.FieldValuesOf(map[string]json.RawMessage{"rows": json.RawMessage(raw)})}
	}
	if err := Check(rows(LevelRowLimit), "level-run"); err != nil {
		t.Errorf("%d rows: %.200v", LevelRowLimit, err)
	}
	if err := Check(rows(LevelRowLimit+1), "level-run"); err == nil || !strings.Contains(err.Error(), "has 10001 rows and may have 10000") {
		t.Errorf("%d rows: %.200v", LevelRowLimit+1, err)
	}
	wrong := Entry{Version: Version, Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage("1")})}
	if Check(wrong, "") == nil {
		t.Error("a kind that is no text is taken")
	}
	wrong.Version = Version + 1
	if err := Check(wrong, ""); err != nil {
		t.Errorf("of a newer version: %v", err)
	}
}
