package photo

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"

	"headcut/model"
	"headcut/sync/register"
)

// Client sends photos for the demo and for tests; phones do so in viewer/src/sync.
type Client struct {
	Base  string       // the server's address: "https://register.example"
	Token string       // from enrolment
	HTTP  *http.Client // nil: http.DefaultClient
}

// partBytes is how long the client's parts are.
const partBytes = 1 << 20

// Progress is how much of a photo the server has.
type Progress struct {
	Offset   int64
	Complete bool // all of it, and its hash is verified: the receipt
}

// Has asks how much of a photo the server has.
func (c *Client) Has(ctx context.Context, sha register.Hash) (Progress, error) {
	return c.do(ctx, http.MethodHead, sha, nil, 0, 0, 0)
}

// errNoRoom: HEAD was answered that there is no room now, which an answer to HEAD cannot explain.
var errNoRoom = errors.New("the server has no room for the photo now")

// Send sends what the server lacks of a photo, part by part, and returns when the server
// has verified its hash. After an error it may be called again and goes on where the
// server stands: where it has every byte and died before it had verified them, with an
// empty part. When the server finds the bytes damaged they are sent once more from
// the start; when that does not help either, the photo is damaged here.
func (c *Client) Send(ctx context.Context, sha register.Hash, photo io.ReaderAt, size int64) error {
	have, err := c.Has(ctx, sha)
	if errors.Is(err, errNoRoom) {
		if _, err := c.do(ctx, http.MethodPatch, sha, photo, 0, size, 0); err != nil && !errors.Is(err, errMisplaced) {
			return err
		}
		return errNoRoom // there is some again, or will be
	}
	if err != nil {
		return err
	}
	damaged := false
	for !have.Complete {
		if have.Offset > size { // its parts are of another photo
			return &model.Problem{Path: "sha", Reason: fmt.Sprintf("the server has %d bytes of a photo of %d", have.Offset, size)}
		}
		next, err := c.do(ctx, http.MethodPatch, sha, photo, have.Offset, size, partBytes)
		switch {
		case err == nil:
			if next.Offset <= have.Offset && !next.Complete {
				return errors.New("the server does not get on with the photo")
			}
			have = next
		case errors.Is(err, errMisplaced):
			have = next
		case errors.Is(err, errDamaged) && !damaged:
			damaged, have = true, Progress{}
		default:
			return err
		}
	}
	return nil
}

var (
	errMisplaced = errors.New("the part does not begin where the photo ends")
	errDamaged   = errors.New("the bytes that arrived do not match the photo's hash")
)

// do asks for the state of a photo, or sends the part of it that begins at off, of most bytes.
func (c *Client) do(ctx context.Context, method string, sha register.Hash, photo io.ReaderAt, off, size, most int64) (Progress, error) {
	var body io.Reader = http.NoBody
	part := min(most, size-off)
	if photo != nil && part > 0 { // a reader of nothing would be sent without its length
		body = io.NewSectionReader(photo, off, part)
	}
	request, err := http.NewRequestWithContext(ctx, method, c.Base+"/photos/"+sha.String(), body)
	if err != nil {
		return Progress{}, err
	}
	request.Header.Set("Authorization", "Bearer "+c.Token)
	if photo != nil {
		request.ContentLength = part
		request.Header.Set("Content-Type", "application/partial-upload")
		request.Header.Set("Upload-Offset", strconv.FormatInt(off, 10))
		request.Header.Set("Upload-Length", strconv.FormatInt(size, 10))
	}
	client := c.HTTP
	if client == nil {
		client = http.DefaultClient
	}
	answer, err := client.Do(request)
	if err != nil {
		return Progress{}, err
	}
	defer answer.Body.Close() // it was only read
	return readProgress(answer)
}

func readProgress(answer *http.Response) (Progress, error) {
	offset, err := strconv.ParseInt(answer.Header.Get("Upload-Offset"), 10, 64)
	at := Progress{Offset: offset, Complete: answer.Header.Get("Upload-Complete") == "?1"}
	switch {
	case answer.StatusCode == http.StatusConflict && err == nil:
		return at, errMisplaced
	case answer.StatusCode == http.StatusInsufficientStorage && answer.Request.Method == http.MethodHead:
		return Progress{}, errNoRoom
	case answer.StatusCode == http.StatusUnprocessableEntity:
		return Progress{}, errDamaged
	case answer.StatusCode/100 == 2 && err == nil && offset >= 0:
		return at, nil
	}
	problem := new(model.Problem)
	if json.NewDecoder(io.LimitReader(answer.Body, 1<<16)).Decode(problem) != nil || problem.Reason == "" {
		problem.Reason = "the server answered " + answer.Status
	}
	return Progress{}, problem
}
