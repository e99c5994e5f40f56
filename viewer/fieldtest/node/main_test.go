// Package node plays days of phones against the real server, without a browser: the storage
// and sync that officers' phones run, unchanged, in Node (device.ts), each phone a process of
// its own that is killed and started again on what it had kept, and the headcut command, which
// is killed as well. Lines between them break in every way.
//
// Beside the random play, tests hold single rules: a line cut at every phase of a conversation, a
// phone copied from its backup, a server gone back to an older copy in three ways, a slow line.
//
// Being quick, it plays far more captures, kills and cuts than a browser could in the time.
// What it shows is the code of storage and sync: that nothing acknowledged is lost, nothing
// said to be saved is lost, nothing stands twice, and all end with the same. What it cannot
// show is what a browser does: its IndexedDB is a library's in memory, written to a file with
// each strict transaction (disk.ts), so damaged databases, full disks, two tabs, hidden pages
// and the browser's own kill are shown by viewer/fieldtest/storage and viewer/fieldtest/sync in
// Chromium; loss of power by neither.
package node

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"headcut/sync/store/storetest"
)

// built is what TestMain made of the sources.
var built struct {
	headcut string   // the command
	node    []string // a phone without its place
}

func TestMain(m *testing.M) {
	flag.Parse()
	dir, err := os.MkdirTemp("", "node")
	code := 1
	if err == nil {
		if err = build(dir); err == nil {
			code = m.Run()
		}
		err = errors.Join(err, os.RemoveAll(dir))
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	os.Exit(code)
}

func build(dir string) error {
	root, err := filepath.Abs("../../..")
	if err != nil {
		return err
	}
	run := func(in, name string, args ...string) error {
		cmd := exec.Command(name, args...)
		cmd.Dir = filepath.Join(root, in)
		if said, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w\n%s", cmd, err, said)
		}
		return nil
	}
	built.headcut = filepath.Join(dir, "headcut")
	scripts := filepath.Join(dir, "scripts")
	if err := errors.Join(
		run(".", "go", "build", "-o", built.headcut, "./server/headcut"),
		run("viewer/bundle", "go", "run", ".", "-unpacked", "-computations", scripts),
		run("viewer/bundle", "go", "run", ".", "-script", "fieldtest/node/device.ts", "-out", scripts),
		os.WriteFile(filepath.Join(scripts, "package.json"), []byte(`{"type": "module"}`), 0o600),
	); err != nil {
		return err
	}
	version, err := exec.Command("node", "--version").Output()
	if err != nil {
		return fmt.Errorf("node is not installed: run make test, which needs it: %w", err)
	}
	major, err := strconv.Atoi(strings.Split(strings.TrimPrefix(string(version), "v"), ".")[0])
	if err != nil {
		return fmt.Errorf("node --version said %q", version)
	}
	built.node = []string{"node", "--no-warnings", "--liftoff-only"} // the program starts sooner, and answers later
	if major < 22 {
		built.node = append(built.node, "--experimental-websocket")
	}
	built.node = append(built.node, filepath.Join(scripts, "device.js"))
	return nil
}

// seedOf gives the seed of a random test, and says how to play the same again.
func seedOf(t *testing.T) uint64 {
	t.Helper()
	seed := storetest.Seed()
	t.Logf("again with: RAPID_SEED=%d go test -run '^%s$' ./viewer/fieldtest/node", seed, t.Name())
	return seed
}

func randomOf(seed uint64, who uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, who)) }

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
