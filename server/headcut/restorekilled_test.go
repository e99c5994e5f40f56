package main

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
)

// killedMain is main, of a process that is killed when its work asks for the nth time whether it is to
// go on: "headcut-killed N COMMAND…".
func killedMain() {
	n, err := strconv.Atoi(os.Args[1])
	if err != nil {
		panic(err)
	}
	os.Exit(run(&killing{Context: context.Background(), left: n}, os.Args[2:], os.Stdin, os.Stdout, os.Stderr))
}

type killing struct {
	context.Context
	left int // a restore asks from one goroutine
}

func (k *killing) Err() error {
	if k.left--; k.left == 0 {
		_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
		select {}
	}
	return nil
}

// TestRestoreKilledAtAnyStep: until the register is in its place no command takes the folder for
// anything but a restore that was cut short, none begins a new register there, and a restore to it again
// is whole. From then on all is there.
func TestRestoreKilledAtAnyStep(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	takePoint(t, at("data"), "Stony Block")
	photosAt(t, at("data"), 3)
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	photo, cut, whole := 0, 0, 0
	for _, how := range [][]string{{"--from", at("bk")}, {"--salvage", "--from", at("data")}} {
		for n := 1; ; n += 1 + n/4 {
			to := at("to")
			restore := append([]string{"restore", "--data", to}, how...)
			killed := exec.Command("headcut-killed", append([]string{strconv.Itoa(n)}, restore...)...)
			out, err := killed.CombinedOutput()
			if err == nil {
				break // it was done before
			}
			if state, ok := errors.AsType[*exec.ExitError](err); !ok || state.Success() || state.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL {
				t.Fatalf("step %d: %v\n%s", n, err, out)
			}
			if _, err := os.Stat(to + "/" + registerFile); err == nil {
				whole++
				mustSay(t, said(t, 0, "verify", "--data", to), "Sound: ", "3 photos")
			} else if _, err := os.Stat(to); err == nil {
				if photos, _ := filepath.Glob(to + "/" + photoFolder + "/photo/*"); len(photos) > 0 {
					photo++
				}
				cut++
				cutShortRestore(t, dir, to)
				mustSay(t, said(t, 0, restore...), "Sound: ", "3 photos", "2 links are kept shut")
				if _, err := os.Stat(to + "/" + unconfirmedFolder); err == nil {
					t.Error("the mark is left behind")
				}
				mustSay(t, said(t, 1, "backup", "--data", at("data"), "--to", to), "is a data folder, no backup")
			}
			if t.Failed() {
				t.Fatalf("killed at step %d", n)
			}
			if err := os.RemoveAll(to); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.RemoveAll(at("to")); err != nil {
			t.Fatal(err)
		}
	}
	if photo == 0 || cut == photo || whole == 0 {
		t.Errorf("of %d restores that were cut short %d had photos, and %d were whole: the steps are no steps", cut, photo, whole)
	}
	t.Logf("%d were cut short, %d of them with photos; %d were whole", cut, photo, whole)
}

// cutShortRestore checks that every command refuses the folder of one.
func cutShortRestore(t *testing.T, dir, to string) {
	t.Helper()
	for _, args := range [][]string{
		{"verify", "--data", to},
		{"devices", "--data", to},
		{"export", "--data", to, "--property", "Stony Block", "--out", dir + "/out.geojson"},
		{"backup", "--data", to, "--to", dir + "/new"},
		{"backup", "--data", dir + "/data", "--to", to},
		{"restore", "--from", to, "--data", dir + "/new"},
		{"restore", "--from", dir + "/bk", "--data", dir + "/new", "--replaces", to},
		{"restore", "--photos", "--from", dir + "/bk", "--data", to},
		{"serve", "--listen", "127.0.0.1:0", "--data", to},
		{"demo", "--listen", "127.0.0.1:0", "--data", to},
	} {
		if mustSay(t, said(t, 1, args...), to+" is under way or was cut short", "run 'headcut restore' to the same folder again"); t.Failed() {
			t.Fatalf("of %q", args)
		}
	}
	if _, err := os.Stat(to + "/" + registerFile); err == nil {
		t.Error("a register was begun there")
	}
	if _, err := os.Stat(dir + "/new"); err == nil {
		t.Error("another folder was made")
	}
}

// TestFailedRestoreLeavesTheMark where the folder had photos before, and nothing else of its own.
func TestFailedRestoreLeavesTheMark(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("data"), 3)
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	good := read(t, at("bk/"+registerFile))
	write(t, at("bk/"+registerFile), good[:9000])
	photosAt(t, at("to"), 1)
	for range 2 { // also when it was there before
		mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("to")), "nothing was restored")
		if held, err := os.ReadDir(at("to/" + unconfirmedFolder)); err != nil || len(held) > 0 {
			t.Errorf("the folder that marks it has %v (%v)", held, err)
		}
		mustSay(t, said(t, 1, "verify", "--data", at("to")), "was cut short")
	}
	write(t, at("bk/"+registerFile), good)
	mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at("to")), "Sound: ")
}
