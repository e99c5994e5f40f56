package runoff

import (
	"math"

	"headcut/model"
)

// Quantity is a value and its plus-minus, one standard deviation in the value's own unit;
// a negative PlusMinus means that it is not known. The unit is in the name of what holds
// it. The zero Quantity is nought, exactly.
type Quantity struct {
	Value, PlusMinus float64
}

// ofRange is the plus-minus of a value that may lie anywhere in a range, range/√12; negative,
// not known, where the range is a single figure.
func ofRange(low, high float64) float64 {
	if high <= low {
		return -1
	}
	return (high - low) / math.Sqrt(12)
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
	return model.FirstProblem(model.InRange(b.path, q.Value, b.least, b.most, b.what, b.unit, b.fix),
		model.Require(q.PlusMinus <= math.Abs(q.Value), pathOfPlusMinus, "give one standard deviation, or leave it out when it is not known",
			"%v is more than the value itself, %v%s", q.PlusMinus, q.Value, b.unit))
}

// exactly is check of a plain number.
func (b bound) exactly(v float64) *model.Problem { return b.check(Quantity{Value: v}, "") }

// needed is check of what a method cannot do without; measure is how to come by it.
func (b bound) needed(q *Quantity, pathOfPlusMinus, measure string) *model.Problem {
	if q == nil {
		return missing(b.path, measure)
	}
	return b.check(*q, pathOfPlusMinus)
}
