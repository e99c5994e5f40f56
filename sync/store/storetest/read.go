package storetest

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

func missing(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	var ids, unknown []register.ID
	for range 30 {
		r := appendAll(t, s, "p", a.Entry("f", nil, "name", `"x"`))[0]
		ids = append(ids, r.ID, NewID())
		unknown = append(unknown, ids[len(ids)-1])
	}
	got, err := s.Missing(t.Context(), "p", ids)
	if err != nil || !slices.Equal(got, unknown) {
		t.Errorf("Missing = %v, %v, want %v", got, err, unknown)
	}
	if got, err := s.Missing(t.Context(), "q", ids[:3]); err != nil || !slices.Equal(got, ids[:3]) {
		t.Errorf("Missing in another property = %v, %v, want all of %v", got, err, ids[:3])
	}
	for refused, want := range map[bool]int{true: 1, false: 0} { // an entry that is refused is lacking too
		may := func(e *register.Entry) *model.Problem {
			if refused && e.ID == ids[0] {
				return &model.Problem{Reason: "is somebody else's"}
			}
			return nil
		}
		if got, err := s.Missing(t.Context(), "p", []register.ID{ids[0], ids[2]}, may); err != nil || len(got) != want || want == 1 && got[0] != ids[0] {
			t.Errorf("Missing of what is refused %v = %v, %v, want %d of %v", refused, got, err, want, ids[0])
		}
	}
	if got, err := s.Missing(t.Context(), "p", nil); err != nil || len(got) != 0 {
		t.Errorf("Missing of nothing = %v, %v", got, err)
	}
}

// fill appends n entries to n/4 features.
func fill(t T, s store.Register, m *Maker, n int) {
	t.Helper()
	var raw []json.RawMessage
	for i := range n {
		raw = append(raw, m.Entry(fmt.Sprintf("f%d", i%max(n/4, 1)), nil, "name", `"x"`))
	}
	appendAll(t, s, m.Property, raw...)
}

func pages(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	fill(t, s, a, 250)
	for _, limit := range []int{1, 7, 249, 250, 251, 100000} {
		var at store.Position
		for steps := 0; ; steps++ {
			page, next, err := s.EntriesAfter(t.Context(), "p", at, limit)
			if err != nil {
				t.Fatalf("EntriesAfter(%+v, %d): %v", at, limit, err)
			}
			if len(page) > limit || steps > 250 {
				t.Fatalf("EntriesAfter with limit %d gives %d entries at step %d", limit, len(page), steps)
			}
			sameRaw(t, s, at, limit, page, next)
			if len(page) == 0 {
				break
			}
			at = checkPage(t, page, at, next)
		}
		if at.N != 250 {
			t.Errorf("with limit %d the reader ends at %d, want 250", limit, at.N)
		}
	}
	for property, want := range map[string]uint64{"p": 250, "none": 0} {
		if n, err := s.Newest(t.Context(), property); err != nil || n != want {
			t.Errorf("Newest(%s) = %d, %v, want %d", property, n, err, want)
		}
	}
	_, end := ReadAll(t, s, "p")
	if at, err := s.End(t.Context(), "p"); err != nil || at != end {
		t.Errorf("End(p) = %+v, %v, want %+v", at, err, end)
	}
	start, err := s.End(t.Context(), "none")
	if page, _, err2 := s.EntriesAfter(t.Context(), "none", start, 1); err != nil || err2 != nil || start.N != 0 || len(page) != 0 {
		t.Errorf("End(none) = %+v, %v, from which %d entries are read, %v", start, err, len(page), err2)
	}
	fill(t, s, a, 4)
	page, _, err := s.EntriesAfter(t.Context(), "p", end, 100)
	if err != nil || len(page) != 4 || page[0].N != 251 {
		t.Errorf("from the former end %d entries are read (%v), want the 4 new ones", len(page), err)
	}
}

// sameRaw checks that RawAfter gives what EntriesAfter gives, but for the entry read.
func sameRaw(t T, s store.Register, at store.Position, limit int, page []register.Numbered, next store.Position) {
	t.Helper()
	raw, end, err := s.RawAfter(t.Context(), "p", at, limit)
	if err != nil || end != next || len(raw) != len(page) {
		t.Fatalf("RawAfter(%+v, %d) gives %d entries to %+v (%v), EntriesAfter %d to %+v", at, limit, len(raw), end, err, len(page), next)
	}
	for i, n := range raw {
		want := page[i]
		if n.N != want.N || n.Capped != want.Capped || n.Arrived != want.Arrived || n.Hash != want.Hash || !bytes.Equal(n.Raw, want.Raw) || n.Entry.ID != "" {
			t.Errorf("RawAfter(%+v) gives entry %d as %+v, want %+v with the entry not read", at, i, n, want)
		}
	}
}

