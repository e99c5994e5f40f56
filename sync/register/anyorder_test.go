package register

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// TestMembersInAnyOrder: an entry says the same in whatever order its members stand, and what lies within
// another member is no field of it.
func TestMembersInAnyOrder(t *testing.T) {
	members := []string{`"v":1`, `"id":"01890000-0000-7000-8000-000000000001"`, `"property":"p"`, `"feature":"f"`, `"device":"d"`, `"deviceSeq":3`, `"stamp":"0000000000100000"`,
		`"seenAt":"2026-03-01T18:00:00+10:00"`, `"author":"A"`, `"saw":{"kind":7,"e":2}`, `"set":{"name":"Dam","kind":"check-dam"}`}
	want, err := Decode([]byte("{" + strings.Join(members, ",") + "}"))
	if err != nil || len(want.Set) != 2 || len(want.Saw) != 2 {
		t.Fatalf("%+v, %v", want, err)
	}
	for range members {
		members = append(members[1:], members[0])
		back := slices.Clone(members)
		slices.Reverse(back)
		for _, all := range [][]string{members, back} {
			got, err := Decode([]byte("{" + strings.Join(all, ", ") + "}"))
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("%s is %+v, %v", all, got, err)
			}
		}
	}
	for _, wrong := range []string{`"set":[{"kind":"peg"}]`, `"set":"kind"`, `"set":7`} {
		members := append(slices.DeleteFunc(slices.Clone(members), func(m string) bool { return strings.HasPrefix(m, `"set"`) }), wrong)
		if e, err := Decode([]byte("{" + strings.Join(members, ",") + "}")); err == nil {
			t.Errorf("%s is taken as %v", wrong, json.RawMessage(e.Set.Get("kind")))
		}
	}
}
