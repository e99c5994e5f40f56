package compute

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// long gives each list of an input so much white space that a Series minds it.
func long(in []byte) []byte {
	return bytes.ReplaceAll(in, []byte("["), []byte("["+strings.Repeat(" ", longText)))
}

// A Series answers any input as Run does: once more, after each other input of the computation, and with lists that
// are its own.
func TestSeriesAnswersAsRunDoes(t *testing.T) {
	repeated := 0
	for _, c := range All() {
		var series Series
		goldens := modeltest.Goldens(t, c.Name)
		for _, g := range append(goldens, goldens...) {
			for _, in := range [][]byte{long(g.In()), long(g.In()), g.In()} {
				want, _ := Answer(c.Name, in)
				got, rest, err := series.Run(c.Name, in)
				if err != nil {
					got = Refusal(err)
				} else if string(rest) != string(got) {
					repeated++
				}
				if string(got) != string(want) {
					t.Fatalf("%s %s: a series answers %s, want %s", c.Name, g.Name, got, want)
				}
			}
		}
	}
	if repeated < 20 {
		t.Errorf("%d answers repeated a list of their input", repeated)
	}
}

// What is left of an answer has all of it but for what the list has in it.
func TestRestOfASeries(t *testing.T) {
	bed := "[" + strings.Repeat(" ", longText) + `{"chainageM":0,"levelM":100},{"chainageM":60,"levelM":103}]`
	var series Series
	for _, heightM := range []string{"0.3", "0.4", "0.3"} {
		answer, rest, err := series.Run("dam-layout", []byte(`{"crestHeightM":`+heightM+`,"bed":`+bed+`}`))
		if err != nil {
			t.Fatal(err)
		}
		levels := regexp.MustCompile(`"bed":\[[^]]+\]`)
		if want := levels.ReplaceAllString(string(answer), `"bed":[]`); string(rest) != want || !levels.Match(answer) || !json.Valid(rest) {
			t.Errorf("the rest is %s, want %s", rest, want)
		}
	}
}

// Where a list changed it is read again, minus nought stays what it is, and a list that was turned with its bed
// is turned once for each answer.
func TestSeriesReadsWhatChanged(t *testing.T) {
	space := strings.Repeat(" ", longText)
	bed := func(chainageM, levelM string) string {
		return `"bed":[` + space + `{"chainageM":` + chainageM + `,"levelM":` + levelM + `},{"chainageM":600,"levelM":103}]`
	}
	down := `"bed":[{"chainageM":0,"levelM":103},{"chainageM":600,"levelM":100}],"sites":[` + space + space + `{"chainageM":500},{"chainageM":400}]`
	var series Series
	for _, in := range []string{bed("0", "100"), bed("0", "100.1"), bed("-0", "100"), bed("-0", "100") + `,"fromM":900`, down, down, down} {
		in = "{" + in + "}"
		want, _ := Answer("dam-layout", []byte(in))
		got, _, err := series.Run("dam-layout", []byte(in))
		if err != nil {
			got = Refusal(err)
		}
		if string(got) != string(want) {
			t.Errorf("%s: %s, want %s", strings.ReplaceAll(in, space, ""), got, want)
		}
	}
}

func TestSeriesOfNoComputation(t *testing.T) {
	var series Series
	if _, _, err := series.Run("dam-layouts", nil); err == nil || !strings.Contains(err.Error(), "no computation") {
		t.Errorf("a series of dam-layouts: %v", err)
	}
}