func forks(t T, s store.Register) {
	fill(t, s, &Maker{Property: "p", Device: "a"}, 40)
	all, end := ReadAll(t, s, "p")
	at := end
	at.N, at.Hash = 0, register.Hash{}
	for _, e := range all[:20] {
		at.N, at.Hash = at.N+1, register.Chain(at.Hash, e.Hash)
	}
	if page, _, err := s.EntriesAfter(t.Context(), "p", at, 100); err != nil || len(page) != 20 {
		t.Fatalf("from position 20 %d entries are read (%v), want 20", len(page), err)
	}
	beyond, otherHash, otherEpoch, noEpoch := end, at, at, at
	beyond.N++
	otherHash.Hash[3] ^= 1
	otherEpoch.Epoch = NewID()
	noEpoch.Epoch = ""
	for name, wrong := range map[string]store.Position{"beyond-the-end": beyond, "other-hash": otherHash, "other-epoch": otherEpoch, "no-epoch": noEpoch} {
		page, _, err := s.EntriesAfter(t.Context(), "p", wrong, 100)
		if !errors.Is(err, store.ErrForked) || len(page) != 0 {
			t.Errorf("EntriesAfter(%s) = %d entries, %v, want ErrForked", name, len(page), err)
			continue
		}
		fork, ok := errors.AsType[*store.Fork](err)
		if !ok || len(fork.Epochs) == 0 || fork.Epochs[len(fork.Epochs)-1].ID != end.Epoch {
			t.Errorf("%s: the fork is %+v, want the epochs up to %s", name, fork, end.Epoch)
			continue
		}
		checkMarks(t, fork.Marks, all, wrong.N)
	}
}

// checkMarks checks that marks are positions of the register, falling to the beginning.
func checkMarks(t T, marks []store.Position, all []register.Numbered, most uint64) {
	t.Helper()
	chain := []register.Hash{{}}
	for _, e := range all {
		chain = append(chain, register.Chain(chain[len(chain)-1], e.Hash))
	}
	for i, m := range marks {
		if m.N > most || i > 0 && m.N >= marks[i-1].N || m.N >= uint64(len(chain)) || m.Hash != chain[m.N] {
			t.Errorf("mark %d is %+v after a position at %d", i, m, most)
		}
	}
	if len(marks) == 0 || marks[len(marks)-1].N != 0 {
		t.Errorf("the marks %+v do not end with the beginning", marks)
	}
}

func epochs(t T, s store.Register) {
	all, err := s.Epochs(t.Context())
	if err != nil || len(all) != 1 || all[0].ID == "" {
		t.Errorf("Epochs of a new store = %+v, %v, want one", all, err)
	}
}

func watch(t T, s store.Register) {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	hints, err := s.Watch(ctx, "p")
	if err != nil {
		t.Fatalf("Watch: %v", err)
	}
	idle, err := s.Watch(ctx, "p") // never read from: it must hold nobody back
	if err != nil {
		t.Fatalf("Watch: %v", err)
	}
	a, b := &Maker{Property: "p", Device: "a"}, &Maker{Property: "q", Device: "a"}
	for n := uint64(1); n <= 50; n++ {
		appendAll(t, s, "q", b.Entry("f", nil, "name", `"x"`))
		appendAll(t, s, "p", a.Entry("f", nil, "name", `"x"`))
		for got := uint64(0); got != n; {
			select {
			case got = <-hints:
				if got > n {
					t.Fatalf("the hint is %d after %d entries", got, n)
				}
			case <-time.After(4 * time.Second):
				t.Fatalf("no hint of entry %d", n)
			}
		}
	}
	cancel()
	for deadline := time.After(10 * time.Second); ; {
		select {
		case _, open := <-idle:
			if !open {
				return
			}
		case <-deadline:
			t.Fatalf("the watch does not end with its context")
		}
	}
}

func snapshotWhileWriting(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	fill(t, s, a, 400)
	done := make(chan error, 1)
	var copied bytes.Buffer
	go func() { done <- s.Snapshot(t.Context(), &copied) }()
	fill(t, s, a, 40)
	if err := <-done; err != nil || copied.Len() == 0 {
		t.Fatalf("Snapshot while writing copies %d bytes: %v", copied.Len(), err)
	}
	failing := writerFunc(func([]byte) (int, error) { return 0, errors.New("the stick is out") })
	if err := s.Snapshot(t.Context(), failing); err == nil {
		t.Errorf("Snapshot to a failing writer = nil, want its error")
	}
	fill(t, s, a, 4)
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(p []byte) (int, error) { return f(p) }

func endedContexts(t T, s store.Register) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := s.EntriesAfter(ctx, "p", store.Position{}, 1); !errors.Is(err, context.Canceled) {
		t.Errorf("EntriesAfter with an ended context = %v", err)
	}
	if _, err := s.Missing(ctx, "p", []register.ID{NewID()}); !errors.Is(err, context.Canceled) {
		t.Errorf("Missing with an ended context = %v", err)
	}
	for _, err := range s.Features(ctx, "p") {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("Features with an ended context = %v", err)
		}
	}
	if err := s.Snapshot(ctx, &bytes.Buffer{}); !errors.Is(err, context.Canceled) {
		t.Errorf("Snapshot with an ended context = %v", err)
	}
}

func closed(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	hints, err := s.Watch(t.Context(), "p")
	if err != nil {
		t.Fatalf("Watch: %v", err)
	}
	fill(t, s, a, 4)
	if err := s.Close(); err != nil {
		t.Fatalf("Close: %v", err)
	}
	for range hints { // it ends with the store
	}
	if _, err := s.Append(t.Context(), "p", []json.RawMessage{a.Entry("f", nil, "name", `"x"`)}); !errors.Is(err, store.ErrClosed) {
		t.Errorf("Append to a closed store = %v, want ErrClosed", err)
	}
	if _, _, err := s.EntriesAfter(t.Context(), "p", store.Position{}, 1); !errors.Is(err, store.ErrClosed) {
		t.Errorf("EntriesAfter of a closed store = %v, want ErrClosed", err)
	}
	if err := s.Close(); err != nil {
		t.Errorf("Close again = %v", err)
	}
}
