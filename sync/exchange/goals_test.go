package exchange_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// The benchmarks of this file measure the conversation against bare parts in the same
// run: compare the ratios, not the times.

func p50(took []time.Duration) float64 {
	slices.Sort(took)
	return float64(took[len(took)/2])
}

// BenchmarkAcknowledgedRoundTrip compares push and receipts over loopback with the sum of
// an append to the store and an echo of 256 bytes.
func BenchmarkAcknowledgedRoundTrip(b *testing.B) {
	d := newDesk(b, exchange.Timing{})
	p, direct := join(b, d, "device-1"), uint64(0)
	echo := echoServer(b)
	payload := bytes.Repeat([]byte("x"), 256)
	var appends, echoes, trips []time.Duration
	for b.Loop() {
		direct++
		raw := entryOf(b, "device-2", direct, nil)
		began := time.Now()
		if _, err := d.store.Append(context.Background(), creek, []json.RawMessage{raw}); err != nil {
			b.Fatal(err)
		}
		appends = append(appends, time.Since(began))

		began = time.Now()
		if err := echo.WriteMessage(websocket.TextMessage, payload); err != nil {
			b.Fatal(err)
		}
		if _, _, err := echo.ReadMessage(); err != nil {
			b.Fatal(err)
		}
		echoes = append(echoes, time.Since(began))

		push := &wire.Push{Push: direct, Property: creek, Entries: []json.RawMessage{p.entry(nil)}}
		began = time.Now()
		p.send(push)
		if r, ok := p.receive().(*wire.Receipts); !ok || r.Receipts[0].N == 0 {
			b.Fatalf("got %+v", r)
		}
		trips = append(trips, time.Since(began))
	}
	b.ReportMetric(p50(appends)/1e3, "append-µs")
	b.ReportMetric(p50(echoes)/1e3, "echo-µs")
	b.ReportMetric(p50(trips)/1e3, "trip-µs")
	b.ReportMetric(p50(trips)/(p50(appends)+p50(echoes)), "trip/(append+echo)")
}

func echoServer(b *testing.B) *websocket.Conn {
	upgrader := websocket.Upgrader{EnableCompression: true, WriteBufferPool: new(sync.Pool)}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		conn, err := upgrader.Upgrade(w, r, nil)
		if err != nil {
			return
		}
		conn.EnableWriteCompression(false)
		for {
			kind, data, err := conn.ReadMessage()
			if err != nil || conn.WriteMessage(kind, data) != nil {
				return
			}
		}
	}))
	b.Cleanup(server.Close)
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(server.URL, "http"), nil)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = conn.Close() })
	return conn
}

// BenchmarkPull compares pulling a property, each entry checked against the chain hash,
// with encoding/json decoding the same bytes; and the bytes on the wire with the JSON.
func BenchmarkPull(b *testing.B) {
	const entries = 20_000
	d := newDesk(b, exchange.Timing{})
	var raws []json.RawMessage
	size := 0
	for seq := range uint64(entries) {
		raws = append(raws, entryOf(b, "device-1", seq+1, nil))
		size += len(raws[seq])
	}
	for batch := range slices.Chunk(raws, 1000) {
		if _, err := d.store.Append(context.Background(), creek, batch); err != nil {
			b.Fatal(err)
		}
	}
	var carried atomic.Int64
	dialer := websocket.Dialer{EnableCompression: true, NetDial: func(network, address string) (net.Conn, error) {
		conn, err := net.Dial(network, address)
		return counting{conn, &carried}, err
	}}
	conn, _, err := dialer.Dial(d.url, nil)
	if err != nil {
		b.Fatal(err)
	}
	defer conn.Close()
	p := &peer{t: b, conn: conn, device: "device-2"}
	p.send(&wire.Hello{Version: wire.Version, Token: "token-of-device-2", Device: "device-2"})
	if _, ok := p.receive().(*wire.Welcome); !ok {
		b.Fatal("no welcome")
	}
	var pulling, reading, decoding time.Duration
	rounds := 0
	for b.Loop() {
		rounds++
		carried.Store(0)
		began := time.Now()
		pullAll(b, p, entries, nil)
		pulling += time.Since(began)

		began = time.Now()
		pullAll(b, p, entries, func(raw json.RawMessage) {
			if _, err := register.Decode(raw); err != nil {
				b.Fatal(err)
			}
		})
		reading += time.Since(began)

		began = time.Now()
		for _, raw := range raws {
			var e register.Entry
			if err := json.Unmarshal(raw, &e); err != nil {
				b.Fatal(err)
			}
		}
		decoding += time.Since(began)
	}
	b.ReportMetric(float64(size)/entries, "B/entry")
	b.ReportMetric(entries*float64(rounds)/pulling.Seconds(), "pulled/s")
	b.ReportMetric(decoding.Seconds()/pulling.Seconds(), "pull/decode-rate")
	b.ReportMetric(decoding.Seconds()/reading.Seconds(), "pull+read/decode-rate")
	b.ReportMetric(float64(carried.Load())/2/float64(size), "wire/JSON")
}

