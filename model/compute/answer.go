package compute

import (
	"bytes"
	"encoding/json"
)

// Answer is Run as every door hands it out, to the byte: the JSON of the answer or, when
// refused, of the *model.Problem.
func Answer(name string, in []byte) (text []byte, refused bool) {
	out, err := Run(name, in)
	if err != nil {
		return Refusal(err), true
	}
	return out, false
}

// Refusal is the JSON of what is wrong, without a line end.
func Refusal(err error) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)     // as answers are written
	_ = e.Encode(problem(err)) // texts and a number, into memory: it cannot fail
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// Catalogue is the JSON list of every computation with its schemas, as GET /compute and
// the phone give it.
func Catalogue() []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(All()); err != nil {
		panic(err) // a programmer's mistake; a test lists every computation
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}
