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

// photoSize is a version of photos that the server draws again: of what the camera wrote beside the picture,
// or somebody hid in the file, nothing is left in it.
type photoSize struct {
	name    string
	side    int // px, of its longer side; a photo that is smaller keeps its size
	quality int // of JPEG, up to 100
}

var (
	asSmall  = photoSize{"small", 320, 75}   // for a phone in the field: enough to know the place by
	asShared = photoSize{"shared", 3072, 85} // for a link: as large as phones send the largest
)

const (
	maxPixels  = 32 << 20 // of a photo that is decoded: at most some 250 MB while it is
	keptBytes  = 32 << 20 // of photos drawn again, kept in memory
	mostMaking = 64       // at once, most of them waiting
)

var (
	errHeavy     = errors.New("this picture takes long")
	errManyDrawn = &model.Problem{Path: "photo", Reason: "the server is making ready many photos", Fix: "try again in 2 s"}
)

// drawnPhotos draws photos again in a pool and keeps those that were asked for last. Pictures
// that take long have a lane of their own, so that no picture holds up the light ones that
// come after it.
type drawnPhotos struct {
	light, heavy chan struct{} // a place in each lane
	lightWork    int           // of a picture for the first lane, at most

	kept cache[drawing, *drawnPhoto]

	mu     sync.Mutex
	making map[drawing]*drawnPhoto
}

// drawing is what a photo is drawn as.
type drawing struct {
	sha  register.Hash
	size photoSize
}

// drawnPhoto is a photo drawn again, or why there is none.
type drawnPhoto struct {
	done chan struct{} // closed when it is made
	jpeg []byte
	err  error
}

func newDrawnPhotos() *drawnPhotos {
	return &drawnPhotos{light: make(chan struct{}, max(2, runtime.GOMAXPROCS(0)-1)), heavy: make(chan struct{}, 1), lightWork: mostWork / 4,
		kept: cache[drawing, *drawnPhoto]{most: keptBytes}, making: map[drawing]*drawnPhoto{}}
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
			s.sendDrawn(w, r, drawing{sha, asSmall}, photo.NotHere)
		}
	}
}

// sendDrawn gives a photo, drawn again, to somebody who may see it, or says that it is missing.
func (s *Server) sendDrawn(w http.ResponseWriter, r *http.Request, d drawing, missing *model.Problem) {
	whole := context.WithoutCancel(r.Context()) // others may wait for it too
	drawn, err := s.drawn.of(r.Context(), d, func() (io.ReadCloser, error) { return s.photos.Open(whole, d.sha) })
	switch {
	case errors.Is(err, fs.ErrNotExist):
		refuse(w, http.StatusNotFound, missing)
	case errors.Is(err, errManyDrawn):
		w.Header().Set("Retry-After", "2")
		refuse(w, http.StatusServiceUnavailable, errManyDrawn)
	case err != nil:
		s.fail(w, r, err)
	default:
		w.Header().Set("ETag", strconv.Quote(d.sha.String()+"-"+d.size.name))
		w.Header().Set("Cache-Control", "private, "+keepForever)
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(drawn))
	}
}

// of gives a photo drawn again, from memory or made now, unless ctx ends before. A *model.Problem when
// the photo is no picture that can be shown.
func (p *drawnPhotos) of(ctx context.Context, d drawing, open func() (io.ReadCloser, error)) ([]byte, error) {
	drawn, err := p.begin(d, open)
	if err != nil {
		return nil, err
	}
	select {
	case <-drawn.done:
		return drawn.jpeg, drawn.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// begin finds a photo drawn again, or lets it be drawn once for all who ask meanwhile.
func (p *drawnPhotos) begin(d drawing, open func() (io.ReadCloser, error)) (*drawnPhoto, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if kept := p.kept.of(d, nil); kept != nil {
		return kept, nil
	}
	if drawn := p.making[d]; drawn != nil {
		return drawn, nil
	}
	if len(p.making) >= mostMaking {
		return nil, errManyDrawn
	}
	drawn := &drawnPhoto{done: make(chan struct{})}
	p.making[d] = drawn
	go func() {
		drawn.jpeg, drawn.err = p.inLane(d.size, open)
		p.mu.Lock()
		defer p.mu.Unlock()
		delete(p.making, d)
		if _, refused := errors.AsType[*model.Problem](drawn.err); drawn.err == nil || refused {
			p.kept.of(d, func() *drawnPhoto { return drawn })
			p.kept.weigh(d, drawn, 512+len(drawn.jpeg))
		}
		close(drawn.done)
	}()
	return drawn, nil
}

// inLane draws a photo in the lane for light pictures or, when it is not one, in the other, where it is
// read again: what waits holds no memory.
func (p *drawnPhotos) inLane(size photoSize, open func() (io.ReadCloser, error)) ([]byte, error) {
	drawn, err := within(p.light, open, p.lightWork, size)
	if errors.Is(err, errHeavy) {
		drawn, err = within(p.heavy, open, mostWork, size)
	}
	return drawn, err
}

func within(lane chan struct{}, open func() (io.ReadCloser, error), most int, size photoSize) (drawn []byte, err error) {
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
	return size.draw(whole)
}

// draw scales a JPEG down to the size and turns it upright.
func (s photoSize) draw(whole []byte) ([]byte, error) {
	size, err := jpeg.DecodeConfig(bytes.NewReader(whole))
	if err != nil {
		return nil, unreadable
	}
	if size.Width*size.Height > maxPixels {
		return nil, &model.Problem{Path: "photo", Reason: fmt.Sprintf("the photo has %d by %d pixels, more than the server shows", size.Width, size.Height), Fix: "look at the whole photo, which the officer has"}
	}
	if jpegWork(whole) > mostWork {
		return nil, &model.Problem{Path: "photo", Reason: "the photo is packed so that it takes the server too long to show it", Fix: "look at the whole photo, which the officer has as it came"}
	}
	picture, err := jpeg.Decode(bytes.NewReader(whole))
	if err != nil {
		return nil, unreadable
	}
	scaler, width, height := draw.Scaler(draw.NearestNeighbor), size.Width, size.Height // which copies
	if longer := max(width, height); longer > s.side {
		scaler, width, height = draw.CatmullRom, max(1, width*s.side/longer), max(1, height*s.side/longer)
	}
	scaled := image.NewRGBA(image.Rect(0, 0, width, height))
	scaler.Scale(scaled, scaled.Bounds(), picture, picture.Bounds(), draw.Src, nil)
	var b bytes.Buffer
	err = jpeg.Encode(&b, upright(scaled, orientation(whole)), &jpeg.Options{Quality: s.quality})
	return b.Bytes(), err
}

var unreadable = &model.Problem{Path: "photo", Reason: "the photo cannot be shown: it is no JPEG that can be read", Fix: "the photo is kept as it came"}
