package jsonvalue

import (
	"bytes"
	"encoding"
	"encoding/json"
	"reflect"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"

	"headcut/model/jsontoken"
)

// deepest is how deep lists and objects may stand in one another.
const deepest = 10_000

// Error is why a text was not read.
type Error struct {
	Path string // the member whose value is of another type, as "rows[2].bs"
	Why  string // in plain words

	syntax bool // the text is no JSON, which has no path
}

func (e *Error) Error() string {
	if e.Path == "" {
		return e.Why
	}
	return e.Path + ": " + e.Why
}

// Unmarshal reads text into what the pointer into points to. Members that the struct does not have are passed
// over; of members named alike the last counts; null makes a pointer, map, list or any nil, and leaves
// others as they are. The error is an *Error, and then nothing was read.
func Unmarshal(text []byte, into any) error {
	target := reflect.ValueOf(into).Elem()
	read := reflect.New(target.Type()).Elem()
	read.Set(target)
	r := reader{text: text}
	if err := r.whole(func() *Error { return r.value(read, 0) }); err != nil {
		return err
	}
	target.Set(read)
	return nil
}

// Valid tells whether text is JSON.
func Valid(text []byte) bool {
	r := reader{text: text}
	return r.whole(func() *Error { return r.skip(0) }) == nil
}

// appendCompact copies a value without its white space.
func appendCompact(dst, text []byte) ([]byte, error) {
	r := reader{text: text, copied: dst, copies: true}
	if err := r.whole(func() *Error { return r.skip(0) }); err != nil {
		return dst, err
	}
	return r.copied, nil
}

type reader struct {
	text   []byte
	at     int
	shapes shapes

	copies bool
	copied []byte
}

// whole reads one value with nothing behind it.
func (r *reader) whole(value func() *Error) error {
	if err := value(); err != nil {
		return err
	}
	if r.space() < len(r.text) {
		return r.wrong("nothing")
	}
	return nil
}

func (r *reader) space() int {
	r.at = jsontoken.Space(r.text, r.at)
	return r.at
}

// next is the byte after white space, 0 at the end.
func (r *reader) next() byte {
	if r.at < len(r.text) && r.text[r.at] > ' ' || r.space() < len(r.text) {
		return r.text[r.at]
	}
	return 0
}

// take passes over a byte if it is the next.
func (r *reader) take(c byte) bool {
	if r.next() != c {
		return false
	}
	r.at++
	if r.copies {
		r.copied = append(r.copied, c)
	}
	return true
}

func unread(why string) *Error { return &Error{Why: why, syntax: true} }

func (r *reader) wrong(wanted string) *Error {
	switch {
	case len(bytes.TrimSpace(r.text)) == 0:
		return unread("it is empty")
	case r.at >= len(r.text):
		return unread("it ends in the middle")
	}
	return unread("it is no JSON (RFC 8259) from byte " + strconv.Itoa(r.at+1) + " on: " + wanted + " should be there")
}

// token passes over a text, a number or a word.
func (r *reader) token() ([]byte, *Error) {
	c, from := r.next(), r.at
	var end int
	var fault jsontoken.Fault
	switch {
	case c == '"':
		end, _, fault = jsontoken.Text(r.text, from)
	case c == '-' || '0' <= c && c <= '9':
		end, fault = jsontoken.Number(r.text, from)
	default:
		end, fault = jsontoken.Word(r.text, from)
	}
	if r.at = end; fault != 0 {
		return nil, r.wrong(fault.String())
	}
	if r.copies {
		r.copied = append(r.copied, r.text[from:end]...)
	}
	return r.text[from:end], nil
}

// each goes through the values of a list or an object; name is nil in a list.
func (r *reader) each(closes byte, value func(name []byte) *Error) *Error {
	r.take(closes - 2) // '[' is two before ']', '{' before '}'
	for first := true; !r.take(closes); first = false {
		if !first && !r.take(',') {
			return r.wrong("a comma or a bracket")
		}
		var name []byte
		if closes == '}' {
			if r.next() != '"' {
				return r.wrong("a name in quotes")
			}
			var err *Error
			if name, err = r.token(); err != nil {
				return err
			}
			if !r.take(':') {
				return r.wrong("a colon")
			}
		}
		if err := value(name); err != nil {
			return err
		}
	}
	return nil
}

