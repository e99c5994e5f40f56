package main

import (
	"crypto/tls"
	"crypto/x509"
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// TestHandshakesTakeTurns: of many that come at once, few are worked out at a time, whatever
// others hold open who say nothing or half a hello.
func TestHandshakesTakeTurns(t *testing.T) {
	own := authority(t, "The office's own root", nil)
	cert, key := files(t, forServer(t, &own, lanName))
	pair, err := tls.LoadX509KeyPair(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	tcp, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	turns := newHandshakes(tcp)
	var now, most atomic.Int32
	l := tls.NewListener(turns, &tls.Config{GetConfigForClient: turns.begin, GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
		if n := now.Add(1); n > most.Load() {
			most.Store(n)
		}
		time.Sleep(2 * time.Millisecond)
		now.Add(-1)
		return &pair, nil
	}})
	defer l.Close()
	go func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			go func() {
				_ = conn.(*tls.Conn).Handshake()
				_, _ = conn.Read(make([]byte, 1))
				_ = conn.Close()
			}()
		}
	}()
	for i := range 20 {
		conn, err := net.Dial("tcp", tcp.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if i%2 == 0 {
			_, _ = conn.Write([]byte{0x16, 3, 1, 2, 0, 1}) // a record that does not end (RFC 8446, 5.1)
		}
	}
	roots := x509.NewCertPool()
	roots.AddCert(own.certificate)
	var all sync.WaitGroup
	for range 60 {
		all.Go(func() {
			dialer := net.Dialer{Timeout: time.Minute}
			conn, err := tls.DialWithDialer(&dialer, "tcp", tcp.Addr().String(), &tls.Config{RootCAs: roots, ServerName: lanName})
			if err != nil {
				t.Error(err)
				return
			}
			_ = conn.Close()
		})
	}
	all.Wait()
	if got := int(most.Load()); got > cap(turns.turns) {
		t.Errorf("%d handshakes were worked out at once, want %d at most", got, cap(turns.turns))
	}
	if len(turns.turns) != 0 {
		t.Errorf("%d turns are held by nobody", len(turns.turns))
	}
}
