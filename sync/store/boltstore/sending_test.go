package boltstore

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"go.etcd.io/bbolt"
	"pgregory.net/rapid"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// content is what a property holds, however it got there: its entries in no order, and
// the folded features but for the numbers.
func content(t storetest.T, s store.Register, property string) string {
	all, _ := storetest.ReadAll(t, s, property)
	var out []string
	for _, e := range all {
		out = append(out, string(e.Raw))
	}
	slices.Sort(out)
	for f, err := range s.Features(t.Context(), property) {
		if err != nil {
			t.Fatalf("Features: %v", err)
		}
		f.N = 0
		text, _ := json.Marshal(f)
		out = append(out, string(text))
	}
	text, _ := json.MarshalIndent(out, "", " ")
	return string(text)
}

// TestRule02SendingAgainIsHarmless: devices send their frames, lose them or the answers
// on the way, send again, older ones after newer ones; the register ends as if each entry
// had been sent once.
func TestRule02SendingAgainIsHarmless(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plays := 0
	rapid.Check(t, func(rt *rapid.T) {
		plays++
		once := openFast(rt, filepath.Join(dir, fmt.Sprint(plays, "-once.db")))
		often := openFast(rt, filepath.Join(dir, fmt.Sprint(plays, "-often.db")))
		defer once.Close()
		defer often.Close()
		var frames [][]json.RawMessage
		makers := []*storetest.Maker{{Property: "p", Device: "a"}, {Property: "p", Device: "b"}}
		for range rapid.IntRange(1, 8).Draw(rt, "frames") {
			i := rapid.IntRange(0, 1).Draw(rt, "device")
			var frame []json.RawMessage
			for range rapid.IntRange(1, 3).Draw(rt, "entries") {
				var saw map[string]uint64
				if other := makers[1-i]; other.Seq > 0 && rapid.Bool().Draw(rt, "saw") {
					saw = map[string]uint64{other.Device: rapid.Uint64Range(1, other.Seq).Draw(rt, "seq")}
				}
				frame = append(frame, makers[i].Entry(rapid.SampledFrom([]string{"f", "g"}).Draw(rt, "feature"), saw,
					"name", rapid.SampledFrom([]string{`"x"`, `"y"`}).Draw(rt, "name")))
			}
			frames = append(frames, frame)
			if _, err := once.Append(rt.Context(), "p", frame); err != nil {
				rt.Fatal(err)
			}
		}
		owed := slices.Clone(frames) // not acknowledged yet
		for len(owed) > 0 {
			i := rapid.IntRange(0, len(owed)-1).Draw(rt, "which")
			frame := owed[i]
			switch rapid.SampledFrom([]string{"answered", "lost", "answer lost", "half of it", "reversed"}).Draw(rt, "fate") {
			case "answered":
				receipts, err := often.Append(rt.Context(), "p", frame)
				if err != nil || slices.ContainsFunc(receipts, func(r store.Receipt) bool { return r.N == 0 }) {
					rt.Fatalf("receipts %+v, %v", receipts, err)
				}
				owed = slices.Delete(owed, i, i+1)
			case "answer lost":
				_, _ = often.Append(rt.Context(), "p", frame)
			case "half of it":
				_, _ = often.Append(rt.Context(), "p", frame[:len(frame)/2])
			case "reversed":
				back := slices.Clone(frame)
				slices.Reverse(back)
				_, _ = often.Append(rt.Context(), "p", append(back, frame...))
			}
		}
		if got, want := content(rt, often, "p"), content(rt, once, "p"); got != want {
			rt.Fatalf("sent again and again the register holds\n%s\nsent once\n%s", got, want)
		}
	})
}

