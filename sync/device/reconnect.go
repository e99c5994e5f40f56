package device

import (
	"errors"
	"io"
	"syscall"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/wire"
)

const (
	longestWait = time.Minute
	steady      = time.Minute // up for that long, the count begins again
	// crowdCount is where the count stands after the server itself went away: all its
	// devices lost it in the same instant, and [0, 32 s] keeps them apart. A link that
	// failed is one device's own trouble, and begins at 0.
	crowdCount = 5
)

// reconnect decides when to connect again: at a random moment in [0, min(60 s, 2^k s)],
// k counting the failures.
type reconnect struct {
	k      int
	chance func() float64
}

// ended takes note of a connection that ended, or did not come about.
func (r *reconnect) ended(err error, up time.Duration) {
	if up >= steady {
		r.k = 0
	}
	if serverGone(err) {
		r.k = max(r.k, crowdCount)
	}
}

// next is how long to wait. What the server asked for, if anything, comes first.
func (r *reconnect) next(later *wire.Later) time.Duration {
	most := longestWait
	if r.k < 6 {
		most = time.Second << r.k
		r.k++
	}
	if later != nil {
		after, within := time.Duration(later.AfterMS)*time.Millisecond, time.Duration(later.WithinMS)*time.Millisecond
		return min(max(after, 0), time.Hour) + time.Duration(r.chance()*float64(min(max(within, 0), time.Hour)))
	}
	return time.Duration(r.chance() * float64(most))
}

// serverGone tells whether the other end died or is not listening, rather than the link
// between having failed.
func serverGone(err error) bool {
	return errors.Is(err, syscall.ECONNREFUSED) || errors.Is(err, syscall.ECONNRESET) || errors.Is(err, syscall.EPIPE) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) ||
		websocket.IsCloseError(err, websocket.CloseAbnormalClosure, websocket.CloseServiceRestart, websocket.CloseGoingAway)
}
