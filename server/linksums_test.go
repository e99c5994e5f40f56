package server

import (
	"errors"
	"net/http/httptest"
	"reflect"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/register"
)

// TestSumsOfItems: what blocks add up to is what their items are, in whichever order.
func TestSumsOfItems(t *testing.T) {
	item := func(status model.Status, builtOn string, inspected bool, state itemState) *linkItem {
		return &linkItem{Kind: "check-dam", Status: status, BuiltOn: builtOn, inspected: inspected, State: state}
	}
	judged := func(on, by, seenAt string) sharedVisit {
		return sharedVisit{on: on, by: by, judged: true, changed: register.Word{SeenAt: seenAt}}
	}
	all := []itemSums{
		sumsOf(true, item(model.Built, "2019-05-01", true, ""), "2020-01-01", []sharedVisit{judged("2020-02-01", "Kim", "2020-02-01T08:00:00+10:00"), {on: "2020-02-09"}}),
		sumsOf(true, item(model.Built, "2016-01-01", false, attentionState), "2020-01-02", []sharedVisit{judged("2020-02-01", "Pat", "2020-02-01T09:00:00+10:00")}),
		sumsOf(true, item(model.Failed, "2011-05-01", false, failedState), "", nil),
		sumsOf(true, item(model.Pegged, "", false, attentionState), "2020-03-03", []sharedVisit{{judged: true, by: "Una"}}),
		sumsOf(true, item("", "", true, ""), "", []sharedVisit{judged("2019-02-01", "Old", "2020-03-01T09:00:00+10:00")}),
		sumsOf(false, item(model.Built, "2001-01-01", true, attentionState), "", nil),
	}
	all[0].count(3, 1)
	all[1].count(3, 1)
	all[5].count(1, 2)
	var want itemSums
	for i := range all {
		want.add(&all[i])
	}
	if want.attention != 3 || want.onGround != 3 || want.inspected != 1 || want.firstBuilt != "2016" || want.lastBuilt != "2019" || want.lastEntry != "2020-03-03" || want.stage(model.Built) != 2 || want.stage("") != 1 ||
		!reflect.DeepEqual(want.kinds, map[int]int{3: 2, 1: 2}) || want.lastVisit.By != "Pat" {
		t.Errorf("the sums are %+v, last visited by %+v", want, want.lastVisit)
	}
	slices.Reverse(all)
	var first, second, got itemSums
	for i := range all {
		[]*itemSums{&first, &second}[i%2].add(&all[i])
	}
	got.add(&first)
	got.add(&second)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("in another order and by blocks the sums are\n%+v\nwant\n%+v", got, want)
	}
}

// TestSentencesOnInspections: how many of the works on the ground were inspected, and when something last was.
func TestSentencesOnInspections(t *testing.T) {
	for want, sums := range map[string]itemSums{
		"": {}, "The work on the ground has not been inspected since it was built.": {onGround: 1}, "None of the 2 works on the ground has been inspected since it was built.": {onGround: 2},
		"The work on the ground has been inspected.": {onGround: 1, inspected: 1}, "All 2 works on the ground have been inspected.": {onGround: 2, inspected: 2},
		"Of 3 works on the ground, 1 inspected and 2 never.": {onGround: 3, inspected: 1}, "Last inspected 1 February 2020 by Kim.": {lastVisit: &inspection{On: "2020-02-01", By: "Kim"}},
		"Last inspected 1 February 2020.": {lastVisit: &inspection{On: "2020-02-01"}},
	} {
		if got := strings.Join(sums.inspections(), " "); got != want {
			t.Errorf("%+v: %q, want %q", sums, got, want)
		}
	}
	built := func(n, dated int) itemSums {
		s := itemSums{dated: dated, firstBuilt: "2016", lastBuilt: "2019"}
		s.stages[slices.Index(stageOrder, model.Built)] = int32(n)
		return s
	}
	for _, c := range []struct {
		sums itemSums
		want string
	}{{built(3, 0), ""}, {built(3, 3), " " + years("2016", "2019")}, {built(3, 1), ", 1 of them in " + years("2016", "2019") + ", 2 without a date"}} {
		if got := c.sums.builtWhen(); got != c.want {
			t.Errorf("%+v: %q, want %q", c.sums, got, c.want)
		}
	}
}

// TestRefusalsAreNotKept by caches, and say what they are.
func TestRefusalsAreNotKept(t *testing.T) {
	for _, err := range []error{errors.New("no disk"), &model.Problem{Reason: "no disk"}} {
		w := httptest.NewRecorder()
		refuse(w, 507, err)
		if w.Code != 507 || w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("Content-Type") != "application/json" || problemIn(t, w.Body.String()).Reason != "no disk" {
			t.Errorf("%v: %d %v %s", err, w.Code, w.Header(), w.Body)
		}
	}
}

// TestNewNamesUnlessAlike: names that look like a slip are made only when the office is sure.
func TestNewNamesUnlessAlike(t *testing.T) {
	s := newSite(t)
	if _, made, err := s.propertiesOrNew(t.Context(), []string{"Sandalwood Run"}, false); err != nil || len(made) != 1 {
		t.Fatal(made, err)
	}
	if _, made, err := s.propertiesOrNew(t.Context(), []string{"Sandalwod Run"}, false); err == nil || len(made) != 0 {
		t.Errorf("a slip: %v, %v", made, err)
	}
	if all, made, err := s.propertiesOrNew(t.Context(), []string{"Sandalwod Run", "Sandalwood Run"}, true); err != nil || len(made) != 1 || len(all) != 2 {
		t.Errorf("for sure: %v of %v, %v", made, all, err)
	}
}
