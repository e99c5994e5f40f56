package device

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// talk is one connection to the server. One goroutine reads; the caller writes.
type talk struct {
	conn    *websocket.Conn
	frames  chan wire.Frame // closed when the connection has ended
	ended   error           // why; set before frames is closed
	silence time.Duration   // after which the other end is gone
	write   time.Duration   // for a frame to be taken by the network
	done    chan struct{}   // closed by hangUp
	release func() bool     // of the context

	welcome *wire.Welcome
	pushes  uint64
	wanted  []register.Hash // photos that the server does not have
	checked map[string]bool // properties whose own entries were compared with the register's
}

// connect opens a connection and is welcomed.
func (d *Device) connect(ctx context.Context) (*talk, error) {
	me := d.who()
	if me.Token == "" {
		return nil, ErrNotEnrolled
	}
	address, ok := strings.CutPrefix(me.Server, "http")
	if !ok {
		return nil, &model.Problem{Path: "server", Reason: fmt.Sprintf("%q is not a web address", me.Server)}
	}
	dialling, cancel := context.WithTimeout(ctx, d.o.Patience)
	defer cancel()
	conn, answer, err := d.o.Dialer.DialContext(dialling, "ws"+address+"/sync", nil)
	if err != nil {
		if answer != nil {
			err = fmt.Errorf("%w: %s", err, answer.Status)
		}
		return nil, err
	}
	t := &talk{conn: conn, frames: make(chan wire.Frame, 4), silence: d.o.Patience, write: d.o.Patience, done: make(chan struct{}),
		checked: make(map[string]bool)}
	t.release = context.AfterFunc(ctx, func() { conn.Close() })
	if err := t.greet(&wire.Hello{Version: wire.Version, Token: me.Token, Device: me.ID, ClockMS: d.o.Now().UnixMilli()}); err != nil {
		t.hangUp()
		return nil, err
	}
	return t, nil
}

// greet says hello before the reading goroutine starts, because the welcome tells it
// how long silence may last.
func (t *talk) greet(hello *wire.Hello) error {
	if err := t.send(hello); err != nil {
		return err
	}
	for t.welcome == nil {
		frame, err := t.read()
		if err != nil {
			return err
		}
		switch f := frame.(type) {
		case *wire.Welcome:
			t.welcome = f
		default:
			if err := t.note(f); err != nil {
				return err
			}
		}
	}
	if t.welcome.PingMS > 0 {
		t.silence = time.Duration(t.welcome.PingMS) * time.Millisecond * 5 / 2
	}
	t.conn.SetPingHandler(func(data string) error {
		if err := t.conn.SetReadDeadline(time.Now().Add(t.silence)); err != nil {
			return err
		}
		err := t.conn.WriteControl(websocket.PongMessage, []byte(data), time.Now().Add(t.write))
		if errors.Is(err, websocket.ErrCloseSent) {
			return nil
		}
		return err
	})
	go func() {
		defer close(t.frames)
		for {
			frame, err := t.read()
			if err != nil {
				t.ended = err
				return
			}
			select {
			case t.frames <- frame:
			case <-t.done:
				t.ended = errHungUp
				return
			}
		}
	}()
	return nil
}

var errHungUp = errors.New("the device hung up")

// read reads one frame whole. Bytes that come, however slowly, show that the link lives.
func (t *talk) read() (wire.Frame, error) {
	if err := t.conn.SetReadDeadline(time.Now().Add(t.silence)); err != nil {
		return nil, err
	}
	_, r, err := t.conn.NextReader()
	if err != nil {
		return nil, err
	}
	data := make([]byte, 0, 4<<10)
	for {
		n, err := r.Read(data[len(data):cap(data)])
		data = data[:len(data)+n]
		if err == io.EOF {
			return wire.Decode(data)
		}
		if err != nil {
			return nil, err
		}
		if len(data) > wire.FrameBytes {
			return nil, &model.Problem{Path: "frame", Reason: "the server's frame is too long"}
		}
		if err := t.conn.SetReadDeadline(time.Now().Add(t.silence)); err != nil {
			return nil, err
		}
		if len(data) == cap(data) {
			data = append(make([]byte, 0, 2*cap(data)), data...)
		}
	}
}

func (t *talk) send(f wire.Frame) error {
	data, err := wire.Append(nil, f)
	if err != nil {
		return err
	}
	if err := t.conn.SetWriteDeadline(time.Now().Add(t.write)); err != nil {
		return err
	}
	t.conn.EnableWriteCompression(len(data) > wire.CompressOver)
	return t.conn.WriteMessage(websocket.TextMessage, data)
}

// receive returns the next frame that answers something.
func (t *talk) receive() (wire.Frame, error) {
	for frame := range t.frames {
		switch frame.(type) {
		case *wire.Hint, *wire.Wanted, *wire.Later, *wire.Unknown, *wire.Welcome:
			if err := t.note(frame); err != nil {
				return nil, err
			}
		default:
			return frame, nil
		}
	}
	return nil, t.ended
}

// note takes a frame that nothing was asked for.
func (t *talk) note(frame wire.Frame) error {
	switch f := frame.(type) {
	case *wire.Wanted:
		t.wanted = append(t.wanted, f.Photos...)
	case *wire.Problem:
		return refusal{f}
	}
	return nil
}

// hangUp closes the connection and waits for its reader.
func (t *talk) hangUp() {
	t.release()
	close(t.done)
	if t.welcome != nil {
		_ = t.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(websocket.CloseNormalClosure, ""), time.Now().Add(time.Second)) // it is closed either way
	}
	t.conn.Close()
	if t.welcome != nil {
		for range t.frames {
		}
	}
}

// refusal is a problem the server told.
type refusal struct{ *wire.Problem }

func (r refusal) Error() string { return r.Problem.Problem.Error() }
func (r refusal) Unwrap() error { return &r.Problem.Problem }
