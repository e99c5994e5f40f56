package compute

import (
	"bytes"
	"math"
	"reflect"

	"headcut/model/jsonvalue"
)

// writer writes the structs of computations as JSON, as encoding/json does without escapes for
// HTML, but that each figure ends at the digits it deserves and a plus-minus that is not known
// is left out.
type writer struct {
	out     []byte
	shapes  lastShape
	figures bool // numbers end at the digits they deserve
	most    int  // bytes after which no further element of a list is written

	ending  ending // of the figure being written
	unfit   bool   // a number was not finite
	longest *longest
}

func newWriter(shapes shapes, digits digits, most int) *writer {
	return &writer{shapes: lastShape{shapes: shapes}, figures: digits == deserved, most: most}
}

// inJSON is any value as encoding/json writes it.
func inJSON(v any) []byte {
	text, err := jsonvalue.Marshal(v)
	if err != nil {
		panic(err) // finite numbers, texts and what is made of them always can be written
	}
	return text
}

// surelyShortest is how many digits of a decimal fraction a float64 always keeps: no shorter fraction is the
// same number, and what encoding/json writes of it is those digits.
const surelyShortest = 15

func (w *writer) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			w.out = append(w.out, "null"...)
			return
		}
		w.value(v.Elem())
	case reflect.Struct:
		w.object(v)
	case reflect.Slice, reflect.Array:
		w.list(v)
	case reflect.Float64:
		w.number(v.Float())
	case reflect.String:
		w.out = jsonvalue.AppendText(w.out, v.String())
	default:
		w.out = append(w.out, inJSON(v.Interface())...)
	}
}

func (w *writer) number(n float64) {
	if w.unfit = w.unfit || !finite(n); w.unfit {
		return // the answer is refused
	}
	if n == 0 {
		n = 0 // no minus nought
	}
	if w.figures {
		from := len(w.out)
		w.out = w.ending.append(w.out, n)
		if digits := len(w.out) - from; digits <= surelyShortest && (math.Abs(n) > 1e-5 || digits == 1) {
			return
		}
		w.out, n = w.out[:from], w.ending.of(n)
	}
	w.out = jsonvalue.AppendNumber(w.out, n)
}

func (w *writer) object(v reflect.Value) {
	before := byte('{')
	fields := w.shapes.of(v.Type())
	for i := range fields {
		f := &fields[i]
		value := v.FieldByIndex(f.index)
		if f.omitted && !f.plusMinus && empty(value) || f.plusMinus && f.optional && empty(value) {
			continue
		}
		if f.plusMinus && w.figures && notKnown(value) {
			eachNumber(value, func(n float64) { w.unfit = w.unfit || !finite(n) })
			continue
		}
		w.out = append(append(w.out, before), f.written...)
		before = ','
		w.ending = f.endsIn(v)
		w.value(value)
	}
	if before == '{' {
		w.out = append(w.out, '{')
	}
	w.out = append(w.out, '}')
}

// empty is what omitempty leaves out.
func empty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Array, reflect.String:
		return v.Len() == 0
	case reflect.Struct:
		return false
	default:
		return v.IsZero()
	}
}

func (w *writer) list(v reflect.Value) {
	if v.Kind() == reflect.Slice && w.longest.is(v) {
		w.repeat(v)
		return
	}
	w.each(v)
}

// repeat writes the longest list as in the answer before.
func (w *writer) repeat(v reflect.Value) {
	l := w.longest
	if l.at = len(w.out); l.written != nil {
		w.out = append(w.out, l.written...)
		return
	}
	if w.each(v); len(w.out) <= w.most {
		l.written = bytes.Clone(w.out[l.at:])
	}
}

func (w *writer) each(v reflect.Value) {
	w.out = append(w.out, '[')
	for i := range v.Len() {
		if i > 0 {
			w.out = append(w.out, ',')
		}
		if w.value(v.Index(i)); len(w.out) > w.most {
			return // it is refused
		}
	}
	w.out = append(w.out, ']')
}
