package jsonvalue

import (
	"encoding"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Marshal writes v compactly. The error says which type, number or JSON text in it cannot be written.
func Marshal(v any) ([]byte, error) { return Append(nil, v) }

// Append writes v as Marshal does, behind dst.
func Append(dst []byte, v any) ([]byte, error) {
	if v == nil {
		return append(dst, "null"...), nil
	}
	return new(shapes).appendValue(dst, reflect.ValueOf(v))
}

func (s *shapes) appendValue(dst []byte, v reflect.Value) (_ []byte, err error) {
	if isNil(v) {
		return append(dst, "null"...), nil
	}
	if v.Type().NumMethod() > 0 && v.Kind() != reflect.Interface {
		switch own := v.Interface().(type) {
		case json.RawMessage:
			return appendCompact(dst, own)
		case json.Marshaler:
			text, err := own.MarshalJSON()
			if err != nil {
				return dst, err
			}
			return appendCompact(dst, text)
		case encoding.TextMarshaler:
			text, err := own.MarshalText()
			return AppendText(dst, string(text)), err
		}
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		return s.appendValue(dst, v.Elem())
	case reflect.Bool:
		return strconv.AppendBool(dst, v.Bool()), nil
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return strconv.AppendInt(dst, v.Int(), 10), nil
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return strconv.AppendUint(dst, v.Uint(), 10), nil
	case reflect.Float64:
		if n := v.Float(); math.IsNaN(n) || math.IsInf(n, 0) {
			return dst, errors.New("a number is not finite")
		}
		return AppendNumber(dst, v.Float()), nil
	case reflect.String:
		return AppendText(dst, v.String()), nil
	case reflect.Struct:
		return s.appendStruct(dst, v)
	case reflect.Map:
		return s.appendMap(dst, v)
	case reflect.Slice, reflect.Array:
		if v.Type().Elem().Kind() == reflect.Uint8 {
			return dst, unwritten(v) // bytes, which others write as base64
		}
		dst = append(dst, '[')
		from := len(dst)
		for i := range v.Len() {
			if i > 0 {
				dst = append(dst, ',')
			}
			if i == 1 && v.Len() > few {
				dst = slices.Grow(dst, v.Len()*(len(dst)-from)*5/4)
			}
			if dst, err = s.appendValue(dst, v.Index(i)); err != nil {
				return dst, err
			}
		}
		return append(dst, ']'), nil
	}
	return dst, unwritten(v)
}

// few is up to how many values a list grows as it is written; a longer one is made room for by what the first
// takes, and a quarter more.
const few = 16

func unwritten(v reflect.Value) error {
	return errors.New("a " + v.Type().String() + " is not written")
}

func isNil(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface, reflect.Map, reflect.Slice:
		return v.IsNil()
	}
	return false
}

func (s *shapes) appendStruct(dst []byte, v reflect.Value) (_ []byte, err error) {
	dst = append(dst, '{')
	from := len(dst)
	members := s.of(v.Type())
	for i := range members {
		m := &members[i]
		value, err := v.FieldByIndexErr(m.index)
		if err != nil || m.omitted && empty(value) { // of an embedded struct that is not there
			continue
		}
		if len(dst) > from {
			dst = append(dst, ',')
		}
		if dst, err = s.appendValue(append(dst, m.written...), value); err != nil {
			return dst, err
		}
	}
	return append(dst, '}'), nil
}

// appendMap writes the members in the order of their names. The keys of a map are texts.
func (s *shapes) appendMap(dst []byte, v reflect.Value) (_ []byte, err error) {
	if v.Type().Key().Kind() != reflect.String {
		return dst, unwritten(v)
	}
	keys := v.MapKeys()
	names, order := make([]string, len(keys)), make([]int, len(keys))
	for i, key := range keys {
		names[i], order[i] = key.String(), i
	}
	slices.SortFunc(order, func(i, j int) int { return strings.Compare(names[i], names[j]) }) // as model.SortStable: one sorting program for all
	dst = append(dst, '{')
	for n, i := range order {
		if n > 0 {
			dst = append(dst, ',')
		}
		if dst, err = s.appendValue(append(AppendText(dst, names[i]), ':'), v.MapIndex(keys[i])); err != nil {
			return dst, err
		}
	}
	return append(dst, '}'), nil
}

// AppendNumber writes a finite number with the fewest digits that give it back.
func AppendNumber(dst []byte, n float64) []byte {
	if units := n * 1e4; units == math.Trunc(units) && units/1e4 == n && math.Abs(units) < 1e15 && n != 0 {
		return appendDecimal(dst, int64(units))
	}
	if size := math.Abs(n); size == 0 || size >= 1e-6 && size < 1e21 {
		return strconv.AppendFloat(dst, n, 'f', -1, 64)
	}
	dst = strconv.AppendFloat(dst, n, 'e', -1, 64)
	if last := len(dst); dst[last-4] == 'e' && dst[last-3] == '-' && dst[last-2] == '0' { // e-09 to e-9
		dst[last-2] = dst[last-1]
		dst = dst[:last-1]
	}
	return dst
}

// appendDecimal writes ten thousandths, as measured figures mostly are, without noughts behind. No fewer digits
// give back a number that so few do.
func appendDecimal(dst []byte, units int64) []byte {
	if units < 0 {
		dst, units = append(dst, '-'), -units
	}
	dst = strconv.AppendInt(dst, units/1e4, 10)
	if units %= 1e4; units == 0 {
		return dst
	}
	dst = append(dst, '.')
	for place := int64(1000); units > 0; place /= 10 {
		dst = append(dst, '0'+byte(units/place))
		units %= place
	}
	return dst
}

// AppendText writes a text in quotes. Bytes that are no UTF-8 become the escape of U+FFFD; the ends of
// lines that JavaScript once took for its own are escaped.
func AppendText(dst []byte, text string) []byte {
	const hex = "0123456789abcdef"
	dst = append(dst, '"')
	for at, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[at:], "\ufffd"):
			dst = append(dst, `\ufffd`...)
		case r == '"' || r == '\\':
			dst = append(dst, '\\', byte(r))
		case r >= ' ' && r != '\u2028' && r != '\u2029':
			dst = utf8.AppendRune(dst, r)
		default:
			if at := strings.IndexRune("\b\f\n\r\t", r); at >= 0 {
				dst = append(dst, '\\', "bfnrt"[at])
				continue
			}
			dst = append(dst, '\\', 'u', hex[r>>12], hex[r>>8&0xf], hex[r>>4&0xf], hex[r&0xf])
		}
	}
	return append(dst, '"')
}
