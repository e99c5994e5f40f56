package server

import (
	"bytes"
	"container/list"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"io/fs"
	"net/http"
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
	maxPixels    = 32 << 20 // of a photo that is decoded: at most some 200 MB while it is
	keptBytes    = 32 << 20 // of small versions, kept in memory
)

// smallPhotos makes small versions, one at a time, and keeps those that were asked for last.
// The zero value is ready for use.
type smallPhotos struct {
	making sync.Mutex // held while one is made: memory for one decoded photo is enough

	mu    sync.Mutex
	bytes int
	order list.List // of *smallPhoto, the last asked for at the front
	by    map[register.Hash]*list.Element
}

type smallPhoto struct {
	sha  register.Hash
	jpeg []byte
}

// handlePhoto gives enrolled devices the small version of a photo where it is asked for
// with ?small=1, and leaves all else to sync/photo.
func (s *Server) handlePhoto(whole http.Handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet || r.URL.Query().Get("small") != "1" {
			whole.ServeHTTP(w, r)
			return
		}
		token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		if err := s.admitToPhotos(r.Context(), token); err != nil {
			refuse(w, http.StatusForbidden, err)
			return
		}
		sha, err := photo.ParseSHA(r.PathValue("sha"))
		if err != nil {
			refuse(w, http.StatusBadRequest, err)
			return
		}
		s.sendSmallPhoto(w, r, sha, &model.Problem{Path: "photo", Reason: "the photo has not come yet", Fix: "the device that took it still has it"})
	}
}

// sendSmallPhoto gives the small version of a photo to somebody who may see it, or says
// that it is missing.
func (s *Server) sendSmallPhoto(w http.ResponseWriter, r *http.Request, sha register.Hash, missing *model.Problem) {
	small, err := s.small.of(sha, func() (io.ReadCloser, error) { return s.photos.Open(r.Context(), sha) })
	switch {
	case errors.Is(err, fs.ErrNotExist):
		refuse(w, http.StatusNotFound, missing)
	case err != nil:
		s.fail(w, r, err)
	default:
		w.Header().Set("Content-Type", "image/jpeg")
		w.Header().Set("ETag", strconv.Quote(sha.String()+"-small"))
		w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(small))
	}
}

// of gives the small version of a photo, from memory or made again. A *model.Problem when
// the photo is no picture that can be shown.
func (p *smallPhotos) of(sha register.Hash, open func() (io.ReadCloser, error)) ([]byte, error) {
	if kept := p.kept(sha); kept != nil {
		return kept, nil
	}
	p.making.Lock()
	defer p.making.Unlock()
	if kept := p.kept(sha); kept != nil { // made while this one waited
		return kept, nil
	}
	f, err := open()
	if err != nil {
		return nil, err
	}
	whole, err := io.ReadAll(io.LimitReader(f, photo.MaxBytes))
	if err := errors.Join(err, f.Close()); err != nil {
		return nil, err
	}
	small, err := makeSmall(whole)
	if err == nil {
		p.keep(sha, small)
	}
	return small, err
}

func (p *smallPhotos) kept(sha register.Hash) []byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	e := p.by[sha]
	if e == nil {
		return nil
	}
	p.order.MoveToFront(e)
	return e.Value.(*smallPhoto).jpeg
}

func (p *smallPhotos) keep(sha register.Hash, jpeg []byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.by == nil {
		p.by = map[register.Hash]*list.Element{}
	}
	p.by[sha] = p.order.PushFront(&smallPhoto{sha, jpeg})
	for p.bytes += len(jpeg); p.bytes > keptBytes; {
		oldest := p.order.Remove(p.order.Back()).(*smallPhoto)
		delete(p.by, oldest.sha)
		p.bytes -= len(oldest.jpeg)
	}
}

// makeSmall scales a JPEG down and turns it upright. Nothing but the picture is kept: where
// it was taken, and by which camera, is not in the small version.
func makeSmall(whole []byte) ([]byte, error) {
	size, err := jpeg.DecodeConfig(bytes.NewReader(whole))
	if err != nil {
		return nil, unreadable(err)
	}
	if size.Width*size.Height > maxPixels {
		return nil, &model.Problem{Path: "photo", Reason: fmt.Sprintf("the photo has %d by %d pixels, more than the server shows", size.Width, size.Height), Fix: "look at the whole photo"}
	}
	picture, err := jpeg.Decode(bytes.NewReader(whole))
	if err != nil {
		return nil, unreadable(err)
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

func unreadable(err error) error {
	return &model.Problem{Path: "photo", Reason: "the photo cannot be shown: " + err.Error(), Fix: "the photo is kept as it came"}
}
