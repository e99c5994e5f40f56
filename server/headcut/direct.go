package main

import (
	"errors"
	"io"
	"net/http"
	"sync"
)

// direct asks the admin API of a data folder that this process has open itself, without a
// socket in between: half of what an export takes would be copying through it. Answers are
// written to where they are copied to, as they are made.
type direct struct{ admin http.Handler }

// RoundTrip implements [http.RoundTripper].
func (d direct) RoundTrip(r *http.Request) (*http.Response, error) {
	a := &answer{header: http.Header{}, begun: make(chan struct{}), target: make(chan io.Writer, 1), ended: make(chan struct{})}
	asked := r.Clone(r.Context())
	if asked.Body == nil {
		asked.Body = http.NoBody
	}
	go func() {
		defer func() {
			if recover() != nil { // the admin API has written down why
				a.err = io.ErrUnexpectedEOF
			}
			a.begin(http.StatusOK)
			close(a.ended)
		}()
		d.admin.ServeHTTP(a, asked)
	}()
	select {
	case <-a.begun:
	case <-r.Context().Done():
		a.attach(closed{})
		return nil, r.Context().Err()
	}
	return &http.Response{Status: http.StatusText(a.status), StatusCode: a.status, Proto: "HTTP/1.1", ProtoMajor: 1, ProtoMinor: 1,
		Header: a.header, ContentLength: -1, Body: &answerBody{answer: a}, Request: r}, nil
}

// answer is a response that is being written. Whoever reads it says where to.
type answer struct {
	header http.Header
	status int
	once   sync.Once
	begun  chan struct{}
	target chan io.Writer
	to     io.Writer
	ended  chan struct{}
	err    error // once ended
}

func (a *answer) Header() http.Header { return a.header }

func (a *answer) WriteHeader(status int) { a.begin(status) }

func (a *answer) begin(status int) {
	a.once.Do(func() {
		a.status = status
		close(a.begun)
	})
}

func (a *answer) Write(p []byte) (int, error) {
	a.begin(http.StatusOK)
	if a.to == nil {
		a.to = <-a.target
	}
	return a.to.Write(p)
}

// attach says where the answer goes; the first one counts.
func (a *answer) attach(w io.Writer) {
	select {
	case a.target <- w:
	default:
	}
}

// answerBody is the answer for whoever reads it: whole by WriteTo, or bit by bit.
type answerBody struct {
	*answer
	pipe *io.PipeReader
}

// WriteTo implements [io.WriterTo].
func (b *answerBody) WriteTo(w io.Writer) (int64, error) {
	n := &counting{Writer: w}
	b.attach(n)
	<-b.ended
	return n.n, errors.Join(n.err, b.err)
}

func (b *answerBody) Read(p []byte) (int, error) {
	if b.pipe == nil {
		r, w := io.Pipe()
		b.pipe = r
		b.attach(w)
		go func() {
			<-b.ended
			w.CloseWithError(b.err) // the end, when there is none
		}()
	}
	return b.pipe.Read(p)
}

// Close lets the admin API end, and waits for it: the data folder may be closed next.
func (b *answerBody) Close() error {
	b.attach(closed{})
	if b.pipe != nil {
		b.pipe.Close()
	}
	<-b.ended
	return nil
}

type counting struct {
	io.Writer
	n   int64
	err error
}

func (c *counting) Write(p []byte) (int, error) {
	n, err := c.Writer.Write(p)
	c.n += int64(n)
	if c.err == nil {
		c.err = err
	}
	return n, err
}

// closed takes nothing any more.
type closed struct{}

func (closed) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }
