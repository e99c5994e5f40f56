package compute

import (
	"math"
	"reflect"
	"strconv"

	"headcut/model"
)

// encode writes the struct that out points to. An answer with a value that is not a
// finite number is refused whole: no reader of JSON could take it, and none should. So is one
// of more than most bytes; room is how many it will have, some more or fewer. Lists that are
// empty are written as [], and minus nought as nought.
func (s shapes) encode(out any, digits digits, room, most int, list *longest) ([]byte, error) {
	v := reflect.ValueOf(out)
	w := newWriter(s, digits, most)
	w.out, w.longest = make([]byte, 0, room), list
	w.value(v)
	if w.unfit || len(w.out) > most {
		if path, ok := s.infinite(v); ok {
			return nil, &model.Problem{Reason: "the answer's " + path + " is not a finite number", Fix: "check the inputs for values that are far too large or too small"}
		}
		return nil, &model.Problem{Reason: "the answer would have more than " + strconv.Itoa(most>>10) + " KiB, which is too much",
			Fix: "compute a part at a time: a shorter reach of the bed or track, fewer rows, or works farther apart"}
	}
	return w.out, nil
}

// infinite is the path of the first number that is not finite. It is put together on the way back.
func (s shapes) infinite(v reflect.Value) (path string, found bool) {
	switch v.Kind() {
	case reflect.Float64:
		return "", !finite(v.Float())
	case reflect.Pointer:
		if !v.IsNil() {
			return s.infinite(v.Elem())
		}
	case reflect.Struct:
		for _, f := range s.of(v.Type()) {
			if path, found := s.infinite(v.FieldByIndex(f.index)); found {
				return join(f.name, path), true
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if path, found := s.infinite(v.Index(i)); found {
				return join("["+strconv.Itoa(i)+"]", path), true
			}
		}
	}
	return "", false
}

func finite(n float64) bool { return !math.IsNaN(n) && !math.IsInf(n, 0) }

// join is the path of what stands at path within parent.
func join(parent, path string) string {
	if path == "" || path[0] == '[' {
		return parent + path
	}
	return parent + "." + path
}
