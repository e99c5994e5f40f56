package boltstore

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// Some tests need a process of their own, to kill or to let die: the test binary starts
// itself again and plays the part named in the environment.

const partVariable = "BOLTSTORE_TEST_PART"

var childParts = map[string]func(args []string) error{
	"writer": writerPart, "limited": limitedPart, "damage": damagePart, "photos": photosPart,
}

func TestMain(m *testing.M) {
	if part := os.Getenv(partVariable); part != "" {
		if err := childParts[part](os.Args[1:]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// startPart is the test binary ready to play a part.
func startPart(t *testing.T, part string, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, args...)
	cmd.Env = append(os.Environ(), partVariable+"="+part)
	return cmd
}

// lines reads what a child prints, line by line, until it ends.
func lines(t *testing.T, cmd *exec.Cmd) <-chan string {
	t.Helper()
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	c := make(chan string, 1<<16)
	go func() {
		defer close(c)
		for r := bufio.NewReader(out); ; {
			line, err := r.ReadString('\n')
			if err != nil {
				return // a line cut short by the kill was never acknowledged
			}
			c <- strings.TrimSuffix(line, "\n")
		}
	}()
	return c
}
