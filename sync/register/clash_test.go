package register

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// summary is a folded feature in the short notation of the tables below.
func summary(f Folded) string {
	var parts []string
	for field, value := range f.Fields {
		parts = append(parts, field+"="+string(value))
	}
	slices.Sort(parts)
	if f.Struck {
		parts = append(parts, "struck")
	}
	for _, c := range f.Clashes {
		var sides []string
		for _, v := range c.Values {
			sides = append(sides, fmt.Sprintf("%s%d:%s", v.Device, lastSeq(v.Entry), v.Value))
		}
		parts = append(parts, c.Field+"("+strings.Join(sides, " ")+")")
	}
	return strings.Join(parts, " ")
}

func lastSeq(id ID) (seq int) {
	fmt.Sscanf(string(id[26:]), "%x", &seq)
	return seq
}

func TestRule06Clashes(t *testing.T) {
	cases := []struct {
		name    string
		history []play
		want    string
	}{
		{"one-device-never-clashes", []play{{"a", 1, 0, "", "x=1"}, {"a", 2, 1, "", "x=2"}}, "x=2"},
		{"one-device-clock-set-back", []play{{"a", 1, 0, "", "x=1"}, {"a", 2, -600, "", "x=2"}}, "x=2"},
		{"unseen-same-field", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}}, "x=2 x(b1:2 a1:1)"},
		{"unseen-same-stamp-goes-to-greater-device", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 0, "", "x=2"}}, "x=2 x(b1:2 a1:1)"},
		{"unseen-other-field", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "y=2"}}, "x=1 y=2"},
		{"unseen-equal-values", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=1"}}, "x=1"},
		{"unseen-equal-values-spelt-apart", []play{{"a", 1, 0, "", `x={"p":1.0,"q":[2]}`}, {"b", 1, 1, "", `x={"q":[2],"p":1}`}}, `x={"q":[2],"p":1}`},
		{"seen-is-no-clash", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "x=2"}}, "x=2"},
		{"seen-beats-the-later-clock", []play{{"a", 1, 4, "", "x=1"}, {"b", 1, 0, "a1", "x=2"}}, "x=2"},
		{"cleared-against-set", []play{{"a", 1, 0, "", "x=null"}, {"b", 1, 1, "", "x=2"}}, "x=2 x(b1:2 a1:null)"},
		{"cleared-wins", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=null"}}, "x(b1:null a1:1)"},
		{"both-cleared", []play{{"a", 1, 0, "", "x=null"}, {"b", 1, 1, "", "x=null"}}, ""},
		{"settled-by-one-of-the-two", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"a", 2, 2, "b1", "x=1"}}, "x=1"},
		{"settled-by-a-third", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, 2, "a1 b1", "x=3"}}, "x=3"},
		{"settled-by-choosing-the-one-shown", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"a", 2, 2, "b1", "x=2"}}, "x=2"},
		{"settled-by-a-third-who-chose-the-one-shown", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, 2, "a1 b1", "x=2"}}, "x=2"},
		{"settled-by-a-third-who-chose-the-other-under-a-slow-clock", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, -9, "a1 b1", "x=1"}}, "x=1"},
		{"a-strike-settled-by-striking-again", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "strike"}, {"a", 2, 2, "", "x=3"}, {"a", 3, 3, "b1", "strike"}}, "x=3 struck"},
		{"a-strike-settled-by-restoring", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "strike"}, {"a", 2, 2, "", "x=3"}, {"a", 3, 3, "b1", "restore"}}, "x=3"},
		{"not-settled-by-one-who-saw-one", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, 2, "a1", "x=3"}}, "x=3 x(c1:3 b1:2)"},
		{"not-settled-by-another-field", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, 2, "a1 b1", "y=3"}}, "x=2 y=3 x(b1:2 a1:1)"},
		{"own-later-edit-keeps-the-clash", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"a", 2, 2, "", "x=4"}}, "x=4 x(a2:4 b1:2)"},
		{"three-unseen", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, 2, "", "x=3"}}, "x=3 x(c1:3 b1:2 a1:1)"},
		{"three-unseen-two-alike", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "", "x=2"}, {"c", 1, 2, "", "x=1"}}, "x=1 x(c1:1 b1:2)"},
		{"seen-through-another", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "y=2"}, {"c", 1, 2, "b1", "x=3"}}, "x=3 y=2"},
		{"seen-through-two-others", []play{{"a", 1, 3, "", "x=1"}, {"b", 1, 1, "a1", "y=2"}, {"c", 1, 2, "b1", "y=3"}, {"d", 1, 0, "c1", "x=4"}}, "x=4 y=3"},
		{"seen-through-own-earlier", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "y=2"}, {"b", 2, 2, "", "x=3"}}, "x=3 y=2"},
		{"saw-an-earlier-one-only", []play{{"a", 1, 0, "", "x=1"}, {"a", 2, 1, "", "x=5"}, {"b", 1, 2, "a1", "x=2"}}, "x=2 x(b1:2 a2:5)"},
		{"saw-one-that-is-not-here", []play{{"b", 1, 1, "a9", "x=2"}, {"c", 1, 2, "", "x=3"}}, "x=3 x(c1:3 b1:2)"},
		{"geometry-is-one-field", []play{{"a", 1, 0, "", `geometry={"type":"Point","coordinates":[1,2]}`}, {"b", 1, 1, "", `geometry={"type":"Point","coordinates":[1,3]}`}},
			`geometry={"type":"Point","coordinates":[1,3]} geometry(b1:{"type":"Point","coordinates":[1,3]} a1:{"type":"Point","coordinates":[1,2]})`},
		{"claims-of-having-seen-each-other", []play{{"a", 1, -10, "b1", "x=1"}, {"b", 1, -9, "a1", "x=2"}}, "x=2 x(b1:2 a1:1)"},
		{"a-circle-through-own-earlier", []play{{"a", 5, -10, "b3", "x=1"}, {"a", 6, -9, "", "x=2"}, {"b", 3, -10, "a6", "x=3"}}, "x=2 x(a6:2 b3:3)"},
		{"a-circle-is-settled-by-who-saw-it", []play{{"a", 1, -10, "b1", "x=1"}, {"b", 1, -9, "a1", "x=2"}, {"c", 1, -13, "a1", "x=3"}}, "x=3"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { checkHistory(t, c.history, c.want) })
	}
}

