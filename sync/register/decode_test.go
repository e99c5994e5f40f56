package register

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"headcut/model"
)

func TestRule10GoldenVersions(t *testing.T) {
	var all []Numbered
	for i, line := range readLines(t, "version1.jsonl") {
		e, err := Decode([]byte(line))
		if err != nil {
			t.Fatalf("Decode(%s): %v", line, err)
		}
		if err := Check(e, "check-dam"); err != nil {
			t.Errorf("Check(%s): %v", line, err)
		}
		all = append(all, Numbered{N: uint64(i + 1), Capped: e.Stamp, Hash: HashOf([]byte(line)), Entry: e})
	}
	const want = `accuracyM=3.2 builtOn="2026-11-24" crestHeightM=4e-1 geometry={"type":"Point","coordinates":[147.123456,-20.123456]} ` +
		`kind="check-dam" name="Dam 4" status="failed" struck notes(tablet-a3:null tablet-b2:"rock < 0.3 m, \"apron\" 1.2 m") ` +
		`status(tablet-a3:"failed" tablet-b2:"built") strike(tablet-b4:true tablet-a3:{"crestHeightM":4e-1,"notes":null,"status":"failed"})`
	fold := Fold("019abc00-0000-7000-8000-0000000000f1", all)
	if got := unescape(summary(fold)); got != want {
		t.Errorf("version 1 folds to\n%s\nwant\n%s", got, want)
	}
	for _, line := range readLines(t, "version2.jsonl") {
		e, err := Decode([]byte(line))
		if err != nil {
			t.Fatalf("Decode(%s): %v", line, err)
		}
		all = append(all, Numbered{N: 9, Hash: HashOf([]byte(line)), Entry: e})
	}
	if got := Fold(fold.Feature, all); summary(got) != summary(fold) || got.N != fold.N {
		t.Errorf("an entry of version 2 changes the fold to %s", summary(got))
	}
}

// Names that differ in case alone are refused in a new entry, but for names of fields, and mean
// themselves in one that is in a register already.
func TestNewEntriesNameMembersOnce(t *testing.T) {
	many := strings.Builder{}
	for i := range 40 {
		fmt.Fprintf(&many, `"n%d":1,`, i)
	}
	for _, c := range []struct{ name, raw, path string }{
		{"top", strings.Replace(good, `"v":1,`, `"v":1,"DEVICE":"b",`, 1), "device"},
		{"unknown", strings.Replace(good, `"v":1,`, `"v":1,"later":1,"Later":2,`, 1), "Later"},
		{"escaped", strings.Replace(good, `"v":1,`, `"v":1,"\u0044evice":"b",`, 1), "device"},
		{"in-a-field", strings.Replace(good, `{"name":"x"}`, `{"x-y":{"a":1,"A":2}}`, 1), "set.x-y.A"},
		{"long-s", strings.Replace(good, `{"name":"x"}`, `{"x-y":{"notes":1,"noteſ":2}}`, 1), "set.x-y.noteſ"},
		{"kelvin", strings.Replace(good, `{"name":"x"}`, `{"x-y":{"kind":1,"\u212aind":2}}`, 1), "set.x-y.\u212aind"},
		{"deep", strings.Replace(good, `{"name":"x"}`, `{"rows":[{"bs":1,"BS":2}]}`, 1), "set.rows[0].BS"},
		{"among-many", strings.Replace(good, `{"name":"x"}`, `{"x":{`+many.String()+`"N39":2}}`, 1), "set.x.N39"},
		{"first-of-many", strings.Replace(good, `{"name":"x"}`, `{"x":{`+many.String()+`"N0":2}}`, 1), "set.x.N0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := DecodeNew([]byte(c.raw))
			p, ok := errors.AsType[*model.Problem](err)
			if !ok || p.Path != c.path || !strings.Contains(p.Reason, "twice") {
				t.Errorf("DecodeNew(%s) = %v, want %q refused as standing twice", c.raw, err, c.path)
			}
			if _, err := Decode([]byte(c.raw)); err != nil {
				t.Errorf("Decode(%s) = %v: what is in a register must be read", c.raw, err)
			}
		})
	}
	for _, set := range []string{`{"name":"x"}`, `{"x-Soil":"clay","x-soil":"sand","name":"x","Name":"y"}`} {
		if _, err := DecodeNew([]byte(strings.Replace(good, `{"name":"x"}`, set, 1))); err != nil {
			t.Errorf("%s: %v", set, err)
		}
	}
}

func unescape(s string) string { return strings.ReplaceAll(s, `\u003c`, "<") }

