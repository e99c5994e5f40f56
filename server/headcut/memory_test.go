package main

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Verifying, backing up, restoring and salvaging a register ten times as large takes no more memory of
// the process's own. Measure larger ones with
//
//	go test ./server/headcut -run TestMemoryIsFlat -v -large 100000
//
// Measured 2026-11-29 with 10,000, 50,000 and 100,000 features: verify 10, 13 and 14 MB, backup 22,
// 33 and 32, restore 10, 13 and 17. Salvage of 620,000 entries (1.44 GB) took 59 MB and 300 s on a
// busy machine.
var large = flag.Int("large", 2000, "number of features of the register whose commands' memory is measured")

// collected is what a process may hold, in MB, that it has let go of and not collected yet:
// the same command on the same register takes 10 MB in one run and 25 in another.
const collected = 24

func TestMemoryIsFlat(t *testing.T) {
	dir := t.TempDir()
	program := measuredProgram(t)
	less, more := filepath.Join(dir, "less"), filepath.Join(dir, "more")
	makeLarge(t, less, *large/10)
	makeLarge(t, more, *large)
	for _, c := range []struct {
		name string
		args func(data string) []string
	}{
		{"verify", func(data string) []string { return []string{"verify", "--data", data} }},
		{"backup", func(data string) []string { return []string{"backup", "--data", data, "--to", data + ".backup"} }},
		{"restore", func(data string) []string {
			os.RemoveAll(data + ".restored")
			return []string{"restore", "--from", data + ".backup", "--data", data + ".restored"}
		}},
		{"salvage", func(data string) []string {
			os.RemoveAll(data + ".salvaged")
			return []string{"restore", "--salvage", "--from", data, "--data", data + ".salvaged"}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			of := func(data string) used {
				var all []used
				for range 3 {
					all = append(all, measure(t, exec.Command(program, c.args(data)...)))
				}
				return middle(all, byCPU)
			}
			small, whole := of(less), of(more)
			t.Logf("%d features: %v; a tenth of them: %v", *large, whole, small)
			if whole.peakMB > small.peakMB+collected {
				t.Errorf("memory grows from %.0f to %.0f MB with ten times the features", small.peakMB, whole.peakMB)
			}
		})
	}
}
