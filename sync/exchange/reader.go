package exchange

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/pace"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// read takes frames until the conversation is over and says why it is.
func (c *conversation) read() error {
	if err := c.hello(); err != nil {
		return err
	}
	c.conn.SetReadLimit(discardBytes)
	c.conn.SetPongHandler(func(string) error { return c.awaitFor(c.x.Timing.Silence) })
	for {
		data, err := c.next(c.x.Timing.Silence)
		if err != nil {
			return err
		}
		frame, err := c.decode(data)
		if err != nil {
			return err
		}
		if frame == nil {
			continue
		}
		if err := c.act(frame); err != nil {
			return err
		}
	}
}

func (c *conversation) act(frame wire.Frame) error {
	if err := c.readmit(); err != nil {
		return err
	}
	switch f := frame.(type) {
	case *wire.Push:
		return c.push(f)
	case *wire.Pull:
		return c.pull(f)
	case *wire.Missing:
		return c.missing(f)
	case *wire.Begin:
		return c.begin(f)
	case *wire.Unknown:
		return nil
	}
	return c.refuse(wire.Problem{}, &model.Problem{Path: "type", Reason: "is not for a device to send now"})
}

// hello admits the device and welcomes it.
func (c *conversation) hello() error {
	data, err := c.first()
	if errors.Is(err, errLongHello) {
		return c.end(err)
	}
	if err != nil {
		return err
	}
	frame, err := wire.Decode(data)
	if err != nil {
		return c.end(err)
	}
	if p := register.ReadAlike(data); p != nil { // a token that stands twice: which is meant?
		return c.end(p)
	}
	hello, ok := frame.(*wire.Hello)
	if !ok {
		return c.end(&model.Problem{Path: "type", Reason: "the first frame must be a hello"})
	}
	if hello.Version < 1 {
		return c.end(&model.Problem{Path: "version", Reason: "is below 1", Fix: "give the newest version the device speaks"})
	}
	c.token = hello.Token
	c.x.named(c, hello.Device)
	if err := c.readmit(); err != nil {
		return err
	}
	if hello.Device != c.grant.Device {
		return c.end(&model.Problem{Path: "device",
			Reason: fmt.Sprintf("is %q and the token belongs to another device", hello.Device), Fix: "enrol this device again"})
	}
	if !c.x.admit(c) {
		return c.later(wire.Problem{}, &model.Problem{Reason: "the server has as many devices as it can serve at once", Fix: "nothing is lost: it tries again by itself"})
	}
	c.log = c.log.With("device", c.grant.Device)
	now := c.x.Now()
	if ahead := time.UnixMilli(hello.ClockMS).Sub(now); ahead.Abs() > 24*time.Hour {
		c.log.Warn("the device's clock is more than a day off", "ahead", ahead.Round(time.Second))
	}
	welcome := wire.Welcome{
		Version: min(hello.Version, wire.Version), Device: c.grant.Device, ClockMS: now.UnixMilli(),
		Properties: c.grant.Properties, Limits: wire.Limits{Entries: wire.MaxEntries, Bytes: wire.MaxBytes},
		PingMS: c.x.Timing.Ping.Milliseconds(), About: c.grant.About,
	}
	epochs, err := c.x.Store.Epochs(c.ctx)
	if err != nil {
		return c.end(err)
	}
	if len(epochs) > 0 {
		welcome.Epoch = epochs[len(epochs)-1].ID
	}
	if err := c.send(&welcome); err != nil {
		return err
	}
	c.log.Info("device connected", "properties", len(c.grant.Properties))
	if c.x.Wanted != nil {
		grant := c.grant
		c.asking.Go(func() { c.askForPhotos(grant) })
	}
	return nil
}

// readmit asks for the device's rights when they were asked for too long ago, so that a
// token revoked during a conversation ends it.
func (c *conversation) readmit() error {
	now := time.Now()
	if !c.recheckNow.Load() && !c.admitted.IsZero() && now.Sub(c.admitted) < c.x.Timing.Admit {
		return nil
	}
	grant, err := c.x.Admit(c.ctx, c.token)
	if err != nil {
		if wait, ok := errors.AsType[NotYet](err); ok {
			return c.later(wire.Problem{}, wait.Problem)
		}
		if problem, ok := errors.AsType[*model.Problem](err); ok && problem.Path == "" {
			err = problem.Within("token")
		}
		return c.end(err)
	}
	c.admitted = now
	if slices.Equal(grant.Properties, c.grant.Properties) {
		c.grant = grant
		return nil
	}
	c.x.rooms.leave(c, c.grant.Properties)
	c.grant = grant
	return c.x.rooms.join(c, grant.Properties)
}

