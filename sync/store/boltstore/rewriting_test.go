package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// TestRewritesAreOwed: a device waits once it owes rewriteAtOnce, until it has paid; what is in
// proportion to its entries, it never owes.
func TestRewritesAreOwed(t *testing.T) {
	var r rewrites
	now := time.Now()
	for range 1000 {
		r.charge("honest", 480*rewriteFree, 480, now)
	}
	r.charge("attacker", rewriteAtOnce+100*rewriteFree, 100, now)
	if w := r.wait("attacker", now); w != 0 {
		t.Errorf("at the limit it waits %v, want no time", w)
	}
	r.charge("attacker", 3*rewritePerS+100*rewriteFree, 100, now)
	for after, want := range map[time.Duration]time.Duration{0: 3 * time.Second, time.Second: 2 * time.Second, time.Hour: 0} {
		if w := r.wait("attacker", now.Add(after)); w != want {
			t.Errorf("after %v it waits %v more, want %v", after, w, want)
		}
	}
	if w := r.wait("honest", now); w != 0 {
		t.Errorf("the honest device waits %v", w)
	}
	r.charge("another", 1<<20, 100, now.Add(time.Hour))
	if len(r.owed) != 1 {
		t.Errorf("%d devices are remembered, want the one that owes", len(r.owed))
	}
}

// written is how many bytes this process has written so far.
func written(t *testing.T) (n int64) {
	text, err := os.ReadFile("/proc/self/io")
	if err != nil {
		t.Fatal(err)
	}
	for line := range bytes.Lines(text) {
		if _, err := fmt.Sscanf(string(line), "wchar: %d", &n); err == nil {
			return n
		}
	}
	t.Fatalf("no wchar in %s", text)
	return 0
}

// TestTinyEditsOfFatItems: a device that edits many large items a little each has the disk write at most
// three times what rewriteAtOnce and rewritePerS say: bbolt writes two items at a time at least, and its
// lists of free pages. Nothing is refused, an honest device does not wait, and who gives up is let go.
func TestTinyEditsOfFatItems(t *testing.T) {
	const items, eachBytes, fields = 24, 1_000_000, 50
	path := filepath.Join(t.TempDir(), "register.db")
	fast, err := Open(path, Options{NoFlush: true})
	if err != nil {
		t.Fatal(err)
	}
	filler := &storetest.Maker{Property: "p", Device: "filler"}
	for i := range items {
		for part := range 10 {
			set := []string{"kind", `"gully-head"`}
			for f := range fields {
				set = append(set, fmt.Sprintf("field-%d-%d", part, f), `"`+strings.Repeat("x", eachBytes/10/fields)+`"`)
			}
			appendNew(t, fast, filler.Entry(fmt.Sprint("fat-", i), nil, set...))
		}
	}
	if err := fast.Close(); err != nil {
		t.Fatal(err)
	}
	s := reopen(t, path)
	attacker := &storetest.Maker{Property: "p", Device: "attacker"}
	frame := func() (raw []json.RawMessage) {
		for i := range 250 {
			raw = append(raw, attacker.Entry(fmt.Sprint("fat-", i%items), map[string]uint64{"filler": uint64(i%items*10 + 10)}, "name", `"x"`))
		}
		return raw
	}
	ctx, cancel := context.WithCancel(t.Context())
	before, began, over := written(t), time.Now(), make(chan struct{})
	var taken int
	go func() {
		defer close(over)
		for {
			receipts, err := s.Append(ctx, "p", frame())
			if err != nil {
				if !errors.Is(err, context.Canceled) {
					t.Error(err)
				}
				return
			}
			for _, r := range receipts {
				if r.N == 0 {
					t.Errorf("refused: %+v", r)
					return
				}
				taken++
			}
		}
	}()
	honest := &storetest.Maker{Property: "p", Device: "honest"}
	acks := 0
	for ; acks < 10 || time.Since(began) < 3*time.Second; acks++ {
		appendNew(t, s, honest.Entry(fmt.Sprint("head-", acks%20), nil, "kind", `"gully-head"`))
		time.Sleep(20 * time.Millisecond)
	}
	cancel()
	<-over
	took := time.Since(began)
	got, most := written(t)-before, int64(3*(rewriteAtOnce+took.Seconds()*rewritePerS))+int64(acks)*64<<10
	t.Logf("%d MB written in %v, of %d frames' edits %d acknowledged; %d honest acknowledgements", got>>20, took, taken/250, taken, acks)
	if got > most {
		t.Errorf("%d MB were written in %v, want at most %d", got>>20, took, most>>20)
	}
	mustVerify(t, s)
}
