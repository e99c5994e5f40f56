package load

import (
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// device is a phone: what it needs of a WebSocket (RFC 6455) over TLS is written out here, so
// that a thousand cost little and an attacker can send what no library would.
type device struct {
	s          *serving
	name       string
	token      string
	properties []server.Property

	conn  net.Conn
	r     *bufio.Reader
	seq   uint64
	stamp register.Stamp
}

// redeem enrols a device by a code.
func (s *serving) redeem(code, name string) (*device, error) {
	conn, err := s.visit(nil)
	if err != nil {
		return nil, err
	}
	defer conn.Close()
	body := fmt.Sprintf(`{"code":%q,"device":%q,"author":"R. Field"}`, code, name)
	_, _ = fmt.Fprintf(conn, "POST /enrol HTTP/1.1\r\nHost: %s\r\nConnection: close\r\nContent-Length: %d\r\n\r\n%s", serverName, len(body), body)
	res, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close()
	var answer struct {
		Token      string
		Properties []server.Property
	}
	if err := json.NewDecoder(res.Body).Decode(&answer); err != nil || res.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("enrolling %s: %s, %v", name, res.Status, err)
	}
	return &device{s: s, name: name, token: answer.Token, properties: answer.Properties}, nil
}

const upgrade = "GET /sync HTTP/1.1\r\nHost: " + serverName + "\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n" +
	"Sec-WebSocket-Extensions: permessage-deflate; server_no_context_takeover; client_no_context_takeover\r\n\r\n"

// opened makes a WebSocket of a new connection.
func (s *serving) opened(from net.IP) (net.Conn, *bufio.Reader, error) {
	conn, err := s.visit(from)
	if err != nil {
		return nil, nil, err
	}
	r := bufio.NewReaderSize(conn, 4<<10)
	if _, err := io.WriteString(conn, upgrade); err != nil {
		conn.Close()
		return nil, nil, err
	}
	res, err := http.ReadResponse(r, nil)
	if err != nil || res.StatusCode != http.StatusSwitchingProtocols || !strings.Contains(res.Header.Get("Sec-Websocket-Extensions"), "permessage-deflate") {
		conn.Close()
		return nil, nil, fmt.Errorf("no WebSocket: %+v, %v", res, err)
	}
	return conn, r, nil
}

// connect opens the device's connection and says hello.
func (d *device) connect() (err error) {
	if d.conn, d.r, err = d.s.opened(nil); err != nil {
		return err
	}
	if err := d.send(&wire.Hello{Version: wire.Version, Token: d.token, Device: d.name, ClockMS: time.Now().UnixMilli()}); err != nil {
		return err
	}
	if f, err := d.receive(); err != nil {
		return err
	} else if _, ok := f.(*wire.Welcome); !ok {
		return fmt.Errorf("%s is answered %+v", d.name, f)
	}
	return nil
}

// message is a text message as browsers send it once compression is agreed on: compressed, and
// masked, with zero.
func message(f wire.Frame) ([]byte, error) {
	data, err := wire.Append(nil, f)
	if err != nil {
		return nil, err
	}
	return masked(0x81|0x40, deflated(data)), nil
}

func deflated(data []byte) []byte {
	var packed bytes.Buffer
	z, _ := flate.NewWriter(&packed, flate.BestSpeed) // the level is one of the package's own
	_, _ = z.Write(data)
	_ = z.Flush()
	return bytes.TrimSuffix(packed.Bytes(), []byte{0, 0, 0xff, 0xff})
}

// masked is a frame of a client.
func masked(first byte, payload []byte) []byte {
	head := []byte{first, 0x80 | 127, 0, 0, 0, 0, 0, 0, 0, 0}
	switch {
	case len(payload) < 126:
		head = []byte{first, 0x80 | byte(len(payload))}
	case len(payload) < 1<<16:
		head = []byte{first, 0x80 | 126, byte(len(payload) >> 8), byte(len(payload))}
	default:
		binary.BigEndian.PutUint64(head[2:], uint64(len(payload)))
	}
	return append(append(head, 0, 0, 0, 0), payload...)
}

func (d *device) send(f wire.Frame) error {
	data, err := message(f)
	if err == nil {
		_, err = d.conn.Write(data)
	}
	return err
}

