package model

import (
	"fmt"
	"math"
)

// Figure is a computed value and how good it is. PlusMinus is one standard deviation in
// the figure's own unit, nil when it could not be worked out.
type Figure struct {
	Name      string   `json:"name"`  // as a field is named, with its unit: "lengthM"
	Label     string   `json:"label"` // as a person reads it: "Length"
	Value     float64  `json:"value"`
	Unit      string   `json:"unit"` // UCUM code: "m", "m2", "%"; "1" for a plain number
	PlusMinus *float64 `json:"plusMinus,omitempty"`
	Basis     Basis    `json:"basis"`
	Rule      string   `json:"rule"` // the computation it comes from, and the source of its rule
}

// Known is a plus-minus as it is handed out: nil for one that is negative or no number,
// which is how what is not known is carried through the working.
func Known(plusMinus float64) *float64 {
	if !(plusMinus >= 0) || math.IsInf(plusMinus, 0) {
		return nil
	}
	return &plusMinus
}

// Caution is a sentence about safety, permits or a rule's limits, shown wherever the
// figure or the work it is tied to is used on the ground.
type Caution struct {
	About string `json:"about,omitempty" doc:"the figure, field or check it is tied to; none for the whole"`
	Text  string `json:"text" doc:"the sentence"`
}

// Cautions are collected one after the other.
type Cautions []Caution

// Add adds a caution, its text formatted as by fmt.Sprintf.
func (c *Cautions) Add(about, text string, args ...any) {
	*c = append(*c, Caution{about, fmt.Sprintf(text, args...)})
}

// AddIf adds a caution where something holds.
func (c *Cautions) AddIf(holds bool, about, text string, args ...any) {
	if holds {
		c.Add(about, text, args...)
	}
}

// Verdict is what a check of a work found.
type Verdict string

const (
	OK          Verdict = "OK"
	Fails       Verdict = "fails"
	NotLevelled Verdict = "not levelled" // only a level run could tell
)

// Verdicts lists every verdict.
var Verdicts = []Verdict{OK, Fails, NotLevelled}

// Check is the outcome of testing a work against a rule, in plain words.
type Check struct {
	Name    string  `json:"name"` // the computation that judged: "dam-check"
	Verdict Verdict `json:"verdict"`
	Text    string  `json:"text"` // "The crest is 0.18 m below the toe of dam 5 upstream: a gap."
	Rule    string  `json:"rule"`
}

// JointPlusMinus is the plus-minus of a sum or difference of values that err apart: their
// squares add (JCGM 100:2008, 5.1.2). -1 when one is negative, which is not known.
func JointPlusMinus(of ...float64) float64 {
	joint := 0.0
	for _, plusMinus := range of {
		if plusMinus < 0 {
			return -1
		}
		joint = math.Hypot(joint, plusMinus)
	}
	return joint
}

// ScaledPlusMinus is a plus-minus times the size of a factor; -1 when it is negative, which is
// not known.
func ScaledPlusMinus(factor, plusMinus float64) float64 {
	if plusMinus < 0 {
		return -1
	}
	return math.Abs(factor) * plusMinus
}
