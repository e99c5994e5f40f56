package compute

import (
	"math"
	"reflect"
	"strconv"
	"unicode/utf8"
)

// writer writes Go values as JSON, to the byte as encoding/json does without escapes for
// HTML. It is here for the same reason as scanner, and FuzzWrite holds it to the original.
// It knows the types that a computation's structs may have.
type writer struct {
	out     []byte
	shapes  shapes
	figures bool // numbers end at the digits they deserve
	most    int  // bytes after which no further element of a list is written; 0: all are

	ending ending // of the figure being written
}

// inJSON writes one value.
func inJSON(v any) []byte {
	w := writer{shapes: shapes{}}
	w.value(reflect.ValueOf(v))
	return w.out
}

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
	case reflect.Bool:
		w.out = strconv.AppendBool(w.out, v.Bool())
	case reflect.String:
		w.text(v.String())
	case reflect.Float64:
		n := v.Float()
		if w.figures {
			n = w.ending.of(n)
		}
		w.number(n)
	default: // the whole numbers
		w.out = strconv.AppendInt(w.out, v.Int(), 10)
	}
}

func (w *writer) object(v reflect.Value) {
	w.out = append(w.out, '{')
	first := true
	for _, f := range w.shapes.of(v.Type()) {
		value := v.FieldByIndex(f.index)
		if f.omitted && !f.plusMinus && empty(value) || f.plusMinus && (f.optional && empty(value) || w.figures && notKnown(value)) {
			continue
		}
		if !first {
			w.out = append(w.out, ',')
		}
		first = false
		w.text(f.name)
		w.out = append(w.out, ':')
		w.ending = f.digitsOf(v)
		w.value(value)
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
	switch own := v.Type(); own {
	case reflect.TypeFor[types]():
		if v.Len() == 1 { // "number", not ["number"]
			w.text(v.Index(0).String())
			return
		}
	case reflect.TypeFor[Properties]():
		w.properties(v)
		return
	}
	if v.Kind() == reflect.Slice && v.IsNil() {
		w.out = append(w.out, "null"...)
		return
	}
	w.out = append(w.out, '[')
	for i := range v.Len() {
		if i > 0 {
			w.out = append(w.out, ',')
		}
		if w.value(v.Index(i)); w.most > 0 && len(w.out) > w.most {
			return // it is refused
		}
	}
	w.out = append(w.out, ']')
}

// properties writes an object whose names stand in the values.
func (w *writer) properties(v reflect.Value) {
	w.out = append(w.out, '{')
	for i := range v.Len() {
		if i > 0 {
			w.out = append(w.out, ',')
		}
		w.text(v.Index(i).Field(0).String())
		w.out = append(w.out, ':')
		w.value(v.Index(i).Field(1))
	}
	w.out = append(w.out, '}')
}

// number writes as few digits as tell n from its neighbours, the way ECMAScript does.
func (w *writer) number(n float64) {
	form := byte('f')
	if a := math.Abs(n); a != 0 && (a < 1e-6 || a >= 1e21) {
		form = 'e'
	}
	w.out = strconv.AppendFloat(w.out, n, form, -1, 64)
	if last := len(w.out) - 1; form == 'e' && w.out[last-3] == 'e' && w.out[last-2] == '-' && w.out[last-1] == '0' {
		w.out[last-1] = w.out[last] // e-09 is written e-9
		w.out = w.out[:last]
	}
}

// text writes a text in quotes.
func (w *writer) text(text string) {
	const hex = "0123456789abcdef"
	w.out = append(w.out, '"')
	for i := 0; i < len(text); {
		c := text[i]
		if c >= utf8.RuneSelf {
			r, size := utf8.DecodeRuneInString(text[i:])
			switch {
			case r == utf8.RuneError && size == 1:
				w.out = append(w.out, `\ufffd`...)
			case r == '\u2028' || r == '\u2029': // which end a line in a script
				w.out = append(w.out, `\u202`...)
				w.out = append(w.out, hex[r&15])
			default:
				w.out = append(w.out, text[i:i+size]...)
			}
			i += size
			continue
		}
		i++
		switch c {
		case '"', '\\':
			w.out = append(w.out, '\\', c)
		case '\b':
			w.out = append(w.out, `\b`...)
		case '\f':
			w.out = append(w.out, `\f`...)
		case '\n':
			w.out = append(w.out, `\n`...)
		case '\r':
			w.out = append(w.out, `\r`...)
		case '\t':
			w.out = append(w.out, `\t`...)
		default:
			if c < ' ' {
				w.out = append(w.out, `\u00`...)
				w.out = append(w.out, hex[c>>4], hex[c&15])
				continue
			}
			w.out = append(w.out, c)
		}
	}
	w.out = append(w.out, '"')
}
