package compute

import (
	"errors"
	"math"
	"testing"

	"headcut/model"
)

type answer struct {
	Level float64      `json:"levelM" unit:"m" doc:"a level"`
	Error float64      `json:"plusMinusM" unit:"m" doc:"of the level"`
	Maybe *float64     `json:"maybeM,omitempty" unit:"m" doc:"perhaps"`
	List  []float64    `json:"list" unit:"m" doc:"many"`
	Rows  []answerRow  `json:"rows" doc:"rows"`
	Place [2]float64   `json:"place" unit:"deg" doc:"where"`
	Note  string       `json:"note" doc:"a note"`
	Deep  [][]answerIn `json:"deep,omitempty" doc:"nested"`
}

type answerRow struct {
	Off *float64 `json:"offM,omitempty" unit:"m" doc:"off"`
}

type answerIn struct {
	X float64 `json:"x" unit:"m" doc:"x"`
}

func TestEncodeRefusesWhatIsNoNumber(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(-1)
	tests := []struct {
		name string
		out  answer
		path string
	}{
		{"field", answer{Level: nan}, "levelM"},
		{"pointer", answer{Maybe: &inf}, "maybeM"},
		{"list", answer{List: []float64{1, nan}}, "list[1]"},
		{"row", answer{Rows: []answerRow{{}, {}, {Off: &nan}}}, "rows[2].offM"},
		{"array", answer{Place: [2]float64{0, inf}}, "place[1]"},
		{"not known and worse", answer{Error: inf}, "plusMinusM"},
		{"nested", answer{Deep: [][]answerIn{nil, {{X: inf}}}}, "deep[1][0].x"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := shapes{}.encode(&test.out, deserved, 0, MaxInput, nil)
			want := "the answer's " + test.path + " is not a finite number"
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Reason != want || got != nil {
				t.Errorf("encode = %s, %v, want %s", got, err, want)
			}
		})
	}
}

func TestEncodeWritesPlainly(t *testing.T) {
	got, err := shapes{}.encode(&answer{Level: math.Copysign(0, -1), Note: "<b> & é"}, deserved, 0, MaxInput, nil)
	want := `{"levelM":0,"plusMinusM":0,"list":[],"rows":[],"place":[0,0],"note":"<b> & é"}`
	if err != nil || string(got) != want {
		t.Errorf("encode = %s, %v, want %s", got, err, want)
	}
}

func TestRunHandsOnTheProblemOfAComputation(t *testing.T) {
	c := define(Doc{Name: "x"}, func(in probe, _ *model.Work) (answer, error) {
		if in.Level > 1 {
			return answer{}, errors.New("too high")
		}
		return answer{}, &model.Problem{Path: "levelM", Reason: "too low"}
	})
	for in, want := range map[string]string{`{"levelM":2}`: "too high (give what the computation takes: its inputs are listed by --explain)", `{"levelM":0}`: "levelM: too low (give a level (in m))", `{"levelM":""}`: "levelM: is text, not a number (give a level (in m))"} {
		_, err := c.Run([]byte(in))
		if _, ok := errors.AsType[*model.Problem](err); !ok || err.Error() != want {
			t.Errorf("Run(%s) = %#v, want a problem %q", in, err, want)
		}
	}
}
