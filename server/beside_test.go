package server

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/store/storetest"
	"headcut/sync/wire"
)

// worstBeside is how long an honest device may wait for an acknowledgement during an attack; on
// a machine whose processors are taken by others, as many times what it waits without.
const (
	worstBeside = 500 * time.Millisecond
	timesQuiet  = 20
)

// besideDevice is an honest device in a conversation with a site that is served as serve does.
type besideDevice struct {
	t    *testing.T
	web  *httptest.Server
	conn *websocket.Conn
	storetest.Maker
}

func newBesideDevice(t *testing.T) (*site, *besideDevice) {
	t.Helper()
	s := newSite(t)
	web := httptest.NewUnstartedServer(s.Handler())
	web.Config.ConnState, web.Config.ReadHeaderTimeout = s.Gate().ConnState, 10*time.Second
	web.Start()
	t.Cleanup(web.Close)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush Flat")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "Officer honest1", p)
	if err != nil {
		t.Fatal(err)
	}
	status, body := ask(t, "POST", web.URL+"/enrol", `{"code":"`+code+`","device":"honest1"}`)
	var enrolled enrolAnswer
	if err := json.Unmarshal([]byte(body), &enrolled); err != nil || status != 200 {
		t.Fatalf("enrolling: %d %s", status, body)
	}
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(web.URL, "http")+"/sync", nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	d := &besideDevice{t: t, web: web, conn: conn, Maker: storetest.Maker{Property: p.ID, Device: "honest1"}}
	if _, ok := d.ask(&wire.Hello{Version: wire.Version, Token: enrolled.Token, Device: "honest1"}).(*wire.Welcome); !ok {
		t.Fatal("the honest device is not welcomed")
	}
	return s, d
}

// ask sends a frame and returns the answer to it.
func (d *besideDevice) ask(f wire.Frame) wire.Frame {
	d.t.Helper()
	data, err := wire.Append(nil, f)
	if err == nil {
		err = d.conn.WriteMessage(websocket.TextMessage, data)
	}
	for err == nil {
		_ = d.conn.SetReadDeadline(time.Now().Add(time.Minute))
		if _, data, err = d.conn.ReadMessage(); err != nil {
			break
		}
		if f, err = wire.Decode(data); err != nil {
			break
		}
		if _, hint := f.(*wire.Hint); !hint {
			return f
		}
	}
	d.t.Fatal(err)
	return nil
}

// worst is the longest time to an acknowledgement until done is closed.
func (d *besideDevice) worst(done <-chan struct{}) (worst time.Duration) {
	for n := 0; ; n++ {
		began := time.Now()
		raw := d.Entry(fmt.Sprint("head-", n%20), nil, "kind", `"gully-head"`, "headDepthM", "1.2")
		if r, ok := d.ask(&wire.Push{Push: 1, Property: d.Property, Entries: []json.RawMessage{raw}}).(*wire.Receipts); !ok || r.Receipts[0].N == 0 {
			d.t.Fatalf("the honest device's push: %+v", r)
		}
		worst = max(worst, time.Since(began))
		select {
		case <-done:
			return worst
		case <-time.After(2 * time.Millisecond):
		}
	}
}

func after(d time.Duration) <-chan struct{} {
	done := make(chan struct{})
	time.AfterFunc(d, func() { close(done) })
	return done
}

// TestDeviceBesideStrangers: a device is acknowledged while strangers do what they can.
func TestDeviceBesideStrangers(t *testing.T) {
	for _, attack := range []struct {
		name    string
		request string // sent by each stranger, on connection after connection
		hold    bool   // and the connection kept
	}{
		{"wrong codes", "POST /enrol HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Length: 37\r\n\r\n{\"code\":\"zzzzz-zzzzz\",\"device\":\"dev1\"}", false},
		{"bodies that do not come", "POST /enrol HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\n{", true},
		{"answers that nobody reads", "GET /compute HTTP/1.1\r\nHost: x\r\n\r\nGET /compute HTTP/1.1\r\nHost: x\r\n\r\nGET /compute HTTP/1.1\r\nHost: x\r\n\r\n", true},
		{"connections that say nothing", "", true},
	} {
		t.Run(attack.name, func(t *testing.T) {
			_, d := newBesideDevice(t)
			alone, beside := d.worst(after(time.Second)), time.Hour
			stranger := func(until time.Time) {
				var held []net.Conn
				for time.Now().Before(until) {
					conn, err := net.Dial("tcp", d.web.Listener.Addr().String())
					if err != nil {
						break // as many as the machine has
					}
					_, _ = io.WriteString(conn, attack.request)
					if held = append(held, conn); !attack.hold {
						_, _ = io.Copy(io.Discard, conn)
						_ = conn.Close()
						held = held[:0]
					} else if len(held) == 30 {
						_ = held[0].Close()
						held = held[1:]
					}
					time.Sleep(5 * time.Millisecond)
				}
				for _, conn := range held {
					_ = conn.Close()
				}
			}
			for try := 0; try < 3 && beside > worstBeside; try++ { // a neighbour on the machine may spoil some
				until := time.Now().Add(2 * time.Second)
				for range 8 {
					go stranger(until)
				}
				beside = min(beside, d.worst(after(time.Until(until))))
			}
			t.Logf("worst acknowledgement %v alone, %v beside strangers", alone, beside)
			if beside > max(worstBeside, timesQuiet*alone) {
				t.Errorf("the honest device waited %v for an acknowledgement, want %v at most, or %d times the %v it waits alone", beside, worstBeside, timesQuiet, alone)
			}
		})
	}
}
