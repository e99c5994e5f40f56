package compute

import (
	"reflect"
	"slices"
)

// Dialect is the JSON Schema that the schemas are written in.
const Dialect = "https://json-schema.org/draft/2020-12/schema"

// Schema is a JSON Schema of one value. Of the dialect's words it has those that a
// computation's objects need. Unit is an annotation of our own.
type Schema struct {
	Dialect     string     `json:"$schema,omitempty"` // of the outermost only
	Title       string     `json:"title,omitempty"`
	Type        types      `json:"type"`
	Description string     `json:"description,omitempty"`
	Unit        string     `json:"x-unit,omitempty"` // UCUM code
	Enum        []*string  `json:"enum,omitempty"`   // nil is null
	Minimum     *int64     `json:"minimum,omitempty"`
	Maximum     *int64     `json:"maximum,omitempty"`
	Items       *Schema    `json:"items,omitempty"`
	MinItems    *int       `json:"minItems,omitempty"`
	MaxItems    *int       `json:"maxItems,omitempty"`
	Properties  Properties `json:"properties,omitempty"`
	Required    []string   `json:"required,omitempty"`
	Closed      *bool      `json:"additionalProperties,omitempty"` // false: no other names
}

// InputSchema is what the input object must be: what the schema takes, the reader takes,
// and the other way about, but for what no schema can say (a name that is there twice).
// Limits that depend on several values, or on the trade, are the computation's own to refuse.
func (c Computation) InputSchema() *Schema {
	return c.entitled("input", schemaOf(c.in, true))
}

// OutputSchema is what the output object is.
func (c Computation) OutputSchema() *Schema {
	return c.entitled("output", schemaOf(c.out, false))
}

func (c Computation) entitled(which string, s *Schema) *Schema {
	s.Dialect, s.Title, s.Description = Dialect, c.Name+" "+which, c.Summary
	return s
}

// types is what a value may be: "number", or one and "null". One is written as a text.
type types []string

// MarshalJSON writes "number", not ["number"].
func (t types) MarshalJSON() ([]byte, error) {
	if len(t) == 1 {
		return inJSON(t[0]), nil
	}
	return inJSON([]string(t)), nil
}

// Property is a named field of an object.
type Property struct {
	Name   string
	Schema *Schema
}

// Properties keep the order of the struct, which is the order in which a person should
// read them.
type Properties []Property

// MarshalJSON writes an object whose names are those of the properties.
func (all Properties) MarshalJSON() ([]byte, error) {
	var o object
	for _, p := range all {
		o = append(o, member{p.Name, string(inJSON(p.Schema))})
	}
	return o.json(), nil
}

// schemaOf describes a type as it is read, or as it is written.
func schemaOf(t reflect.Type, read bool) *Schema {
	switch kindOf(t) {
	case reflect.Pointer:
		return schemaOf(t.Elem(), read)
	case reflect.Slice:
		return &Schema{Type: types{"array"}, Items: schemaOf(t.Elem(), read)}
	case reflect.Array:
		n := t.Len()
		return &Schema{Type: types{"array"}, Items: schemaOf(t.Elem(), read), MinItems: &n, MaxItems: &n}
	case reflect.Struct:
		return objectSchema(t, read)
	case reflect.Bool:
		return &Schema{Type: types{"boolean"}}
	case reflect.String:
		return &Schema{Type: types{"string"}}
	case reflect.Float64:
		return &Schema{Type: types{"number"}}
	default: // the whole numbers; describe refuses every other kind
		low, high := int64(-mostWhole), int64(mostWhole)
		return &Schema{Type: types{"integer"}, Minimum: &low, Maximum: &high}
	}
}

func objectSchema(t reflect.Type, read bool) *Schema {
	closed := false
	s := &Schema{Type: types{"object"}, Closed: &closed}
	for _, f := range fieldsOf(t) {
		of := schemaOf(f.typ, read)
		of.Description, of.Unit = f.doc, f.unit
		innermost(of).chooseFrom(f.choices)
		null := read && f.optional // as if left out
		if !read && f.typ.Kind() == reflect.Pointer && !f.omitted {
			null = true
		}
		if null {
			of.Type = append(of.Type, "null")
			if of.Enum != nil {
				of.Enum = append(of.Enum, nil)
			}
		}
		s.Properties = append(s.Properties, Property{f.name, of})
		if read && !f.optional || !read && !f.omitted {
			s.Required = append(s.Required, f.name)
		}
	}
	return s
}

// innermost is the schema of what a list, of lists perhaps, is made of.
func innermost(s *Schema) *Schema {
	for s.Items != nil {
		s = s.Items
	}
	return s
}

func (s *Schema) chooseFrom(choices []string) {
	if !slices.Equal(s.Type, types{"string"}) {
		return
	}
	for _, c := range choices {
		s.Enum = append(s.Enum, &c)
	}
}
