package server

import (
	"crypto/tls"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"
)

// TestUnreadAnswersStayShort: of an answer that is not read, the system takes and keeps little.
// It took 4 MB of each, and 200 of them a second of a processor before the first was refused.
func TestUnreadAnswersStayShort(t *testing.T) {
	const most = 1 << 20
	s := newSite(t)
	var written atomic.Int64
	web := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		for piece := make([]byte, 16<<10); ; {
			n, err := w.Write(piece)
			if written.Add(int64(n)); err != nil {
				return
			}
		}
	}))
	web.Config.ConnState = s.Gate().ConnState
	web.StartTLS()
	defer web.Close()
	transport := web.Client().Transport.(*http.Transport)
	dialer := net.Dialer{}
	raw, err := dialer.DialContext(t.Context(), "tcp", web.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	_ = raw.(*net.TCPConn).SetReadBuffer(4 << 10)
	conn := tls.Client(raw, &tls.Config{RootCAs: transport.TLSClientConfig.RootCAs, ServerName: "example.com"})
	defer conn.Close()
	if _, err := io.WriteString(conn, "GET / HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	for before := int64(-1); before != written.Load() || before == 0; time.Sleep(300 * time.Millisecond) { // until it stands still
		before = written.Load()
	}
	if written.Load() > most {
		t.Errorf("%d KB were taken of an answer that nobody reads, want %d at most", written.Load()>>10, most>>10)
	}
}
