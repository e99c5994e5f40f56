package device_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/boltstore"
)

var (
	playKills = flag.Int("play.kills", 30, "processes killed in the play")
	playSeed  = flag.Uint64("play.seed", 20261125, "seed of the play; 0: a new one")
)

const playEntries = 2000 // of both devices and both halves of the day

// TestPlay is an officer's day gone wrong. Two devices capture 2,000 entries offline, with
// edits to the same features; the line is cut, and devices and server are killed with
// SIGKILL, at random moments, each of them a process of its own; and once the server is
// restored from an older backup. Afterwards the register must equal that of an
// undisturbed play: the same entries by id and hash, the same folded features byte for
// byte. Each device begins a property while it is offline and captures on it.
//
// The day has two halves, with everything synced in between, so that what a device had
// seen when it captured, and with it every byte of every entry, is the same in both plays.
func TestPlay(t *testing.T) {
	seed := *playSeed
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("again with: go test -run TestPlay -play.seed=%d -play.kills=%d ./sync/device", seed, *playKills)
	noon, want := undisturbedPlay(t)
	p := newPlay(t, seed)
	p.half(1)
	// Also at noon: the restore in the afternoon has devices offer all they ever wrote,
	// which would mend what was acknowledged and lost before it.
	p.stopOffice()
	s, err := boltstore.Open(p.register(), boltstore.Options{})
	must(t, err)
	for property := range want {
		compareEntries(t, property+" at noon", entriesOf(t, s, property), noon[property])
	}
	must(t, s.Close())
	p.mu.Lock()
	p.startOffice()
	p.mu.Unlock()
	p.half(2)
	p.stopOffice()
	t.Logf("%d kills of devices, %d of the server, %d cuts of the line, %d restore", p.killed["a"]+p.killed["b"], p.killed["office"], p.cuts, p.restores)
	total := p.killed["a"] + p.killed["b"] + p.killed["office"]
	if total < *playKills || p.killed["office"] == 0 || p.killed["a"] == 0 || p.killed["b"] == 0 || p.restores != 1 {
		t.Errorf("the play was too calm: kills %v, %d restores, want %d kills, some of each, and one restore", p.killed, p.restores, *playKills)
	}
	got := p.outcome()
	total = 0
	for property := range want {
		total += len(want[property].entries)
		compareEntries(t, property, got[property].entries, want[property].entries)
		sameFold(t, "the register of "+property, got[property].folded, want[property].folded)
		for name, state := range got[property].devices {
			sameFold(t, "device "+name+" on "+property, state, want[property].folded)
		}
	}
	if len(want) != 4 || len(got) != 4 {
		t.Errorf("the plays have %d and %d properties, want two and one begun by each device", len(want), len(got))
	}
	if total != playEntries {
		t.Errorf("the undisturbed play has %d entries, want %d", total, playEntries)
	}
	clashes := 0
	for _, raw := range want[creek].folded {
		clashes += strings.Count(raw, `"field":`)
	}
	if clashes == 0 {
		t.Error("the undisturbed play has no clash: the devices did not edit the same features")
	}
}

func compareEntries(t *testing.T, property string, got, want map[register.ID]register.Hash) {
	lost, altered := 0, 0
	for id, hash := range want {
		switch h, ok := got[id]; {
		case !ok:
			lost++
		case h != hash:
			altered++
		}
	}
	foreign := 0
	for id := range got {
		if _, ok := want[id]; !ok {
			foreign++
		}
	}
	if lost+altered+foreign > 0 { // an entry that stands twice fails entriesOf
		t.Errorf("%s: %d entries lost, %d altered, %d that nobody captured, of %d", property, lost, altered, foreign, len(want))
	}
}

// outcome is what a play leaves of one property.
type outcome struct {
	entries map[register.ID]register.Hash
	folded  map[string]string
	devices map[string]map[string]string // by device, its folded features
}