const good = `{"v":1,"id":"019abc00-0000-7000-8000-000000000001","property":"p","feature":"f","device":"a","deviceSeq":1,` +
	`"stamp":"019ab9c7e5400000","seenAt":"2026-11-25T09:30:00+10:00","author":"Pat","saw":{"b":2},"set":{"name":"x"}}`

func TestDecodeRefuses(t *testing.T) {
	with := func(old, new string) string {
		out := strings.Replace(good, old, new, 1)
		if out == good {
			t.Fatalf("%q is not in the good entry", old)
		}
		return out
	}
	set := func(value string) string { return with(`{"name":"x"}`, value) }
	cases := []struct{ name, raw, path, reason string }{
		{"empty", "", "", "the text ends"},
		{"not-an-object", "[1]", "", "not a JSON object"},
		{"cut-short", good[:len(good)-1], "", "the text ends"},
		{"two-texts", good + "{}", "", "where the end should be"},
		{"line-feed", with(`,"id"`, ",\n\"id\""), "", "line feed"},
		{"not-utf8", with("Pat", "P\xffat"), "", "UTF-8"},
		{"half-surrogate", with("Pat", `\ud800`), "author", "surrogate"},
		{"control-character", with("Pat", "P\tat"), "author", "control"},
		{"doubled-member", with(`"v":1,`, `"v":1,"v":1,`), "v", "twice"},
		{"doubled-member-escaped", with(`"v":1,`, `"v":1,"\u0076":1,`), "v", "twice"},
		{"doubled-deep", set(`{"rows":[{"bs":1,"bs":2}]}`), "set.rows[0].bs", "twice"},
		{"nan", set(`{"accuracyM":NaN}`), "set.accuracyM", "NaN"},
		{"nan-in-a-place", set(`{"geometry":{"type":"Point","coordinates":[NaN,1]}}`), "set.geometry.coordinates[0]", "NaN"},
		{"infinity", set(`{"accuracyM":-Infinity}`), "set.accuracyM", "Infinity"},
		{"too-large-number", set(`{"anything":1e999}`), "set.anything", "too large"},
		{"too-deep", set(`{"x":` + strings.Repeat("[", 40) + strings.Repeat("]", 40) + `}`), "set.x" + strings.Repeat("[0]", nestingLimit-1), "nests"},
		{"too-long", set(`{"x":"` + strings.Repeat("y", EntryBytes) + `"}`), "", "bytes"},
		{"no-version", with(`"v":1,`, ""), "v", "missing"},
		{"version-zero", with(`"v":1`, `"v":0`), "v", "cannot be read"},
		{"version-text", with(`"v":1`, `"v":"1"`), "v", "cannot be read"},
		{"wrong-case", with(`"id"`, `"ID"`), "id", "missing"},
		{"id-version-4", with("-7000-", "-4000-"), "id", "UUIDv7"},
		{"id-variant", with("-8000-", "-c000-"), "id", "UUIDv7"},
		{"id-upper-case", with("019abc00", "019ABC00"), "id", "UUIDv7"},
		{"id-null", with(`"019abc00-0000-7000-8000-000000000001"`, "null"), "id", "cannot be read"},
		{"property-empty", with(`"property":"p"`, `"property":""`), "property", "1 to 64"},
		{"property-path", with(`"property":"p"`, `"property":"../p"`), "property", "1 to 64"},
		{"feature-long", with(`"feature":"f"`, `"feature":"`+strings.Repeat("f", 65)+`"`), "feature", "1 to 64"},
		{"device-number", with(`"device":"a"`, `"device":7`), "device", "cannot be read"},
		{"seq-zero", with(`"deviceSeq":1`, `"deviceSeq":0`), "deviceSeq", "whole number"},
		{"seq-negative", with(`"deviceSeq":1`, `"deviceSeq":-1`), "deviceSeq", "cannot be read"},
		{"seq-fraction", with(`"deviceSeq":1`, `"deviceSeq":1.5`), "deviceSeq", "cannot be read"},
		{"seq-huge", with(`"deviceSeq":1`, `"deviceSeq":9007199254740992`), "deviceSeq", "2^53"},
		{"stamp-number", with(`"019ab9c7e5400000"`, "5"), "stamp", "hexadecimal"},
		{"stamp-short", with(`"019ab9c7e5400000"`, `"19ab9c7e5400000"`), "stamp", "hexadecimal"},
		{"seen-at-without-offset", with("+10:00", ""), "seenAt", "2026"},
		{"seen-at-nonsense", with("2026-11-25T09:30:00+10:00", "yesterday"), "seenAt", "yesterday"},
		{"author-empty", with("Pat", ""), "author", "name"},
		{"saw-zero", with(`{"b":2}`, `{"b":0}`), "saw.b", "whole number"},
		{"saw-itself", with(`{"b":2}`, `{"a":1}`), "saw.a", "itself"},
		{"saw-list", with(`{"b":2}`, `[1]`), "saw", "cannot be read"},
		{"saw-odd-device", with(`{"b":2}`, `{"B":1}`), "saw", "device"},
		{"set-null", set("null"), "set", "object"},
		{"set-empty", set("{}"), "set", "no field"},
		{"set-and-strike", with(`"set"`, `"strike":true,"set"`), "strike", "either"},
		{"neither", with(`,"set":{"name":"x"}`, ""), "set", "nothing"},
		{"strike-null", with(`"set":{"name":"x"}`, `"strike":null`), "strike", "cannot be read"},
		{"field-named-strike", set(`{"strike":1}`), "set.strike", "name"},
		{"field-of-a-prototype", set(`{"__proto__":1}`), "set.__proto__", "name"},
		{"field-without-name", set(`{"":1}`), "set.", "name"},
		{"field-with-markup", set(`{"a<b>":1}`), "set.a<b>", "name"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Decode([]byte(c.raw))
			p, ok := errors.AsType[*model.Problem](err)
			if !ok {
				t.Fatalf("Decode(%.300s) = %v, want a problem", c.raw, err)
			}
			if p.Path != c.path || !strings.Contains(p.Error(), c.reason) {
				t.Errorf("Decode(%.300s) = path %q, %v; want path %q and %q", c.raw, p.Path, p, c.path, c.reason)
			}
		})
	}
}

