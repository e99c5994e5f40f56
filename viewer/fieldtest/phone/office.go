package phone

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/server"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Office is a real server in a process of its own, on a data folder that outlives it.
type Office struct {
	URL string // "http://localhost:PORT", the same for every start

	t        testing.TB
	settings officeSettings
	door     *http.Client

	mu     sync.Mutex
	run    *exec.Cmd // nil while it is down
	stdin  io.Closer
	downed bool // it has been down in this test: pages may complain of the network

	planted uint64 // entries of the desk so far
}

// NewOffice starts a server with an empty register.
func NewOffice(t testing.TB) *Office {
	t.Helper()
	return NewOfficeOn(t, t.TempDir())
}

// NewOfficeOn starts a server on a data folder that is there already.
func NewOfficeOn(t testing.TB, dir string) *Office {
	t.Helper()
	socket, err := os.MkdirTemp("", "office") // a socket's path must be short
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(socket) })
	o := &Office{t: t, settings: officeSettings{
		Data: dir, Pages: built.pages, Computations: built.computations,
		Listen: "127.0.0.1:0", Door: filepath.Join(socket, "door"),
	}}
	o.door = &http.Client{Transport: &http.Transport{
		DisableKeepAlives: true, // the process behind the door may be killed
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			var d net.Dialer
			return d.DialContext(ctx, "unix", o.settings.Door)
		},
	}}
	o.Start()
	t.Cleanup(o.Kill)
	return o
}

// Start starts the server again, at the same address.
func (o *Office) Start() {
	o.t.Helper()
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.run != nil {
		o.t.Fatal("the office is running already")
	}
	settings, err := json.Marshal(o.settings)
	if err != nil {
		o.t.Fatal(err)
	}
	run := exec.Command(os.Args[0])
	run.Env = append(os.Environ(), officeVariable+"="+string(settings))
	run.Stderr = os.Stderr
	stdin, err := run.StdinPipe()
	if err != nil {
		o.t.Fatal(err)
	}
	stdout, err := run.StdoutPipe()
	if err != nil {
		o.t.Fatal(err)
	}
	if err := run.Start(); err != nil {
		o.t.Fatal(err)
	}
	address, err := bufio.NewReader(stdout).ReadString('\n')
	if err != nil {
		o.t.Fatalf("the office did not start: it said %q: %v", address, err)
	}
	o.settings.Listen = strings.TrimSpace(address)
	_, port, err := net.SplitHostPort(o.settings.Listen)
	if err != nil {
		o.t.Fatal(err)
	}
	o.run, o.stdin, o.URL = run, stdin, "http://localhost:"+port
}

// Kill ends the server's process with SIGKILL, whatever it is doing.
func (o *Office) Kill() { o.end((*os.Process).Kill) }

// GiveRoom has the office serve from now on with other limits on what it keeps.
func (o *Office) GiveRoom(limits server.Room) {
	o.t.Helper()
	o.Stop()
	o.settings.Room = limits
	o.Start()
}

// Stop lets the server end as it does when it is told to.
func (o *Office) Stop() { o.end(func(*os.Process) error { return nil }) }

func (o *Office) end(how func(*os.Process) error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.run == nil {
		return
	}
	if err := how(o.run.Process); err != nil {
		o.t.Error(err)
	}
	_ = o.stdin.Close()
	_ = o.run.Wait() // it was killed, or says on standard error why it failed
	o.run, o.downed = nil, true
}

func (o *Office) wasDown() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.downed
}

// UsePages serves the pages of another folder from the next Start: a newer version.
func (o *Office) UsePages(dir string) { o.settings.Pages = dir }

// UseComputations serves the computations of another folder from the next Start.
func (o *Office) UseComputations(dir string) { o.settings.Computations = dir }

// Spoil makes the office answer wrongly for these paths from the next Start on; nil ends it.
func (o *Office) Spoil(paths map[string]Spoil) { o.settings.Spoilt = paths }

// SetClock makes the office's clock this much ahead from the next Start on.
func (o *Office) SetClock(ahead time.Duration) { o.settings.Ahead = ahead }

// Invite makes a one-time code for a property, which is made when it is not there.
func (o *Office) Invite(property, author string) (code string) {
	o.t.Helper()
	var got server.Invitation
	o.ask("/office/invite", server.Invite{Properties: []string{property}, Author: author}, &got)
	return got.Code
}

// InviteAgain makes a code for a phone that is to be enrolled again.
func (o *Office) InviteAgain(device string) (code string) {
	o.t.Helper()
	var got server.Invitation
	o.ask("/office/invite", server.Invite{Again: device}, &got)
	return got.Code
}

