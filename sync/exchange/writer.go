package exchange

import (
	"errors"
	"io"
	"net"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/wire"
)

// write is the only goroutine that writes frames. It ends when the reader has closed out
// and everything is written, or when a write does not get through in time.
func (c *conversation) write() {
	ping := time.NewTicker(c.x.Timing.Ping)
	defer ping.Stop()
	err := c.writeAll(ping.C)
	close(c.gone)
	if err != nil {
		if timeout, ok := errors.AsType[net.Error](err); ok && timeout.Timeout() {
			c.log.Warn("closed a device that reads too slowly; its cursor will heal the gap")
		}
		c.conn.Close() // wakes the reader
		for range c.out {
		}
		return
	}
	c.closePolitely()
}

func (c *conversation) writeAll(ping <-chan time.Time) error {
	for {
		select {
		case frame, ok := <-c.out:
			if !ok {
				return nil
			}
			if err := c.line.put(frame, c.x.Timing.Write); err != nil {
				return err
			}
		case <-c.hints.wake:
			for property, n := range c.hints.take() {
				data, err := wire.Append(nil, &wire.Hint{Property: property, N: n})
				if err == nil {
					err = c.writeFrame(data)
				}
				if err != nil {
					return err
				}
			}
		case <-ping:
			if err := c.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(c.x.Timing.Write)); err != nil {
				return err
			}
		}
	}
}

func (c *conversation) writeFrame(data []byte) error {
	frame, err := c.line.ready(data, wire.CompressOver)
	if err != nil {
		return err
	}
	return c.line.put(frame, c.x.Timing.Write)
}

// closePolitely says goodbye and waits a little for the device to answer, so that what
// was written last is not thrown away by a reset.
func (c *conversation) closePolitely() {
	code, reason := websocket.CloseNormalClosure, ""
	var back *wire.Later
	switch {
	case c.stopped.Load():
		code, reason = websocket.CloseServiceRestart, "the server is stopping"
		back = &wire.Later{AfterMS: 1000, WithinMS: comeBackWithin.Milliseconds()}
	case c.learns:
		back = &wire.Later{WithinMS: learnWithin.Milliseconds()} // else it comes back as after many failures
	}
	if back != nil {
		data, err := wire.Append(nil, back)
		if err != nil || c.writeFrame(data) != nil {
			return
		}
	}
	deadline := time.Now().Add(c.x.Timing.Stop)
	if c.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(code, reason), deadline) != nil {
		return
	}
	if c.conn.NetConn().SetReadDeadline(deadline) == nil {
		_, _ = io.Copy(io.Discard, io.LimitReader(c.conn.NetConn(), discardBytes)) // until it hangs up
	}
}

// later asks the device to come back, and ends the conversation with a problem before it.
func (c *conversation) later(about wire.Problem, problem *model.Problem) error {
	if err := c.send(&wire.Later{AfterMS: 1000, WithinMS: comeBackWithin.Milliseconds()}); err != nil {
		return err
	}
	about.Closing = true
	return c.refuse(about, problem)
}