// pullAll pulls a property from its beginning, and decodes the entries in a goroutine of
// its own, as a device applies one page while the next arrives.
func pullAll(b *testing.B, p *peer, entries int, read func(json.RawMessage)) {
	p.send(&wire.Pull{Property: creek})
	pages := make(chan *wire.Page, 4)
	var reading sync.WaitGroup
	reading.Go(func() {
		for page := range pages {
			for _, raw := range page.Entries {
				if read != nil {
					read(raw)
				}
			}
		}
	})
	var at store.Position
	for more := true; more; {
		page, ok := p.receive().(*wire.Page)
		if !ok {
			b.Fatal("no page")
		}
		at.Epoch = page.At.Epoch
		for _, raw := range page.Entries {
			at = at.After(register.HashOf(raw))
		}
		if at != page.At {
			b.Fatalf("chain: got %+v, want %+v", at, page.At)
		}
		pages <- page
		more = page.More
	}
	close(pages)
	reading.Wait()
	if at.N != uint64(entries) {
		b.Fatalf("pulled %d entries, want %d", at.N, entries)
	}
}

type counting struct {
	net.Conn
	n *atomic.Int64
}

func (c counting) Read(p []byte) (int, error) {
	n, err := c.Conn.Read(p)
	c.n.Add(int64(n))
	return n, err
}

// BenchmarkLive compares the time from a push until another device has the entry with an
// append to the store.
func BenchmarkLive(b *testing.B) {
	d := newDesk(b, exchange.Timing{})
	writer, reader := join(b, d, "device-1"), join(b, d, "device-2")
	var at store.Position
	var appends, lives []time.Duration
	direct := uint64(0)
	catchUp := func(n uint64) {
		for at.N < n {
			f, err := reader.next()
			if err != nil {
				b.Fatal(err)
			}
			if page, ok := f.(*wire.Page); ok {
				at = page.At
				continue
			}
			reader.send(&wire.Pull{Property: creek, At: at})
		}
	}
	for b.Loop() {
		direct++
		raw := entryOf(b, "device-3", direct, nil)
		began := time.Now()
		receipts, err := d.store.Append(context.Background(), creek, []json.RawMessage{raw})
		if err != nil {
			b.Fatal(err)
		}
		appends = append(appends, time.Since(began))
		catchUp(receipts[0].N)

		push := &wire.Push{Push: direct, Property: creek, Entries: []json.RawMessage{writer.entry(nil)}}
		began = time.Now()
		writer.send(push)
		catchUp(receipts[0].N + 1)
		lives = append(lives, time.Since(began))
		if _, ok := writer.receive().(*wire.Receipts); !ok {
			b.Fatal("no receipts")
		}
	}
	b.ReportMetric(p50(appends)/1e3, "append-µs")
	b.ReportMetric(p50(lives)/1e3, "live-µs")
	b.ReportMetric(p50(lives)/p50(appends), "live/append")
}

// BenchmarkIdleConnection compares the memory of this process per connected and idle
// device with that of a bare connection. The devices are in a process of their own.
func BenchmarkIdleConnection(b *testing.B) {
	const connections = 1000
	for b.Loop() {
		d := newDesk(b, exchange.Timing{})
		ours := residentPerConnection(b, d.url, true, connections, d.exchange.Open)
		upgrader := websocket.Upgrader{EnableCompression: true, WriteBufferPool: new(sync.Pool)}
		var open atomic.Int64
		bare := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			conn, err := upgrader.Upgrade(w, r, nil)
			if err != nil {
				return
			}
			open.Add(1)
			for {
				if _, _, err := conn.ReadMessage(); err != nil {
					return
				}
			}
		}))
		theirs := residentPerConnection(b, "ws"+strings.TrimPrefix(bare.URL, "http"), false, connections, func() int { return int(open.Load()) })
		bare.Close()
		b.ReportMetric(ours/1024, "KiB/connection")
		b.ReportMetric(theirs/1024, "bare-KiB/connection")
		b.ReportMetric(ours/theirs, "ours/bare")
	}
}

const idleRole = "HEADCUT_IDLE_DEVICES"

func residentPerConnection(b *testing.B, url string, hello bool, connections int, open func() int) float64 {
	b.Helper()
	before := resident()
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s %t %d", idleRole, url, hello, connections))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	defer func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}()
	said := make([]byte, 9)
	if _, err := out.Read(said); err != nil || string(said) != "connected" {
		b.Fatalf("the devices said %q, %v", said, err)
	}
	after := resident()
	if open() != connections {
		b.Fatalf("%d connections, want %d", open(), connections)
	}
	return float64(after-before) / float64(connections)
}

// resident is what this process holds in heap and stacks. The kernel's buffers, the same
// for both, are not counted.
func resident() int64 {
	runtime.GC()
	runtime.GC() // the second empties the pools
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc + m.StackInuse)
}

func TestMain(m *testing.M) {
	if role := os.Getenv(idleRole); role != "" {
		if err := idle(role); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	if role := os.Getenv(pushingRole); role != "" {
		if err := pushing(role); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	os.Exit(m.Run())
}

// idle connects devices and stays.
func idle(role string) error {
	var url string
	var hello bool
	var connections int
	if _, err := fmt.Sscan(role, &url, &hello, &connections); err != nil {
		return err
	}
	dialer := websocket.Dialer{EnableCompression: true}
	open := make([]*websocket.Conn, connections) // what is not held is closed by the collector
	for i := range open {
		conn, _, err := dialer.Dial(url, nil)
		if err != nil {
			return err
		}
		open[i] = conn
		if hello {
			device := fmt.Sprint("idle-", i)
			data, err := wire.Append(nil, &wire.Hello{Version: wire.Version, Token: "token-of-" + device, Device: device, ClockMS: time.Now().UnixMilli()})
			if err != nil {
				return err
			}
			if err := conn.WriteMessage(websocket.TextMessage, data); err != nil {
				return err
			}
			if _, _, err := conn.ReadMessage(); err != nil {
				return err
			}
		}
	}
	fmt.Print("connected")
	time.Sleep(time.Hour)
	return open[0].Close()
}
