package compute

import (
	"math"
	"reflect"
	"strconv"

	"headcut/model"
)

// encode writes the struct that out points to. An answer with a value that is not a
// finite number is refused whole: no reader of JSON could take it, and none should. So is one
// of more than most bytes; room is how many it will have, some more or fewer. Lists that are empty are written as [], and minus nought as nought.
func (s shapes) encode(out any, digits digits, room, most int, list *longest) ([]byte, error) {
	if path, ok := s.settle(reflect.ValueOf(out).Elem(), list); !ok {
		return nil, &model.Problem{Reason: "the answer's " + path + " is not a finite number", Fix: "check the inputs for values that are far too large or too small"}
	}
	w := newWriter(s, digits, most)
	w.out, w.longest = make([]byte, 0, room), list
	w.value(reflect.ValueOf(out))
	if len(w.out) > most {
		return nil, &model.Problem{Reason: "the answer would have more than " + strconv.Itoa(most>>10) + " KiB, which is too much",
			Fix: "compute a part at a time: a shorter reach of the bed or track, fewer rows, or works farther apart"}
	}
	return w.out, nil
}

// settle makes v fit to be written, or gives the path of a value that cannot be. The path
// is put together on the way back, so that a whole answer costs none.
func (s shapes) settle(v reflect.Value, list *longest) (path string, ok bool) {
	switch v.Kind() {
	case reflect.Float64:
		n := v.Float()
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return "", false
		}
		if n == 0 {
			v.SetFloat(0)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return s.settle(v.Elem(), list)
		}
	case reflect.Struct:
		fields := s.of(v.Type())
		for i := range fields {
			if path, ok := s.settle(v.FieldByIndex(fields[i].index), list); !ok {
				return join(fields[i].name, path), false
			}
		}
	case reflect.Slice, reflect.Array:
		if v.Kind() == reflect.Slice && v.IsNil() {
			v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		}
		if v.Kind() == reflect.Slice && list.is(v) && list.written != nil {
			return "", true // it was fit the last time
		}
		for i := range v.Len() {
			if path, ok := s.settle(v.Index(i), list); !ok {
				return join("["+strconv.Itoa(i)+"]", path), false
			}
		}
	}
	return "", true
}

// join is the path of what stands at path within parent.
func join(parent, path string) string {
	if path == "" || path[0] == '[' {
		return parent + path
	}
	return parent + "." + path
}