// InviteFor makes a one-time code for several properties.
func (o *Office) InviteFor(author string, properties ...string) (code string) {
	o.t.Helper()
	var got server.Invitation
	o.ask("/office/invite", server.Invite{Properties: properties, Author: author}, &got)
	return got.Code
}

// Widen gives the phone that somebody carries more properties, without a code.
func (o *Office) Widen(author string, properties ...string) {
	o.t.Helper()
	o.ask("/office/widen", server.Widening{Device: author, Properties: properties}, &server.Widened{})
}

// Change accepts, renames or merges a property.
func (o *Office) Change(change server.PropertyChange) {
	o.t.Helper()
	o.ask("/office/property", change, &server.Property{})
}

// Narrow takes the rights to these properties away from a device.
func (o *Office) Narrow(device string, properties ...string) {
	o.t.Helper()
	o.ask("/office/revoke", server.Revocation{Device: device, Properties: properties}, &server.DeviceRow{})
}

// Revoke takes a device's rights away.
func (o *Office) Revoke(device string) {
	o.t.Helper()
	o.ask("/office/revoke", server.Revocation{Device: device}, &server.DeviceRow{})
}

func (o *Office) ask(path string, body, answer any) {
	o.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		o.t.Fatal(err)
	}
	if err := server.Ask(o.t.Context(), o.door, http.MethodPost, path, bytes.NewReader(raw), answer); err != nil {
		o.t.Fatalf("%s: %v", path, err)
	}
}

// Data is the folder that the server keeps everything in, to be changed only while it is down.
func (o *Office) Data() string { return o.settings.Data }

// Property finds a property by its name.
func (o *Office) Property(name string) server.Property {
	o.t.Helper()
	var all []server.Property
	o.get("/office/properties", &all)
	for _, p := range all {
		if p.Name == name {
			return p
		}
	}
	o.t.Fatalf("the office has no property %q: %v", name, all)
	return server.Property{}
}

// Held is an entry as the office holds it.
type Held struct {
	N       uint64
	Arrived time.Time       // when the office took it, to the millisecond
	Raw     json.RawMessage // as the device wrote it
	register.Entry
}

// Entries are all that the office holds of a property, in the order of their numbers.
func (o *Office) Entries(property string) []Held {
	o.t.Helper()
	var got []held
	o.get("/held?property="+url.QueryEscape(o.Property(property).ID), &got)
	all := make([]Held, len(got))
	for i, h := range got {
		e, err := register.Decode(h.Raw)
		if err != nil {
			o.t.Fatalf("entry %d of the office does not decode: %v: %s", h.N, err, h.Raw)
		}
		all[i] = Held{N: h.N, Arrived: time.UnixMilli(h.ArrivedMS), Raw: h.Raw, Entry: e}
	}
	return all
}

// Plant appends entries to a property of the office, as if a device had sent them.
func (o *Office) Plant(property string, entries ...register.Entry) {
	o.t.Helper()
	raw := make([]json.RawMessage, len(entries))
	for i, e := range entries {
		text, err := register.Encode(e)
		if err != nil {
			o.t.Fatal(err)
		}
		raw[i] = text
	}
	var receipts []store.Receipt
	o.ask("/held?property="+url.QueryEscape(o.Property(property).ID), raw, &receipts)
	for _, r := range receipts {
		if r.Refused != "" {
			o.t.Fatalf("entry %s was refused: %s", r.ID, r.Refused)
		}
	}
}

// TakeIn takes a file in as 'headcut intake' does.
func (o *Office) TakeIn(file string) server.Taken {
	o.t.Helper()
	f, err := os.Open(file)
	if err != nil {
		o.t.Fatal(err)
	}
	defer f.Close()
	var taken server.Taken
	path := "/office/intake?file=" + url.QueryEscape(filepath.Base(file))
	if err := server.Ask(o.t.Context(), o.door, http.MethodPost, path, f, &taken); err != nil {
		o.t.Fatalf("%s: %v", path, err)
	}
	return taken
}

// Photo is a photo that the office holds whole; ok is false when it does not.
func (o *Office) Photo(sha string) (jpeg []byte, ok bool) {
	o.t.Helper()
	res, err := o.door.Get("http://office/photo/" + sha)
	if err != nil {
		o.t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		o.t.Fatal(err)
	}
	return body, res.StatusCode == http.StatusOK
}

func (o *Office) get(path string, v any) {
	o.t.Helper()
	if err := server.Ask(o.t.Context(), o.door, http.MethodGet, path, nil, v); err != nil {
		o.t.Fatalf("%s: %v", path, err)
	}
}

// Share makes a landholder's link to a property, and gives its whole address.
func (o *Office) Share(property string) (address string) {
	o.t.Helper()
	var got server.Shared
	o.ask("/office/share", server.ShareRequest{Property: property, Days: 30}, &got)
	return o.URL + got.Path
}
