package server

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/sync/pace"
)

// pacedLine is the other end of a request that notes when deadlines are moved.
type pacedLine struct {
	*httptest.ResponseRecorder
	reads, writes []time.Time
	pieces        []int
	most          int // bytes that are taken before it breaks, 0 for all
}

func (l *pacedLine) SetReadDeadline(at time.Time) error  { l.reads = append(l.reads, at); return nil }
func (l *pacedLine) SetWriteDeadline(at time.Time) error { l.writes = append(l.writes, at); return nil }

func (l *pacedLine) Write(b []byte) (int, error) {
	if l.most > 0 && len(b) >= l.most {
		return l.most, errors.New("the line broke")
	}
	l.pieces = append(l.pieces, len(b))
	return len(b), nil
}

// TestDeadlinesFollowWhatMoves: of a request's body with each reading, of an answer from time to time.
func TestDeadlinesFollowWhatMoves(t *testing.T) {
	body, answer := strings.Repeat("b", 9), make([]byte, 3*answerPiece+1)
	for name, c := range map[string]struct {
		silence       time.Duration
		method        string
		body          io.Reader
		reads, writes int
	}{
		"seldom":            {time.Hour, "POST", strings.NewReader(body), 4, 2},       // at the start, for what came and its end, and none any more; the answer's, and what is flushed
		"each time":         {time.Nanosecond, "POST", strings.NewReader(body), 4, 5}, // each of four pieces
		"no body":           {time.Hour, "GET", nil, 0, 2},
		"a part of a photo": {time.Hour, "PATCH", strings.NewReader(body), 1, 2}, // which keeps its own
	} {
		s := &Server{pace: pace.Rule{Silence: c.silence, Grace: time.Hour, BytesPerS: 1}}
		line := &pacedLine{ResponseRecorder: httptest.NewRecorder()}
		began := time.Now()
		s.paced(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if got, err := io.ReadAll(r.Body); err != nil || c.body != nil && string(got) != body {
				t.Errorf("%s: read %q, %v", name, got, err)
			}
			if n, err := w.Write(answer); n != len(answer) || err != nil {
				t.Errorf("%s: wrote %d, %v", name, n, err)
			}
		})).ServeHTTP(line, httptest.NewRequest(c.method, "/", c.body))
		if len(line.reads) != c.reads || len(line.writes) != c.writes {
			t.Errorf("%s: deadlines are moved %d times for reading and %d for writing, want %d and %d", name, len(line.reads), len(line.writes), c.reads, c.writes)
		}
		if c.reads == 4 && (line.reads[0].Before(began) || line.reads[0].After(time.Now().Add(c.silence)) || !line.reads[3].IsZero()) {
			t.Errorf("%s: read until %v", name, line.reads)
		}
		for _, at := range line.writes {
			if at.Before(began.Add(c.silence)) || at.After(time.Now().Add(c.silence)) {
				t.Errorf("%s: written until %v", name, at)
			}
		}
		if want := []int{answerPiece, answerPiece, answerPiece, 1}; !slices.Equal(line.pieces, want) {
			t.Errorf("%s: written in pieces of %v, want %v", name, line.pieces, want)
		}
	}
	broken := &pacedLine{ResponseRecorder: httptest.NewRecorder(), most: 7}
	a := &pacedAnswer{ResponseWriter: broken, line: http.NewResponseController(broken), rule: pace.Default}
	if n, err := a.Write(answer); n != 7 || err == nil {
		t.Errorf("of an answer whose line breaks %d bytes are written, %v", n, err)
	}
}

// TestSlowBodiesAreGivenTheirTime: what has come of a body moves its deadline on.
func TestSlowBodiesAreGivenTheirTime(t *testing.T) {
	line := &pacedLine{ResponseRecorder: httptest.NewRecorder()}
	began := time.Now()
	b := &pacedBody{ReadCloser: io.NopCloser(strings.NewReader("abcdef")), line: http.NewResponseController(line), rule: pace.Rule{Silence: time.Hour, Grace: 0, BytesPerS: 1}, began: began}
	for range 3 {
		if n, err := b.Read(make([]byte, 2)); n != 2 || err != nil {
			t.Fatal(n, err)
		}
	}
	for i, at := range line.reads {
		if want := began.Add(time.Duration(2*i) * time.Second); !at.Equal(want) {
			t.Errorf("after %d bytes it has until %v, want %v", 2*i, at, want)
		}
	}
}
