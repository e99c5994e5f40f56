package compute

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/section"
)

// onward runs each computation on the answer of the one before, as it stands and with what
// is given beside it, and returns the answers.
func onward(t *testing.T, in string, steps ...[2]string) [][]byte {
	t.Helper()
	var all [][]byte
	for _, s := range steps {
		answer, err := Run(s[0], []byte(strings.TrimSuffix(in, "}")+s[1]+"}"))
		if err != nil {
			t.Fatalf("%s: %v", s[0], err)
		}
		all, in = append(all, answer), string(answer)
	}
	return all
}

const bookedFromTheHead = `{"rows":[{"point":"BM","bs":1.5,"knownLevelM":100},{"point":"a","is":1.0,"chainageM":0},{"point":"b","is":1.4,"chainageM":15},{"point":"c","is":3,"chainageM":40},{"point":"BM","fs":1.501,"knownLevelM":100}]}`

// TestTurnedGoesWithTheBed: a bed booked from its head down is turned once, and every step
// after says so and how to get back to the book.
func TestTurnedGoesWithTheBed(t *testing.T) {
	all := onward(t, bookedFromTheHead, [2]string{"level-run"}, [2]string{"long-section"}, [2]string{"dam-layout", `,"crestHeightM":0.4`}, [2]string{"dam-check"})
	for i, answer := range all[1:] {
		var out struct {
			TurnedAtM *float64
			Cautions  []model.Caution
		}
		if err := json.Unmarshal(answer, &out); err != nil {
			t.Fatal(err)
		}
		if out.TurnedAtM == nil || *out.TurnedAtM != 40 || !turnedToo(out.Cautions) || !strings.Contains(out.Cautions[0].Text, "a booked one is 40 m less the one here") {
			t.Errorf("step %d does not say that the bed was turned: %s", i+1, answer)
		}
		if before := strings.Contains(string(answer), "must be in the chainages here, not as booked"); before != (i > 0) {
			t.Errorf("step %d says %t that what is given beside must be in the turned chainages", i+1, before)
		}
	}
	var check damCheckOut
	if err := json.Unmarshal(all[3], &check); err != nil {
		t.Fatal(err)
	}
	for _, p := range check.Pairs {
		if p.Verdict != "level" {
			t.Errorf("the layout's own dams: %+v", p)
		}
	}
}

// TestOneBedOfOneFeature: a level book with the beds of two gullies made one bed of both.
func TestOneBedOfOneFeature(t *testing.T) {
	rows := `{"rows":[{"point":"BM","bs":3,"knownLevelM":100},{"is":2.5,"chainageM":0,"feature":"main"},{"is":1.5,"chainageM":20,"feature":"main"},{"is":2,"chainageM":0.5,"feature":"north"},{"is":1,"chainageM":30,"feature":"north"},{"point":"BM","fs":3,"knownLevelM":100}]}`
	run := strings.TrimSuffix(string(onward(t, rows, [2]string{"level-run"})[0]), "}")
	for beside, want := range map[string]string{
		"":                       "rows: are of several features (main, north), and a bed is of one (say whose rows to take, as with --set feature=north)",
		`,"feature":"elsewhere"`: "feature: no row of the level run has a chainage and the feature elsewhere",
	} {
		if _, err := Run("long-section", []byte(run+beside+"}")); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: %v, want %s", beside, err, want)
		}
	}
	for feature, lengthM := range map[string]float64{"main": 20, "north": 29.5} {
		var out struct {
			LengthM float64
			Bed     []section.Point
		}
		answer, err := Run("long-section", []byte(run+`,"feature":"`+feature+`"}`))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(answer, &out); err != nil || out.LengthM != lengthM || len(out.Bed) != 2 {
			t.Errorf("%s: %s, want 2 points over %v m", feature, answer, lengthM)
		}
	}
	if _, err := Run("long-section", []byte(`{"bed":[{"chainageM":0,"levelM":1},{"chainageM":9,"levelM":2}],"feature":"main"}`)); err == nil {
		t.Error("a feature is taken beside a bed, and nothing made of it")
	}
}

// TestCheckPassesTheLayout: the answer of whoa-boys, as it stands, passes whoa-boy-check.
func TestCheckPassesTheLayout(t *testing.T) {
	for _, in := range []string{
		`{"track":[{"position":[144.301,-19.6],"levelM":190.9},{"position":[144.3,-19.6],"levelM":200}],"table":"water-bars-two-soils","soil":"general"}`,
		`{"track":[{"chainageM":0,"levelM":200},{"chainageM":81.4,"levelM":198.64},{"chainageM":145.7,"levelM":195.01}],"table":"water-bars-two-soils","soil":"general"}`,
		`{"track":[{"chainageM":0,"levelM":200},{"chainageM":81.4,"levelM":198.64},{"chainageM":145.7,"levelM":195.01}],"table":"water-bars-two-soils","soil":"highly erodible"}`,
	} {
		all := onward(t, in, [2]string{"whoa-boys"}, [2]string{"whoa-boy-check"})
		var laid whoaBoysOut
		var check whoaBoyCheckOut
		if err := errors.Join(json.Unmarshal(all[0], &laid), json.Unmarshal(all[1], &check)); err != nil {
			t.Fatal(err)
		}
		if laid.Count == 0 || check.Verdict != "OK" {
			t.Errorf("%d banks of %s: %s\n%+v", laid.Count, in, check.Verdict, check.Intervals)
		}
	}
}
