package main

import (
	"io"
	"net/http"
	"sync"
)

// direct asks the admin API of a data folder that this process has open itself, without a
// socket in between: half of what an export takes would be copying through it.
type direct struct{ admin http.Handler }

// RoundTrip implements [http.RoundTripper].
func (d direct) RoundTrip(r *http.Request) (*http.Response, error) {
	body, to := io.Pipe()
	a := &answer{to: to, header: http.Header{}, begun: make(chan struct{})}
	asked := r.Clone(r.Context())
	if asked.Body == nil {
		asked.Body = http.NoBody
	}
	ended := make(chan struct{})
	go func() {
		defer func() {
			var err error
			if recover() != nil { // the admin API has written down why
				err = io.ErrUnexpectedEOF
			}
			a.WriteHeader(http.StatusOK)
			to.CloseWithError(err)
			close(ended)
		}()
		d.admin.ServeHTTP(a, asked)
	}()
	select {
	case <-a.begun:
	case <-r.Context().Done():
		_ = body.Close()
		return nil, r.Context().Err()
	}
	return &http.Response{Status: http.StatusText(a.status), StatusCode: a.status, Proto: "HTTP/1.1", ProtoMajor: 1, ProtoMinor: 1,
		Header: a.header, ContentLength: -1, Body: answerBody{body, ended}, Request: r}, nil
}

// answer is a response that is being written.
type answer struct {
	to     io.Writer
	header http.Header
	status int
	once   sync.Once
	begun  chan struct{}
}

func (a *answer) Header() http.Header { return a.header }

func (a *answer) WriteHeader(status int) {
	a.once.Do(func() {
		a.status = status
		close(a.begun)
	})
}

func (a *answer) Write(p []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.to.Write(p)
}

// answerBody is the answer as it is read.
type answerBody struct {
	*io.PipeReader
	ended chan struct{}
}

// Close lets the admin API end, and waits for it: the data folder may be closed next.
func (b answerBody) Close() error {
	err := b.PipeReader.Close()
	<-b.ended
	return err
}