// may tells whether the device has the right to a property.
func (c *conversation) may(property string) error {
	if slices.Contains(c.grant.Properties, property) {
		return nil
	}
	return &model.Problem{Path: "property", Reason: "this phone has no right to a property that it has entries of", Fix: "ask the office to give it; nothing is lost, they stay on the phone"}
}

// decode reads a frame. A frame that cannot be read is answered and passed over: the
// returned frame is then nil.
func (c *conversation) decode(data []byte) (wire.Frame, error) {
	var frame wire.Frame
	err := errTooLong
	if data != nil {
		frame, err = wire.Decode(data)
	}
	if err == nil {
		return frame, nil
	}
	c.bad++
	about := wire.Problem{Closing: c.bad > badFrames}
	if data != nil {
		about.Push = pushNumber(data)
	}
	return nil, c.refuse(about, err)
}

var errTooLong error = &model.Problem{Path: "frame", Reason: fmt.Sprintf("is longer than %d bytes", wire.FrameBytes),
	Fix: "send fewer entries in a frame; a single entry may not be longer than that"}

var errLongHello error = &model.Problem{Path: "frame", Reason: fmt.Sprintf("the first frame is longer than %d bytes", helloBytes), Fix: "say hello first"}

// first reads the hello of a stranger, who costs no more than what is kept for it: the frame is
// small, on the line and unfolded; no more than a few control frames come before it; and
// nothing moves its deadline. Browsers compress every frame once compression is agreed on, so
// that it cannot be refused here.
func (c *conversation) first() ([]byte, error) {
	if err := c.awaitFor(c.x.Timing.Hello); err != nil {
		return nil, err
	}
	c.conn.SetReadLimit(helloBytes)
	answer, controls := c.conn.PingHandler(), 0
	count := func() error {
		if controls++; controls > helloControls {
			return errNoHello
		}
		return nil
	}
	c.conn.SetPongHandler(func(string) error { return count() })
	c.conn.SetPingHandler(func(data string) error { return cmp.Or(count(), answer(data)) })
	defer c.conn.SetPingHandler(answer)
	_, r, err := c.conn.NextReader()
	if err != nil {
		return nil, err
	}
	data := make([]byte, helloBytes+1)
	n, err := io.ReadFull(r, data)
	switch {
	case err == nil:
		return nil, errLongHello
	case err != io.EOF && err != io.ErrUnexpectedEOF:
		return nil, err
	}
	return data[:n:n], nil
}

// next reads one message whole into a buffer that the next call uses again. It returns
// nil data for a message that was too long and has been thrown away. The length is
// counted after decompression: what a message unfolds to is what it costs.
func (c *conversation) next(within time.Duration) ([]byte, error) {
	if cap(c.last) > keptBytes {
		letGo(c.last)
		c.last = nil
	}
	if err := c.awaitFor(within); err != nil {
		return nil, err
	}
	_, r, err := c.conn.NextReader()
	if err != nil {
		return nil, err
	}
	began, rule := time.Now(), pace.Rule{Silence: c.x.Timing.Silence, Grace: 2 * c.x.Timing.Silence, BytesPerS: pace.Default.BytesPerS}
	buf := c.last[:0]
	for {
		if len(buf) == cap(buf) {
			buf = larger(buf)
		}
		n, err := r.Read(buf[len(buf):min(cap(buf), wire.FrameBytes+1)])
		buf = buf[:len(buf)+n]
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		if len(buf) > wire.FrameBytes {
			c.last = nil
			return nil, c.discard(r)
		}
		if err := c.await(rule.Deadline(time.Now(), began, int64(len(buf)))); err != nil { // a slow link is not a dead one
			return nil, err
		}
	}
	c.last = buf
	return buf, nil
}

// discard reads the rest of a message to nowhere.
func (c *conversation) discard(r io.Reader) error {
	n, err := io.Copy(io.Discard, io.LimitReader(r, discardBytes))
	if err == nil && n == discardBytes {
		message := websocket.FormatCloseMessage(websocket.CloseMessageTooBig, "frame: is far too long")
		_ = c.conn.WriteControl(websocket.CloseMessage, message, time.Now().Add(c.x.Timing.Write)) // it is closed either way
		err = websocket.ErrReadLimit
	}
	return err
}

// awaitFor moves the read deadline. When the conversation is to end it leaves the deadline
// in the past, also if that is asked for in between.
func (c *conversation) awaitFor(d time.Duration) error { return c.await(time.Now().Add(d)) }

func (c *conversation) await(deadline time.Time) error {
	if err := c.conn.SetReadDeadline(deadline); err != nil {
		return err
	}
	return c.ending()
}

// Why a conversation ends that nothing is wrong with.
var (
	errStopping = errors.New("the server is stopping")
	errRecheck  = errors.New("the device's rights may have changed")
	errNoHello  = errors.New("control frames instead of a hello")
)
