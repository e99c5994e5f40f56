package main

import "testing"

func TestScripts(t *testing.T) {
	needLibraries(t)
	if output, err := testScripts(viewerFolder); err != nil {
		t.Errorf("%v\n%s", err, output)
	}
}
