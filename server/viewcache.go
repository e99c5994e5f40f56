package server

import (
	"context"
	"io/fs"
	"runtime"
	"sync"
)

// mostViewBytes is how much memory is kept of what links show of all properties. Beyond it
// the property that was asked for longest ago is dropped.
const mostViewBytes = 64 << 20

// viewCache are what links show of the properties that were asked for last.
type viewCache struct {
	mu       sync.Mutex
	of       map[string]*cachedView // by property
	asked    uint64
	bytes    int
	building chan struct{} // a place for each file, or list of photos, that is made of a whole property
	reading  chan struct{} // a place for each property that is read from its beginning; whoever waits for it may hold up a file
}

// cachedView is what links show of one property.
type cachedView struct {
	packed latest[*packedView]
	photos latest[*shownPhotos]

	// Under the mutex of keptViews:
	files                 map[string]*cachedFile // by format
	asked                 uint64
	bytes                 int // of all that follow, and of the files
	viewBytes, photoBytes int
}

// cachedFile is the file of a format that a link gives.
type cachedFile struct {
	packed latest[*packedFile]
	bytes  int
}

// file finds what is kept of a property in a format.
func (k *viewCache) file(v *cachedView, format string) *cachedFile {
	k.mu.Lock()
	defer k.mu.Unlock()
	if v.files == nil {
		v.files = map[string]*cachedFile{}
	}
	if v.files[format] == nil {
		v.files[format] = &cachedFile{}
	}
	return v.files[format]
}

func newViewCache() *viewCache {
	places := max(2, runtime.GOMAXPROCS(0)-1)
	return &viewCache{of: map[string]*cachedView{}, building: make(chan struct{}, places), reading: make(chan struct{}, places)}
}

// view finds what is kept of a property, of which nothing may have been made yet.
func (k *viewCache) view(property string) *cachedView {
	k.mu.Lock()
	defer k.mu.Unlock()
	v := k.of[property]
	if v == nil {
		v = &cachedView{}
		k.of[property] = v
	}
	k.asked++
	v.asked = k.asked
	return v
}

// weigh counts what a property takes now, and drops others until all have room. What a
// request still reads, or makes, of a dropped one stays whole for it.
func (k *viewCache) weigh(property string, v *cachedView, counted *int, bytes int) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of[property] != v {
		return // dropped meanwhile
	}
	k.bytes += bytes - *counted
	v.bytes += bytes - *counted
	*counted = bytes
	for k.bytes > mostViewBytes && len(k.of) > 1 {
		oldest := ""
		for id, other := range k.of {
			if other != v && (oldest == "" || other.asked < k.of[oldest].asked) {
				oldest = id
			}
		}
		k.bytes -= k.of[oldest].bytes
		delete(k.of, oldest)
	}
}

// when runs what reads a whole property, when there is a place for it.
func when(places chan struct{}, work func() error) error {
	places <- struct{}{}
	defer func() { <-places }()
	return work()
}

// packedView gives what a link shows of a property as it is now, compressed. It is made
// when an entry, a merge or another name has come since the last time.
func (s *Server) packedView(ctx context.Context, property string) (*packedView, error) {
	want, err := s.version(ctx, property)
	if err != nil {
		return nil, err
	}
	page, err := fs.ReadFile(s.pages, "landholder.html")
	if err != nil {
		return nil, err
	}
	v := s.views.view(property)
	whole := context.WithoutCancel(ctx) // others wait for it too
	return v.packed.of(ctx, want, func(*packedView, version) (packed *packedView, at version, err error) {
		err = s.withBook(whole, property, func(b *landBook) error {
			at = b.at
			at.name = want.name
			packed, err = packView(page, b, want.name)
			return err
		})
		if err == nil {
			s.views.weigh(property, v, &v.viewBytes, packed.size())
		}
		return packed, at, err
	})
}