// message reads the next one as it travels: a server's is one frame. Pings are answered.
func (d *device) message() (payload []byte, packed bool, err error) {
	for {
		_ = d.conn.SetReadDeadline(time.Now().Add(5 * time.Minute))
		var head [10]byte
		if _, err := io.ReadFull(d.r, head[:2]); err != nil {
			return nil, false, err
		}
		size := uint64(head[1])
		switch size {
		case 126:
			_, err = io.ReadFull(d.r, head[2:4])
			size = uint64(binary.BigEndian.Uint16(head[2:]))
		case 127:
			_, err = io.ReadFull(d.r, head[2:10])
			size = binary.BigEndian.Uint64(head[2:])
		}
		if err != nil || size > wire.FrameBytes*2 {
			return nil, false, fmt.Errorf("a message of %d bytes: %v", size, err)
		}
		payload = make([]byte, size)
		if _, err := io.ReadFull(d.r, payload); err != nil {
			return nil, false, err
		}
		switch head[0] & 0x0f {
		case 1:
			return payload, head[0]&0x40 != 0, nil
		case 8:
			return nil, false, fmt.Errorf("the server closes: %q", payload)
		case 9:
			if _, err := d.conn.Write(masked(0x8a, payload)); err != nil {
				return nil, false, err
			}
		}
	}
}

func inflated(payload []byte) ([]byte, error) {
	// What RFC 7692, 7.2.2 adds, and an empty last block, so that the stream ends.
	return io.ReadAll(flate.NewReader(io.MultiReader(bytes.NewReader(payload), strings.NewReader("\x00\x00\xff\xff\x01\x00\x00\xff\xff"))))
}

// day is so many of the device's next entries about check dams of a property: each proposed,
// pegged, built and visited.
func (d *device) day(property string, n int) []json.RawMessage {
	all := make([]json.RawMessage, n)
	for i := range all {
		d.seq++
		d.stamp = register.Next(d.stamp, time.Now())
		set := [...]string{
			`{"kind":"check-dam","name":"Dam %d","status":"proposed","accuracyM":3.2,"geometry":{"type":"Point","coordinates":[147.%04d,-20.5]},"notes":"loose rock from the ridge, apron of 1.2 m"}`,
			`{"status":"pegged","peggedOn":"2026-11-25","notes":"pegs at both ends and in the middle; key 0.3 m into the banks, notch over the thalweg, spoil upstream"}`,
			`{"status":"built","builtOn":"2026-11-26","crestHeightM":0.4,"crestLengthM":6.5,"material":"loose rock","notes":"built by hand; rock 0.2 to 0.4 m, apron keyed in"}`,
			`{"sedimentDepthM":0.15,"notes":"first flow passed over the notch; silt nearly to the crest on the left, some scour beside the right bank"}`,
		}[(d.seq-1)%4]
		dam := (d.seq - 1) / 4
		if (d.seq-1)%4 == 0 {
			set = fmt.Sprintf(set, dam, dam%10000)
		}
		var fields map[string]json.RawMessage
		if err := json.Unmarshal([]byte(set), &fields); err != nil {
			panic(err) // it is written above
		}
		raw, err := register.Encode(register.Entry{Version: register.Version, ID: register.ID(newID()), Property: property, Feature: fmt.Sprintf("%s-dam-%d", d.name, dam), Device: d.name, DeviceSeq: d.seq,
			Stamp: d.stamp, SeenAt: "2026-11-25T09:30:00+10:00", Author: "R. Field", Set: model.FieldValuesOf(fields)})
		if err != nil {
			panic(err) // it is made above
		}
		all[i] = raw
	}
	return all
}

// answer is a message as it travelled.
type answer struct {
	payload []byte
	packed  bool
}

func (a answer) frame() (wire.Frame, error) {
	if !a.packed {
		return wire.Decode(a.payload)
	}
	data, err := inflated(a.payload)
	if err != nil {
		return nil, err
	}
	return wire.Decode(data)
}

// isHint tells whether it says that something has grown, which may come at any time.
func (a answer) isHint() bool {
	if a.packed || len(a.payload) > 200 {
		return false
	}
	f, err := wire.Decode(a.payload)
	_, hint := f.(*wire.Hint)
	return err == nil && hint
}

// receive is the next frame but hints.
func (d *device) receive() (wire.Frame, error) {
	for {
		payload, packed, err := d.message()
		if err != nil {
			return nil, err
		}
		if a := (answer{payload, packed}); !a.isHint() {
			return a.frame()
		}
	}
}

// acknowledged reads on until the receipts of a push have come.
func (d *device) acknowledged(push uint64) error {
	f, err := d.receive()
	if err != nil {
		return err
	}
	return d.acknowledges(f, push)
}

// acknowledges holds a frame to be the receipts of a push, and each entry to be taken as new.
func (d *device) acknowledges(f wire.Frame, push uint64) error {
	r, ok := f.(*wire.Receipts)
	if !ok || r.Push != push || len(r.Receipts) == 0 {
		return fmt.Errorf("%s: push %d is answered %+v", d.name, push, f)
	}
	for _, one := range r.Receipts {
		if one.N == 0 || one.Refused != "" || one.Known {
			return fmt.Errorf("%s: push %d is answered %+v", d.name, push, one)
		}
	}
	return nil
}