func readOutcome(t *testing.T, s *boltstore.Store, devices map[string]string) map[string]outcome {
	t.Helper()
	if _, err := s.Verify(context.Background(), nil); err != nil {
		t.Errorf("verify after the play: %v", err)
	}
	out := make(map[string]outcome)
	for name, dir := range devices {
		d := opened(t, dir)
		for _, of := range d.Properties() {
			property := of.ID
			if _, known := out[property]; !known {
				out[property] = outcome{entries: entriesOf(t, s, property), folded: storeFolded(t, s, property), devices: make(map[string]map[string]string)}
			}
			out[property].devices[name] = folded(t, d.Features(property))
			if s, err := d.Status(property); err != nil || s.Waiting != 0 || len(s.Refused) != 0 {
				t.Errorf("device %s on %s after the play: got %+v, %v, want nothing waiting or refused", name, property, s, err)
			}
		}
	}
	return out
}

// undisturbedPlay plays the same day in this process, on a good line.
// It returns the entries after the first half, by property, and the outcome of the day.
func undisturbedPlay(t *testing.T) (noon map[string]map[register.ID]register.Hash, day map[string]outcome) {
	of := startOffice(t, officeOptions{})
	actors := make(map[string]*actor)
	dirs := map[string]string{"a": t.TempDir(), "b": t.TempDir()}
	for name, dir := range dirs {
		a, err := newActor(name, dir, of.url)
		must(t, err)
		actors[name] = a
	}
	for half := 1; half <= 2; half++ {
		for _, name := range []string{"a", "b"} {
			must(t, actors[name].captureUpTo(half*playEntries/4, io.Discard))
		}
		for _, name := range []string{"a", "b", "a"} {
			must(t, actors[name].Sync(t.Context()))
		}
		if half == 1 {
			noon = make(map[string]map[register.ID]register.Hash)
			for _, a := range actors {
				for _, property := range a.Properties() {
					noon[property.ID] = entriesOf(t, of.store, property.ID)
				}
			}
		}
	}
	for _, a := range actors {
		must(t, a.Close())
	}
	return noon, readOutcome(t, of.store, dirs)
}

// play is the disturbed day.
type play struct {
	t       *testing.T
	dir     string
	line    *line
	address string // of the office

	mu       sync.Mutex // guards what follows; the line's rule asks from many goroutines
	random   *rand.Rand
	running  map[string]*exec.Cmd
	killed   map[string]int
	cuts     int
	restores int
	next     int64 // bytes on the line until the next disturbance
	calm     bool
	backedUp bool
	gap      int64 // most bytes from one disturbance to the next
	quota    int   // kills after which the weather clears up
}

func newPlay(t *testing.T, seed uint64) *play {
	p := &play{t: t, dir: t.TempDir(), random: rand.New(rand.NewPCG(seed, 17)), running: make(map[string]*exec.Cmd), killed: make(map[string]int), calm: true}
	free, err := listen("127.0.0.1:0")
	must(t, err)
	p.address = free.Addr().String()
	must(t, free.Close())
	t.Cleanup(func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		for _, cmd := range p.running {
			_ = cmd.Process.Kill()
		}
	})
	p.startOffice()
	p.line = newLine(t, p.address, p.weather)
	return p
}

// role is what a process of the play is told.
type role struct {
	Name   string // "office", or the device "a" or "b"
	Dir    string
	Server string // the address to listen on, or to reach through the line
	UpTo   int    // captures
	Live   bool   // stay connected rather than sync again and again
}

func (p *play) start(r role) (*exec.Cmd, *bufio.Scanner) {
	raw, err := json.Marshal(r)
	must(p.t, err)
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), playRole+"="+string(raw))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	must(p.t, err)
	must(p.t, cmd.Start())
	p.running[r.Name] = cmd
	return cmd, bufio.NewScanner(out)
}

// startOffice starts the server's process and waits until it listens. The caller holds
// mu, but for the first time.
func (p *play) startOffice() {
	cmd, lines := p.start(role{Name: "office", Dir: p.path("office"), Server: p.address})
	if !lines.Scan() || lines.Text() != "listening" {
		p.t.Errorf("the office said %q", lines.Text())
	}
	go func() { _ = cmd.Wait() }() // killed, most likely
}

func (p *play) path(name string) string {
	dir := filepath.Join(p.dir, name)
	must(p.t, os.MkdirAll(dir, 0o700))
	return dir
}

func (p *play) register() string { return filepath.Join(p.path("office"), "register.db") }

