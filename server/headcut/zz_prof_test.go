package main

import (
	"bytes"
	"context"
	"os"
	"testing"
)

func TestZZMake(t *testing.T) { makeLarge(t, "/tmp/files-w/large", 100000) }
func TestZZProf(t *testing.T) {
	for range 3 {
		for _, f := range []string{"geojson", "kml"} {
			var out, e bytes.Buffer
			if run(context.Background(), []string{"export", "--data", "/tmp/files-w/large", "--property", "Large", "--format", f, "--out", "/tmp/files-w/out." + f}, nil, &out, &e) != 0 {
				t.Fatal(e.String())
			}
		}
	}
	_ = os.Stdout
}
