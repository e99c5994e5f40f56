package compute

import (
	"math"
	"reflect"
	"strconv"

	"headcut/model"
)

// encode writes the struct that out points to. An answer with a value that is not a
// finite number is refused whole: no reader of JSON could take it, and none should.
// Lists that are empty are written as [], and minus nought as nought.
func (s shapes) encode(out any) ([]byte, error) {
	if p := s.settle(reflect.ValueOf(out).Elem(), ""); p != nil {
		return nil, p
	}
	w := writer{make([]byte, 0, 4<<10), s}
	w.value(reflect.ValueOf(out))
	return w.out, nil
}

// settle makes v fit to be written, or tells which value cannot be.
func (s shapes) settle(v reflect.Value, path string) *model.Problem {
	switch v.Kind() {
	case reflect.Float64:
		n := v.Float()
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return &model.Problem{Reason: "the answer's " + path + " is not a finite number", Fix: "check the inputs for values that are far too large or too small"}
		}
		if n == 0 {
			v.SetFloat(0)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return s.settle(v.Elem(), path)
		}
	case reflect.Struct:
		for _, f := range s.of(v.Type()) {
			if p := s.settle(v.FieldByIndex(f.index), below(path, f.name)); p != nil {
				return p
			}
		}
	case reflect.Slice, reflect.Array:
		if v.Kind() == reflect.Slice && v.IsNil() {
			v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		}
		for i := range v.Len() {
			if p := s.settle(v.Index(i), path+"["+strconv.Itoa(i)+"]"); p != nil {
				return p
			}
		}
	}
	return nil
}
