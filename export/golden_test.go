package export

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files in testdata again")

// The golden files are an invented property that can be opened on a map: testdata/land.*.
func TestGolden(t *testing.T) {
	for _, format := range Formats {
		path := filepath.Join("testdata", "land"+format.Extension)
		got := write(t, format.Name, Source{Property: "Sandalwood Run", Features: of(land(t)...), Figures: figuresOf(of(land(t)...))})
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs from %s: look at the difference, then run go test ./export -update", format.Label, path)
		}
	}
}
