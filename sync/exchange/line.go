package exchange

import (
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"net"
	"net/http"
	"runtime"
	"sync"
	"time"
)

// line is a device's connection. Frames are made ready for it, compressed, before they wait to
// be written: what waits for a device that reads slowly is a tenth as large, and no
// compressor waits with it, each of which takes 600 KB. The library writes control frames
// alone, each with one Write.
type line struct {
	net.Conn

	mu     sync.Mutex // one frame at a time
	begun  bool
	packed bool // compression was agreed on
}

// hijacked makes a line of a request's connection.
type hijacked struct {
	http.ResponseWriter
	line *line
}

// Hijack implements [http.Hijacker].
func (h *hijacked) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	conn, rw, err := http.NewResponseController(h.ResponseWriter).Hijack()
	if err != nil || rw.Reader.Buffered() > 0 { // which the library refuses
		return conn, rw, err
	}
	h.line = &line{Conn: conn}
	return h.line, bufio.NewReadWriter(bufio.NewReaderSize(h.line, keptBytes), rw.Writer), nil
}

// Write implements [net.Conn]. The first is the answer to the handshake, which says whether
// compression was agreed on.
func (l *line) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.begun {
		l.begun, l.packed = true, bytes.Contains(b, []byte("permessage-deflate"))
	}
	return l.Conn.Write(b)
}

// linePiece is how much of a frame must go out in the time that a write has.
const linePiece = 16 << 10

// put writes a ready frame.
func (l *line) put(frame []byte, within time.Duration) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	for len(frame) > 0 {
		if err := l.Conn.SetWriteDeadline(time.Now().Add(within)); err != nil {
			return err
		}
		n, err := l.Conn.Write(frame[:min(len(frame), linePiece)])
		if err != nil {
			return err
		}
		frame = frame[n:]
	}
	return nil
}

// ready makes a text message of one frame (RFC 6455, 5.2), compressed on its own (RFC 7692,
// 7.2.1) where it is longer than over and that was agreed on.
func (l *line) ready(data []byte, over int) ([]byte, error) {
	const fin, text, compressed, most = 0x80, 0x1, 0x40, 10
	first := byte(fin | text)
	if l.packed && len(data) > over {
		packed, err := deflated(data)
		if err != nil {
			return nil, err
		}
		data, first = packed, first|compressed
	}
	return append(appendHead(make([]byte, 0, most+len(data)), first, len(data)), data...), nil
}

func appendHead(dst []byte, first byte, length int) []byte {
	switch {
	case length < 126:
		return append(dst, first, byte(length))
	case length < 1<<16:
		return binary.BigEndian.AppendUint16(append(dst, first, 126), uint16(length))
	}
	return binary.BigEndian.AppendUint64(append(dst, first, 127), uint64(length))
}

// deflaters bounds how many frames are compressed at once.
var (
	deflaters = make(chan struct{}, 2*runtime.GOMAXPROCS(0))
	deflating = sync.Pool{New: func() any {
		z, err := flate.NewWriter(nil, flate.BestSpeed)
		if err != nil {
			panic(err) // the level is one of the package's own
		}
		return z
	}}
)

func deflated(data []byte) ([]byte, error) {
	deflaters <- struct{}{}
	defer func() { <-deflaters }()
	z := deflating.Get().(*flate.Writer)
	defer deflating.Put(z)
	var out bytes.Buffer
	out.Grow(len(data)/8 + 64)
	z.Reset(&out)
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	if err := z.Flush(); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(out.Bytes(), []byte{0, 0, 0xff, 0xff}), nil
}
