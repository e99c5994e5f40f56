package photo

import (
	"io"
	"net/http"
	"sync"
	"time"

	"headcut/sync/pace"
	"headcut/sync/store"
)

// partGrace is how long a part that ends is still read: what has arrived of it waits in
// the system's buffers.
const partGrace = 500 * time.Millisecond

// receiving is the parts that are coming in. A device that asks about a photo again has lost
// the connection on which it sent a part of it. The server would learn of that minutes
// later, and until then nothing else may be written at what that device sends: so the old part ends where it
// is, and what has come of it is kept.
type receiving struct {
	mu    sync.Mutex
	parts map[store.Sending]*part
}

// part is the body of a request, read under a deadline.
type part struct {
	body       io.Reader
	connection *http.ResponseController
	began      time.Time
	came       int64

	mu    sync.Mutex
	ended bool
}

// end ends a part that is coming in, if any.
func (r *receiving) end(s store.Sending) {
	r.mu.Lock()
	p := r.parts[s]
	delete(r.parts, s)
	r.mu.Unlock()
	if p != nil {
		p.end()
	}
}

// begin takes a part in; done must be called when it has been read.
func (r *receiving) begin(s store.Sending, w http.ResponseWriter, body io.Reader) (p *part, done func()) {
	p = &part{body: body, connection: http.NewResponseController(w), began: time.Now()}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.parts == nil {
		r.parts = make(map[store.Sending]*part)
	}
	r.parts[s] = p
	return p, func() {
		r.mu.Lock()
		defer r.mu.Unlock()
		if r.parts[s] == p {
			delete(r.parts, s)
		}
		_ = p.connection.SetReadDeadline(time.Time{}) // the next request has its own
	}
}

// Read implements [io.Reader].
func (p *part) Read(buffer []byte) (int, error) {
	p.mu.Lock()
	if !p.ended {
		_ = p.connection.SetReadDeadline(pace.Default.Deadline(time.Now(), p.began, p.came)) // a connection that has none dies by itself
	}
	p.mu.Unlock()
	n, err := p.body.Read(buffer)
	p.came += int64(n)
	return n, err
}

func (p *part) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ended = true
	_ = p.connection.SetReadDeadline(time.Now().Add(partGrace)) // one that has none ends by itself
}
