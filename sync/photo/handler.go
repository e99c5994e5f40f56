package photo

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Handler serves photos to enrolled devices at a pattern that ends in "/{sha}".
type Handler struct {
	Photos store.Photos
	// Admit tells which device a token is of; a *model.Problem is shown, and one without a
	// path asks the device to come back later.
	Admit func(ctx context.Context, token string) (device string, err error)
	// Rights tells what a device that Admit let in may learn of a photo that it has not sent itself. nil:
	// all devices may read all photos.
	Rights func(ctx context.Context, token string, sha register.Hash) (Rights, error)
	// Check checks at a photo that has come whole before it is kept. nil: any bytes are kept.
	Check store.PhotoCheck
	// Room tells whether a device may send size bytes more of a photo, 0 when it only asks, besides those
	// that its other photos coming in have announced; its Problem asks it to send them later. nil: there
	// is always room.
	Room   func(ctx context.Context, token string, sha register.Hash, size, coming int64) error
	Logger *slog.Logger // nil: slog.Default

	receiving receiving
}

// Rights are what a device may learn of a photo.
type Rights struct {
	Read bool // a photo that may not be read is answered as one that has not come
	Owes bool // an entry of its own names the photo for a property for which nobody has sent it: it is asked for the bytes, also of a photo that is here
}

