package exchange_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/store/boltstore"
	"headcut/sync/wire"
)

// BenchmarkProcessorOfAnEntry compares the processor time of this process, from the frames that
// devices push to the commit and the receipts, with that of encoding/json decoding the same
// entries once. The devices are in a process of their own, and compress as browsers do. The
// store is in memory where there is a file system for that, so that no disk is waited for.
func BenchmarkProcessorOfAnEntry(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(boltstore.ServingGCPercent)) // as the server does
	for _, size := range []int{1, 20, wire.MaxEntries} {
		b.Run(fmt.Sprintf("frames-of-%d", size), func(b *testing.B) {
			var ratios []float64
			for b.Loop() {
				ours, theirs := processorOfAnEntry(b, size)
				ratios = append(ratios, float64(ours)/float64(theirs))
				b.ReportMetric(float64(ours.Nanoseconds())/1e3, "µs/entry")
				b.ReportMetric(float64(theirs.Nanoseconds())/1e3, "json-µs/entry")
			}
			slices.Sort(ratios)
			b.ReportMetric(ratios[len(ratios)/2], "ours/json")
		})
	}
}

const (
	pushingRole    = "HEADCUT_PUSHING_DEVICES"
	pushingDevices = 128
)

// processorOfAnEntry is what one entry takes when devices push so many in each frame, and what
// encoding/json takes to decode it.
func processorOfAnEntry(b *testing.B, size int) (ours, theirs time.Duration) {
	b.Helper()
	each := 512
	d := newDeskIn(b, memoryDir(b), exchange.Timing{})
	days := filepath.Join(b.TempDir(), "days")
	var all [][]byte
	for device := range pushingDevices {
		for i := range each {
			all = append(all, entryOfADay(b, fmt.Sprint("device-", device), i))
		}
	}
	if err := os.WriteFile(days, bytes.Join(all, []byte("\n")), 0o600); err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s %s %d %d", pushingRole, d.url, days, each, size))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
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
	said := bufio.NewScanner(out)
	expect := func(word string) {
		if !said.Scan() || said.Text() != word {
			b.Fatalf("the devices said %q, want %q", said.Text(), word)
		}
	}
	expect("connected")
	runtime.GC()
	before := processorTime()
	if _, err := in.Write([]byte("go\n")); err != nil {
		b.Fatal(err)
	}
	expect("acknowledged")
	ours = processorTime() - before
	if n, err := d.store.Newest(b.Context(), creek); err != nil || n != uint64(len(all)) {
		b.Fatalf("the register has %d entries (%v), want %d", n, err, len(all))
	}
	runtime.GC()
	before = processorTime()
	for _, raw := range all {
		var e struct { // as encoding/json reads it by itself
			register.Entry
			Set map[string]json.RawMessage `json:"set,omitempty"`
		}
		if err := json.Unmarshal(raw, &e); err != nil {
			b.Fatal(err)
		}
	}
	theirs = processorTime() - before
	return ours / time.Duration(len(all)), theirs / time.Duration(len(all))
}

// memoryDir is a folder in memory, or any where the system has none.
func memoryDir(b *testing.B) string {
	dir, err := os.MkdirTemp("/dev/shm", "headcut-")
	if err != nil {
		return b.TempDir()
	}
	b.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// processorTime is what this process has used of all processors, in itself and in the kernel.
func processorTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err) // only a wrong argument is an error
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// entryOfADay is one of four entries in turn about a check dam: proposed, pegged, built, visited.
func entryOfADay(b *testing.B, device string, i int) []byte {
	set := [...]string{
		`{"kind":"check-dam","name":"Dam %d","status":"proposed","accuracyM":3.2,"geometry":{"type":"Point","coordinates":[147.%04d,-20.5]},"notes":"loose rock from the ridge, apron of 1.2 m"}`,
		`{"status":"pegged","peggedOn":"2026-11-25","notes":"pegs at both ends and in the middle; key 0.3 m into the banks, notch over the thalweg, spoil upstream"}`,
		`{"status":"built","builtOn":"2026-11-26","crestHeightM":0.4,"crestLengthM":6.5,"material":"loose rock","notes":"built by hand; rock 0.2 to 0.4 m, apron keyed in"}`,
		`{"sedimentDepthM":0.15,"notes":"first flow passed over the notch; silt nearly to the crest on the left, some scour beside the right bank"}`,
	}[i%4]
	if i%4 == 0 {
		set = fmt.Sprintf(set, i/4, i/4)
	}
	return entryOf(b, device, uint64(i+1), func(e *register.Entry) {
		e.Feature = fmt.Sprintf("%s-dam-%d", device, i/4)
		e.Set = nil
		if err := json.Unmarshal([]byte(set), &e.Set); err != nil {
			b.Fatal(err)
		}
	})
}

// pushing connects devices, waits for a word, and pushes each device's entries frame by frame.
func pushing(role string) error {
	var url, days string
	var each, size int
	if _, err := fmt.Sscan(role, &url, &days, &each, &size); err != nil {
		return err
	}
	text, err := os.ReadFile(days)
	if err != nil {
		return err
	}
	entries := bytes.Split(text, []byte("\n"))
	conns := make([]*websocket.Conn, len(entries)/each)
	frames := make([][][]byte, len(conns))
	dialer := websocket.Dialer{EnableCompression: true}
	for i := range conns {
		if conns[i], _, err = dialer.Dial(url, nil); err != nil {
			return err
		}
		device := fmt.Sprint("device-", i)
		hello, err := wire.Append(nil, &wire.Hello{Version: wire.Version, Token: "token-of-" + device, Device: device, ClockMS: time.Now().UnixMilli()})
		if err != nil {
			return err
		}
		if err := conns[i].WriteMessage(websocket.TextMessage, hello); err != nil {
			return err
		}
		if _, _, err := conns[i].ReadMessage(); err != nil {
			return err
		}
		for frame := range slices.Chunk(entries[i*each:(i+1)*each], size) {
			push := wire.Push{Push: uint64(len(frames[i]) + 1), Property: creek}
			for _, raw := range frame {
				push.Entries = append(push.Entries, raw)
			}
			data, err := wire.Append(nil, &push)
			if err != nil {
				return err
			}
			frames[i] = append(frames[i], data)
		}
	}
	fmt.Println("connected")
	if _, err := bufio.NewReader(os.Stdin).ReadString('\n'); err != nil {
		return err
	}
	var wg sync.WaitGroup
	failed := make([]error, len(conns))
	for i, conn := range conns {
		wg.Go(func() { failed[i] = pushAll(conn, frames[i]) })
	}
	wg.Wait()
	for i, err := range failed {
		if err != nil {
			return fmt.Errorf("device %d: %w", i, err)
		}
	}
	fmt.Println("acknowledged")
	time.Sleep(time.Hour) // until it is killed: hanging up is work for the server
	return nil
}

func pushAll(conn *websocket.Conn, frames [][]byte) error {
	for _, frame := range frames {
		if err := conn.WriteMessage(websocket.TextMessage, frame); err != nil {
			return err
		}
		for acknowledged := false; !acknowledged; {
			_, data, err := conn.ReadMessage()
			if err != nil {
				return err
			}
			if strings.Contains(string(data), `"refused"`) || strings.HasPrefix(string(data), `{"type":"problem"`) {
				return fmt.Errorf("%s", data)
			}
			acknowledged = strings.HasPrefix(string(data), `{"type":"receipts"`)
		}
	}
	return nil
}
