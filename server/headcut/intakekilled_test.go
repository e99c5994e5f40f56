package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// serveHeadcut runs a server on a data folder, and waits until it answers.
func serveHeadcut(t *testing.T, data string) *exec.Cmd {
	t.Helper()
	serve := exec.Command("headcut", "serve", "--data", data, "--listen", "127.0.0.1:0")
	if err := serve.Start(); err != nil {
		t.Fatal(err)
	}
	for range 3000 {
		if client, err := running(data); err == nil && client != nil {
			client.CloseIdleConnections()
			return serve
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("the server does not answer")
	return nil
}

// TestUndoReachesWhateverWasKilled kills the command of an intake, the server that takes it in, or
// both, at any moment: what came in is listed, and --undo leaves none of it.
func TestUndoReachesWhateverWasKilled(t *testing.T) {
	t.Parallel()
	const moments = 9
	file, data := manyRows(t, 4000), filepath.Join(t.TempDir(), "data")
	emptyData(t, data)
	kill := func(c *exec.Cmd) {
		_ = c.Process.Kill() // it may have ended
		_ = c.Wait()
	}
	random := rand.New(rand.NewPCG(1, 7))
	serve := serveHeadcut(t, data)
	defer func() { kill(serve) }()
	began := time.Now()
	if out, err := runHeadcut(t, "intake", "--data", data, "--property", "Whole Block", file); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	takes := time.Since(began) // on this machine
	cut := 0
	for moment := range moments {
		property := fmt.Sprint("Block ", moment)
		until := time.Duration(random.Int64N(int64(takes)))
		taking := exec.Command("headcut", "intake", "--data", data, "--new", "--property", property, file)
		if err := taking.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(until)
		if who := moment % 3; who < 2 {
			_ = taking.Process.Kill()
		} else {
			kill(serve)
		}
		if moment%3 == 1 {
			kill(serve)
		}
		_ = taking.Wait() // killed, or without a server
		if moment%3 > 0 {
			serve = serveHeadcut(t, data)
		}
		var out string
		for range 1000 { // the server may not have seen yet that the command is gone
			if out, _ = runHeadcut(t, "intake", "--data", data, "--list"); !strings.Contains(out, "on its way in") {
				break
			}
			time.Sleep(10 * time.Millisecond)
		}
		listed := regexp.MustCompile(`(?m)^(\d+)  .* UTC  ` + property + `, many\.csv: (\d+) new, 0 edited(: cut off)?`).FindStringSubmatch(out)
		if listed != nil {
			if listed[3] != "" {
				cut++
			}
			if said, err := runHeadcut(t, "intake", "--data", data, "--undo", listed[1]); err != nil || !strings.Contains(said, ": "+listed[2]+" feature") {
				t.Errorf("moment %d: %s features are listed; undone: %v\n%s", moment, listed[2], err, said)
			}
		}
		exported, err := exec.Command("headcut", "export", "--data", data, "--property", property, "--out", "-").Output()
		if err != nil {
			if properties, _ := runHeadcut(t, "properties", "--data", data); strings.Contains(properties, property) {
				t.Errorf("moment %d: export: %v", moment, err)
			}
			continue
		}
		var all struct {
			Features []struct {
				Properties struct {
					StruckOut bool `json:"struckOut"`
				} `json:"properties"`
			} `json:"features"`
		}
		if err := json.Unmarshal(exported, &all); err != nil {
			t.Fatal(err)
		}
		left := 0
		for _, f := range all.Features {
			if !f.Properties.StruckOut {
				left++
			}
		}
		if left > 0 {
			t.Errorf("moment %d, killed after %v: %d of %d features are out of reach of --undo:\n%s", moment, until, left, len(all.Features), out)
		}
	}
	if cut == 0 {
		t.Error("no intake was cut off: the moments are no moments")
	}
	t.Logf("%d of %d intakes were cut off", cut, moments)
}
