package compute

import (
	"cmp"
	"encoding"
	"reflect"
	"strconv"
	"strings"
)

// Parameter describes one field of an input or output object.
type Parameter struct {
	Name     string      `json:"name"`
	Type     string      `json:"type"` // in words: "number", "list of text"
	Unit     string      `json:"unit,omitempty"`
	Doc      string      `json:"doc"`
	Required bool        `json:"required"`          // of an output: always there
	Choices  []string    `json:"choices,omitempty"` // of a text: all it may be
	Fields   []Parameter `json:"fields,omitempty"`  // of an object, or of each object in a list
}

// field is a struct field as JSON sees it.
type field struct {
	name     string
	index    []int
	typ      reflect.Type
	optional bool // of an input
	omitted  bool // of an output: may be left out
	unit     string
	doc      string
	choices  []string

	plusMinus bool  // of an output: left out when negative, which is not known
	decimals  int   // of an output that has no plus-minus: where it ends; 0 is where its unit does
	spread    []int // where the plus-minus of this figure is, which of a plus-minus is itself
	ends      ending
	written   string // the name and the colon
}

// shapes remembers the fields of the structs met while reading or writing one object, so
// that they are worked out once and not for every row of a list.
type shapes map[reflect.Type][]field

func (s shapes) of(t reflect.Type) []field {
	fields, ok := s[t]
	if !ok {
		fields = fieldsOf(t)
		s[t] = fields
	}
	return fields
}

// lastShape remembers the struct met last, as lists are of one kind.
type lastShape struct {
	shapes shapes
	typ    reflect.Type
	fields []field
}

func (s *lastShape) of(t reflect.Type) []field {
	if t != s.typ {
		s.typ, s.fields = t, s.shapes.of(t)
	}
	return s.fields
}

// with adds the structs that a type is made of, so that of need not.
func (s shapes) with(t reflect.Type) {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		s.with(t.Elem())
	case reflect.Struct:
		if _, known := s[t]; known {
			return
		}
		for _, f := range s.of(t) {
			s.with(f.typ)
		}
	}
}

// mostFields is how many fields an object may have: a bit for each.
const mostFields = 64

// fieldsOf lists the JSON fields of a struct, those of embedded structs among them.
func fieldsOf(t reflect.Type) []field {
	var all []field
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous && f.Type.Kind() == reflect.Struct && f.Tag.Get("json") == "" {
			for _, inner := range fieldsOf(f.Type) {
				inner.index, inner.spread = append([]int{i}, inner.index...), nil
				all = append(all, inner)
			}
			continue
		}
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || name == "" || name == "-" {
			continue
		}
		omitted := strings.Contains(options, "omitempty")
		one := field{name: name, index: []int{i}, typ: f.Type, unit: f.Tag.Get("unit"), doc: f.Tag.Get("doc"), omitted: omitted}
		if choices := f.Tag.Get("choices"); choices != "" {
			one.choices = strings.Split(choices, "|")
		}
		one.decimals, _ = strconv.Atoi(f.Tag.Get("decimals"))
		if plusMinus := f.Tag.Get("plusMinus"); plusMinus != "" {
			all = append(all, one.parts(plusMinus, f.Tag.Get("plusMinusDoc"))...)
			continue
		}
		one.optional = omitted || f.Type.Kind() == reflect.Pointer
		all = append(all, one)
	}
	if pair(all); len(all) > mostFields {
		panic("compute: " + t.String() + " has more fields than a decoder tells apart") // a programmer's mistake; a test describes every computation
	}
	for i := range all {
		all[i].ends, all[i].written = all[i].byItself(), `"`+all[i].name+`":` // which needs no escapes
	}
	return all
}

// parts are the value and the plus-minus that a struct of the two is in JSON.
func (f field) parts(plusMinus, doc string) []field {
	value, spread := f, f
	value.typ, value.index = f.typ.Field(0).Type, []int{f.index[0], 0}
	spread.typ, spread.index = f.typ.Field(1).Type, []int{f.index[0], 1}
	value.optional = value.omitted || value.typ.Kind() == reflect.Pointer
	spread.name, spread.doc, spread.decimals = plusMinus, cmp.Or(doc, "one standard deviation; none when not known"), 0
	if spread.omitted = spread.typ.Kind() == reflect.Pointer; spread.omitted {
		spread.doc = cmp.Or(doc, "one standard deviation; not known if not given")
	}
	spread.optional = spread.omitted
	return []field{value, spread}
}

func describe(t reflect.Type) []Parameter {
	var all []Parameter
	for _, f := range fieldsOf(t) {
		p := Parameter{Name: f.name, Type: typeWords(f.typ, false), Unit: f.unit, Doc: f.doc, Required: !f.optional, Choices: f.choices}
		element := f.typ
		for element.Kind() == reflect.Pointer || element.Kind() == reflect.Slice || element.Kind() == reflect.Array {
			element = element.Elem()
		}
		if element.Kind() == reflect.Struct {
			p.Fields = describe(element)
		}
		all = append(all, p)
	}
	return all
}

// kindOf is the kind of what a value of the type is in JSON: text for what writes itself as text.
func kindOf(t reflect.Type) reflect.Kind {
	if t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) {
		return reflect.String
	}
	return t.Kind()
}

// typeWords names a type as a person writing JSON thinks of it.
func typeWords(t reflect.Type, many bool) string {
	one, more := "", ""
	switch kindOf(t) {
	case reflect.Pointer:
		return typeWords(t.Elem(), many)
	case reflect.Slice:
		one, more = "list of "+typeWords(t.Elem(), true), "lists of "+typeWords(t.Elem(), true)
	case reflect.Array:
		of := strconv.Itoa(t.Len()) + " " + typeWords(t.Elem(), true)
		one, more = "list of "+of, "lists of "+of
	case reflect.Struct:
		one, more = "object", "objects"
	case reflect.Float64:
		one, more = "number", "numbers"
	case reflect.Int, reflect.Int64:
		one, more = "whole number", "whole numbers"
	case reflect.Bool:
		one, more = "true or false", "true or false"
	case reflect.String:
		one, more = "text", "texts"
	default:
		panic("compute: a field may not be of type " + t.String()) // a programmer's mistake; a test describes every computation
	}
	if many {
		return more
	}
	return one
}