func openFast(t *rapid.T, path string) *Store {
	// What is written here within a millisecond came in a later one, as it does from a phone: else it
	// looks as if an entry said to have seen one that was not written yet.
	s, err := Open(path, Options{NoFlush: true, Now: func() time.Time { return time.Now().Add(time.Minute) }})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestRule03CursorsMissNothing delays commits at random under eight writers; the planted
// store of the suite's own tests shows that the check can fail.
func TestRule03CursorsMissNothing(t *testing.T) {
	s := openNew(t)
	commit := s.update
	n := 0
	s.update = func(f func(*bbolt.Tx) error) error {
		if n++; n%5 == 0 {
			time.Sleep(time.Duration(n*7919%8000) * time.Microsecond)
		}
		return commit(f)
	}
	i := slices.IndexFunc(storetest.Checks, func(c storetest.Check) bool { return c.Name == "readers-see-every-number" })
	storetest.Checks[i].Run(t, s)
}

// phone is a device at its simplest: its own entries, which it keeps, and how far it has read.
type phone struct {
	storetest.Maker
	own  []json.RawMessage
	read []register.Numbered
	at   store.Position
}

func (p *phone) write(t *testing.T, s *Store, n int) {
	t.Helper()
	for range n {
		p.own = append(p.own, p.Entry(fmt.Sprint("f", len(p.own)%5), nil, "name", fmt.Sprintf("%q", p.Device)))
	}
	if _, err := s.Append(t.Context(), "p", p.own[len(p.own)-n:]); err != nil {
		t.Fatal(err)
	}
}

// pull reads to the end; when the register has forked it goes back to where both agree
// and offers again what the register lacks. It returns whether it had.
func (p *phone) pull(t *testing.T, s *Store) (forked bool) {
	t.Helper()
	for {
		page, next, err := s.EntriesAfter(t.Context(), "p", p.at, 50)
		if fork, ok := errors.AsType[*store.Fork](err); ok {
			forked = true
			p.goBack(t, fork)
			p.offerAgain(t, s)
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if len(page) == 0 {
			return forked
		}
		p.read, p.at = append(p.read, page...), next
	}
}

func (p *phone) goBack(t *testing.T, fork *store.Fork) {
	t.Helper()
	chain := []register.Hash{{}}
	for _, e := range p.read {
		chain = append(chain, register.Chain(chain[len(chain)-1], e.Hash))
	}
	for _, mark := range fork.Marks {
		if mark.N < uint64(len(chain)) && chain[mark.N] == mark.Hash {
			p.read, p.at = p.read[:mark.N], mark
			return
		}
	}
	t.Fatalf("no mark of %+v is known", fork.Marks)
}

func (p *phone) offerAgain(t *testing.T, s *Store) {
	t.Helper()
	byID := make(map[register.ID]json.RawMessage)
	var ids []register.ID
	for _, raw := range p.own {
		e, err := register.Decode(raw)
		if err != nil {
			t.Fatal(err)
		}
		byID[e.ID] = raw
		ids = append(ids, e.ID)
	}
	lacking, err := s.Missing(t.Context(), "p", ids)
	if err != nil {
		t.Fatal(err)
	}
	var again []json.RawMessage
	for _, id := range lacking {
		again = append(again, byID[id])
	}
	if _, err := s.Append(t.Context(), "p", again); err != nil {
		t.Fatal(err)
	}
}

// TestRule04RestoresAreNoticed: a backup at 100 comes back after the register had gone on
// to 200; a new device writes 150 more before the others return. Declared or not, the
// devices notice and the register becomes the union of all.
func TestRule04RestoresAreNoticed(t *testing.T) {
	for _, declared := range []bool{true, false} {
		t.Run(fmt.Sprintf("declared-%v", declared), func(t *testing.T) {
			dir := t.TempDir()
			s := reopen(t, filepath.Join(dir, "first.db"))
			phones := []*phone{{Maker: storetest.Maker{Property: "p", Device: "a"}}, {Maker: storetest.Maker{Property: "p", Device: "b"}}, {Maker: storetest.Maker{Property: "p", Device: "c"}}}
			everyone := func(f func(p *phone)) {
				for _, p := range phones {
					f(p)
				}
			}
			phones[0].write(t, s, 10)
			everyone(func(p *phone) { p.write(t, s, 30) })
			backup := filepath.Join(dir, "backup.db")
			if err := s.Backup(t.Context(), backup); err != nil {
				t.Fatal(err)
			}
			phones[1].pull(t, s) // one device read last before the backup's end
			everyone(func(p *phone) { p.write(t, s, 30) })
			phones[0].write(t, s, 10)
			phones[0].pull(t, s)
			phones[2].pull(t, s)
			if phones[0].at.N != 200 {
				t.Fatalf("the register ends at %d, want 200", phones[0].at.N)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}

			restored := filepath.Join(dir, "restored.db")
			if declared {
				if err := Restore(t.Context(), backup, restored); err != nil {
					t.Fatal(err)
				}
			} else {
				copyFile(t, backup, restored)
			}
			s = reopen(t, restored)
			epochs, _ := s.Epochs(t.Context())
			if declared != (len(epochs) == 2) || declared && epochs[1].Branch["p"] != 100 {
				t.Errorf("epochs after the restore are %+v", epochs)
			}
			late := &phone{Maker: storetest.Maker{Property: "p", Device: "late"}}
			phones = append(phones, late)
			late.write(t, s, 150)
			everyone(func(p *phone) {
				if forked := p.pull(t, s); declared && p != late && !forked {
					t.Errorf("device %s did not notice the declared restore", p.Device)
				}
				// Undeclared, a device that had not read past the backup notices when it
				// next sends: the receipt says that earlier entries of its own are lacking.
				p.own = append(p.own, p.Entry("f0", nil, "notes", `"back again"`))
				receipts, err := s.Append(t.Context(), "p", p.own[len(p.own)-1:])
				if err != nil {
					t.Fatal(err)
				}
				if receipts[0].HighSeq < p.Seq {
					p.offerAgain(t, s)
				}
			})
			const union = 200 + 150 + 4
			everyone(func(p *phone) {
				p.pull(t, s)
				if len(p.read) != union {
					t.Errorf("device %s has %d entries, want the union of %d", p.Device, len(p.read), union)
				}
				for f, err := range s.Features(t.Context(), "p") {
					if err != nil {
						t.Fatal(err)
					}
					got, _ := json.Marshal(register.Fold(f.Feature, p.read))
					want, _ := json.Marshal(f)
					if string(got) != string(want) {
						t.Errorf("device %s folds %s to %s, want %s", p.Device, f.Feature, got, want)
					}
				}
			})
			mustVerify(t, s)
		})
	}
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	text, err := os.ReadFile(from)
	if err == nil {
		err = os.WriteFile(to, text, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestRule09ClonedDevices: a phone copied from a backup of another writes under its name;
// its entries are refused, relabelled under a new device id, and all are kept.
func TestRule09ClonedDevices(t *testing.T) {
	s := openNew(t)
	original := &storetest.Maker{Property: "p", Device: "phone"}
	appendNew(t, s, original.Entry("f", nil, "name", `"shared"`))
	clone := *original
	appendNew(t, s, original.Entry("f", nil, "name", `"one"`), original.Entry("g", nil, "name", `"one"`))
	again := &storetest.Maker{Property: "p", Device: "phone-again"}
	for _, feature := range []string{"f", "g", "h"} {
		raw := clone.Entry(feature, nil, "name", `"two"`)
		receipts, err := s.Append(t.Context(), "p", []json.RawMessage{raw})
		if err != nil {
			t.Fatal(err)
		}
		if receipts[0].Cloned {
			appendNew(t, s, again.Entry(feature, map[string]uint64{"phone": 1}, "name", `"two"`))
		} else if feature != "h" { // its deviceSeq 4 is free: nothing tells the two apart there
			t.Errorf("the clone's entry about %s was taken: %+v", feature, receipts[0])
		}
	}
	all, _ := storetest.ReadAll(t, s, "p")
	if len(all) != 6 {
		t.Errorf("%d entries are here, want all 6", len(all))
	}
	mustVerify(t, s)
}

func appendNew(t testing.TB, s *Store, raw ...json.RawMessage) {
	t.Helper()
	receipts, err := s.Append(context.Background(), "p", raw)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range receipts {
		if r.N == 0 || r.Known {
			t.Fatalf("receipt of the new entry %s = %+v", raw[i], r)
		}
	}
}

// TestRule12TheQueueIsBounded: while the disk stands still, as many frames wait as the
// queue holds, the one at the committer among them; the next Append waits with its caller and gives up with its context.
// Nothing that was accepted is dropped.
func TestRule12TheQueueIsBounded(t *testing.T) {
	const queue = 4
	s, err := Open(filepath.Join(t.TempDir(), "register.db"), Options{QueueFrames: queue})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	started, release := make(chan struct{}, 100), make(chan struct{})
	commit := s.update
	s.update = func(f func(*bbolt.Tx) error) error {
		started <- struct{}{}
		<-release
		return commit(f)
	}
	results := make(chan error, queue)
	send := func(device string) {
		m := &storetest.Maker{Property: "p", Device: device}
		_, err := s.Append(context.Background(), "p", []json.RawMessage{m.Entry("f", nil, "name", `"x"`)})
		results <- err
	}
	go send("first")
	<-started // it is with the committer now, the queue is empty
	for i := range queue - 1 {
		go send(fmt.Sprint("waits-", i))
	}
	for len(s.room) < queue {
		time.Sleep(time.Millisecond)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	m := &storetest.Maker{Property: "p", Device: "beyond"}
	if _, err := s.Append(ctx, "p", []json.RawMessage{m.Entry("f", nil, "name", `"x"`)}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("Append to a full queue = %v, want it to wait until its deadline", err)
	}
	close(release)
	for range queue {
		if err := <-results; err != nil {
			t.Errorf("an accepted Append = %v", err)
		}
	}
	if all, _ := storetest.ReadAll(t, s, "p"); len(all) != queue {
		t.Errorf("%d entries are here, want the %d accepted", len(all), queue)
	}
}
