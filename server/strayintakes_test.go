package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/intake"
	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// TestIntakeWithoutARecordIsListedAndUndone: older versions wrote an intake down after its entries. What a kill
// left of it is found when intakes are listed, each by itself, once; what is of another intake or of a phone
// stays out of it; and undoing it leaves nothing.
func TestIntakeWithoutARecordIsListedAndUndone(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	phone := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	say := func(raws ...json.RawMessage) {
		t.Helper()
		if _, err := s.bolt.Append(t.Context(), p.ID, raws); err != nil {
			t.Fatal(err)
		}
	}
	// leave appends what an intake by an author would, and no record of it.
	leave := func(author string, first, n int) {
		t.Helper()
		rows := "latitude,longitude,name,kind\n"
		for i := first; i < first+n; i++ {
			rows += fmt.Sprintf("-19.%04d,144.2,Row %d,peg\n", i+1, i)
		}
		file, err := intake.Read("rows.csv", strings.NewReader(rows))
		if err != nil {
			t.Fatal(err)
		}
		entries, err := intake.Entries(file, p.ID, author)
		if err != nil {
			t.Fatal(err)
		}
		var raws []json.RawMessage
		for e := range entries {
			raw, err := register.Encode(e)
			if err != nil {
				t.Fatal(err)
			}
			raws = append(raws, raw)
		}
		say(raws...)
	}
	list := func() (all []string) {
		t.Helper()
		for _, i := range s.Intakes(t.Context()) {
			all = append(all, fmt.Sprintf("%d %s, %s by %s at %s: %d and %d%s", i.Number, i.Property.Name, i.File, i.Author, i.At.Format("15:04"), i.New, i.Edited, map[bool]string{true: ", undone"}[i.Undone]))
		}
		return all
	}
	wants := func(want ...string) {
		t.Helper()
		if got := list(); !slices.Equal(got, want) {
			t.Errorf("listed are\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
	leave("A. Clerk", 0, 1000)
	say(phone.Entry("dam", nil, "kind", `"check-dam"`))
	leave("A. Clerk", 1000, 200)
	if taken := takeRows(t, s, hiddenRows); taken.Intake != 1 || taken.NewFeatures != 2 {
		t.Fatalf("%+v", taken)
	}
	leave("A. Clerk", 1200, 5)
	leave("B. Other", 2000, 3)
	s.at = s.at.Add(2 * time.Minute)
	leave("B. Other", 2003, 2)

	want := []string{"1 Saltbush, rows.csv by  at 09:00: 2 and 0", "2 Saltbush, (file not recorded) by A. Clerk at 09:00: 1205 and 0",
		"3 Saltbush, (file not recorded) by B. Other at 09:00: 3 and 0", "4 Saltbush, (file not recorded) by B. Other at 09:02: 2 and 0"}
	wants(want...)
	wants(want...)
	leave("C. Late", 3000, 1)
	want = append(want, "5 Saltbush, (file not recorded) by C. Late at 09:02: 1 and 0")
	wants(want...)
	s.shut()
	s = openSite(t, s.dir, s.at)
	wants(want...)

	live := func() (n int) {
		for f, err := range s.bolt.Features(t.Context(), p.ID) {
			if err != nil {
				t.Fatal(err)
			}
			if !f.Struck {
				n++
			}
		}
		return n
	}
	for _, c := range []struct{ number, struck, left int }{{2, 1205, 9}, {3, 3, 6}, {1, 2, 4}, {4, 2, 2}, {5, 1, 1}} {
		status, body := ask(t, http.MethodPost, s.admin.URL+fmt.Sprintf("/office/intake/undo?number=%d", c.number), "")
		var u Undone
		if err := json.Unmarshal([]byte(body), &u); status != 200 || err != nil || u.Struck != c.struck || len(u.Kept) > 0 {
			t.Errorf("undo %d: %d %s", c.number, status, body)
		}
		if n := live(); n != c.left {
			t.Errorf("after undoing %d there are %d, want %d", c.number, n, c.left)
		}
	}
	if taken := takeRows(t, s, hiddenRows); taken.NewFeatures != 0 {
		t.Errorf("the file again: %+v", taken)
	}
	for i := range want {
		want[i] += ", undone"
	}
	wants(want...)
}