func TestRule08Strikes(t *testing.T) {
	cases := []struct {
		name    string
		history []play
		want    string
	}{
		{"struck", []play{{"a", 1, 0, "", "x=1"}, {"a", 2, 1, "", "strike"}}, "x=1 struck"},
		{"struck-by-one-who-saw", []play{{"a", 1, 0, "", "x=1"}, {"b", 1, 1, "a1", "strike"}}, "x=1 struck"},
		{"unseen-edit", []play{{"b", 1, 0, "", "x=1"}, {"a", 1, 1, "", "strike"}}, `x=1 struck strike(a1:true b1:{"x":1})`},
		{"unseen-edit-with-a-later-clock", []play{{"b", 1, 3, "", "x=1"}, {"a", 1, 1, "", "strike"}}, `x=1 struck strike(a1:true b1:{"x":1})`},
		{"edit-after-seeing-the-strike", []play{{"a", 1, 0, "", "strike"}, {"b", 1, 1, "a1", "x=1"}}, "x=1 struck"},
		{"restored", []play{{"a", 1, 0, "", "x=1"}, {"a", 2, 1, "", "strike"}, {"b", 1, 2, "a2", "restore"}}, "x=1"},
		{"struck-again-settles", []play{{"b", 1, 0, "", "x=1"}, {"a", 1, 1, "", "strike"}, {"c", 1, 2, "a1 b1", "strike"}}, "x=1 struck"},
		{"restoring-settles", []play{{"b", 1, 0, "", "x=1"}, {"a", 1, 1, "", "strike"}, {"c", 1, 2, "a1 b1", "restore"}}, "x=1"},
		{"an-edit-does-not-settle", []play{{"b", 1, 0, "", "x=1"}, {"a", 1, 1, "", "strike"}, {"c", 1, 2, "a1 b1", "y=2"}}, `x=1 y=2 struck strike(a1:true b1:{"x":1})`},
		{"newest-unseen-edit-of-a-device", []play{{"a", 1, 1, "", "strike"}, {"b", 1, 0, "", "x=1"}, {"b", 2, 2, "", "y=2"}}, `x=1 y=2 struck strike(a1:true b2:{"y":2})`},
		{"unseen-edit-then-one-that-saw", []play{{"a", 1, 1, "", "strike"}, {"b", 1, 0, "", "x=1"}, {"b", 2, 2, "a1", "y=2"}}, `x=1 y=2 struck strike(a1:true b1:{"x":1})`},
		{"strike-against-restore", []play{{"a", 1, 0, "", "strike"}, {"b", 1, 1, "a1", "restore"}, {"c", 1, 2, "a1", "strike"}}, "struck strike(c1:true b1:false)"},
		{"restore-against-strike", []play{{"a", 1, 0, "", "strike"}, {"b", 1, 2, "a1", "restore"}, {"c", 1, 1, "a1", "strike"}}, "strike(b1:false c1:true)"},
		{"two-strikes-agree", []play{{"a", 1, 0, "", "strike"}, {"b", 1, 1, "", "strike"}}, "struck"},
		{"two-strikes-one-saw-the-edit", []play{{"c", 1, 0, "", "x=1"}, {"a", 1, 0, "c1", "strike"}, {"b", 1, 1, "", "strike"}}, `x=1 struck strike(b1:true c1:{"x":1})`},
		{"restore-does-not-clash-with-edits", []play{{"a", 1, 0, "", "restore"}, {"b", 1, 1, "", "x=1"}}, "x=1"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { checkHistory(t, c.history, c.want) })
	}
}

