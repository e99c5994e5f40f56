package exchange

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
)

// TestPagesAreMadeOnce: however many ask for a page at once, it is made once; another, or after
// what it depends on has changed, by itself.
func TestPagesAreMadeOnce(t *testing.T) {
	p := newPages()
	var made atomic.Int32
	var all sync.WaitGroup
	for i := range 300 {
		all.Go(func() {
			key := pageKey{property: "creek", newest: uint64(i % 3)}
			page, err := p.get(t.Context(), key, func(page *readyPage) error {
				made.Add(1)
				page.frame, page.entries = []byte{byte(key.newest)}, 1
				return nil
			})
			if err != nil || page.entries != 1 || page.frame[0] != byte(key.newest) {
				t.Errorf("the page of %+v is %+v, %v", key, page, err)
			}
		})
	}
	all.Wait()
	if made.Load() != 3 {
		t.Errorf("3 pages were made %d times", made.Load())
	}
}

// TestPageThatCouldNotBeMade: whoever waited for one that another could not make, as when that
// hung up, makes it itself.
func TestPageThatCouldNotBeMade(t *testing.T) {
	p := newPages()
	key, began, hungUp := pageKey{property: "creek"}, make(chan struct{}), make(chan struct{})
	go func() {
		_, err := p.get(context.Background(), key, func(*readyPage) error {
			close(began)
			<-hungUp
			return context.Canceled
		})
		if !errors.Is(err, context.Canceled) {
			t.Errorf("whoever hung up got %v", err)
		}
	}()
	<-began
	got := make(chan error)
	go func() {
		page, err := p.get(context.Background(), key, func(page *readyPage) error { page.entries = 7; return nil })
		if err == nil && page.entries != 7 {
			err = errors.New("another's page")
		}
		got <- err
	}()
	close(hungUp)
	if err := <-got; err != nil {
		t.Error(err)
	}
}

// TestPagesAreBounded: what is kept stays below its limit, whatever is asked for; what was asked
// for last is there, and what is too long is given and not kept.
func TestPagesAreBounded(t *testing.T) {
	p := newPages()
	ask := func(n uint64, size int) (made bool) {
		page, err := p.get(t.Context(), pageKey{newest: n}, func(page *readyPage) error {
			made, page.frame = true, make([]byte, size)
			return nil
		})
		if err != nil || len(page.frame) != size {
			t.Fatalf("page %d has %d bytes, want %d (%v)", n, len(page.frame), size, err)
		}
		return made
	}
	kept := func() (bytes int) {
		for at := p.order.Front(); at != nil; at = at.Next() {
			bytes += pageCost + len(at.Value.(*readyPage).frame)
		}
		return bytes
	}
	for n := range uint64(1000) {
		ask(n, 100<<10)
		if kept() != p.bytes || p.bytes > pagesBytes || len(p.by) != p.order.Len() {
			t.Fatalf("after page %d, %d bytes are kept, %d are counted, want %d at most", n, kept(), p.bytes, pagesBytes)
		}
	}
	if ask(999, 100<<10) || !ask(0, 100<<10) {
		t.Error("what was asked for last was made again, or what was asked for first was still there")
	}
	if !ask(5000, pageMost+1) || !ask(5000, pageMost+1) {
		t.Error("a page that is too long was kept")
	}
}
