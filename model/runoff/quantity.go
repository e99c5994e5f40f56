package runoff

import (
	"fmt"
	"math"

	"headcut/model"
)

// Quantity is a value and its plus-minus, one standard deviation in the value's own unit;
// a negative PlusMinus means that it is not known. The unit is in the name of what holds
// it. The zero Quantity is nought, exactly.
type Quantity struct {
	Value, PlusMinus float64
}

// Unsure is a value whose plus-minus is not known.
func Unsure(value float64) Quantity { return Quantity{value, -1} }

// relative is the plus-minus as a share of the value, negative when not known.
func (q Quantity) relative() float64 {
	if q.PlusMinus < 0 {
		return -1
	}
	return q.PlusMinus / math.Abs(q.Value)
}

// together is the plus-minus of a sum of terms that err apart: the root of the sum of
// squares, or negative when one of them is not known.
func together(terms ...float64) float64 {
	sum := 0.0
	for _, t := range terms {
		if t < 0 {
			return -1
		}
		sum = math.Hypot(sum, t)
	}
	return sum
}

// times scales a plus-minus, keeping an unknown one unknown.
func times(by, plusMinus float64) float64 {
	if plusMinus < 0 {
		return -1
	}
	return math.Abs(by) * plusMinus
}

// bound is what an input may be.
type bound struct {
	path        string
	least, most float64 // both allowed
	what        string  // "a notch length", read as "1500 is not a notch length from 0.1 to 30 m"
	unit        string  // with its blank: " m", empty for a plain number
	fix         string
}

// check refuses a value out of bounds or not a number, and a plus-minus that is not a
// number or larger than the value itself. pathOfPlusMinus may be empty for a value that
// carries none.
func (b bound) check(q Quantity, pathOfPlusMinus string) *model.Problem {
	if !(q.Value >= b.least && q.Value <= b.most) {
		return &model.Problem{Path: b.path, Reason: fmt.Sprintf("%v is not %s from %v to %v%s", q.Value, b.what, b.least, b.most, b.unit), Fix: b.fix}
	}
	if math.IsNaN(q.PlusMinus) || q.PlusMinus > math.Abs(q.Value) {
		return &model.Problem{Path: pathOfPlusMinus, Reason: fmt.Sprintf("%v is more than the value itself, %v%s", q.PlusMinus, q.Value, b.unit),
			Fix: "give one standard deviation, or leave it out when it is not known"}
	}
	return nil
}
