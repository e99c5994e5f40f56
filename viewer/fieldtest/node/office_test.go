package node

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// office is the headcut command on a data folder, served by a process that may be killed.
type office struct {
	t       *testing.T
	data    string
	address string // host:port, the same at every start

	mu      sync.Mutex
	serving *exec.Cmd // nil while it is down
	log     bytes.Buffer
}

func newOffice(t *testing.T) *office {
	t.Helper()
	free, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	o := &office{t: t, data: filepath.Join(t.TempDir(), "data"), address: free.Addr().String()}
	must(t, free.Close())
	o.start()
	t.Cleanup(func() {
		o.kill()
		if t.Failed() {
			t.Logf("the server said last:\n%s", tail(o.log.String(), 30))
		}
	})
	return o
}

func tail(text string, lines int) string {
	all := strings.Split(text, "\n")
	return strings.Join(all[max(0, len(all)-lines):], "\n")
}

// start serves, and returns when the server answers.
func (o *office) start() {
	o.t.Helper()
	o.mu.Lock()
	defer o.mu.Unlock()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(20 * time.Millisecond) { // after a kill the system may hold the port for a moment
		cmd := exec.Command(built.headcut, "serve", "--data", o.data, "--listen", o.address)
		cmd.Stderr = &o.log
		out, err := cmd.StdoutPipe()
		must(o.t, err)
		must(o.t, cmd.Start())
		said := bufio.NewScanner(out)
		for said.Scan() && !strings.HasPrefix(said.Text(), "Serving ") {
		}
		if strings.HasPrefix(said.Text(), "Serving ") {
			go func() { _, _ = io.Copy(io.Discard, out) }()
			o.serving = cmd
			return
		}
		err = cmd.Wait()
		if time.Now().After(deadline) {
			o.t.Fatalf("the server does not start: %v\n%s", err, tail(o.log.String(), 10))
		}
	}
}

// kill ends the server with SIGKILL, whatever it is doing.
func (o *office) kill() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.serving == nil {
		return
	}
	if err := o.serving.Process.Kill(); err != nil {
		o.t.Errorf("the server had ended before it was killed: %v", err)
	}
	_ = o.serving.Wait()                                // it was killed
	_ = os.Remove(filepath.Join(o.data, "office.sock")) // so that the folder can be copied
	o.serving = nil
}

// run runs the office's command with more words, and gives what it printed.
func (o *office) run(args ...string) string {
	o.t.Helper()
	cmd := exec.Command(built.headcut, args...)
	said, err := cmd.CombinedOutput()
	if err != nil {
		o.t.Fatalf("headcut %s: %v\n%s", strings.Join(args, " "), err, said)
	}
	return string(said)
}

var codePrinted = regexp.MustCompile(`(?m)^Code for .*: (\S+)$`)

// code makes a code for a phone.
func (o *office) code(args ...string) string {
	o.t.Helper()
	said := o.run(append([]string{"enrol", "--data", o.data}, args...)...)
	found := codePrinted.FindStringSubmatch(said)
	if found == nil {
		o.t.Fatalf("headcut enrol printed no code: %s", said)
	}
	return found[1]
}

func (o *office) enrol(d *device, author string, properties ...string) {
	o.t.Helper()
	args := []string{"--author", author}
	for _, p := range properties {
		args = append(args, "--property", p)
	}
	must(o.t, d.ask("enrol", asked{"code": o.code(args...)}, &d.self))
}

// contents is a register as it lies on the disk, while nobody serves it.
type contents struct {
	entries map[string][]register.Numbered // by property, in the order of their numbers
	folded  map[string]map[string]register.Folded
	times   map[string]int  // how often an id stands in it
	photos  map[string]bool // sha; whether it is whole
}

// read reads what is on the disk, of all properties, while the server is down.
func (o *office) read() contents {
	o.t.Helper()
	ctx := context.Background()
	s, err := boltstore.Open(filepath.Join(o.data, "register.bolt"), boltstore.Options{})
	must(o.t, err)
	defer s.Close()
	properties, err := s.Properties(ctx)
	must(o.t, err)
	h := contents{entries: map[string][]register.Numbered{}, folded: map[string]map[string]register.Folded{}, times: map[string]int{}, photos: map[string]bool{}}
	for property := range properties {
		for at := (store.Position{}); ; {
			page, next, err := s.EntriesAfter(ctx, property, at, 1000)
			must(o.t, err)
			if len(page) == 0 {
				break
			}
			h.entries[property] = append(h.entries[property], page...)
			for _, e := range page {
				h.times[string(e.Entry.ID)]++
			}
			at = next
		}
		h.folded[property] = map[string]register.Folded{}
		for f, err := range s.Features(ctx, property) {
			must(o.t, err)
			h.folded[property][f.Feature] = f
		}
	}
	names, err := filepath.Glob(filepath.Join(o.data, "photos", "photo", "*"))
	must(o.t, err)
	for _, name := range names {
		raw, err := os.ReadFile(name)
		must(o.t, err)
		h.photos[filepath.Base(name)] = register.HashOf(raw).String() == filepath.Base(name)
	}
	return h
}

// copied copies the data folder while the server is down.
func (o *office) copied() string {
	o.t.Helper()
	to := filepath.Join(o.t.TempDir(), "copy")
	must(o.t, os.CopyFS(to, os.DirFS(o.data)))
	return to
}

// put puts a copy in the place of the data folder, and tells nobody. The server is down.
func (o *office) put(copy string) {
	o.t.Helper()
	must(o.t, errors.Join(os.RemoveAll(o.data), os.CopyFS(o.data, os.DirFS(copy))))
}

// restore makes the data folder of a backup, as an office does. The server is down.
func (o *office) restore(backup string, how ...string) {
	o.t.Helper()
	old := o.data + "-old"
	must(o.t, errors.Join(os.RemoveAll(old), os.Rename(o.data, old)))
	o.run(append([]string{"restore", "--from", backup, "--data", o.data}, how...)...)
}