// TestCutEntriesAreRefused: an entry that ends anywhere before its end is none, within a letter written in
// two halves too.
func TestCutEntriesAreRefused(t *testing.T) {
	raw, err := Encode(play{"a", 1, 0, "b1", "x=1"}.numbered(1).Entry)
	if err != nil {
		t.Fatal(err)
	}
	whole := strings.Replace(string(raw), `"Officer a"`, `"Off\u0069cer \ud83d\ude00 \\"`, 1)
	if _, err := Decode([]byte(whole)); err != nil {
		t.Fatal(err)
	}
	for end := range whole {
		if _, err := Decode([]byte(whole[:end])); err == nil {
			t.Errorf("%q is taken", whole[:end])
		}
	}
	for _, half := range []string{`\ud83d`, `\ud83dx`, `\ud83d\n`, `\ud83d\u0041`, `\ude00\ud83d`, `\ud83d\ude0`, `\ud83d\\ude00`} {
		if _, err := Decode([]byte(strings.Replace(whole, `\ud83d\ude00`, half, 1))); err == nil {
			t.Errorf("half a letter, %s, is taken", half)
		}
	}
}

func TestCheckKnowsTheKind(t *testing.T) {
	rows := strings.TrimSuffix(strings.Repeat(`{"point":"1"},`, LevelRowLimit+1), ",")
	cases := []struct{ name, kind, set, path string }{
		{"in-order", "check-dam", `{"crestHeightM":0.4}`, ""},
		{"kind-of-the-feature", "check-dam", `{"crestHeightM":"high"}`, "set.crestHeightM"},
		{"kind-it-sets", "", `{"kind":"check-dam","crestHeightM":-1}`, "set.crestHeightM"},
		{"kind-it-changes-to", "check-dam", `{"kind":"fence","crestHeightM":"high"}`, ""},
		{"unknown-field", "check-dam", `{"crestColour":"red"}`, ""},
		{"unknown-kind", "moat", `{"accuracyM":"good"}`, "set.accuracyM"},
		{"position-out-of-range", "", `{"geometry":{"type":"Point","coordinates":[147,-200]}}`, "set.geometry"},
		{"clearing", "check-dam", `{"crestHeightM":null}`, ""},
		{"too-many-rows", "level-run", `{"rows":[` + rows + `]}`, "set.rows"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e, err := Decode([]byte(strings.Replace(good, `{"name":"x"}`, c.set, 1)))
			if err != nil {
				t.Fatal(err)
			}
			path := ""
			if p, ok := errors.AsType[*model.Problem](Check(e, c.kind)); ok {
				path = p.Path
			}
			if path != c.path {
				t.Errorf("Check(%.80s, %q) finds fault with %q, want %q", c.set, c.kind, path, c.path)
			}
		})
	}
}

func TestEncodeSurvivesEncodingJSON(t *testing.T) {
	e, err := Decode([]byte(good))
	if err != nil {
		t.Fatal(err)
	}
	e.Set = e.Set.With("notes", json.RawMessage(`"a < b & \u2028"`))
	raw, err := Encode(e)
	if err != nil {
		t.Fatal(err)
	}
	frame, err := json.Marshal([]json.RawMessage{raw})
	if err != nil || string(frame) != "["+string(raw)+"]" {
		t.Errorf("in a frame the entry is %s, want %s (%v)", frame, raw, err)
	}
	e.Author = ""
	if _, err := Encode(e); err == nil {
		t.Error("Encode of an entry without an author = nil, want a problem")
	}
}