// skip passes over a value.
func (r *reader) skip(depth int) *Error {
	switch c := r.next(); c {
	case '{', '[':
		if depth == deepest {
			return unread("it nests too deeply")
		}
		return r.each(c+2, func([]byte) *Error { return r.skip(depth + 1) })
	}
	_, err := r.token()
	return err
}

// value reads the next value into v.
func (r *reader) value(v reflect.Value, depth int) *Error {
	c := r.next()
	if raw, ok := v.Addr().Interface().(*json.RawMessage); ok {
		from := r.at
		if err := r.skip(depth); err != nil {
			return err
		}
		*raw = bytes.Clone(r.text[from:r.at])
		return nil
	}
	if c == 'n' {
		switch v.Kind() {
		case reflect.Pointer, reflect.Map, reflect.Slice, reflect.Interface:
			v.SetZero()
		}
		_, err := r.token()
		return err
	}
	if (c == '{' || c == '[') && depth == deepest {
		return unread("it nests too deeply")
	}
	if v.Type().PkgPath() != "" { // a type with a name may read its own texts, as a day does
		if own, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
			return r.ownText(own, c, depth)
		}
	}
	switch kind := v.Kind(); {
	case kind == reflect.Pointer:
		one := reflect.New(v.Type().Elem())
		v.Set(one)
		return r.value(one.Elem(), depth)
	case kind == reflect.Interface && v.NumMethod() == 0:
		return r.any(v, depth)
	case c == '{' && kind == reflect.Struct:
		return r.object(v, depth)
	case c == '{' && kind == reflect.Map && v.Type().Key().Kind() == reflect.String:
		return r.mapped(v, depth)
	case c == '[' && (kind == reflect.Slice || kind == reflect.Array):
		return r.list(v, depth)
	case c == '"' || c == '-' || '0' <= c && c <= '9' || c == 't' || c == 'f':
		token, err := r.token()
		if err == nil && !set(v, token) {
			return &Error{Why: "there is " + kindOf(c) + " where something else belongs"}
		}
		return err
	}
	if err := r.skip(depth); err != nil {
		return err
	}
	return &Error{Why: "there is " + kindOf(c) + " where something else belongs"}
}

// ownText gives the next value to a type that reads its own texts.
func (r *reader) ownText(own encoding.TextUnmarshaler, first byte, depth int) *Error {
	from := r.at
	if err := r.skip(depth); err != nil {
		return err
	}
	if first != '"' {
		return &Error{Why: "there is " + kindOf(first) + " where something else belongs"}
	}
	if wrong := own.UnmarshalText([]byte(Text(r.text[from:r.at]))); wrong != nil {
		return &Error{Why: wrong.Error()}
	}
	return nil
}

func kindOf(first byte) string {
	switch first {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a text"
	case 't', 'f':
		return "true or false"
	}
	return "a number that cannot be"
}

// set puts the value of a text, a number or a word into v; false where v cannot hold it.
func set(v reflect.Value, token []byte) bool {
	switch c := token[0]; {
	case c == '"':
		if v.Kind() == reflect.String {
			v.SetString(Text(token))
			return true
		}
	case c == 't' || c == 'f':
		if v.Kind() == reflect.Bool {
			v.SetBool(c == 't')
			return true
		}
	case v.CanInt():
		n, err := strconv.ParseInt(string(token), 10, v.Type().Bits())
		v.SetInt(n)
		return err == nil
	case v.CanUint():
		n, err := strconv.ParseUint(string(token), 10, v.Type().Bits())
		v.SetUint(n)
		return err == nil
	case v.Kind() == reflect.Float64:
		n, err := strconv.ParseFloat(string(token), 64)
		v.SetFloat(n)
		return err == nil
	}
	return false
}

