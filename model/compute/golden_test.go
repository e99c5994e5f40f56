package compute

import (
	"flag"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

var update = flag.Bool("update", false, "write what the computations answer now into testdata/compute")

// TestGoldens: answers and refusals are what they were, to the byte. The entry points are held to
// the same files in server/headcut.
func TestGoldens(t *testing.T) {
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			all := modeltest.Goldens(t, c.Name)
			for i := range all {
				got, refused := Answer(c.Name, all[i].In())
				if *update {
					all[i].Answer, all[i].Refusal = got, nil
					if refused {
						all[i].Answer, all[i].Refusal = nil, got
					}
					continue
				}
				want, wantRefused := all[i].Out()
				if string(got) != string(want) || refused != wantRefused {
					t.Errorf("%s: %s with %.200s (go test ./model/compute -run Goldens -update, then read what changed)\n got %s\nwant %s", c.Name, all[i].Name, all[i].In(), got, want)
				}
			}
			if *update {
				modeltest.WriteGoldens(t, c.Name, all)
			}
		})
	}
}

// TestNoGoldenIsForgotten: a file that no computation has would be tested by nobody.
func TestNoGoldenIsForgotten(t *testing.T) {
	files, err := os.ReadDir(filepath.Join(modeltest.Root(t), "compute"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		name, golden := strings.CutSuffix(f.Name(), ".json")
		if _, known := Named(name); golden && !known {
			t.Errorf("testdata/compute/%s is of no computation", f.Name())
		}
	}
}

// FuzzRun gives every computation what anybody might send: it never panics, refuses with a
// reason, and whatever it answers is JSON of finite numbers that its schema describes. Its
// seeds are the goldens, so a new computation is fuzzed as soon as it is in the table.
func FuzzRun(f *testing.F) {
	for _, c := range All() {
		for _, g := range modeltest.Goldens(f, c.Name) {
			f.Add(c.Name, g.In())
		}
	}
	all := All()
	f.Fuzz(func(t *testing.T, name string, in []byte) {
		if _, known := Named(name); !known { // most names that the fuzzer makes: they choose one instead
			name = all[int(crc32.ChecksumIEEE([]byte(name)))%len(all)].Name
		}
		holdsToItsSchema(t, name, in)
	})
}

// TestEveryFieldMeetsOddValues puts odd values in the place of every value of every golden
// input, one after the other: what the fuzzer would find only by luck is tried each time.
func TestEveryFieldMeetsOddValues(t *testing.T) {
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			tried := 0
			for _, g := range modeltest.Goldens(t, c.Name) {
				if g.Input == nil || len(g.Input) > 20_000 {
					continue
				}
				for _, in := range oddities(t, g.In()) {
					holdsToItsSchema(t, c.Name, in)
					tried++
				}
			}
			if tried < 20 {
				t.Errorf("only %d odd inputs were tried", tried)
			}
		})
	}
}
