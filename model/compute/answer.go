package compute

import "headcut/model"

// Answer is Run as every entry point hands it out, to the byte: the JSON of the answer or, when
// refused, of the *model.Problem.
func Answer(name string, in []byte) (text []byte, refused bool) {
	out, err := Run(name, in)
	if err != nil {
		return Refusal(err), true
	}
	return out, false
}

// AnswerUnless is Answer, stopped soon after gone says that nobody waits any more; it also
// tells how many steps were done, at most MaxSteps and one.
func (c Computation) AnswerUnless(gone func() bool, in []byte) (text []byte, refused bool, steps int) {
	work := budget(gone)
	out, err := c.run(in, deserved, work, nil)
	if err != nil {
		return Refusal(err), true, work.Steps()
	}
	return out, false, work.Steps()
}

// Refusal is the JSON of what is wrong, without a line end.
func Refusal(err error) []byte { return inJSON(problem(err)) }

// Catalogue is the JSON list of every computation with its schemas, as GET /compute and
// the phone give it.
func Catalogue() []byte {
	return inJSON(model.Each(table, Computation.description))
}

// description is all that a computation says about itself.
type description struct {
	Doc
	Input  *Schema `json:"input"`
	Output *Schema `json:"output"`
}

func (c Computation) description() description {
	return description{c.whole(), c.InputSchema(), c.OutputSchema()}
}

// MarshalJSON writes the Doc, and the schemas "input" and "output".
func (c Computation) MarshalJSON() ([]byte, error) { return inJSON(c.description()), nil }
