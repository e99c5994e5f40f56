package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets scripts run this package's main under the name headcut.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"headcut": main})
}

// TestScripts runs each command against its real main, as a person at a terminal would.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata"})
}

// TestEveryCommandHelps keeps help whole: each command has a summary, a usage line and a
// text, and -h prints them without touching anything.
func TestEveryCommandHelps(t *testing.T) {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGUSR1)
	defer stop()
	for _, c := range commands {
		t.Run(c.name, func(t *testing.T) {
			out, err := os.CreateTemp(t.TempDir(), "help")
			if err != nil {
				t.Fatal(err)
			}
			if code := run(ctx, []string{c.name, "-h"}, nil, out, out); code != 0 {
				t.Errorf("headcut %s -h ended with %d, want 0", c.name, code)
			}
			text, err := os.ReadFile(out.Name())
			if err != nil {
				t.Fatal(err)
			}
			if len(text) < 80 || c.summary == "" {
				t.Errorf("headcut %s -h says only %q", c.name, text)
			}
		})
	}
}
