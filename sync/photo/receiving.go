package photo

import (
	"io"
	"net/http"
	"sync"
	"time"

	"headcut/model"
	"headcut/sync/pace"
	"headcut/sync/store"
)

// partGrace is how long a part that ends is still read: what has arrived of it waits in
// the system's buffers.
const partGrace = 500 * time.Millisecond

// PartsAtOnce is how many parts a device may be sending at once, those included that it has given up and
// that end in partGrace. A phone sends two.
const PartsAtOnce = 4

// tooMany answers one more.
var tooMany = &model.Problem{Reason: "this phone is sending too many photos at once", Fix: "it sends this one again when others are through"}

// receiving is the parts that are coming in. A device that asks about a photo again has lost
// the connection on which it sent a part of it. The server would learn of that minutes
// later, and until then nothing else may be written at what that device sends: so the old part ends where it
// is, and what has come of it is kept.
type receiving struct {
	mu    sync.Mutex
	parts map[store.Sending]*part
	of    map[string]int // how many of a device, those that are ending too
}

// part is the body of a request, read under a deadline.
type part struct {
	token      string
	body       io.Reader
	announced  int64 // bytes that its photo has still to come
	connection *http.ResponseController
	began      time.Time
	came       int64
	whole      bool

	mu    sync.Mutex
	ended bool
}

// end ends a part that is coming in, if any.
func (r *receiving) end(s store.Sending) {
	r.mu.Lock()
	p := r.parts[s]
	r.mu.Unlock()
	if p != nil {
		p.end(partGrace)
	}
}

// from are the parts that a device is sending.
func (r *receiving) from(device string) (parts []*part) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for sending, p := range r.parts {
		if sending.Device == device {
			parts = append(parts, p)
		}
	}
	return parts
}

// begin takes a part in, unless the device is sending too many; done must be called when all is done with
// it. What the device's other photos have announced is coming: the store counts it when their parts end.
func (r *receiving) begin(s request, w http.ResponseWriter, announced int64, body io.Reader) (p *part, coming int64, done func(), ok bool) {
	p = &part{token: s.token, body: body, announced: announced, connection: http.NewResponseController(w), began: time.Now()}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.parts == nil {
		r.parts, r.of = make(map[store.Sending]*part), make(map[string]int)
	}
	if r.of[s.Device] >= PartsAtOnce {
		// The connection ends with the answer: the body is not waited for.
		w.Header().Set("Connection", "close")
		_ = p.connection.SetReadDeadline(time.Now().Add(partGrace)) // a connection that has none dies by itself
		return nil, 0, nil, false
	}
	r.of[s.Device]++
	r.parts[s.Sending] = p
	for other, part := range r.parts {
		if other.Device == s.Device && other.SHA != s.SHA {
			coming += part.announced
		}
	}
	return p, coming, func() {
		r.mu.Lock()
		defer r.mu.Unlock()
		if r.of[s.Device]--; r.of[s.Device] == 0 {
			delete(r.of, s.Device)
		}
		if r.parts[s.Sending] == p {
			delete(r.parts, s.Sending)
		}
		if p.whole { // else net/http still reads what is left of it, and is not to wait for ever
			_ = p.connection.SetReadDeadline(time.Time{}) // the next request has its own
		}
	}, true
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
	p.whole = err == io.EOF
	return n, err
}

// end lets a part be read for some time more.
func (p *part) end(within time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ended = true
	_ = p.connection.SetReadDeadline(time.Now().Add(within)) // one that has none ends by itself
}
