package server

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"io/fs"
	"net/http"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/image/draw"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
)

// The small version of a photo is for a phone in the field: enough to know the place by.
const (
	smallSide    = 320      // px, of its longer side; a photo that is smaller keeps its size
	smallQuality = 75       // of JPEG, up to 100
	maxPixels    = 32 << 20 // of a photo that is decoded: at most some 250 MB while it is
	keptBytes    = 32 << 20 // of small versions, kept in memory
	mostMaking   = 64       // at once, most of them waiting
)

var (
	errHeavy     = errors.New("this picture takes long")
	errManySmall = &model.Problem{Path: "photo", Reason: "the server is making small versions of many photos", Fix: "try again in 2 s"}
)

// smallPhotos makes small versions in a pool and keeps those that were asked for last. Pictures
// that take long have a lane of their own, so that no picture holds up the small ones that
// come after it.
type smallPhotos struct {
	light, heavy chan struct{} // a place in each lane

	kept cache[register.Hash, *smallPhoto]

	mu     sync.Mutex
	making map[register.Hash]*smallPhoto
}

// smallPhoto is a small version, or why there is none.
type smallPhoto struct {
	done chan struct{} // closed when it is made
	jpeg []byte
	err  error
}

func newSmallPhotos() *smallPhotos {
	return &smallPhotos{light: make(chan struct{}, max(2, runtime.GOMAXPROCS(0)-1)), heavy: make(chan struct{}, 1),
		kept: cache[register.Hash, *smallPhoto]{most: keptBytes}, making: map[register.Hash]*smallPhoto{}}
}

// handlePhoto gives enrolled devices the small version of a photo where it is asked for
// with ?small=1, and leaves all else to sync/photo.
func (s *Server) handlePhoto(whole http.Handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet {
			whole.ServeHTTP(w, r)
			return
		}
		token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		sha, wrongName := photo.ParseSHA(r.PathValue("sha"))
		device, notAdmitted := s.admitToPhotos(r.Context(), token)
		if wrongName == nil && notAdmitted == nil {
			s.while(r, device, func() bool {
				rights, err := s.photoRights(r.Context(), token, sha)
				return err == nil && rights.Read
			})
		}
		switch {
		case r.URL.Query().Get("small") != "1":
			whole.ServeHTTP(w, r)
			return
		case notAdmitted != nil:
			refuse(w, http.StatusForbidden, notAdmitted)
			return
		case wrongName != nil:
			refuse(w, http.StatusBadRequest, wrongName)
			return
		}
		rights, err := s.photoRights(r.Context(), token, sha)
		switch {
		case err != nil:
			s.fail(w, r, err)
		case !rights.Read:
			refuse(w, http.StatusNotFound, photo.NotHere)
		default:
			s.sendSmallPhoto(w, r, sha, photo.NotHere)
		}
	}
}

// sendSmallPhoto gives the small version of a photo to somebody who may see it, or says
// that it is missing.
func (s *Server) sendSmallPhoto(w http.ResponseWriter, r *http.Request, sha register.Hash, missing *model.Problem) {
	whole := context.WithoutCancel(r.Context()) // others may wait for it too
	small, err := s.small.of(r.Context(), sha, func() (io.ReadCloser, error) { return s.photos.Open(whole, sha) })
	switch {
	case errors.Is(err, fs.ErrNotExist):
		refuse(w, http.StatusNotFound, missing)
	case errors.Is(err, errManySmall):
		w.Header().Set("Retry-After", "2")
		refuse(w, http.StatusServiceUnavailable, errManySmall)
	case err != nil:
		s.fail(w, r, err)
	default:
		w.Header().Set("ETag", strconv.Quote(sha.String()+"-small"))
		w.Header().Set("Cache-Control", "private, "+keepForever)
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(small))
	}
}