// ServeHTTP answers HEAD, GET and PATCH.
func (h *Handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	token, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	if !ok {
		w.Header().Set("WWW-Authenticate", "Bearer")
		h.refuse(w, http.StatusUnauthorized, &model.Problem{Path: "Authorization", Reason: "no token was given", Fix: "enrol the device"})
		return
	}
	device, err := h.Admit(r.Context(), token)
	if err != nil {
		h.notAdmitted(w, err)
		return
	}
	sha, err := ParseSHA(r.PathValue("sha"))
	if err != nil {
		h.refuse(w, http.StatusBadRequest, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	from := request{token, store.Sending{Device: device, SHA: sha}}
	switch r.Method {
	case http.MethodHead:
		h.receiving.end(from.Sending)
		h.offset(w, r, from)
	case http.MethodGet:
		h.read(w, r, from)
	case http.MethodPatch:
		h.receiving.end(from.Sending)
		h.write(w, r, from)
	default:
		w.Header().Set("Allow", "GET, HEAD, PATCH")
		h.refuse(w, http.StatusMethodNotAllowed, &model.Problem{Reason: r.Method + " is not for photos"})
	}
}

// notAdmitted answers a token that allows nothing, or nothing yet.
func (h *Handler) notAdmitted(w http.ResponseWriter, err error) {
	status := http.StatusForbidden
	if p, ok := errors.AsType[*model.Problem](err); ok && p.Path == "" { // nothing is wrong with the token: come back
		w.Header().Set("Retry-After", "600")
		status = http.StatusServiceUnavailable
	}
	h.refuse(w, status, err)
}

// Recheck ends the parts that a device is sending when it has no rights any more. A part that is not ended
// by it, as one that has come whole just now, is asked about again before its photo is kept.
func (h *Handler) Recheck(ctx context.Context, device string) {
	for _, p := range h.receiving.from(device) {
		if _, err := h.Admit(ctx, p.token); err != nil {
			p.end(0)
		}
	}
}

// request is one that was let in.
type request struct {
	token string
	store.Sending
}

// offset answers how much the device has sent, or that the photo is here to one that may know it.
func (h *Handler) offset(w http.ResponseWriter, r *http.Request, from request) {
	offset, whole, err := h.has(r.Context(), from)
	if err != nil {
		h.refuse(w, http.StatusInternalServerError, err)
		return
	}
	if !whole && h.Room != nil { // before bytes are sent in vain; the words come with the answer to an empty part
		if err := h.Room(r.Context(), from.token, from.SHA, 0, 0); err != nil {
			h.later(w, err)
			return
		}
	}
	progress(w, offset, whole)
	w.WriteHeader(http.StatusNoContent)
}

// later refuses bytes for which there is no room now.
func (h *Handler) later(w http.ResponseWriter, err error) {
	w.Header().Set("Retry-After", "600")
	h.refuse(w, http.StatusInsufficientStorage, err)
}

func (h *Handler) has(ctx context.Context, from request) (offset int64, whole bool, err error) {
	rights, err := h.rights(ctx, from)
	if err != nil {
		return 0, false, err
	}
	devices, size, err := h.Photos.Sent(ctx, from.SHA)
	if err != nil {
		return 0, false, err
	}
	if sent := slices.Contains(devices, from.Device); sent || rights.Read && !rights.Owes {
		missing, err := Missing(ctx, h.Photos, []register.Hash{from.SHA})
		if err != nil || len(missing) == 0 {
			return size, err == nil, err
		}
	}
	offset, err = h.Photos.Offset(ctx, from.Sending)
	return offset, false, err
}

func (h *Handler) rights(ctx context.Context, from request) (Rights, error) {
	if h.Rights == nil {
		return Rights{Read: true}, nil
	}
	return h.Rights(ctx, from.token, from.SHA)
}

func progress(w http.ResponseWriter, offset int64, complete bool) {
	w.Header().Set("Upload-Offset", strconv.FormatInt(offset, 10))
	if complete {
		w.Header().Set("Upload-Complete", "?1")
		return
	}
	w.Header().Set("Upload-Complete", "?0")
}

// NotHere answers who asks for a photo that has not come, or that they may not read.
var NotHere = &model.Problem{Path: "photo", Reason: "the photo has not come yet", Fix: "the device that took it still has it"}

func (h *Handler) read(w http.ResponseWriter, r *http.Request, from request) {
	sha := from.SHA
	rights, err := h.rights(r.Context(), from)
	if err != nil {
		h.refuse(w, http.StatusInternalServerError, err)
		return
	}
	if !rights.Read {
		h.refuse(w, http.StatusNotFound, NotHere)
		return
	}
	f, err := h.Photos.Open(r.Context(), sha)
	if errors.Is(err, fs.ErrNotExist) {
		h.refuse(w, http.StatusNotFound, NotHere)
		return
	}
	if err != nil {
		h.refuse(w, http.StatusInternalServerError, err)
		return
	}
	defer f.Close() // it was only read
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("X-Content-Type-Options", "nosniff")
	w.Header().Set("ETag", `"`+sha.String()+`"`)
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	http.ServeContent(w, r, "", time.Time{}, f)
}

func (h *Handler) write(w http.ResponseWriter, r *http.Request, from request) {
	off, err := number(r, "Upload-Offset")
	if err != nil {
		h.refuse(w, http.StatusBadRequest, err)
		return
	}
	size, err := number(r, "Upload-Length")
	switch {
	case err != nil:
	case size == 0:
		err = &model.Problem{Path: "Upload-Length", Reason: "a photo has at least one byte"}
	case off > size:
		err = &model.Problem{Path: "Upload-Offset", Reason: "lies beyond Upload-Length"}
	case r.ContentLength > size-off:
		err = &model.Problem{Path: "Content-Length", Reason: "the part reaches beyond Upload-Length"}
	}
	if err != nil {
		h.refuse(w, http.StatusBadRequest, err)
		return
	}
	if size > MaxBytes || r.ContentLength > MaxPart {
		h.refuse(w, http.StatusRequestEntityTooLarge, &model.Problem{Path: "Upload-Length",
			Reason: fmt.Sprintf("a photo may have %d bytes and a part %d", MaxBytes, MaxPart), Fix: "send smaller parts, or the photo at a lower quality"})
		return
	}
	// What came before a cut is kept: the device goes on from there.
	body, coming, done, ok := h.receiving.begin(from, w, size-off, io.LimitReader(r.Body, min(MaxPart, size-off)))
	if !ok {
		w.Header().Set("Retry-After", "2")
		h.refuse(w, http.StatusServiceUnavailable, tooMany)
		return
	}
	if h.Room != nil && off < size {
		if err := h.Room(r.Context(), from.token, from.SHA, size-off, coming); err != nil {
			_, _ = io.Copy(io.Discard, body) // a browser that is still sending would not see the answer
			done()
			if r.ContentLength == 0 || !h.misplaced(w, r, from.Sending, off) { // an empty part asks for the words
				h.later(w, err)
			}
			return
		}
	}
	checks := []store.PhotoCheck{func(io.ReaderAt, int64) *model.Problem { return h.letIn(r.Context(), from) }}
	if h.Check != nil {
		checks = append(checks, h.Check)
	}
	end, err := h.Photos.WriteAt(r.Context(), from.Sending, off, size, body, checks...)
	done()
	if err != nil {
		if problem := h.letIn(r.Context(), from); problem != nil {
			w.Header().Set("Connection", "close") // the rest of the part is not waited for
			h.notAdmitted(w, problem)
			return
		}
	}
	if p, ok := errors.AsType[*model.Problem](err); ok && p.Path == "photo" {
		h.refuse(w, http.StatusUnsupportedMediaType, p)
		return
	}
	switch {
	case err == nil:
		progress(w, end, end == size)
		w.WriteHeader(http.StatusNoContent)
	case errors.Is(err, store.ErrPhotoDamaged):
		progress(w, 0, false)
		h.refuse(w, http.StatusUnprocessableEntity, &model.Problem{Path: "sha", Reason: "the photo's bytes do not match its hash", Fix: "send it again from its start"})
	case errors.Is(err, store.ErrFull):
		h.later(w, &model.Problem{Reason: "the server's disk is full", Fix: "everything stays on this phone and is sent again later"})
	case r.Context().Err() != nil: // the line was cut, or went silent and was ended: no answer may pass for success
		panic(http.ErrAbortHandler)
	case !h.misplaced(w, r, from.Sending, off):
		h.refuse(w, http.StatusInternalServerError, err)
	}
}

// letIn asks again whether a device is let in; a Problem when it is not any more.
func (h *Handler) letIn(ctx context.Context, from request) *model.Problem {
	_, err := h.Admit(ctx, from.token)
	if err == nil {
		return nil
	}
	if problem, ok := errors.AsType[*model.Problem](err); ok {
		return problem
	}
	return internal
}

// misplaced answers a part that does not begin where the photo ends, as after an answer that was
// lost, with 409.
func (h *Handler) misplaced(w http.ResponseWriter, r *http.Request, from store.Sending, off int64) bool {
	there, err := h.Photos.Offset(r.Context(), from)
	if err != nil || there == off {
		return false
	}
	progress(w, there, false)
	h.refuse(w, http.StatusConflict, &model.Problem{Path: "Upload-Offset", Reason: fmt.Sprintf("is %d and %d bytes are here", off, there),
		Fix: "go on from the Upload-Offset of this answer"})
	return true
}

func number(r *http.Request, header string) (int64, error) {
	text := r.Header.Get(header)
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, &model.Problem{Path: header, Reason: fmt.Sprintf("%q is not a number of bytes", text)}
	}
	return n, nil
}

var internal = &model.Problem{Reason: "the server has an internal error", Fix: "keep the photo and send it again later"}

func (h *Handler) refuse(w http.ResponseWriter, status int, err error) {
	problem, ok := errors.AsType[*model.Problem](err)
	if !ok {
		logger := h.Logger
		if logger == nil {
			logger = slog.Default()
		}
		logger.Error("trouble with a photo", "error", err)
		status, problem = http.StatusInternalServerError, internal
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(problem) // the device may be gone
}
