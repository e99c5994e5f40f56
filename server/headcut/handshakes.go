package main

import (
	"crypto/tls"
	"net"
	"runtime"
	"sync/atomic"
)

// handshakes is a listener on which few TLS handshakes are worked out at once, one processor
// being left to devices: hundreds of strangers who come in the same moment do not stand before
// an acknowledgement for every step that it takes. Whoever has said nothing yet has no turn, and
// a turn ends with the server's answer, so that nobody can hold one.
type handshakes struct {
	net.Listener
	turns chan struct{}
}

func newHandshakes(l net.Listener) *handshakes {
	return &handshakes{l, make(chan struct{}, max(1, runtime.GOMAXPROCS(0)-1))}
}

// Accept implements net.Listener.
func (h *handshakes) Accept() (net.Conn, error) {
	conn, err := h.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return &handshaking{Conn: conn, turns: h.turns}, nil
}

// begin is for tls.Config.GetConfigForClient, which is called once a client has said its hello.
func (h *handshakes) begin(hello *tls.ClientHelloInfo) (*tls.Config, error) {
	conn, ok := hello.Conn.(*handshaking)
	if !ok {
		return nil, nil
	}
	select {
	case h.turns <- struct{}{}:
		conn.mine.Store(true)
		return nil, nil
	case <-hello.Context().Done():
		return nil, hello.Context().Err()
	}
}

// handshaking is a connection that may have a turn.
type handshaking struct {
	net.Conn
	turns chan struct{}
	mine  atomic.Bool
}

func (h *handshaking) end() {
	if h.mine.Load() && h.mine.CompareAndSwap(true, false) {
		<-h.turns
	}
}

// Write implements net.Conn. The first is the server's whole answer to a hello.
func (h *handshaking) Write(b []byte) (int, error) {
	h.end()
	return h.Conn.Write(b)
}

// Close implements net.Conn.
func (h *handshaking) Close() error {
	h.end()
	return h.Conn.Close()
}

// SetWriteBuffer is that of a TCP connection.
func (h *handshaking) SetWriteBuffer(bytes int) error {
	if c, ok := h.Conn.(*net.TCPConn); ok {
		return c.SetWriteBuffer(bytes)
	}
	return nil
}
