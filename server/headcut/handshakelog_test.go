package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"log"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// sharedLog is a log that several write.
type sharedLog struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *sharedLog) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *sharedLog) count(part string) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.Count(s.text.String(), part)
}

// Handshakes that come to nothing fill no log: the first are told, and of the others how many they were. What
// else the server logs is passed on.
func TestHandshakesAreLoggedInNumbers(t *testing.T) {
	text := &sharedLog{}
	h := newHandshakeLog(slog.New(slog.NewTextHandler(text, nil)))
	h.minute = 20 * time.Millisecond
	logger := log.New(h, "", 0)
	for range 200 {
		logger.Print("http: TLS handshake error from 203.0.113.9:4000: EOF")
		logger.Print("http: panic serving 203.0.113.9:4000")
	}
	h.tell()
	if got := text.count("panic serving"); got != 200 {
		t.Errorf("%d of 200 other lines were passed on", got)
	}
	if lines, counted := text.count("TLS handshake error"), text.count("more TLS handshakes"); lines < handshakesLogged || lines > 150 || counted == 0 {
		t.Errorf("200 handshakes were told in %d lines and %d numbers", lines, counted)
	}
}

// TestStalledHandshakesDoNotFillTheLog of the real server.
func TestStalledHandshakesDoNotFillTheLog(t *testing.T) {
	own := authority(t, "The office's own root", nil)
	cert, key := files(t, forServer(t, &own, lanName))
	pair, err := tls.LoadX509KeyPair(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	text := &sharedLog{}
	told := slog.New(slog.NewTextHandler(text, nil))
	d, err := openDataDir(t.Context(), filepath.Join(t.TempDir(), "data"), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	tcp, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ready, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		l := tls.NewListener(tcp, &tls.Config{Certificates: []tls.Certificate{pair}})
		ended <- serve(ctx, d, &netFlags{}, l, "https://"+lanName, told, func(string) error {
			close(ready)
			return nil
		})
	}()
	select {
	case <-ready: // before it is, stopping it is an error
	case err := <-ended:
		t.Fatal(err)
	}
	for range 60 {
		conn, err := net.Dial("tcp", tcp.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		_, _ = conn.Write([]byte("no hello at all\r\n\r\n"))
		_, _ = conn.Read(make([]byte, 64)) // until it is refused
		_ = conn.Close()
	}
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}} // its name is not what is tested
	if res, err := client.Get("https://" + tcp.Addr().String() + "/field/"); err != nil || res.Body.Close() != nil {
		t.Errorf("an honest phone: %v", err)
	}
	client.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if got := text.count("TLS handshake error"); got == 0 || got > 2*handshakesLogged { // a minute may have ended meanwhile
		t.Errorf("60 refused handshakes are %d lines of the log, want %d", got, handshakesLogged)
	}
}
