package server

import (
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

// countedReads counts the features that are read from a store.
type countedReads struct {
	store.Register
	read *atomic.Int64
}

func countReads(s *site) *atomic.Int64 {
	var read atomic.Int64
	s.store = countedReads{s.bolt, &read}
	return &read
}

func (c countedReads) of(all iter.Seq2[register.Folded, error]) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		for f, err := range all {
			c.read.Add(1)
			if !yield(f, err) {
				return
			}
		}
	}
}

func (c countedReads) Features(ctx context.Context, p string) iter.Seq2[register.Folded, error] {
	return c.of(c.Register.Features(ctx, p))
}

func (c countedReads) FeaturesNamed(ctx context.Context, p string, ids []string) iter.Seq2[register.Folded, error] {
	return c.of(c.Register.FeaturesNamed(ctx, p, ids))
}

func (s *site) open(path string) *httptest.ResponseRecorder {
	answer := httptest.NewRecorder()
	s.Handler().ServeHTTP(answer, httptest.NewRequest(http.MethodGet, "/map/"+path, nil))
	return answer
}

// However many open a link at once, the property is read as often as for one of them, and
// then not again before an entry comes.
func TestPropertyIsReadOnceForAllWhoOpenIt(t *testing.T) {
	s := newSite(t)
	p, secret, shas, maker := photographed(t, s, 50)
	read := countReads(s)
	all := func() {
		var wait sync.WaitGroup
		for _, path := range []string{secret, secret + "/works.kml", secret + "/works.geojson", secret + "/land.json", secret + "/photos/" + shas[7], secret + "/photos/" + strings.Repeat("0", 64)} {
			for range 8 {
				wait.Go(func() { s.open(path) })
			}
		}
		wait.Wait()
	}
	all()
	if got, most := read.Load(), int64(12*50); got > most {
		t.Errorf("%d features were read for 48 requests, want at most %d: those of one view, two files and one list of photos", got, most)
	}
	read.Store(0)
	all()
	if got := read.Load(); got != 0 {
		t.Errorf("%d features were read though nothing had come, want none", got)
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("dam-3", nil, "name", `"Weir 3"`)}); err != nil {
		t.Fatal(err)
	}
	all()
	if got, most := read.Load(), int64(11*50+1); got == 0 || got > most {
		t.Errorf("%d features were read after one entry, want at most %d", got, most)
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("dam-4", nil, "name", `"Weir 4"`)}); err != nil {
		t.Fatal(err)
	}
	read.Store(0)
	if body := s.open(secret + "/land.json").Body.String(); !strings.Contains(body, "Weir 3") || !strings.Contains(body, "Weir 4") {
		t.Error("land.json lacks what came")
	}
	if got := read.Load(); got > 2*50 {
		t.Errorf("%d features were read for one view, want each twice at most", got)
	}
}

// A photo is looked up in the same time whether the property is large or small, also when
// entries keep coming: only what they touch is looked at.
func TestPhotoRequestReadsOnlyWhatCame(t *testing.T) {
	type property struct {
		*site
		read        *atomic.Int64
		secret, sha string
		took        func() time.Duration
	}
	made := func(features int) property {
		s := newSite(t)
		p, secret, shas, maker := photographed(t, s, 1)
		var raw []json.RawMessage
		for i := range features {
			raw = append(raw, maker.Entry(fmt.Sprint("more-", i), nil, "kind", `"check-dam"`, "status", `"built"`, "photos", fmt.Sprintf(`["%064x"]`, i)))
		}
		for page := range slices.Chunk(raw, 1000) {
			if _, err := s.bolt.Append(t.Context(), p.ID, page); err != nil {
				t.Fatal(err)
			}
		}
		n := 0
		took := func() time.Duration { // of a request after an entry has come
			n++
			if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry(fmt.Sprint("more-", n), nil, "name", `"Weir"`)}); err != nil {
				t.Fatal(err)
			}
			began := time.Now()
			s.statusOf(secret, shas[0])
			return time.Since(began)
		}
		return property{site: s, read: countReads(s), secret: secret, sha: shas[0], took: took}
	}
	small, large := made(1000), made(20_000)
	small.took()
	large.took() // the first request reads the property
	large.read.Store(0)
	best := [2]time.Duration{time.Hour, time.Hour}
	for range 15 { // in turn, so that a busy machine slows both
		best[0], best[1] = min(best[0], small.took()), min(best[1], large.took())
	}
	if got := large.read.Load(); got > 15 {
		t.Errorf("%d features were read for 15 entries, want at most as many", got)
	}
	if best[1] > 5*best[0] {
		t.Errorf("a photo request after an entry takes %v among 20,000 features and %v among 1,000, want no more than 5 times that", best[1], best[0])
	}
}

// What is kept of the photos shown agrees with the page after whatever came.
func TestPhotosGivenAreThoseOfThePage(t *testing.T) {
	s := newSite(t)
	p, secret, shas, maker := photographed(t, s, 6)
	random := rand.New(rand.NewPCG(1, 2))
	for round := range 150 {
		feature := fmt.Sprint("dam-", random.IntN(6))
		var entry json.RawMessage
		list, _ := json.Marshal([]string{shas[random.IntN(6)], shas[random.IntN(6)]})
		switch random.IntN(6) {
		case 0:
			entry = maker.Entry(feature, nil, "sensitive", fmt.Sprint(random.IntN(2) == 0))
		case 1:
			entry = maker.Strike(feature, nil, random.IntN(2) == 0)
		case 2:
			entry = maker.Entry(feature, nil, "photos", string(list))
		case 3:
			entry = maker.Entry(feature, nil, "kind", []string{`"peg"`, `"check-dam"`, `"scald"`}[random.IntN(3)])
		case 4:
			entry = maker.Entry(fmt.Sprint("visit-", random.IntN(3)), nil, "kind", `"visit"`, "of", `"`+feature+`"`, "photos", string(list))
		default:
			entry = maker.Entry(fmt.Sprint("visit-", random.IntN(3)), nil, "sensitive", fmt.Sprint(random.IntN(2) == 0))
		}
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{entry}); err != nil {
			t.Fatal(err)
		}
		body := s.open(secret + "/land.json").Body.String()
		for i, sha := range shas {
			shown := false
			err := s.withBook(t.Context(), p.ID, func(b *linkBook) error { shown = b.shows(sha); return nil })
			if want := strings.Contains(body, sha); err != nil || shown != want {
				t.Fatalf("round %d, after %s: photo %d is given: %v, %v; the page shows it: %v", round, entry, i, shown, err, want)
			}
		}
	}
}

