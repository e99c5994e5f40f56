package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"headcut/model"
	"headcut/server"
	"headcut/sync/handover"
	"headcut/sync/register"
)

// TestMain lets scripts run this package's main under the name headcut.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"headcut": main, "headcut-killed": killedMain})
}

// TestScripts runs each command against its real main, as a person at a terminal would.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata", Cmds: map[string]func(*testscript.TestScript, bool, []string){
		"newdata": newData, "flip": flip, "mode": mode, "serving": serving, "handover": handedOver, "noise": noise,
	}})
}

// newData makes an empty data folder, as serve would: "newdata DIR".
func newData(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: newdata DIR")
	}
	d, err := openDataDir(context.Background(), ts.MkAbs(args[0]), slog.New(slog.DiscardHandler))
	ts.Check(err)
	ts.Check(d.close(context.Background()))
}

// flip changes the first byte of each file that a pattern names, as a failing disk would:
// "flip PATTERN".
func flip(ts *testscript.TestScript, neg bool, args []string) {
	for _, path := range named(ts, args) {
		text, err := os.ReadFile(path)
		ts.Check(err)
		text[0] ^= 1
		ts.Check(os.WriteFile(path, text, 0o600))
	}
}

// noise writes a file of bytes that mean nothing, the same in every run: "noise FILE".
func noise(ts *testscript.TestScript, neg bool, args []string) {
	bytes := make([]byte, 4096)
	_, _ = rand.NewChaCha8([32]byte{1}).Read(bytes)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes, 0o600))
}

// mode checks who may read each file that a pattern names: "mode 600 PATTERN".
func mode(ts *testscript.TestScript, neg bool, args []string) {
	for _, path := range named(ts, args[1:]) {
		info, err := os.Stat(path)
		ts.Check(err)
		if got := fmt.Sprintf("%o", info.Mode().Perm()); got != args[0] {
			ts.Fatalf("%s has mode %s, want %s", path, got, args[0])
		}
	}
}

// named lists the files that patterns name, and fails when there is none.
func named(ts *testscript.TestScript, patterns []string) (paths []string) {
	for _, pattern := range patterns {
		found, err := filepath.Glob(ts.MkAbs(pattern))
		ts.Check(err)
		paths = append(paths, found...)
	}
	if len(paths) == 0 {
		ts.Fatalf("no file is named by %q", patterns)
	}
	return paths
}

// serving waits until a server runs on a data folder and has told its address:
// "serving DIR ADDRESS".
func serving(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: serving DIR ADDRESS")
	}
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		client := socketClient(ts.MkAbs(args[0]))
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

// handedOver writes the file that a phone would have saved on a property, with two entries
// and a photo: "handover DIR PROPERTY FILE".
func handedOver(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: handover DIR PROPERTY FILE")
	}
	client, done, err := office(context.Background(), ts.MkAbs(args[0]))
	ts.Check(err)
	var all []server.Property
	ts.Check(server.Ask(context.Background(), client, http.MethodGet, "/office/properties", nil, &all))
	ts.Check(done())
	var items []handover.Item
	for _, p := range all {
		for seq := uint64(1); p.Name == args[1] && seq <= 2; seq++ {
			raw, err := register.Encode(register.Entry{
				Version: 1, ID: register.ID(fmt.Sprintf("01890000-0000-7000-8000-%012d", seq)), Property: p.ID, Feature: fmt.Sprint("f-", seq),
				Device: "d-1", DeviceSeq: seq, Stamp: register.Next(0, time.UnixMilli(int64(1e12+seq))), SeenAt: "2026-03-01T18:00:00+10:00", Author: "R. Field",
				Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"peg"`)}),
			})
			ts.Check(err)
			items = append(items, handover.Item{Property: p.ID, Entry: raw})
		}
	}
	photo := []byte("\xFF\xD8\xFF\xC0\x00\x0B\x08\x00\x01\x00\x01\x01\x01\x11\x00the rest of a photo")
	items = append(items, handover.Item{SHA: register.HashOf(photo), Photo: photo})
	var file bytes.Buffer
	ts.Check(handover.Write(&file, handover.About{Device: "d-1", Author: "R. Field", MadeAt: time.UnixMilli(1e12)}, items))
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), file.Bytes(), 0o600))
}
