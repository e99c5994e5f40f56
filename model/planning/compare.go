package planning

import (
	"encoding/json"

	"headcut/model"
	"headcut/model/jsonvalue"
)

// mostCompared is how many answers a person can still weigh against each other; package works has the
// same of heights.
const mostCompared = 8

// Beside is what comes of one of several values that are compared.
type Beside struct {
	Value   json.RawMessage `json:"value"`
	*Laid                   // nil: refused, or no works are laid out
	Answer  json.RawMessage `json:"answer,omitempty"` // where no works are laid out
	Says    []string        `json:"says"`
	Refused []string        `json:"refused"` // why there is no answer
}

// Laid counts the works of an answer.
type Laid struct {
	Count    int      `json:"count"`
	LowestM  *float64 `json:"lowestM,omitempty"` // chainage, as those of the input; none without works
	HighestM *float64 `json:"highestM,omitempty"`
	HeightM  *float64 `json:"heightM,omitempty"` // of the works; none of banks whose height is not given
	bill              // hours and cost; none without rates
}

func laid(plans Purpose, answer json.RawMessage) *Laid {
	type work struct {
		ChainageM float64 `json:"chainageM"`
	}
	var out struct {
		Dams         []work   `json:"dams"`
		Banks        []work   `json:"banks"`
		CrestHeightM *float64 `json:"crestHeightM"`
		BuiltHeightM *float64 `json:"builtHeightM"`
		Bill         bill     `json:"bill"`
	}
	if plans != Dams && plans != WhoaBoys || jsonvalue.Unmarshal(answer, &out) != nil {
		return nil
	}
	all := append(out.Dams, out.Banks...) // along the chainages, one way or the other
	l := &Laid{Count: len(all), HeightM: out.CrestHeightM, bill: out.Bill}
	if plans == WhoaBoys {
		l.HeightM = out.BuiltHeightM
	}
	if n := len(all); n > 0 {
		first, last := all[0].ChainageM, all[n-1].ChainageM
		l.LowestM, l.HighestM = new(min(first, last)), new(max(first, last))
	}
	return l
}

// sideBySide plans each value that is compared by itself: what is kept free for the works that stand
// depends on it. The outcome is that of the first value which has an answer. The error is that of the
// first value, where all are refused.
func (p *Property) sideBySide(r Request) (o Outcome, err error) {
	name, values, err := r.compared()
	if err != nil {
		return Outcome{}, err
	}
	var beside []Beside
	a := p.alike()
	for i, value := range values {
		one := r
		one.Given = map[string]json.RawMessage{name: value}
		for other, raw := range r.Given {
			one.Given[other] = raw
		}
		found, rest, wrong := p.calculated(one, a)
		b := Beside{Value: value, Says: append([]string{}, found.Says...), Refused: append([]string{}, found.Refused...)}
		switch {
		case wrong != nil:
			b.Refused = append(b.Refused, wrong.Error())
		case found.Answer != nil:
			if b.Laid = laid(r.Plans, rest); b.Laid == nil {
				b.Answer = found.Answer
			}
		}
		if i == 0 || o.Answer == nil && found.Answer != nil {
			o, err = found, wrong
		}
		beside = append(beside, b)
	}
	o.Beside = beside
	return o, err
}

// compared is the field that is compared, and its values.
func (r Request) compared() (name string, values []json.RawMessage, err error) {
	if len(r.Compare) > 1 {
		return "", nil, &model.Problem{Path: "compare", Reason: "has values of two fields", Fix: "compare one field"}
	}
	for name, values = range r.Compare {
	}
	p := model.FirstProblem(
		model.Require(len(values) > 0 && len(values) <= mostCompared, "compare."+name, "give from 1 to 8", "%d values cannot be compared", len(values)),
		model.Require(r.Given[name] == nil, name, "leave the one value out", "is given as one value, and compared as well"))
	return name, values, p.Err()
}