// A browser that has the page, land.json or a file is told that it still holds, until something
// came; each coding has a tag of its own.
func TestLinkAnswersHaveValidators(t *testing.T) {
	s := newSite(t)
	p, secret, _, maker := photographed(t, s, 4)
	for _, path := range []string{"/map/" + secret, "/map/" + secret + "/land.json", "/map/" + secret + "/works.kml", "/map/" + secret + "/works.geojson"} {
		tags := map[string]string{}
		for _, coding := range []string{"identity", "gzip"} {
			res, body := fetch(t, s.web.URL+path, "Accept-Encoding", coding)
			tag := res.Header.Get("ETag")
			if tag == "" || tags[tag] != "" || res.Header.Get("Cache-Control") != "private, no-cache" || res.ContentLength != int64(len(body)) {
				t.Errorf("%s as %s: %d bytes with %v", path, coding, len(body), res.Header)
			}
			tags[tag] = coding
			again, body := fetch(t, s.web.URL+path, "Accept-Encoding", coding, "If-None-Match", tag)
			if again.StatusCode != http.StatusNotModified || body != "" || again.Header.Get("ETag") != tag {
				t.Errorf("%s as %s asked for again: %s, %d bytes, %v", path, coding, again.Status, len(body), again.Header)
			}
		}
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("dam-1", nil, "sensitive", "true")}); err != nil {
			t.Fatal(err)
		}
		for tag, coding := range tags {
			if res, _ := fetch(t, s.web.URL+path, "Accept-Encoding", coding, "If-None-Match", tag); res.StatusCode != http.StatusOK {
				t.Errorf("%s as %s after a dam was hidden: %s, want it whole", path, coding, res.Status)
			}
		}
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("dam-1", nil, "sensitive", "false")}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry("dam-2", nil, "name", `"</script>`+strings.Repeat("é", 40000)+`"`)}); err != nil {
			t.Fatal(err)
		}
		_, whole := fetch(t, s.web.URL+path)
		_, packed := fetch(t, s.web.URL+path, "Accept-Encoding", "gzip")
		z, err := gzip.NewReader(strings.NewReader(packed))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(z); err != nil || string(got) != whole || !strings.Contains(whole, "éééé") {
			t.Errorf("%s packed unpacks to %d bytes, %v, want the %d of the plain answer", path, len(got), err, len(whole))
		}
	}
	res, err := http.Head(s.web.URL + "/map/" + secret)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK || res.Header.Get("ETag") == "" {
		t.Errorf("HEAD of the page: %s with %v", res.Status, res.Header)
	}
}

func upTo(n uint64) version {
	return version{parts: []string{"p"}, ends: []store.Position{{Epoch: "e", N: n}}}
}

// Who asks while something older is being made waits for something newer, which one request
// makes for all of them.
func TestLatestIsNeverOlderThanAskedFor(t *testing.T) {
	l := newLatest[uint64]()
	began, carryOn := make(chan struct{}), make(chan struct{})
	var made atomic.Int64
	making := func(n uint64) func() (uint64, version, error) {
		return func() (uint64, version, error) { made.Add(1); return n, upTo(n), nil }
	}
	var wait sync.WaitGroup
	wait.Go(func() {
		_, _ = l.of(t.Context(), upTo(1), func() (uint64, version, error) {
			close(began)
			<-carryOn
			return making(1)()
		})
	})
	<-began
	for range 20 {
		wait.Go(func() {
			if got, err := l.of(t.Context(), upTo(2), making(2)); got != 2 || err != nil {
				t.Errorf("asked for 2: got %d, %v", got, err)
			}
		})
	}
	gone, leave := context.WithCancel(t.Context())
	leave()
	if _, err := l.of(gone, upTo(1), making(1)); !errors.Is(err, context.Canceled) {
		t.Errorf("who has gone waits on: %v", err)
	}
	close(carryOn)
	wait.Wait()
	if got := made.Load(); got != 2 {
		t.Errorf("made %d times, want twice", got)
	}
}

// What fails, or panics, is made by the next who asks.
func TestLatestOutlivesAFailure(t *testing.T) {
	l := newLatest[int]()
	broken := errors.New("broken")
	if _, err := l.of(t.Context(), upTo(1), func() (int, version, error) { return 1, upTo(1), broken }); !errors.Is(err, broken) {
		t.Errorf("got %v, want the failure", err)
	}
	func() {
		defer func() { _ = recover() }()
		_, _ = l.of(t.Context(), upTo(1), func() (int, version, error) { panic("fault") })
	}()
	if got, err := l.of(t.Context(), upTo(1), func() (int, version, error) { return 3, upTo(1), nil }); got != 3 || err != nil {
		t.Errorf("after a failure: got %d, %v, want 3", got, err)
	}
}
