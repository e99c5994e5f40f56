package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/runoff"
)

// estimate is a value and its plus-minus, which is negative when it is not known.
type estimate struct{ Value, PlusMinus float64 }

// optional is a value that may be there, with its plus-minus; valueIn one that always is.
type optional struct{ Value, PlusMinus *float64 }

type valueIn struct {
	Value     float64
	PlusMinus *float64
}

func (e estimate) optional() optional { return optional{&e.Value, known(e.PlusMinus)} }

func (in valueIn) optional() optional { return optional{&in.Value, in.PlusMinus} }

func (in valueIn) quantity(path string) (*runoff.Quantity, error) {
	return in.optional().quantity(path)
}

// quantity is the value with its plus-minus, which stands at path; nil where it was left out.
func (in optional) quantity(path string) (*runoff.Quantity, error) {
	switch {
	case in.Value == nil && in.PlusMinus != nil:
		return nil, &model.Problem{Path: path, Reason: "stands there without the value it belongs to"}
	case in.Value == nil:
		return nil, nil
	case in.PlusMinus != nil && !(*in.PlusMinus >= 0):
		return nil, &model.Problem{Path: path, Reason: fmt.Sprintf("%v is not a standard deviation", *in.PlusMinus), Fix: "give 0 or more, or leave it out when it is not known"}
	}
	return &runoff.Quantity{Value: *in.Value, PlusMinus: orElse(in.PlusMinus, -1)}, nil
}

// measuredValue is where a value goes whose plus-minus stands at path.
type measuredValue struct {
	into **runoff.Quantity
	in   optional
	path string
}

// measureEach takes in several values; the error is that of the first.
func measureEach(all ...measuredValue) (err error) {
	for _, one := range all {
		if *one.into, err = one.in.quantity(one.path); err != nil {
			return err
		}
	}
	return nil
}
