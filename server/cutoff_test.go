package server

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"headcut/model"
)

// TestAnswerCutShort: a server that is killed while it answers leaves a plain sentence and what
// to do, whatever of the answer had come.
func TestAnswerCutShort(t *testing.T) {
	for name, said := range map[string]string{"nothing": "", "head": "HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n", "half": "HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n{\"new\":1,"} {
		t.Run(name, func(t *testing.T) {
			front := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
				conn, _, err := w.(http.Hijacker).Hijack()
				if err != nil {
					t.Error(err)
					return
				}
				_, _ = conn.Write([]byte(said))
				conn.Close()
			}))
			defer front.Close()
			client := &http.Client{Transport: towards{front.URL}}
			var taken Taken
			for _, into := range []any{&taken, &bytes.Buffer{}} {
				err := Ask(context.Background(), client, http.MethodPost, "/office/intake", strings.NewReader("file"), into)
				if p, ok := errors.AsType[*model.Problem](err); !ok || !strings.Contains(p.Reason, "cut short") || !strings.Contains(p.Fix, "run the command again") {
					t.Errorf("into %T: %v", into, err)
				}
			}
		})
	}
}

// towards sends every request to one address.
type towards struct{ url string }

func (t towards) RoundTrip(r *http.Request) (*http.Response, error) {
	r = r.Clone(r.Context())
	r.URL.Host = strings.TrimPrefix(t.url, "http://")
	return http.DefaultTransport.RoundTrip(r)
}
