package main

import (
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Of two restores to one new folder at once one makes it, and the other leaves it alone.
func TestTwoRestoresToOneFolder(t *testing.T) {
	dir := t.TempDir()
	data, backup := filepath.Join(dir, "data"), filepath.Join(dir, "backup")
	emptyData(t, data)
	if out, err := runHeadcut(t, "backup", "--data", data, "--to", backup); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for i := range 20 {
		to := filepath.Join(dir, "new", strconv.Itoa(i))
		var both [2]*exec.Cmd
		var said [2]strings.Builder
		for k := range both {
			both[k] = exec.Command("headcut", "restore", "--from", backup, "--data", to)
			both[k].Stdout, both[k].Stderr = &said[k], &said[k]
			if err := both[k].Start(); err != nil {
				t.Fatal(err)
			}
		}
		done := 0
		for _, one := range both {
			if one.Wait() == nil {
				done++
			}
		}
		if out, err := runHeadcut(t, "verify", "--data", to); done != 1 || err != nil {
			t.Fatalf("round %d: %d of 2 restores were done, and the folder verifies as %q (%v)\n%s\n%s", i, done, out, err, said[0].String(), said[1].String())
		}
	}
}
