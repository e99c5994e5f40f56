package compute

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"reflect"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// python is the system's own: a virtual environment's may lack the module.
const python = "/usr/bin/python3"

// validate has python3-jsonschema check the schemas against the metaschema of their
// dialect, and each instance against its schema. The answers are in order.
const validate = `
import json, sys
from jsonschema import Draft202012Validator as V
asked = json.load(sys.stdin)
schemas = asked["schemas"]
for s in schemas:
    assert s["$schema"] == V.META_SCHEMA["$id"], s["$schema"]
    V.check_schema(s)
validators = [V(s) for s in schemas]
json.dump([[validators[i["schema"]].is_valid(json.loads(t)) for t in i["texts"]] for i in asked["instances"]], sys.stdout)
`

type instances struct {
	Schema int      `json:"schema"`
	Texts  []string `json:"texts"`
}

// judged asks the outside validator which instances are valid.
func judged(t *testing.T, schemas []*Schema, all []instances) [][]bool {
	t.Helper()
	asked, err := json.Marshal(map[string]any{"schemas": schemas, "instances": all})
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command(python, "-c", validate)
	run.Stdin = bytes.NewReader(asked)
	var stderr strings.Builder
	run.Stderr = &stderr
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%s with jsonschema: %v (run make test, which installs python3-jsonschema)\n%s", python, err, stderr.String())
	}
	var verdicts [][]bool
	if err := json.Unmarshal(out, &verdicts); err != nil || len(verdicts) != len(all) {
		t.Fatalf("%s: %v, %d verdicts of %d", out, err, len(verdicts), len(all))
	}
	return verdicts
}

// TestGoldensMeetTheirSchemas: every schema is a schema, every answered input and its
// answer are as theirs say.
func TestGoldensMeetTheirSchemas(t *testing.T) {
	var schemas []*Schema
	var all []instances
	var names []string
	for _, c := range All() {
		in, out := instances{Schema: len(schemas)}, instances{Schema: len(schemas) + 1}
		schemas = append(schemas, c.InputSchema(), c.OutputSchema())
		for _, g := range modeltest.Goldens(t, c.Name) {
			if answer, refused := Answer(c.Name, g.In()); !refused {
				in.Texts, out.Texts = append(in.Texts, string(g.In())), append(out.Texts, string(answer))
			}
		}
		all, names = append(all, in, out), append(names, c.Name+" input", c.Name+" output")
	}
	for i, verdicts := range judged(t, schemas, all) {
		for j, valid := range verdicts {
			if !valid {
				t.Errorf("%s: %s is not what its schema says", names[i], all[i].Texts[j])
			}
		}
	}
}

// TestSchemaIsAsStrictAsTheReader puts odd values in the place of every value of the
// goldens: the outside validator takes those that the reader takes, and no others. The
// validator of our own tests must think the same.
func TestSchemaIsAsStrictAsTheReader(t *testing.T) {
	var schemas []*Schema
	var all []instances
	computations := All()
	for i, c := range computations {
		schemas = append(schemas, c.InputSchema())
		of, size := instances{Schema: i}, 0
		for _, g := range modeltest.Goldens(t, c.Name) {
			if g.Input == nil || size > 4_000_000 { // so that the outside validator is done in time
				continue
			}
			for n, text := range oddities(t, g.In()) {
				if n%3 == 0 && !strings.Contains(string(text), "1e400") { // Python reads that as infinity, which is a number
					of.Texts = append(of.Texts, string(text))
					size += len(text)
				}
			}
		}
		all = append(all, of)
	}
	for i, verdicts := range judged(t, schemas, all) {
		c, taken := computations[i], 0
		for j, valid := range verdicts {
			text := all[i].Texts[j]
			p := shapes{}.decode([]byte(text), reflect.New(c.in).Interface(), nil, nil)
			if (p == nil) != valid {
				t.Errorf("%s of %.300s: the schema says %t, the reader %v", c.Name, text, valid, p)
			}
			var v any
			if err := json.Unmarshal([]byte(text), &v); err != nil {
				t.Fatal(err)
			}
			if fault := schemas[i].fault(v, ""); (fault == "") != valid {
				t.Errorf("%s of %.300s: jsonschema says %t, ours %q", c.Name, text, valid, fault)
			}
			if valid {
				taken++
			}
		}
		if taken == 0 || taken == len(verdicts) {
			t.Errorf("%s: %d of %d inputs were taken, want some of both", c.Name, taken, len(verdicts))
		}
	}
}

func TestSchemaOf(t *testing.T) {
	c := define(Doc{Name: "probe", Summary: "of every shape"}, func(in probe, _ *model.Work) (answer, error) { return answer{}, nil })
	for _, test := range []struct {
		name   string
		schema *Schema
		want   []string
	}{
		{"input", c.InputSchema(), []string{
			`"$schema":"https://json-schema.org/draft/2020-12/schema","title":"probe input","type":"object","description":"of every shape","properties":{"levelM":{"type":"number","description":"a level","x-unit":"m"},"maybeM":{"type":["number","null"],`,
			`"count":{"type":["integer","null"],"description":"how many","x-unit":"1","minimum":-9007199254740991,"maximum":9007199254740991}`,
			`"basis":{"type":["string","null"],"description":"how","enum":["levelled","GPS",null]}`,
			`"place":{"type":["array","null"],"description":"where","x-unit":"deg","items":{"type":"number"},"minItems":2,"maxItems":2}`,
			`"inner":{"type":["object","null"],"description":"an object","properties":{"bs":`,
			`"end":{"type":["number","null"],`,
			`"required":["levelM"],"additionalProperties":false}`,
		}},
		{"output", c.OutputSchema(), []string{
			`"maybeM":{"type":"number",`, `"list":{"type":"array","description":"many","x-unit":"m","items":{"type":"number"}}`,
			`"required":["levelM","list","rows","place","note"],"additionalProperties":false}`,
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := json.Marshal(test.schema)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range test.want {
				if !bytes.Contains(got, []byte(want)) {
					t.Errorf("schema lacks %s:\n%s", want, got)
				}
			}
		})
	}
}

// TestCatalogue: the list that entry points give holds every computation whole, in order.
func TestCatalogue(t *testing.T) {
	var all []struct {
		Name, Summary string
		Sources       []struct{ Title string }
		Input, Output struct {
			Dialect    string `json:"$schema"`
			Properties map[string]json.RawMessage
		}
	}
	if err := json.Unmarshal(Catalogue(), &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != len(table) {
		t.Fatalf("Catalogue lists %d computations of %d", len(all), len(table))
	}
	for i, c := range All() {
		got := fmt.Sprint(all[i].Name, all[i].Summary, len(all[i].Sources), len(all[i].Input.Properties), len(all[i].Output.Properties), all[i].Input.Dialect)
		if want := fmt.Sprint(c.Name, c.Summary, len(c.Sources), len(c.Inputs()), len(c.Outputs()), Dialect); got != want {
			t.Errorf("Catalogue()[%d] = %s, want %s", i, got, want)
		}
	}
}
