package exchange

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/wire"
)

// conversation is one device's connection. The reader owns everything but what is said
// to be shared.
type conversation struct {
	x    *Exchange
	conn *websocket.Conn
	line *line // below conn
	log  *slog.Logger

	token    string
	grant    Grant
	admitted time.Time
	bad      int    // frames that could not be read
	last     []byte // buffer that frames are read into

	ctx    context.Context // ends with the conversation
	cancel context.CancelFunc

	out  chan []byte   // ready frames for the writer; closed by the reader
	gone chan struct{} // closed when the writer can write no more

	address    string      // that it is counted under, while it is a stranger
	entered    time.Time   // when it came
	device     string      // as its hello says; kept by the exchange's lock
	stopped    atomic.Bool // it is to end
	recheckNow atomic.Bool // its rights are to be asked for again
	learns     bool        // it is to come back at once, with other rights; set before out is closed

	asking sync.WaitGroup // for photos

	hints hints // shared with rooms and the writer
}

func newConversation(x *Exchange, conn *websocket.Conn, line *line) *conversation {
	ctx, cancel := context.WithCancel(context.Background())
	return &conversation{
		x: x, conn: conn, line: line, log: x.Logger.With("from", conn.RemoteAddr().String()),
		ctx: ctx, cancel: cancel,
		out: make(chan []byte, outgoing), gone: make(chan struct{}),
		hints: newHints(),
	}
}

// stop asks the conversation to end after the frame it is at. It may be called from
// anywhere and more than once.
func (c *conversation) stop() {
	c.stopped.Store(true)
	_ = c.conn.SetReadDeadline(time.Now()) // a closed connection is stopped already
}

// recheck asks the conversation to have its rights asked for again, after the frame it is
// at. It may be called from anywhere and more than once.
func (c *conversation) recheck() {
	c.recheckNow.Store(true)
	_ = c.conn.SetReadDeadline(time.Now()) // a closed connection is over already
}

// ending tells why the conversation is to end after the frame it is at; nil when it goes on.
func (c *conversation) ending() error {
	switch {
	case c.stopped.Load():
		return errStopping
	case c.recheckNow.Load():
		return errRecheck
	}
	return nil
}

func (c *conversation) run() {
	var writing sync.WaitGroup
	writing.Go(c.write)
	err := c.read()
	if c.recheckNow.Load() && !errors.Is(err, errOver) {
		err = c.readmit() // which tells the device when it has no rights any more
		c.learns = err == nil
	}
	c.x.rooms.leave(c, c.grant.Properties)
	c.cancel()
	c.asking.Wait()
	close(c.out)
	writing.Wait()
	c.conn.Close()
	c.log.Debug("conversation ended", "because", err)
}

// errOver ends a conversation about which the device has been told all there is to say.
var errOver = errors.New("the server ended the conversation")

// send hands a frame to the writer, and waits while the writer is behind.
func (c *conversation) send(f wire.Frame) error {
	frame, err := c.ready(f)
	if err != nil {
		return err
	}
	return c.hand(frame)
}

func (c *conversation) ready(f wire.Frame) ([]byte, error) {
	data, err := wire.Append(nil, f)
	if err != nil {
		return nil, err
	}
	over := wire.CompressOver
	if _, ok := f.(*wire.Receipts); ok {
		over = receiptsOver
	}
	return c.line.ready(data, over)
}

// receiptsOver is how many bytes of receipts are compressed: their ids are chance and shrink to
// half at best, while an officer's frame of 20 has 1.4 KB of them, and packing those takes the
// server as long as reading two of the entries.
const receiptsOver = 4 << 10

func (c *conversation) hand(frame []byte) error {
	select {
	case c.out <- frame:
		return nil
	case <-c.gone:
		return errGone
	}
}

var errGone = errors.New("the device takes no more")

// end tells the device why the conversation ends.
func (c *conversation) end(err error) error { return c.refuse(wire.Problem{Closing: true}, err) }

// refuse tells the device what was wrong with a frame, which for the rest is passed over.
func (c *conversation) refuse(about wire.Problem, err error) error {
	problem, ok := errors.AsType[*model.Problem](err)
	if !ok {
		c.log.Error("trouble on our side", "error", err)
		problem = &model.Problem{Reason: "the server has an internal error", Fix: "nothing was stored: keep it and send it again later"}
	} else {
		c.log.Info("refused", "problem", problem)
	}
	about.Problem = *problem
	if err := c.send(&about); err != nil {
		return err
	}
	if about.Closing {
		return errOver
	}
	return nil
}
