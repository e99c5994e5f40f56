package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

// readersSeeEveryNumber lets eight writers append with random pauses while three readers
// poll: each reader must see 1, 2, 3 … to the end, in order, none left out. A store that
// numbers from a sequence and commits later fails it.
func readersSeeEveryNumber(t T, s store.Register) {
	const writers, each, readers = 8, 40, 3
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			m := &Maker{Property: "p", Device: fmt.Sprint("w", w)}
			r := rand.New(rand.NewPCG(7, uint64(w)))
			for i := range each {
				receipts, err := s.Append(ctx, "p", []json.RawMessage{m.Entry(fmt.Sprint("f", i%5), nil, "name", `"x"`)})
				if err != nil || receipts[0].Refused != "" {
					t.Errorf("writer %d: %+v, %v", w, receipts, err)
					return
				}
				if r.IntN(5) == 0 {
					time.Sleep(time.Duration(r.IntN(8_000)) * time.Microsecond)
				}
			}
		})
	}
	for range readers {
		wg.Go(func() {
			if err := follow(ctx, s, writers*each); err != nil {
				t.Errorf("a reader: %v", err)
				cancel()
			}
		})
	}
	wg.Wait()
}

// follow polls until entry n and reports the first number out of turn.
func follow(ctx context.Context, s store.Register, n uint64) error {
	var at store.Position
	for at.N < n {
		page, next, err := s.EntriesAfter(ctx, "p", at, 64)
		if err != nil {
			return err
		}
		for _, e := range page {
			if e.N != at.N+1 {
				return fmt.Errorf("after entry %d comes %d", at.N, e.N)
			}
			at.N, at.Hash = e.N, register.Chain(at.Hash, e.Hash)
		}
		if len(page) == 0 {
			time.Sleep(200 * time.Microsecond)
			continue
		}
		if next.N != at.N || next.Hash != at.Hash {
			return errors.New("the position after a page is not that of its last entry")
		}
		at = next
	}
	return nil
}
