package device

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// patience is how long the server may say nothing.
const patience = time.Minute

// conversation is one connection to the server.
type conversation struct {
	conn       *websocket.Conn
	release    func() bool // of the context
	properties []string
	pushes     uint64
}

// connect opens a connection and is welcomed.
func (d *Device) connect(ctx context.Context) (*conversation, error) {
	dialer := websocket.Dialer{EnableCompression: true, HandshakeTimeout: patience}
	conn, _, err := dialer.DialContext(ctx, "ws"+strings.TrimPrefix(d.server, "http")+"/sync", nil)
	if err != nil {
		return nil, err
	}
	c := &conversation{conn: conn, release: context.AfterFunc(ctx, func() { conn.Close() })}
	welcome, err := ask[*wire.Welcome](c, &wire.Hello{Version: wire.Version, Token: d.token, Device: d.id, ClockMS: d.now().UnixMilli()})
	if err != nil {
		c.close()
		return nil, err
	}
	c.properties = welcome.Properties
	return c, nil
}

func (c *conversation) close() {
	c.release()
	_ = c.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(websocket.CloseNormalClosure, ""), time.Now().Add(time.Second)) // it is closed either way
	c.conn.Close()
}

// ask sends a frame and returns its answer.
func ask[Answer wire.Frame](c *conversation, question wire.Frame) (answer Answer, err error) {
	data, err := wire.Append(nil, question)
	if err != nil {
		return answer, err
	}
	c.conn.EnableWriteCompression(len(data) > wire.CompressOver)
	if err := c.conn.WriteMessage(websocket.TextMessage, data); err != nil {
		return answer, err
	}
	return next[Answer](c)
}

// next reads the next frame but those that nothing was asked for.
func next[Answer wire.Frame](c *conversation) (answer Answer, err error) {
	for {
		if err := c.conn.SetReadDeadline(time.Now().Add(patience)); err != nil {
			return answer, err
		}
		_, data, err := c.conn.ReadMessage()
		if err != nil {
			return answer, err
		}
		frame, err := wire.Decode(data)
		if err != nil {
			return answer, err
		}
		switch f := frame.(type) {
		case Answer:
			return f, nil
		case *wire.Problem:
			return answer, &f.Problem
		case *wire.Hint, *wire.Wanted, *wire.Unknown:
		default:
			return answer, fmt.Errorf("the server answered %T", frame)
		}
	}
}

// push sends the outbox, frame by frame, and takes out of it what has its receipt.
func (c *conversation) push(property string, p *property) error {
	for len(p.unsent) > 0 {
		var raws []json.RawMessage
		bytes := 0
		for _, u := range p.unsent[:min(len(p.unsent), wire.FrameEntries)] {
			if bytes += len(u.raw) + 1; bytes > wire.MaxBytes && len(raws) > 0 {
				break
			}
			raws = append(raws, u.raw)
		}
		c.pushes++
		answer, err := ask[*wire.Receipts](c, &wire.Push{Push: c.pushes, Property: property, Entries: raws})
		if err != nil {
			return err
		}
		if len(answer.Receipts) != len(raws) {
			return fmt.Errorf("%d entries got %d receipts", len(raws), len(answer.Receipts))
		}
		for i, r := range answer.Receipts {
			if r.Refused != "" || r.ID != p.unsent[i].id {
				return &model.Problem{Path: "entry " + string(p.unsent[i].id), Reason: "was not taken: " + r.Refused}
			}
		}
		p.unsent = p.unsent[len(raws):]
	}
	return nil
}

// pull reads the register from where the device is to its end.
func (c *conversation) pull(property string, p *property) error {
	page, err := ask[*wire.Page](c, &wire.Pull{Property: property, At: p.at})
	for ; err == nil; page, err = next[*wire.Page](c) {
		for i, raw := range page.Entries {
			e, err := register.Decode(raw)
			if err != nil {
				return err
			}
			arrived := time.UnixMilli(page.ArrivedMS[i])
			p.keep(register.Numbered{N: page.First + uint64(i), Arrived: register.ArrivedAt(arrived), Capped: register.Capped(e.Stamp, arrived), Entry: e})
		}
		if p.at = page.At; !page.More {
			return nil
		}
	}
	return err
}
