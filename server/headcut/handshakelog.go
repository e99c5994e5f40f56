package main

import (
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"sync"
	"time"
)

// handshakesLogged is how many failed TLS handshakes a minute the log has a line for. The rest are
// counted: anybody can begin thousands.
const handshakesLogged = 10

// handshakeLog passes on what http.Server logs. Of lines about handshakes it passes the first of each
// minute, and the number of the others when the minute is over.
type handshakeLog struct {
	to     io.Writer
	log    *slog.Logger
	minute time.Duration

	mu   sync.Mutex
	came int // in the present minute, 0 while none has begun
}

func newHandshakeLog(log *slog.Logger) *handshakeLog {
	return &handshakeLog{to: slog.NewLogLogger(log.Handler(), slog.LevelWarn).Writer(), log: log, minute: time.Minute}
}

var aboutHandshake = []byte("http: TLS handshake error")

// Write implements [io.Writer] for [log.Logger], which gives a line at a time.
func (h *handshakeLog) Write(line []byte) (int, error) {
	if bytes.HasPrefix(line, aboutHandshake) && !h.more() {
		return len(line), nil
	}
	return h.to.Write(line)
}

// more counts a line, and reports whether it is passed on.
func (h *handshakeLog) more() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.came++; h.came == 1 {
		time.AfterFunc(h.minute, h.tell)
	}
	return h.came <= handshakesLogged
}

// tell ends a minute.
func (h *handshakeLog) tell() {
	h.mu.Lock()
	rest := h.came - handshakesLogged
	h.came = 0
	h.mu.Unlock()
	if rest > 0 {
		h.log.Warn(fmt.Sprintf("%d more TLS handshakes came to nothing within a minute", rest))
	}
}