func (p *play) stopOffice() {
	p.mu.Lock()
	defer p.mu.Unlock()
	_ = p.running["office"].Process.Kill() // it has nothing that it may lose
	time.Sleep(50 * time.Millisecond)
}

// half plays half the day: both devices capture offline, then sync through the weather
// until they have nothing left, then once more on a good line.
func (p *play) half(half int) {
	p.quota = *playKills * half / 2
	var both sync.WaitGroup
	for _, name := range []string{"a", "b"} {
		both.Go(func() { p.runDevice(name, half, max(1, *playKills/15)) })
	}
	both.Wait()
	p.t.Logf("half %d: captured, with kills %v", half, p.kills())
	p.setCalm(false)
	if half == 2 {
		defer func() {
			if p.restores == 0 { // the day was too short for the weather to get to it
				p.mu.Lock()
				p.restoreOffice()
				p.mu.Unlock()
				p.goodLine(half)
			}
		}()
	}
	// Devices that are done are started again until there was enough weather: a device is
	// also opened, and the server also restored, when nothing is going on.
	for round := 0; round == 0 || p.killsInAll() < p.quota && round < 30; round++ {
		p.mu.Lock()
		p.gap = 12_000 // lets some frames through
		if round > 0 {
			p.gap = 1000 // little is left to say
			p.next = p.line.up.Load() + p.line.down.Load()
		}
		p.mu.Unlock()
		for _, name := range []string{"a", "b"} {
			both.Go(func() { p.runDevice(name, half, 0) })
		}
		both.Wait()
	}
	p.mu.Lock()
	if !p.backedUp {
		p.backUp()
	}
	p.mu.Unlock()
	p.t.Logf("half %d: synced through the weather, with kills %v and %d cuts", half, p.kills(), p.cuts)
	p.goodLine(half)
}

func (p *play) goodLine(half int) {
	p.setCalm(true)
	for _, name := range []string{"a", "b", "a", "b"} {
		p.runDevice(name, half, 0)
	}
}

func (p *play) setCalm(calm bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.calm = calm
	p.next = p.line.up.Load() + p.line.down.Load() + 500
}

func (p *play) kills() map[string]int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return maps.Clone(p.killed)
}

func (p *play) killsInAll() int {
	total := 0
	for _, n := range p.kills() {
		total += n
	}
	return total
}

// runDevice runs a device's process, again and again when it is killed, until it has
// captured its part and, unless it is to be killed while capturing, has synced.
func (p *play) runDevice(name string, half, captureKills int) {
	r := role{Name: name, Dir: p.path(name), Server: p.line.url(), UpTo: half * playEntries / 4, Live: name == "a"}
	capturing := captureKills > 0
	if capturing {
		r.Server = "" // offline
	}
	for {
		p.mu.Lock()
		killAfter := 1 << 30
		if captureKills > 0 {
			killAfter = 1 + p.random.IntN(playEntries/4/(captureKills+1))
		}
		cmd, lines := p.start(r)
		p.mu.Unlock()
		for n := 1; lines.Scan(); n++ {
			if n == killAfter {
				p.kill(name)
				captureKills--
			}
		}
		err := cmd.Wait()
		if err == nil {
			return
		}
		if exit, ok := errors.AsType[*exec.ExitError](err); !ok || exit.ExitCode() != -1 {
			p.t.Errorf("device %s: %v", name, err)
			return
		}
	}
}

func (p *play) outcome() map[string]outcome {
	s, err := boltstore.Open(p.register(), boltstore.Options{})
	must(p.t, err)
	defer s.Close()
	epochs, err := s.Epochs(context.Background())
	must(p.t, err)
	if len(epochs) != 2 {
		p.t.Errorf("the restored store has %d epochs, want 2", len(epochs))
	}
	for _, e := range slices.Backward(epochs) {
		p.t.Logf("epoch %s branches at %v", e.ID, e.Branch)
	}
	return readOutcome(p.t, s, map[string]string{"a": p.path("a"), "b": p.path("b")})
}

func TestMain(m *testing.M) {
	flag.Parse()
	if raw := os.Getenv(playRole); raw != "" {
		var r role
		err := json.Unmarshal([]byte(raw), &r)
		if err == nil {
			err = act(r)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, r.Name+":", err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}
