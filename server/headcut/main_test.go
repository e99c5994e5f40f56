package main

import (
	"bytes"
	"context"
	"net/http"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"headcut/server"
)

// TestMain lets scripts run this package's main under the name headcut.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"headcut": main})
}

// TestScripts runs each command against its real main, as a person at a terminal would.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata", Cmds: map[string]func(*testscript.TestScript, bool, []string){"serving": serving}})
}

// serving waits until a server runs on a data folder and has told its address:
// "serving DIR ADDRESS".
func serving(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: serving DIR ADDRESS")
	}
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		client := doorClient(doorPath(ts.MkAbs(args[0])))
		var told bytes.Buffer
		err := server.Ask(context.Background(), client, http.MethodGet, "/office/addresses", nil, &told)
		client.CloseIdleConnections()
		if err == nil && strings.Contains(told.String(), `"address":"`+args[1]+`"`) {
			return
		}
	}
	ts.Fatalf("no server on %s has told the address %s", args[0], args[1])
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
