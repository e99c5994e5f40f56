package server

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/workedtest"
)

// TestWorkedViews: all that a landholder is shown of small properties. A case gives a feature a line,
// its id before its fields; who recorded it, and when, stand before the id.
func TestWorkedViews(t *testing.T) {
	workedtest.Run(t, "../testdata/views/views.txt", func(t *testing.T, given string) string {
		var all []register.Folded
		for line := range strings.Lines(given) {
			head, raw, _ := strings.Cut(line, " {")
			var set fields
			if err := json.Unmarshal([]byte("{"+raw), &set); err != nil {
				t.Fatalf("%s: %v", line, err)
			}
			words := strings.Fields(head)
			f := folded(t, words[0], set)
			for _, word := range words[1:] {
				name, value, _ := strings.Cut(word, "=")
				switch name {
				case "by":
					f.Recorded.Author, f.Changed.Author = value, value
				case "changed":
					f.Changed.SeenAt = value
				case "struck":
					f.Struck = true
				default:
					t.Fatalf("what is %q", word)
				}
			}
			all = append(all, f)
		}
		view := shown(t, bookOf(t, all...))
		slices.Reverse(all) // whatever their order
		if again := shown(t, bookOf(t, all...)); again != view && !strings.Contains(given, "struck") {
			t.Errorf("in another order it shows\n%s", again)
		}
		book := newLinkBook()
		for _, f := range all { // or one by one
			if err := book.take(storeOf(f)); err != nil {
				t.Fatal(err)
			}
			if err := book.pack(); err != nil {
				t.Fatal(err)
			}
		}
		if again := shown(t, book); again != view && !strings.Contains(given, "struck") {
			t.Errorf("taken one by one it shows\n%s", again)
		}
		return view + exportedByLink(t, all)
	})
}

// exportedByLink is what a link gives of features as a file, but for those that no register takes.
func exportedByLink(t *testing.T, all []register.Folded) string {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	var raws []json.RawMessage
	for i, f := range all {
		e := register.Entry{Version: 1, ID: register.ID(fmt.Sprintf("01890000-0000-7000-8000-%012d", i)), Property: p.ID, Feature: f.Feature, Device: "phone", DeviceSeq: uint64(len(raws) + 1),
			Stamp: register.Stamp(i+1) << 20, SeenAt: cmp.Or(f.Changed.SeenAt, f.Recorded.SeenAt), Author: f.Recorded.Author, Set: model.FieldValuesOf(f.Fields)}
		if f.Struck {
			e.Strike = &f.Struck
		}
		if raw, err := register.Encode(e); err == nil {
			raws = append(raws, raw)
		}
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, raws); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	status, body := ask(t, http.MethodGet, s.web.URL+"/map/"+secret+"/works.geojson", "")
	if status != http.StatusOK {
		t.Fatal(status, body)
	}
	features, _, _ := strings.Cut(body, `],"fields"`) // which the tables of kinds say
	return "works.geojson\n" + features
}

// shown is what a book shows, in lines; without what the table of kinds says and without places.
func shown(t *testing.T, b *linkBook) string {
	v := viewIn(t, b)
	var out strings.Builder
	part := func(name string, value any) {
		var raw bytes.Buffer
		e := json.NewEncoder(&raw)
		e.SetEscapeHTML(false)
		if err := e.Encode(value); err != nil {
			t.Fatal(err)
		}
		if text := strings.TrimSpace(raw.String()); text != "[]" && text != "null" && text != `""` {
			fmt.Fprintf(&out, "%s %s\n", name, text)
		}
	}
	part("last entry", v.LastEntry)
	for _, s := range v.Inspected {
		part("inspected", s)
	}
	for _, d := range v.Done {
		part("done", d)
	}
	for _, w := range v.Watch {
		part("watch", w)
	}
	for _, w := range v.Hazards {
		part("hazard", w)
	}
	for _, k := range v.Kinds {
		part("kind", []string{k.Name, k.Label, k.Plural, k.What})
	}
	for _, list := range []struct {
		name  string
		items []linkItem
	}{{"work", v.Works}, {"other", v.Others}} {
		for _, item := range list.items {
			fmt.Fprintf(&out, "%s %s (%s)\n", list.name, item.ID, strings.TrimSpace(item.Kind+" "+item.Name))
			part("  status", []string{string(item.Status), item.StatusOn, item.BuiltOn, string(item.State)})
			part("  wrong", item.Wrong)
			part("  plain", item.Plain)
			part("  seen", item.Seen)
			for _, fact := range item.Facts {
				part("  fact", []string{fact.Label, fact.Text})
			}
			part("  photos", item.Photos)
			if got, ok := b.item(item.ID); ok {
				for _, f := range got.figures {
					part("  figure", []any{f.Name, asShown(f).Value, asShown(f).PlusMinus})
				}
			}
		}
	}
	for _, s := range v.Sections {
		part("section", s)
	}
	for _, sha := range slices.Sorted(maps.Keys(b.named)) {
		fmt.Fprintf(&out, "photo %.4s shown: %t\n", sha, b.shows(sha))
	}
	return out.String()
}

// TestWorkedNumbers: figures as a landholder reads them, and with the digits that stand for them.
func TestWorkedNumbers(t *testing.T) {
	workedtest.Run(t, "../testdata/views/numbers.txt", func(t *testing.T, given string) string {
		var out strings.Builder
		for line := range strings.Lines(given) {
			var f model.Figure
			var value, plusMinus float64
			n, err := fmt.Sscan(line, &f.Name, &f.Unit, &value, &plusMinus)
			if n < 3 {
				t.Fatalf("%s: %v", line, err)
			}
			f.Value = value
			if n > 3 {
				f.PlusMinus = model.Known(plusMinus)
			}
			shown := asShown(f)
			fmt.Fprintf(&out, "%s | %s | %v", strings.TrimSpace(line), measureInWords(f), shown.Value)
			if shown.PlusMinus != nil {
				fmt.Fprintf(&out, " ± %v", *shown.PlusMinus)
			}
			out.WriteString("\n")
		}
		return out.String()
	})
}

// TestNamesInOrder: those with numbers by the size of them.
func TestNamesInOrder(t *testing.T) {
	names := []string{"", "5", "007", "10", "Dam", "Dam 1", "Dam 1a", "Dam 2", "Dam 02b", "Dam 10", "Dam 10 1", "Dam 10 2", "Dam 9:", "Dam/", "Dan 1"}
	sorted := slices.Clone(names)
	slices.SortStableFunc(sorted, compareNames)
	for i, a := range sorted {
		for j, b := range sorted {
			if got := compareNames(a, b); got > 0 != (i > j && compareNames(b, a) < 0) {
				t.Errorf("%q and %q: %d, and the other way %d", a, b, got, compareNames(b, a))
			}
		}
	}
	if want := `["" "5" "007" "10" "Dam" "Dam 1" "Dam 1a" "Dam 2" "Dam 02b" "Dam 9:" "Dam 10" "Dam 10 1" "Dam 10 2" "Dam/" "Dan 1"]`; fmt.Sprintf("%q", sorted) != want {
		t.Errorf("in order: %q, want %s", sorted, want)
	}
	for _, c := range [][2]string{{"Dam 0", "Dam 00"}, {"0", "000"}, {"a9", "a09"}} {
		if got := compareNames(c[0], c[1]); got != 0 {
			t.Errorf("%q and %q: %d, want none before the other", c[0], c[1], got)
		}
	}
}
