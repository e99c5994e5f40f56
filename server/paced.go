package server

import (
	"bufio"
	"context"
	"io"
	"net"
	"net/http"
	"sync"
	"time"

	"headcut/sync/pace"
)

// paced ends a request whose body hardly comes, and an answer that is hardly read: deadlines
// follow what has moved. A part of a photo keeps its own (sync/photo).
func (s *Server) paced(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		line := http.NewResponseController(w)
		answer := &pacedAnswer{ResponseWriter: w, line: line, rule: s.pace}
		if r.Body != nil && r.Body != http.NoBody {
			now := time.Now()
			_ = line.SetReadDeadline(s.pace.Deadline(now, now, 0)) // also for a body that nobody reads
			if r.Method != http.MethodPatch {
				r.Body = &pacedBody{ReadCloser: r.Body, line: line, rule: s.pace, began: now}
			}
		}
		defer func() {
			if s.answers.done(answer) {
				panic(http.ErrAbortHandler) // cut short, and seen to be
			}
			if !answer.hijacked {
				_ = line.SetWriteDeadline(time.Now().Add(s.pace.Silence)) // for what is still to be flushed
			}
		}()
		next.ServeHTTP(answer, r.WithContext(context.WithValue(r.Context(), answerKey{}, answer)))
	})
}

type pacedBody struct {
	io.ReadCloser
	line  *http.ResponseController
	rule  pace.Rule
	began time.Time
	came  int64
}

func (b *pacedBody) Read(buffer []byte) (int, error) {
	_ = b.line.SetReadDeadline(b.rule.Deadline(time.Now(), b.began, b.came)) // one that has none ends by itself
	n, err := b.ReadCloser.Read(buffer)
	b.came += int64(n)
	if err == io.EOF { // what is worked out now may take longer
		_ = b.line.SetReadDeadline(time.Time{})
	}
	return n, err
}

// answerPiece is how much of an answer must go out in the time of a silence.
const answerPiece = 32 << 10

type pacedAnswer struct {
	http.ResponseWriter
	line     *http.ResponseController
	rule     pace.Rule
	hijacked bool
	set      time.Time // when the deadline was last moved

	who string      // who asked, where that may lose the right to the answer: see while
	may func() bool // whether it still has that

	mu    sync.Mutex
	ended bool
}

func (a *pacedAnswer) Write(b []byte) (written int, err error) {
	for {
		if err := a.goOn(); err != nil {
			return written, err
		}
		n, err := a.ResponseWriter.Write(b[:min(len(b), answerPiece)])
		written, b = written+n, b[n:]
		if err != nil || len(b) == 0 {
			return written, err
		}
	}
}

// Unwrap is for http.ResponseController.
func (a *pacedAnswer) Unwrap() http.ResponseWriter { return a.ResponseWriter }

// Hijack implements [http.Hijacker]: a conversation has deadlines of its own.
func (a *pacedAnswer) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	a.hijacked = true
	return a.line.Hijack()
}
