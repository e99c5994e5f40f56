package compute

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// order is the order in which people meet the computations.
var order = []string{"line", "area", "level-run", "staff-reading", "long-section", "dam-layout", "dam-check", "contour-check", "rip-area"}

func TestAllIsInOrder(t *testing.T) {
	var got []string
	for _, c := range All() {
		got = append(got, c.Name)
		if named, ok := Named(c.Name); !ok || named.Summary != c.Summary {
			t.Errorf("Named(%q) = %q, %t", c.Name, named.Summary, ok)
		}
	}
	if !slices.Equal(got, order) {
		t.Errorf("All() lists %q, want %q", got, order)
	}
}

func TestDescriptionIsJSON(t *testing.T) {
	text, err := json.Marshal(All())
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Name            string
		Inputs, Outputs []Parameter
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for i, c := range all {
		if c.Name != order[i] || len(c.Inputs) == 0 || len(c.Outputs) == 0 {
			t.Errorf("%q is described with %d inputs and %d outputs", c.Name, len(c.Inputs), len(c.Outputs))
		}
	}
	i := slices.IndexFunc(all[2].Inputs, func(p Parameter) bool { return p.Name == "rows" })
	if got := all[2].Inputs[i]; got.Type != "list of objects" || !got.Required || len(got.Fields) < 8 || got.Fields[1].Unit != "m" || got.Fields[1].Required {
		t.Errorf("rows of level-run is described as %+v", got)
	}
}

func TestEveryComputationDescribesItself(t *testing.T) {
	var undocumented func(path string, all []Parameter)
	undocumented = func(path string, all []Parameter) {
		for _, p := range all {
			if p.Doc == "" {
				t.Errorf("%s%s has no doc", path, p.Name)
			}
			if measured := strings.HasSuffix(p.Name, "M") || strings.HasSuffix(p.Name, "M2") || strings.HasSuffix(p.Name, "Pct"); measured && p.Unit == "" {
				t.Errorf("%s%s has no unit", path, p.Name)
			}
			undocumented(path+p.Name+".", p.Fields)
		}
	}
	for _, c := range All() {
		if c.Summary == "" || len(c.Sources) == 0 || len(c.Inputs()) == 0 || len(c.Outputs()) == 0 {
			t.Errorf("%s lacks a summary, sources, inputs or outputs", c.Name)
		}
		undocumented(c.Name+" in ", c.Inputs())
		undocumented(c.Name+" out ", c.Outputs())
		text := c.Explain()
		for _, want := range []string{c.Name, c.Inputs()[0].Name, c.Outputs()[0].Name, c.Sources[0].Title} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: Explain() lacks %q", c.Name, want)
			}
		}
	}
}

func TestRunNamesWhatIsNearest(t *testing.T) {
	_, err := Run("staf-reading", []byte("{}"))
	want := `there is no computation "staf-reading" (did you mean staff-reading?)`
	if err == nil || err.Error() != want {
		t.Errorf("Run(staf-reading) = %v, want %s", err, want)
	}
}

func TestRunAnswersTheSameBytes(t *testing.T) {
	in := []byte(`{"instrumentLevelM": 8.581, "targetLevelM": 8, "readM": 0.62}`)
	want := `{"readingM":0.581,"levelM":7.961,"offM":-0.039,"move":"move to ground 0.039 m higher"}`
	for range 3 {
		got, err := Run("staff-reading", in)
		if err != nil || string(got) != want {
			t.Fatalf("Run(staff-reading, %s) = %s, %v, want %s", in, got, err, want)
		}
	}
}
