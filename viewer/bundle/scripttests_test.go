package main

import (
	"slices"
	"testing"
)

func TestScripts(t *testing.T) {
	needLibraries(t)
	for name, drawn := range map[string]bool{"pure": false, "drawn": true} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if output, err := testScripts(viewerFolder, drawn); err != nil {
				t.Errorf("%v\n%s", err, output)
			}
		})
	}
}

// TestScriptsAreTestedOnce: each file of tests draws or does not, and is in one script; with parts
// of paths both kinds are found.
func TestScriptsAreTestedOnce(t *testing.T) {
	drawing, others, err := scriptTests(viewerFolder+"/src", nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(drawing) < 20 || len(others) < 60 {
		t.Errorf("%d files of tests draw and %d do not: too few of a kind", len(drawing), len(others))
	}
	halves, err := halved(viewerFolder+"/src", others)
	if err != nil {
		t.Fatal(err)
	}
	both := slices.Concat(halves[0].files, halves[1].files)
	slices.Sort(both)
	if !slices.Equal(both, slices.Sorted(slices.Values(others))) {
		t.Errorf("shared out are %q, want each of %q once", both, others)
	}
	some, more, err := scriptTests(viewerFolder+"/src", []string{drawing[0][2:], others[0][2:]})
	if err != nil || len(some) != 1 || len(more) != 1 {
		t.Errorf("of %s and %s are found %q, %q, %v", drawing[0], others[0], some, more, err)
	}
}