func TestStampText(t *testing.T) {
	s := Next(StampAt(arrival), arrival)
	text, _ := s.MarshalText()
	if want := fmt.Sprintf("%012x0001", arrival.UnixMilli()); string(text) != want {
		t.Errorf("MarshalText() = %s, want %s", text, want)
	}
	if s.Time() != arrival || Next(s, arrival.Add(time.Second)) != StampAt(arrival.Add(time.Second)) {
		t.Errorf("stamp %s is %v, want %v", text, s.Time(), arrival)
	}
	if StampAt(time.Unix(-5, 0)) != 0 {
		t.Error("a time before 1970 has a stamp above 0")
	}
}

// FuzzDecode: what Decode takes is JSON to others too, means the same to encoding/json,
// and can be encoded and decoded again to the same entry.
func FuzzDecode(f *testing.F) {
	for _, line := range append(readLines(f, "version1.jsonl"), readLines(f, "version2.jsonl")...) {
		f.Add([]byte(line))
	}
	f.Add([]byte(good))
	f.Fuzz(func(t *testing.T, raw []byte) {
		e, err := Decode(raw)
		if err != nil {
			if _, ok := errors.AsType[*model.Problem](err); !ok {
				t.Fatalf("Decode(%q) = %T, want a *model.Problem", raw, err)
			}
			return
		}
		if !json.Valid(raw) {
			t.Fatalf("Decode took %q, which is not JSON", raw)
		}
		_ = Check(e, "check-dam")
		if e.Version > Version {
			return
		}
		again, err := Encode(e)
		if err != nil {
			if len(raw) > EntryBytes/8 { // escaping may lengthen it past the limit
				return
			}
			t.Fatalf("Encode of %q: %v", raw, err)
		}
		b, err := Decode(again)
		if err != nil {
			t.Fatalf("Decode of the encoded %q: %v", again, err)
		}
		third, err := Encode(b)
		if err != nil || string(third) != string(again) {
			t.Fatalf("encoded again:\n%s\nwant\n%s (%v)", third, again, err)
		}
	})
}

func BenchmarkDecode(b *testing.B) {
	line := []byte(readLines(b, "version1.jsonl")[0])
	b.SetBytes(int64(len(line)))
	for b.Loop() {
		if _, err := Decode(line); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkApply(b *testing.B) {
	first, second := play{"a", 1, 0, "", "x=1 y=2"}.numbered(1), play{"b", 1, 1, "a1", "x=3"}.numbered(2)
	s := NewState("f")
	s.Apply(first)
	text := s.Encode()
	for b.Loop() {
		s, err := DecodeState("f", text)
		if err != nil || !s.Apply(second) {
			b.Fatal("the second entry does not apply")
		}
		s.Encode()
	}
}

// TestDecodeAllocatesLittle: decoding leads the cost of an append, and its memory that of
// decoding. What is needed is the text, the table of its members, and the map of fields.
func TestDecodeAllocatesLittle(t *testing.T) {
	raw := []byte(`{"v":1,"id":"019a0000-0000-7000-8000-000000000001","property":"creek","feature":"dam-1","device":"tablet-1","deviceSeq":7,` +
		`"stamp":"019abc0000000000","seenAt":"2026-11-25T09:30:00+10:00","author":"An Officer",` +
		`"set":{"status":"built","builtOn":"2026-11-26","crestHeightM":0.4,"geometry":{"type":"Point","coordinates":[147.1,-20.5]}}}`)
	const most = 6
	if got := testing.AllocsPerRun(100, func() {
		if _, err := DecodeNew(raw); err != nil {
			t.Fatal(err)
		}
	}); got > most {
		t.Errorf("decoding an entry allocates %v times, want at most %d", got, most)
	}
}

// TestCompactIsThatOfEncodingJSON compares with json.Compact, as states were written before.
func TestCompactIsThatOfEncodingJSON(t *testing.T) {
	for _, value := range []string{`"a b"`, `" \" { \\"`, `[ 1 ,	2 ]`, `{ "a b" : [ " ", "\\\" " ] }`, ` true `, `"<&>\u2028"`, "\"\u2028 ü\"", `-1.5E+3`, `{}`, `""`} {
		var want bytes.Buffer
		if err := json.Compact(&want, []byte(value)); err != nil {
			t.Fatal(err)
		}
		if got := compact(json.RawMessage(value)); got != want.String() {
			t.Errorf("compact(%s) = %s, want %s", value, got, want.String())
		}
	}
}
