package main

import (
	"slices"
	"testing"
)

func TestScripts(t *testing.T) {
	needLibraries(t)
	for name, whole := range map[string]bool{"pure": false, "whole": true} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if output, err := testScripts(viewerFolder, whole); err != nil {
				t.Errorf("%v\n%s", err, output)
			}
		})
	}
}

// TestScriptsAreTestedOnce: each file of tests is of one kind, and in one script; with parts of
// paths all kinds are found.
func TestScriptsAreTestedOnce(t *testing.T) {
	tests, err := scriptTests(viewerFolder+"/src", nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(tests.pages) < 20 || len(tests.phones) < 20 || len(tests.pure) < 60 {
		t.Errorf("%d files of tests are pure, %d have a phone and %d a page: too few of a kind", len(tests.pure), len(tests.phones), len(tests.pages))
	}
	halves, err := halved(viewerFolder+"/src", tests.pure)
	if err != nil {
		t.Fatal(err)
	}
	both := slices.Concat(halves[0].files, halves[1].files)
	slices.Sort(both)
	if !slices.Equal(both, slices.Sorted(slices.Values(tests.pure))) {
		t.Errorf("shared out are %q, want each of %q once", both, tests.pure)
	}
	some, err := scriptTests(viewerFolder+"/src", []string{tests.pages[0][2:], tests.phones[0][2:], tests.pure[0][2:]})
	if err != nil || len(some.pages) != 1 || len(some.phones) != 1 || len(some.pure) != 1 {
		t.Errorf("of %s, %s and %s are found %+v, %v", tests.pages[0], tests.phones[0], tests.pure[0], some, err)
	}
}
