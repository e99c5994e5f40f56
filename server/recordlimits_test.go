package server

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/store"
)

// TestMomentsOfRecords: what can be written again is read; all else is none.
func TestMomentsOfRecords(t *testing.T) {
	for text, want := range map[string]string{
		`"2026-03-01T09:00:00Z"`: "2026-03-01T09:00:00Z", `"2026-03-01T09:00:00.5+10:00"`: "2026-02-28T23:00:00.5Z", `"0000-01-01T00:00:00Z"`: "0000-01-01T00:00:00Z", `"9999-12-31T23:59:59Z"`: "9999-12-31T23:59:59Z",
		`"0000-01-01T00:00:00+00:01"`: "", `"9999-12-31T23:59:59-00:01"`: "", `"10000-01-01T00:00:00Z"`: "", `"yesterday"`: "", `7`: "", `null`: "", `""`: "",
	} {
		is := moment{time.Unix(7, 0)}
		if err := json.Unmarshal([]byte(text), &is); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		if text == "null" {
			is = moment{} // which encoding/json leaves to what is there
			_ = is.UnmarshalJSON([]byte(text))
		}
		raw, err := json.Marshal(is)
		if err != nil || string(raw) != `"`+want+`"` {
			t.Errorf("%s is written again as %s, %v, want %q", text, raw, err, want)
		}
	}
}

// TestIntakesAreListed as finished, cut off or under way, also while another is taken in; not those that
// brought nothing.
func TestIntakesAreListed(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	came, open := []numberRange{{Register: p.ID, After: 0, UpTo: 3}}, []numberRange{{Register: p.ID, After: 3}}
	records := map[string]*intakeRecord{
		"all known":               {Number: 7},
		"cut off before anything": {Number: 6, Unfinished: true},
		"finished":                {Number: 1, Ranges: came},
		"cut off":                 {Number: 2, Ranges: came, Unfinished: true},
		"under way":               {Number: 3, Ranges: came, Unfinished: true},
		"open":                    {Number: 4, Ranges: open, Unfinished: true},
		"finished, open":          {Number: 5, Ranges: open},
	}
	o := s.office
	o.writing.Lock()
	for name, r := range records {
		r.File = name
		c := made(r)
		if name == "under way" {
			s.underway[c.id] = true
		}
		if err := o.write(t.Context(), officeAuthor, c); err != nil {
			t.Fatal(err)
		}
	}
	o.writing.Unlock()
	list := func() string {
		var all []string
		for _, i := range s.Intakes(t.Context()) {
			all = append(all, fmt.Sprintf("%d %s%s%s", i.Number, i.File, map[bool]string{true: ": cut off"}[i.CutOff], map[bool]string{true: ": under way"}[i.Underway]))
		}
		return strings.Join(all, "\n")
	}
	s.intaking.Lock() // nobody can tell yet which of them is under way
	got := list()
	s.intaking.Unlock()
	if want := "1 finished\n2 cut off: cut off\n3 under way: cut off\n4 open: under way\n5 finished, open\n6 cut off before anything: cut off"; got != want {
		t.Errorf("while another is taken in:\n%s\nwant\n%s", got, want)
	}
	if got, want := list(), "1 finished\n2 cut off: cut off\n3 under way: under way\n5 finished, open\n6 cut off before anything: cut off"; strings.Replace(got, "4 open: cut off\n", "", 1) != want {
		t.Errorf("the intakes are\n%s\nwant\n%s", got, want)
	}
}

// TestWhoBegan: a property that a phone began was begun by whoever carries the phone.
func TestWhoBegan(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "R. Field", "Ridge Block")
	at, err := s.store.Newest(t.Context(), officeProperty)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.begin(t.Context(), phone.Device, "begun", "Stony Block"); err != nil {
		t.Fatal(err)
	}
	page, _, err := s.store.EntriesAfter(t.Context(), officeProperty, store.Position{}, 1000)
	if err != nil {
		t.Fatal(err)
	}
	var by []string
	for _, n := range page {
		if n.N > at {
			by = append(by, n.Entry.Author)
		}
	}
	if by = slices.Compact(by); !slices.Equal(by, []string{"R. Field"}) {
		t.Errorf("written by %v, want R. Field", by)
	}
}

// TestVisitsGivenTwice: of a visit that comes twice and is kept off the second time, nothing is shown.
func TestVisitsGivenTwice(t *testing.T) {
	dam := folded(t, "dam", fields{"kind": "check-dam", "name": "Dam 1"})
	visit := folded(t, "visit", fields{"kind": "visit", "of": "dam", "observedOn": "2026-02-01", "condition": "damaged", "photos": []string{strings.Repeat("a", 64)}})
	off := folded(t, "visit", fields{"kind": "visit", "of": "dam", "observedOn": "2026-02-01", "condition": "damaged", "sensitive": true})
	want, err := LinkJSON("Ridge Block", storeOf(dam, off))
	if err != nil {
		t.Fatal(err)
	}
	got, err := LinkJSON("Ridge Block", storeOf(dam, visit, off))
	if err != nil || string(got) != string(want) {
		t.Errorf("given twice it shows\n%s, %v\nwant\n%s", got, err, want)
	}
	b := newLinkBook()
	if err := b.take(storeOf(dam, visit, off)); err != nil {
		t.Fatal(err)
	}
	if f, ok := b.sheets.Feature("visit"); ok {
		t.Errorf("what is worked out of the dam still has %+v", f)
	}
	if shown, _ := LinkJSON("Ridge Block", storeOf(dam, visit)); string(shown) == string(want) {
		t.Error("the visit shows nothing by itself: the case says nothing")
	}
}
