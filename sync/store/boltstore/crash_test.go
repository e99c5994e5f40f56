package boltstore

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

var kills = flag.Int("kills", 100, "how often TestRule01 kills a writing process")

// writerPart appends to the store at args[0] from several devices named after args[1], what is
// drawn from the seed args[2], until it is killed, and prints the id of each entry once it has
// been acknowledged.
func writerPart(args []string) error {
	s, err := Open(args[0], Options{})
	if err != nil {
		return err
	}
	seed, err := strconv.ParseUint(args[2], 10, 64)
	if err != nil {
		return err
	}
	var out sync.Mutex
	var wg sync.WaitGroup
	for w := range 4 {
		wg.Go(func() {
			random := rand.New(rand.NewPCG(seed, uint64(w)))
			m := &storetest.Maker{Property: fmt.Sprint("p", w%2), Device: fmt.Sprint(args[1], "-", w)}
			for {
				var raw []json.RawMessage
				for range 1 + random.IntN(4) {
					raw = append(raw, m.Entry(fmt.Sprint("f", random.IntN(50)), nil, "name", `"x"`, "geometry", storetest.Point(147+random.Float64(), -20)))
				}
				receipts, err := s.Append(context.Background(), m.Property, raw)
				if err != nil {
					fmt.Fprintln(os.Stderr, err)
					os.Exit(1)
				}
				var text strings.Builder
				for _, r := range receipts {
					fmt.Fprintln(&text, m.Property, r.ID, r.N)
				}
				out.Lock()
				os.Stdout.WriteString(text.String())
				out.Unlock()
			}
		})
	}
	wg.Wait()
	return nil
}

// TestRule01AcknowledgedIsStored kills a writing process at random moments, time and
// again on one store, and looks for every acknowledged entry after each kill.
func TestRule01AcknowledgedIsStored(t *testing.T) {
	t.Parallel()
	random := storetest.Random(t)
	path := filepath.Join(t.TempDir(), "register.db")
	acknowledged := make(map[register.ID]string) // property and number
	for i := range *kills {
		cmd := startPart(t, "writer", path, fmt.Sprint("k", i), fmt.Sprint(random.Uint64()))
		out := lines(t, cmd)
		if i%10 != 9 { // every tenth dies as early as it may, in the middle of opening
			note(t, acknowledged, <-out)
		}
		time.Sleep(time.Duration(random.IntN(30_000)) * time.Microsecond)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for line := range out {
			note(t, acknowledged, line)
		}
		_ = cmd.Wait()
		checkAcknowledged(t, path, acknowledged, i%20 == 19 || i == *kills-1)
	}
	if len(acknowledged) < *kills {
		t.Errorf("only %d entries were acknowledged in %d runs: the test tests nothing", len(acknowledged), *kills)
	}
	t.Logf("%d kills, %d acknowledged entries, none lost", *kills, len(acknowledged))
}

func note(t *testing.T, acknowledged map[register.ID]string, line string) {
	t.Helper()
	if line == "" {
		return
	}
	f := strings.Fields(line)
	if len(f) != 3 {
		t.Fatalf("the writer says %q", line)
	}
	acknowledged[register.ID(f[1])] = f[0] + " " + f[2]
}

func checkAcknowledged(t *testing.T, path string, acknowledged map[register.ID]string, verify bool) {
	t.Helper()
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatalf("Open after a kill: %v", err)
	}
	defer s.Close()
	here := 0
	for _, property := range []string{"p0", "p1"} {
		all, _ := storetest.ReadAll(t, s, property)
		for _, e := range all {
			if want, ok := acknowledged[e.Entry.ID]; ok {
				here++
				if got := fmt.Sprint(property, " ", e.N); got != want {
					t.Fatalf("entry %s is %s, acknowledged as %s", e.Entry.ID, got, want)
				}
			}
		}
	}
	if here != len(acknowledged) {
		t.Fatalf("%d of %d acknowledged entries are here", here, len(acknowledged))
	}
	if verify {
		mustVerify(t, s)
	}
}
