package parity

import (
	"bytes"
	"encoding/json"
	"maps"
	"os/exec"
	"slices"
	"testing"

	"headcut/model/compute"
	"headcut/model/modeltest"
)

// TestChainsThroughEveryEntryPoint pipes each chain of testdata/chains.json through the command
// line, with --set for what is given beside, and through HTTP: the bytes are those of the
// computations themselves.
func TestChainsThroughEveryEntryPoint(t *testing.T) {
	for _, c := range modeltest.Chains(t) {
		t.Run(c.Name(), func(t *testing.T) {
			var want, http []byte
			var commands [][]string
			for _, step := range c.Steps {
				in := step.Beside(t, want)
				answer, refused := compute.Answer(step.Name, in)
				if refused {
					t.Fatalf("%s: %s", step.Name, answer)
				}
				if http, refused = overHTTP(t, step.Name, step.Beside(t, http)); refused || !bytes.Equal(http, answer) {
					t.Fatalf("%s over HTTP: %s, want %s", step.Name, http, answer)
				}
				command := []string{"compute", step.Name}
				for _, name := range slices.Sorted(maps.Keys(step.Set)) {
					value := string(step.Set[name])
					var text string
					if json.Unmarshal(step.Set[name], &text) == nil {
						value = text // as a person types it
					}
					command = append(command, "--set", name+"="+value)
				}
				commands, want = append(commands, command), answer
			}
			var piped []byte
			for _, command := range commands {
				run := exec.Command(headcut, command...)
				if piped != nil { // the first has no step before it, and nothing on its standard input
					run.Stdin = bytes.NewReader(piped)
				}
				out, err := run.Output()
				if err != nil {
					t.Fatalf("headcut %q: %v", command, err)
				}
				piped = out
			}
			if !bytes.Equal(piped, want) {
				t.Errorf("piped: %s, want %s", piped, want)
			}
		})
	}
}
