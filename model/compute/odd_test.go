package compute

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"headcut/model"
)

// holdsToItsSchema runs a computation on anything and fails when it panics, refuses
// without a reason, answers what its output schema does not describe, or does or answers more
// than it may.
func holdsToItsSchema(t *testing.T, name string, in []byte) {
	c, known := Named(name)
	var text []byte
	var refused bool
	if !known {
		text, refused = Answer(name, nil)
	} else {
		var steps int
		text, refused, steps = c.AnswerUnless(nil, in)
		if steps > MaxSteps+1 || len(text) > mostAnswer(len(in)) {
			t.Fatalf("Answer(%q, %.2000q) took %d steps and answered %d bytes", name, in, steps, len(text))
		}
	}
	if refused {
		var p model.Problem
		if err := json.Unmarshal(text, &p); err != nil || p.Reason == "" || !utf8.Valid(text) {
			t.Fatalf("Answer(%q, %q) refuses with %q, which is no problem", name, in, text)
		}
		return
	}
	if !known {
		t.Fatalf("Answer(%q, %q) = %q of a computation that is not in the table", name, in, text)
	}
	d := json.NewDecoder(strings.NewReader(string(text)))
	var v any
	if err := d.Decode(&v); err != nil { // NaN and Inf are no JSON
		t.Fatalf("Answer(%q, %q) = %q: %v", name, in, text, err)
	}
	if fault := outputSchemas()[name].fault(v, ""); fault != "" {
		t.Fatalf("Answer(%q, %q) = %s: %s", name, in, text, fault)
	}
}

// outputSchemas are made once: making one takes longer than most computations.
var outputSchemas = sync.OnceValue(func() map[string]*Schema {
	all := map[string]*Schema{}
	for _, c := range All() {
		all[c.Name] = c.OutputSchema()
	}
	return all
})

// fault checks a value against the words of JSON Schema that Schema has, "" when it holds.
// TestSchemaMeansWhatJSONSchemaMeans compares it with another implementation.
func (s *Schema) fault(v any, path string) string {
	if !slices.ContainsFunc(s.Type, func(t string) bool { return isType(v, t) }) {
		return path + " is not " + strings.Join(s.Type, " or ")
	}
	if text, ok := v.(string); ok && s.Enum != nil && !slices.ContainsFunc(s.Enum, func(e *string) bool { return e != nil && *e == text }) {
		return path + ": " + text + " is not one of the choices"
	}
	switch v := v.(type) {
	case float64:
		if s.Minimum != nil && v < float64(*s.Minimum) || s.Maximum != nil && v > float64(*s.Maximum) {
			return path + " is out of range"
		}
	case []any:
		if s.MinItems != nil && len(v) < *s.MinItems || s.MaxItems != nil && len(v) > *s.MaxItems {
			return path + " has the wrong length"
		}
		for _, item := range v {
			if fault := s.Items.fault(item, path+"[]"); fault != "" {
				return fault
			}
		}
	case map[string]any:
		for _, name := range s.Required {
			if _, there := v[name]; !there {
				return path + "." + name + " is missing"
			}
		}
		for name, value := range v {
			i := slices.IndexFunc(s.Properties, func(p Property) bool { return p.Name == name })
			if i < 0 {
				return path + "." + name + " is not described"
			}
			if fault := s.Properties[i].Schema.fault(value, path+"."+name); fault != "" {
				return fault
			}
		}
	}
	return ""
}

func isType(v any, name string) bool {
	switch v := v.(type) {
	case nil:
		return name == "null"
	case bool:
		return name == "boolean"
	case string:
		return name == "string"
	case float64:
		return name == "number" || name == "integer" && v == math.Trunc(v)
	case []any:
		return name == "array"
	default:
		return name == "object"
	}
}

// odd is what stands in a value's place: other types, nothing, extremes, other units.
var odd = []string{
	`null`, `true`, `"x"`, `""`, `[]`, `{}`, `[null]`, `0`, `-0`, `-1`, `1`, `0.5`, `1e-9`, `5e-324`, `1e-300`,
	`90`, `181`, `1000`, `-1e6`, `1e9`, `1e15`, `9007199254740993`, `1e154`, `-1e300`, `1.7976931348623157e308`, `1e400`,
}

// oddities are the variants of a JSON text in which one value is an odd one, one name is
// strange, one member is gone, or one list is turned round or has an element twice.
func oddities(t testing.TB, text []byte) [][]byte {
	var whole any
	if err := json.Unmarshal(text, &whole); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	var all [][]byte
	write := func() {
		made, err := json.Marshal(whole)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, made)
	}
	places := 0
	var walk func(v any, put func(any))
	walk = func(v any, put func(any)) {
		if places++; places > 400 {
			return // a long list's elements are alike
		}
		for _, o := range odd {
			put(json.RawMessage(o))
			write()
		}
		put(v)
		switch v := v.(type) {
		case map[string]any:
			names := make([]string, 0, len(v))
			for name := range v {
				names = append(names, name)
			}
			slices.Sort(names)
			for _, name := range names {
				was := v[name]
				delete(v, name)
				write()
				v[name+"x"] = was
				write()
				delete(v, name+"x")
				v[name] = was
				walk(was, func(o any) { v[name] = o })
			}
		case []any:
			if len(v) > 0 {
				put(append(slices.Clone(v), v[len(v)-1]))
				write()
				turned := slices.Clone(v)
				slices.Reverse(turned)
				put(turned)
				write()
				put(v[:len(v)-1])
				write()
				put(v)
			}
			for i, was := range v {
				walk(was, func(o any) { v[i] = o })
			}
		}
	}
	walk(whole, func(o any) { whole = o })
	return all
}
