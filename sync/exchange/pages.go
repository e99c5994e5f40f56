package exchange

import (
	"container/list"
	"context"
	"runtime"
	"sync"

	"headcut/sync/store"
)

// What ready pages may take: all that are kept, with what remembering one costs, and one of them.
const (
	pagesBytes = 16 << 20
	pageCost   = 512
	pageMost   = 256 << 10
)

// pages keeps ready pages for the devices that pull the same at about the same time, as when
// all come back after a stop, or follow a property that grows: each is read, put together and
// compressed once, and a bounded number at once, however many devices wait for it.
type pages struct {
	making chan struct{}

	mu    sync.Mutex
	by    map[pageKey]*list.Element // of *readyPage
	order *list.List                // the longest unasked at the back
	bytes int
}

// pageKey is what a page depends on.
type pageKey struct {
	property string
	at       store.Position // that it follows
	newest   uint64         // of the property, as its reader knows
	most     int            // entries
	packed   bool           // compressed
}

// readyPage is a page as it goes out, which nobody may change.
type readyPage struct {
	frame   []byte
	entries int
	after   store.Position // the last of them
	more    bool           // will follow

	key    pageKey
	err    error         // of whoever made it
	made   chan struct{} // closed when it is
	listed *list.Element
}

func newPages() *pages {
	return &pages{making: make(chan struct{}, 2*runtime.GOMAXPROCS(0)), by: make(map[pageKey]*list.Element), order: list.New()}
}

// get gives the page of a key, which make makes if there is none. Whoever waits for a page that
// another could not make tries itself.
func (p *pages) get(ctx context.Context, key pageKey, make func(*readyPage) error) (*readyPage, error) {
	for {
		page, mine := p.find(key)
		if mine {
			return page, p.make(ctx, page, make)
		}
		select {
		case <-page.made:
			if page.err == nil {
				return page, nil
			}
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// find gives the page of a key, and whether it is the caller's to make.
func (p *pages) find(key pageKey) (page *readyPage, mine bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if at := p.by[key]; at != nil {
		p.order.MoveToFront(at)
		return at.Value.(*readyPage), false
	}
	page = &readyPage{key: key, made: make(chan struct{})}
	page.listed = p.order.PushFront(page)
	p.by[key] = page.listed
	return page, true
}

func (p *pages) make(ctx context.Context, page *readyPage, make func(*readyPage) error) error {
	select {
	case p.making <- struct{}{}:
		page.err = make(page)
		<-p.making
	case <-ctx.Done():
		page.err = ctx.Err()
	}
	p.mu.Lock()
	if page.err != nil || len(page.frame) > pageMost {
		p.drop(page)
	} else {
		p.bytes += pageCost + len(page.frame)
	}
	for at := p.order.Back(); at != nil && p.bytes > pagesBytes; {
		last := at.Value.(*readyPage)
		at = at.Prev()
		select {
		case <-last.made:
			p.bytes -= pageCost + len(last.frame)
			p.drop(last)
		default: // it is being made, and not counted yet
		}
	}
	p.mu.Unlock()
	close(page.made)
	return page.err
}

// drop forgets a page. The caller holds p.mu.
func (p *pages) drop(page *readyPage) {
	delete(p.by, page.key)
	p.order.Remove(page.listed)
}