// of gives the small version of a photo, from memory or made again, unless ctx ends before. A
// *model.Problem when the photo is no picture that can be shown.
func (p *smallPhotos) of(ctx context.Context, sha register.Hash, open func() (io.ReadCloser, error)) ([]byte, error) {
	small, err := p.begin(sha, open)
	if err != nil {
		return nil, err
	}
	select {
	case <-small.done:
		return small.jpeg, small.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// begin finds a small version, or lets it be made once for all who ask meanwhile.
func (p *smallPhotos) begin(sha register.Hash, open func() (io.ReadCloser, error)) (*smallPhoto, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if kept := p.kept.of(sha, nil); kept != nil {
		return kept, nil
	}
	if small := p.making[sha]; small != nil {
		return small, nil
	}
	if len(p.making) >= mostMaking {
		return nil, errManySmall
	}
	small := &smallPhoto{done: make(chan struct{})}
	p.making[sha] = small
	go func() {
		small.jpeg, small.err = p.inLane(open)
		p.mu.Lock()
		defer p.mu.Unlock()
		delete(p.making, sha)
		if _, refused := errors.AsType[*model.Problem](small.err); small.err == nil || refused {
			p.kept.of(sha, func() *smallPhoto { return small })
			p.kept.weigh(sha, small, 512+len(small.jpeg))
		}
		close(small.done)
	}()
	return small, nil
}

// inLane makes a small version in the lane for light pictures or, when it is not one, in the
// other, where the photo is read again: what waits holds no memory.
func (p *smallPhotos) inLane(open func() (io.ReadCloser, error)) ([]byte, error) {
	small, err := within(p.light, open, lightWork)
	if errors.Is(err, errHeavy) {
		small, err = within(p.heavy, open, mostWork)
	}
	return small, err
}

func within(lane chan struct{}, open func() (io.ReadCloser, error), most int) (small []byte, err error) {
	lane <- struct{}{}
	defer func() { <-lane }()
	defer func() { // a decoder's fault must not end the server
		if recover() != nil {
			err = unreadable
		}
	}()
	f, err := open()
	if err != nil {
		return nil, err
	}
	whole, err := io.ReadAll(io.LimitReader(f, photo.MaxBytes))
	if err := errors.Join(err, f.Close()); err != nil {
		return nil, err
	}
	if work := jpegWork(whole); work > most && work <= mostWork {
		return nil, errHeavy
	}
	return makeSmall(whole)
}

// makeSmall scales a JPEG down and turns it upright. Nothing but the picture is kept: where
// it was taken, and by which camera, is not in the small version.
func makeSmall(whole []byte) ([]byte, error) {
	size, err := jpeg.DecodeConfig(bytes.NewReader(whole))
	if err != nil {
		return nil, unreadable
	}
	if size.Width*size.Height > maxPixels {
		return nil, &model.Problem{Path: "photo", Reason: fmt.Sprintf("the photo has %d by %d pixels, more than the server shows", size.Width, size.Height), Fix: "look at the whole photo"}
	}
	if jpegWork(whole) > mostWork {
		return nil, &model.Problem{Path: "photo", Reason: "the photo is packed so that it takes the server too long to show it", Fix: "look at the whole photo, which is kept as it came"}
	}
	picture, err := jpeg.Decode(bytes.NewReader(whole))
	if err != nil {
		return nil, unreadable
	}
	longer := max(size.Width, size.Height)
	width, height := size.Width, size.Height
	if longer > smallSide {
		width, height = max(1, width*smallSide/longer), max(1, height*smallSide/longer)
	}
	scaled := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.CatmullRom.Scale(scaled, scaled.Bounds(), picture, picture.Bounds(), draw.Src, nil)
	var b bytes.Buffer
	err = jpeg.Encode(&b, upright(scaled, orientation(whole)), &jpeg.Options{Quality: smallQuality})
	return b.Bytes(), err
}

var unreadable = &model.Problem{Path: "photo", Reason: "the photo cannot be shown: it is no JPEG that can be read", Fix: "the photo is kept as it came"}
