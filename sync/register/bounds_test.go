package register

import (
	"fmt"
	"strings"
	"testing"
)

// TestLimitsOfAnEntry: as much as a limit allows is read, and one more is not.
func TestLimitsOfAnEntry(t *testing.T) {
	with := func(old, new string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("a good entry has no %s", old)
		}
		return strings.Replace(good, old, new, 1)
	}
	list := func(n int, one string) string { // %d is the number
		all := make([]string, n)
		for i := range all {
			all[i] = fmt.Sprintf(one, i)
		}
		return strings.Join(all, ",")
	}
	for _, c := range []struct {
		name string
		of   func(n int) string
		most int
		says string
	}{
		{"bytes", func(n int) string { return good + strings.Repeat(" ", n-len(good)) }, EntryBytes, "the entry has 262145 bytes and may have 262144"},
		{"fields", func(n int) string { return with(`{"name":"x"}`, `{`+list(n, `"x-%d":1`)+`}`) }, FieldsPerEntry, "has 257 fields and may have 256"},
		{"devices seen", func(n int) string { return with(`{"b":2}`, `{`+list(n, `"seen-%d":1`)+`}`) }, DevicesSeen, "names 1001 devices and may name 1000"},
		{"name of a field", func(n int) string { return with(`"name"`, `"x-`+strings.Repeat("n", n-2)+`"`) }, FieldNameBytes, "is not a field's name"},
		{"id of a feature", func(n int) string { return with(`"feature":"f"`, `"feature":"`+strings.Repeat("f", n)+`"`) }, IDBytes, "give 1 to 64 of a-z, 0-9 and -"},
		{"name of an author", func(n int) string { return with(`"author":"Pat"`, `"author":"`+strings.Repeat("é", n)+`"`) }, AuthorRunes, "give a name of 1 to 200 characters"},
		{"deep arrays", func(n int) string {
			return with(`{"name":"x"}`, `{"x-y":`+strings.Repeat("[", n-1)+strings.Repeat("]", n-1)+`}`)
		}, nestingLimit, "nests more than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Decode([]byte(c.of(c.most))); err != nil {
				t.Errorf("%d: %.300s", c.most, err)
			}
			if _, err := Decode([]byte(c.of(c.most + 1))); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%d: %.300v, want %q", c.most+1, err, c.says)
			}
		})
	}
	for seq, want := range map[string]bool{"1": true, "9007199254740991": true, "9007199254740992": false, "0": false, "18446744073709551617": false, "9999999999999999999": false, "1.0": false, "1e3": false, "-1": false, "01": false} {
		if _, err := Decode([]byte(with(`"deviceSeq":1`, `"deviceSeq":`+seq))); (err == nil) != want {
			t.Errorf("deviceSeq %s: %v", seq, err)
		}
	}
	for saw, says := range map[string]string{`{"e":1}`: "", `{"a":1}`: "claims to have seen itself", `{"a":2}`: "claims to have seen itself", `{"e":0}`: "give a whole number from 1", `{"E":1}`: "is not a device's id",
		`{"e":9007199254740991}`: "", `{"e":9007199254740992}`: "give a whole number from 1", `null`: "cannot be read", `[]`: "cannot be read", `{"e":1.5}`: "cannot be read"} {
		_, err := Decode([]byte(with(`{"b":2}`, saw)))
		if (err == nil) != (says == "") || err != nil && !strings.Contains(err.Error(), says) {
			t.Errorf("saw %s: %v, want %q", saw, err, says)
		}
	}
}

// TestTextsThatEnd where something should be are said so, with what stands there and where.
func TestTextsThatEnd(t *testing.T) {
	for text, want := range map[string]string{
		``: "the text ends where a value should be, at byte 1", `{`: "the text ends where a member's name should be, at byte 2", `{"v":nul`: `"nul" stands where a value should be, at byte 6`, `{"v":NaN}`: `"NaN" stands where a value should be, at byte 6`,
		`{"v":Infinity-like-word}`: `"Infinity-lik" stands where a value should be, at byte 6`, `{"v":-x}`: "at byte 7", `{"v":é}`: `"é" stands where a value should be, at byte 6`, `{"v"`: "the text ends where a colon should be, at byte 5",
		`{"v":1`: "the text ends where a comma or a closing brace should be, at byte 7", `{"v":[1`: "the text ends where a comma or a closing bracket should be, at byte 8", `{"v":[1;2]}`: `";" stands where a comma or a closing bracket should be, at byte 8`,
		`{"v":1,}`: `"}" stands where a member's name should be, at byte 8`, `{"v":1.}`: "where a digit should be, at byte 8", `{"v":1e}`: "where a digit should be, at byte 8", `{"v":"`: "at byte", `{"v":[]`: "the text ends where a comma or a closing brace should be, at byte 8",
		`{1:2}`: `"1" stands where a member's name should be, at byte 2`, `{"v":1}x`: `"x" stands`, `{"v":1,"v":2}`: "v: stands twice", `[]`: "is not a JSON object", `{"v":tru`: `"tru" stands`, `{"v":1e+}`: "where a digit should be, at byte 9",
	} {
		if _, err := Decode([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	if _, err := Decode([]byte(good[:20] + "\n" + good[20:])); err == nil || !strings.Contains(err.Error(), "has a line feed, at byte 21") {
		t.Errorf("a line feed: %v", err)
	}
}
