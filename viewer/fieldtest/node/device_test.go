package node

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/badline"
	"headcut/sync/store/storetest"
)

// faster is how much faster time passes on the phones: how long they wait before they try
// again, and for an answer that does not come.
const faster = 10

// device is a phone: a process in Node, a folder that outlives it, and a line to the server.
type device struct {
	t       *testing.T
	name    string
	dir     string
	line    *badline.Line
	aheadMS int64 // of its clock
	self    self

	uncomputed bool  // it has no computations, so nothing of others can be taken in
	foldMS     int64 // how much longer it takes to fold, of its own time

	mu      sync.Mutex
	process *process // nil while it is off
}

type self struct {
	Device     string
	Properties []struct{ ID, Name string }
}

// process is one life of a phone.
type process struct {
	cmd    *exec.Cmd
	in     io.Writer
	said   bytes.Buffer // on standard error
	killed bool
	gone   chan struct{} // closed when it has ended

	mu      sync.Mutex
	next    int
	waiting map[int]chan answer
}

type answer struct {
	ID     int
	Done   json.RawMessage
	Failed string
}

type asked map[string]any

// errOff: the phone went off before it answered.
var errOff = errors.New("the phone went off")

func newDevice(t *testing.T, o *office, name string, rule badline.Rule) *device {
	t.Helper()
	d := newDeviceIn(t, o, name, filepath.Join(t.TempDir(), "phone"), rule)
	d.start()
	return d
}

// newDeviceIn is a phone that is off, and what it has kept.
func newDeviceIn(t *testing.T, o *office, name, dir string, rule badline.Rule) *device {
	t.Helper()
	d := &device{t: t, name: name, dir: dir, line: badline.New(t, o.address, rule)}
	t.Cleanup(d.kill)
	return d
}

// start switches the phone on, and gives what it says is wrong with what it kept.
func (d *device) start() (trouble string) {
	d.t.Helper()
	place, err := json.Marshal(map[string]any{"dir": d.dir, "origin": d.line.URL(), "aheadMS": d.aheadMS, "faster": faster, "uncomputed": d.uncomputed, "foldMS": d.foldMS, "seed": crc32.ChecksumIEEE(fmt.Append(nil, storetest.Seed(), d.name))})
	must(d.t, err)
	p := &process{cmd: exec.Command(built.node[0], slices.Concat(built.node[1:], []string{string(place)})...), gone: make(chan struct{}), waiting: map[int]chan answer{}}
	p.cmd.Stderr = &p.said
	in, err := p.cmd.StdinPipe()
	must(d.t, err)
	p.in = in
	out, err := p.cmd.StdoutPipe()
	must(d.t, err)
	up := make(chan answer, 1)
	p.waiting[0] = up
	must(d.t, p.cmd.Start())
	d.mu.Lock()
	d.process = p
	d.mu.Unlock()
	go d.hear(p, out)
	select {
	case a := <-up:
		must(d.t, json.Unmarshal(a.Done, &trouble))
	case <-p.gone:
		d.t.Errorf("phone %s does not start: %s", d.name, p.said.String())
	}
	return trouble
}

func (d *device) hear(p *process, out io.Reader) {
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 64<<20)
	for lines.Scan() {
		var a answer
		if err := json.Unmarshal(lines.Bytes(), &a); err != nil {
			d.t.Errorf("phone %s said %q: %v", d.name, lines.Text(), err)
			continue
		}
		p.mu.Lock()
		to := p.waiting[a.ID]
		delete(p.waiting, a.ID)
		p.mu.Unlock()
		to <- a
	}
	err := p.cmd.Wait()
	p.mu.Lock()
	if !p.killed && err != nil {
		d.t.Errorf("phone %s ended by itself: %v\n%s", d.name, err, p.said.String())
	}
	p.mu.Unlock()
	close(p.gone)
}

// kill ends the phone with SIGKILL, whatever it is doing.
func (d *device) kill() {
	d.mu.Lock()
	p := d.process
	d.process = nil
	d.mu.Unlock()
	if p == nil {
		return
	}
	p.mu.Lock()
	p.killed = true
	p.mu.Unlock()
	_ = p.cmd.Process.Kill() // it may have ended
	<-p.gone
}

// end lets the phone close what it has open, and kills it: a Node that ends by itself while its worker
// computes can crash.
func (d *device) end() {
	_ = d.ask("close", nil, nil) // it may be off
	d.kill()
}

// begin asks without waiting: the answer comes, or errOff.
func (d *device) begin(ask string, with asked) (*process, chan answer, error) {
	d.mu.Lock()
	p := d.process
	d.mu.Unlock()
	if p == nil {
		return nil, nil, errOff
	}
	if with == nil {
		with = asked{}
	}
	to := make(chan answer, 1)
	p.mu.Lock()
	p.next++
	raw, err := json.Marshal(map[string]any{"id": p.next, "ask": ask, "with": with})
	p.waiting[p.next] = to
	p.mu.Unlock()
	if err != nil {
		return nil, nil, err
	}
	if _, err := p.in.Write(append(raw, '\n')); err != nil {
		return nil, nil, errOff
	}
	return p, to, nil
}

// ask asks the phone and waits for its answer.
func (d *device) ask(ask string, with asked, done any) error {
	p, to, err := d.begin(ask, with)
	if err != nil {
		return err
	}
	return d.await(p, to, ask, done)
}

func (d *device) await(p *process, to chan answer, ask string, done any) error {
	select {
	case a := <-to:
		return a.into(ask, done)
	case <-p.gone:
	}
	select {
	case a := <-to: // said with its last breath
		return a.into(ask, done)
	default:
		return errOff
	}
}

func (a answer) into(ask string, done any) error {
	if a.Failed != "" {
		return fmt.Errorf("%s: %s", ask, a.Failed)
	}
	if done == nil || len(a.Done) == 0 {
		return nil
	}
	return json.Unmarshal(a.Done, done)
}

// state is how a phone stands.
type state struct {
	State, Words, Trouble string
	Cloned                bool
	Counts                *struct{ Entries, Unsent, Refused, PhotosUnsent int }
	Refusals              []struct{ Entry, Feature, Why string }
	At                    map[string]uint64 // by property
	Folding               int               // features that are to be folded again
}

func (d *device) state() state {
	d.t.Helper()
	var s state
	must(d.t, d.ask("state", nil, &s))
	return s
}

// quiet tells whether all is sent, fetched and folded.
func (s state) quiet() bool {
	return s.State == "quiet" && s.Trouble == "" && s.Folding == 0 && s.Counts != nil && s.Counts.Unsent+s.Counts.PhotosUnsent == 0
}

// patience is how long phones may take until they stand still, on a busy machine.
const patience = 90 * time.Second

// settle waits until every phone has sent and fetched everything.
func settle(t *testing.T, devices ...*device) {
	t.Helper()
	deadline := time.Now().Add(patience)
	for {
		still := true
		at := map[string]uint64{}
		var said strings.Builder
		for _, d := range devices {
			s := d.state()
			still = still && s.quiet()
			fmt.Fprintf(&said, "%s: %+v counts %+v\n", d.name, s, s.Counts)
			for property, n := range s.At {
				if _, known := at[property]; !known {
					at[property] = n
				}
				still = still && at[property] == n
			}
		}
		if still {
			return
		}
		if time.Now().After(deadline) {
			t.Fatalf("after %v the phones have not sent and fetched everything:\n%s", patience, said.String())
		}
		time.Sleep(20 * time.Millisecond)
	}
}
