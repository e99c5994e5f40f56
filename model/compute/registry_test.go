package compute

import (
	"strings"
	"sync"
	"testing"

	"headcut/model/modeltest"
)

// TestNamesAreNames: each is of small letters and dashes, leads to its computation, and is
// there once.
func TestNamesAreNames(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range All() {
		if seen[c.Name] || c.Name == "" || strings.Trim(c.Name, "abcdefghijklmnopqrstuvwxyz-") != "" {
			t.Errorf("the name %q is there twice, or not of small letters and dashes", c.Name)
		}
		seen[c.Name] = true
		if named, ok := Named(c.Name); !ok || named.Summary != c.Summary {
			t.Errorf("Named(%q) = %q, %t", c.Name, named.Summary, ok)
		}
	}
	if len(seen) < 9 {
		t.Errorf("only %d computations", len(seen))
	}
}

func TestEveryComputationDescribesItself(t *testing.T) {
	var undocumented func(path, explained string, all []Parameter)
	undocumented = func(path, explained string, all []Parameter) {
		indent := "\n" + strings.Repeat("  ", 1+strings.Count(path, "."))
		for _, p := range all {
			if !strings.Contains(explained, indent+p.Name) {
				t.Errorf("%s%s is not explained", path, p.Name)
			}
			if p.Doc == "" {
				t.Errorf("%s%s has no doc", path, p.Name)
			}
			if measured := strings.HasSuffix(p.Name, "M") || strings.HasSuffix(p.Name, "M2") || strings.HasSuffix(p.Name, "Pct"); measured && p.Unit == "" {
				t.Errorf("%s%s has no unit", path, p.Name)
			}
			undocumented(path+p.Name+".", explained, p.Fields)
		}
	}
	for _, c := range All() {
		if c.Summary == "" || len(c.Sources) == 0 || len(c.Inputs()) == 0 || len(c.Outputs()) == 0 {
			t.Errorf("%s lacks a summary, sources, inputs or outputs", c.Name)
		}
		text := c.Explain()
		undocumented(c.Name+" in ", text, c.Inputs())
		undocumented(c.Name+" out ", text, c.Outputs())
		for _, want := range []string{c.Name, c.Sources[0].Title} {
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

// TestRunIsSafeToShare: a server answers many at once; -race tells, where no other test of the
// process has asked before: what is made on the first asking is made here.
func TestRunIsSafeToShare(t *testing.T) {
	for _, c := range All() {
		var all sync.WaitGroup
		for _, g := range modeltest.Goldens(t, c.Name)[:2] {
			for range 2 {
				all.Go(func() {
					want, _ := g.Out()
					if got, _ := Answer(c.Name, g.In()); string(got) != string(want) {
						t.Errorf("%s %s, asked at once with others: %s, want %s", c.Name, g.Name, got, want)
					}
				})
			}
		}
		all.Wait()
	}
}