func (r *reader) object(v reflect.Value, depth int) *Error {
	members := r.shapes.of(v.Type())
	return r.each('}', func(token []byte) *Error {
		for i := range members {
			if m := &members[i]; m.is(token) {
				return within(m.name, r.value(fieldOf(v, m.index), depth+1))
			}
		}
		return r.skip(depth + 1)
	})
}

// fieldOf is a field, for which an embedded struct is made that is not there.
func fieldOf(v reflect.Value, index []int) reflect.Value {
	for n, i := range index {
		if n > 0 && v.Kind() == reflect.Pointer {
			if v.IsNil() {
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem()
		}
		v = v.Field(i)
	}
	return v
}

func (r *reader) mapped(v reflect.Value, depth int) *Error {
	all := reflect.MakeMap(v.Type())
	v.Set(all)
	return r.each('}', func(token []byte) *Error {
		name := Text(token)
		one := reflect.New(v.Type().Elem()).Elem()
		err := r.value(one, depth+1)
		all.SetMapIndex(reflect.ValueOf(name).Convert(v.Type().Key()), one)
		return within(name, err)
	})
}

func (r *reader) list(v reflect.Value, depth int) *Error {
	n := 0
	if v.Kind() == reflect.Slice {
		v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	}
	err := r.each(']', func([]byte) *Error {
		at := n
		n++
		if v.Kind() == reflect.Slice {
			if at == v.Cap() {
				v.Grow(max(4, at))
			}
			v.SetLen(n)
		} else if at >= v.Len() {
			return r.skip(depth + 1)
		}
		return within("["+strconv.Itoa(at)+"]", r.value(v.Index(at), depth+1))
	})
	for ; v.Kind() == reflect.Array && n < v.Len(); n++ {
		v.Index(n).SetZero()
	}
	return err
}

// any reads a value of a type that the text decides.
func (r *reader) any(v reflect.Value, depth int) *Error {
	var into any
	switch c := r.next(); c {
	case '{':
		into = new(map[string]any)
	case '[':
		into = new([]any)
	case '"':
		into = new(string)
	case 't', 'f':
		into = new(bool)
	default:
		into = new(float64)
	}
	read := reflect.ValueOf(into).Elem()
	err := r.value(read, depth)
	v.Set(read)
	return err
}

// within leads the path of an error through a member.
func within(name string, err *Error) *Error {
	if err == nil || err.syntax {
		return err
	}
	if err.Path != "" && err.Path[0] != '[' {
		name += "."
	}
	return &Error{Path: name + err.Path, Why: err.Why}
}

// Text is what a text in quotes says, which jsontoken.Text passed over. Half a surrogate pair and bytes
// that are no UTF-8 read as U+FFFD.
func Text(token []byte) string {
	inner := token[1 : len(token)-1]
	if bytes.IndexByte(inner, '\\') < 0 && utf8.Valid(inner) {
		return string(inner)
	}
	out := make([]byte, 0, len(inner))
	for at := 0; at < len(inner); {
		r, size := utf8.DecodeRune(inner[at:])
		if r == '\\' {
			r, size = escaped(inner[at:])
		}
		out = utf8.AppendRune(out, r)
		at += size
	}
	return string(out)
}

// escaped reads an escape, two of them where they are a surrogate pair.
func escaped(text []byte) (r rune, size int) {
	if text[1] != 'u' {
		if at := bytes.IndexByte([]byte("bfnrt"), text[1]); at >= 0 {
			return rune("\b\f\n\r\t"[at]), 2
		}
		return rune(text[1]), 2
	}
	r, _ = jsontoken.EscapedUnit(text)
	if !utf16.IsSurrogate(r) {
		return r, 6
	}
	low, _ := jsontoken.EscapedUnit(text[6:]) // 0 where none follows
	if r = utf16.DecodeRune(r, low); r != utf8.RuneError {
		return r, 12
	}
	return r, 6
}