// checkHistory folds the history in every order of arrival, all at once and one by one.
func checkHistory(t *testing.T, history []play, want string) {
	t.Helper()
	permutations(len(history), func(order []int) {
		var entries []Numbered
		for _, i := range order {
			entries = append(entries, history[i].numbered(i+1))
		}
		if got := summary(Fold("f", entries)); got != want {
			t.Fatalf("Fold of %v in order %v = %s, want %s", history, order, got, want)
		}
		if got := summary(applied(entries).Folded()); got != want {
			t.Fatalf("applying %v in order %v gives %s, want %s", history, order, got, want)
		}
	})
}

func TestRule07SeeingBeatsClocks(t *testing.T) {
	const day, year = 24 * 60, 365 * 24 * 60
	for name, minute := range map[string]int{"three-years-behind": -3 * year, "a-day-ahead": day, "ten-years-ahead": 10 * year} {
		t.Run(name, func(t *testing.T) {
			off := play{"z", 1, minute, "", "x=1"}
			checkHistory(t, []play{off, {"a", 1, 0, "z1", "x=2"}}, "x=2")
			// Once someone has seen it, the fast clock has no more advantage than five minutes.
			checkHistory(t, []play{off, {"a", 1, 0, "z1", "x=2"}, {"b", 1, 6, "a1", "x=3"}}, "x=3")
			// The odd clock that saw wins too, and unseen it counts five minutes ahead at most.
			checkHistory(t, []play{{"a", 1, 0, "", "x=1"}, {"z", 1, minute, "a1", "x=2"}}, "x=2")
			n := off.numbered(1)
			if lead := n.Capped.Time().Sub(arrival); lead > LeadAllowed {
				t.Errorf("a clock %d minutes off counts %v ahead, want at most %v", minute, lead, LeadAllowed)
			}
			if n.Entry.Stamp != StampAt(arrival.Add(timeMinutes(minute))) {
				t.Errorf("the stamp of a clock %d minutes off was not kept", minute)
			}
			if ClockOff(n.Entry.Stamp, arrival) == 0 {
				t.Errorf("a clock %d minutes off is not told", minute)
			}
		})
	}
	if off := ClockOff(StampAt(arrival.Add(timeMinutes(day-1))), arrival); off != 0 {
		t.Errorf("a clock a minute less than a day ahead is told as %v off, want nothing", off)
	}
}

func TestFoldedModel(t *testing.T) {
	f := Fold("f", []Numbered{play{"a", 1, 0, "", `kind="check-dam" geometry={"type":"Point","coordinates":[147,-20]}`}.numbered(1)}).Model()
	if f.Kind != "check-dam" || f.Geometry == nil || f.Geometry.Bound().Min[1] != -20 {
		t.Errorf("Model() = %+v, want a check-dam at 147, -20", f)
	}
}

func TestSawIsWhatWasApplied(t *testing.T) {
	s := applied([]Numbered{play{"a", 3, 0, "", "x=1"}.numbered(1), play{"b", 2, 0, "a3", "x=2"}.numbered(2)})
	got, _ := json.Marshal(s.Saw("b"))
	if string(got) != `{"a":3}` {
		t.Errorf(`Saw("b") = %s, want {"a":3}`, got)
	}
}
