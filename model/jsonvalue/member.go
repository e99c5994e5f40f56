package jsonvalue

import (
	"bytes"
	"reflect"
	"strings"
)

// member is a field of a struct that JSON has.
type member struct {
	name    string
	written string // with the colon
	index   []int
	omitted bool // when empty
}

// is tells whether a name in quotes is the member's.
func (m *member) is(token []byte) bool {
	return m.written[:len(m.written)-1] == string(token) || bytes.IndexByte(token, '\\') >= 0 && m.name == Text(token)
}

// shapes remembers the structs met while reading or writing one value.
type shapes map[reflect.Type][]member

// of lists the fields of a struct by their json tags; those of a struct that is embedded without a tag,
// itself or by a pointer, stand among them. A field without a tag is named as in Go, but for a small first letter.
func (s *shapes) of(t reflect.Type) []member {
	if all, ok := (*s)[t]; ok {
		return all
	}
	var all []member
	for i := range t.NumField() {
		f := t.Field(i)
		tag, tagged := f.Tag.Lookup("json")
		name, options, _ := strings.Cut(tag, ",")
		within := f.Type
		if within.Kind() == reflect.Pointer {
			within = within.Elem()
		}
		switch {
		case f.Anonymous && !tagged && within.Kind() == reflect.Struct:
			for _, inner := range s.of(within) {
				all = append(all, member{inner.name, inner.written, append([]int{i}, inner.index...), inner.omitted})
			}
		case tag == "-" || !f.IsExported():
		default:
			if name == "" {
				name = strings.ToLower(f.Name[:1]) + f.Name[1:]
			}
			all = append(all, member{name, string(AppendText(nil, name)) + ":", []int{i}, options == "omitempty"})
		}
	}
	if *s == nil {
		*s = shapes{}
	}
	(*s)[t] = all
	return all
}

// empty is what omitempty leaves out.
func empty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Array, reflect.String, reflect.Map:
		return v.Len() == 0
	case reflect.Struct:
		return false
	default:
		return v.IsZero()
	}
}
