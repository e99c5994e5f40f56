package load

import (
	"bytes"
	"compress/flate"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// worstBeside is how long an honest device may wait for an acknowledgement during an attack.
const worstBeside = 500 * time.Millisecond

// afterEnded is how long a visitor whose connection was ended waits before it comes again.
const afterEnded = 500 * time.Millisecond

// attack is what strangers, or a device that means harm, do to the server, again and again. They
// run on the processors that the server runs on, and so pause a little: a flood that takes all of
// these for itself would say nothing of the server.
type attack struct {
	name     string
	visitors int  // at once
	device   bool // an enrolled device does it
	once     func(s *serving, n int, until time.Time) error
}

// TestAttacks has each attack, and then all at once, run beside an honest device.
func TestAttacks(t *testing.T) {
	c := scaled()
	s := serve(t)
	devices, ids := s.enrol(4, "Saltbush Flat")
	honest, property := devices[0], ids[0]
	connected(t, devices)
	replaying, widening := replayer(t, c, devices[1], property), widener(devices[2], property)
	attacks := append(strangersAttacks(), attack{"a device sends frames of 256 used numbers", 1, true, replaying}, attack{"a device makes features fat", 1, true, widening}, attack{"a device begins photos and stalls", 300, true, staller(devices[3])})
	alone := beside(t, c, honest, property, nil)
	t.Logf("the honest device alone: %v", alone)
	for _, attacking := range append(each(attacks), attacks) {
		name := attacking[0].name
		if len(attacking) > 1 {
			name = "all of these at once"
		}
		var took waits
		most := s.watched(func() {
			took = beside(t, c, honest, property, func(until time.Time) { s.attackedFromOutside(attacking, until) })
		})
		c.hold(t, took.at(100) < worstBeside, name+": worst acknowledgement of the honest device under 0.5 s", "%v (alone %v); the server %.0f MB, of which its own %.0f MB", took, alone, most.most, most.own)
	}
}

func each(attacks []attack) (all [][]attack) {
	for i := range attacks {
		all = append(all, attacks[i:i+1])
	}
	return all
}

// beside has a device push single entries while something runs, and tells how long it waited.
func beside(t *testing.T, c scale, d *device, property string, run func(until time.Time)) (took waits) {
	t.Helper()
	until := time.Now().Add(c.attack)
	var running sync.WaitGroup
	if run != nil {
		running.Go(func() { run(until) })
	}
	for time.Now().Before(until) {
		push := &wire.Push{Push: d.seq + 1, Property: property, Entries: d.day(property, 1)}
		began := time.Now()
		if err := d.send(push); err != nil {
			t.Fatal(err)
		}
		if err := d.acknowledged(push.Push); err != nil {
			t.Fatal(err)
		}
		took = append(took, time.Since(began))
		time.Sleep(5 * time.Millisecond) // an officer is slower
	}
	running.Wait()
	return took
}

// strangersRole has this program be the strangers, in a process of their own: they must not hold up
// the honest device before it reaches the network.
const strangersRole = "HEADCUT_LOAD_STRANGERS"

func TestMain(m *testing.M) {
	if role := os.Getenv(strangersRole); role != "" {
		if err := strangers(strings.Split(role, "\t")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// strangers attack until a time: server, certificate, time in ms, and the attacks by name.
func strangers(role []string) error {
	text, err := os.ReadFile(role[1])
	if err != nil {
		return err
	}
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(text)
	ms, err := strconv.ParseInt(role[2], 10, 64)
	if err != nil {
		return err
	}
	s := &serving{at: role[0], tls: visitors(roots)}
	s.came.Store(1 << 16) // their addresses are nobody else's
	s.attacked(slices.DeleteFunc(strangersAttacks(), func(a attack) bool { return !slices.Contains(role[3:], a.name) }), time.UnixMilli(ms))
	return nil
}

// attackedFromOutside runs attacks until a time: those of strangers in a process of their own.
func (s *serving) attackedFromOutside(attacks []attack, until time.Time) {
	role, here := []string{s.at, s.cert, fmt.Sprint(until.UnixMilli())}, []attack(nil)
	for _, a := range attacks {
		if a.device {
			here = append(here, a)
		} else {
			role = append(role, a.name)
		}
	}
	var all sync.WaitGroup
	if len(role) > 3 {
		all.Go(func() {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), strangersRole+"="+strings.Join(role, "\t"))
			if out, err := cmd.CombinedOutput(); err != nil {
				s.t.Errorf("the strangers ended with %v: %s", err, out)
			}
		})
	}
	s.attacked(here, until)
	all.Wait()
}

// attacked runs attacks until a time. What the server ends or refuses is not an error.
func (s *serving) attacked(attacks []attack, until time.Time) {
	var all sync.WaitGroup
	for _, a := range attacks {
		for n := range a.visitors {
			all.Go(func() {
				for time.Now().Before(until) {
					if a.once(s, n, until) != nil {
						time.Sleep(afterEnded)
					}
				}
			})
		}
	}
	all.Wait()
}

func strangersAttacks() []attack {
	body := []byte(crossing(2400))
	crossingLines := fmt.Appendf(nil, "POST /compute/rip-area HTTP/1.1\r\nHost: %s\r\nConnection: close\r\nContent-Length: %d\r\n\r\n%s", serverName, len(body), body)
	first := unfinished()
	from := func(n int) net.IP { return net.IPv4(127, 0, 1, byte(1+n%4)) } // few, as of one house
	return []attack{
		{"frames that unfold to a megabyte and do not end, and pongs, before a hello", 250, false, func(s *serving, n int, until time.Time) error {
			conn, _, err := s.opened(from(n))
			if err != nil {
				return err
			}
			defer conn.Close()
			if _, err := conn.Write(first); err != nil {
				return err
			}
			for time.Now().Before(until) {
				if _, err := conn.Write(masked(0x8a, nil)); err != nil {
					return err
				}
				time.Sleep(50 * time.Millisecond)
			}
			return nil
		}},
		{"crossing lines to compute, each from another address", 16, false, func(s *serving, _ int, until time.Time) error {
			return s.request(nil, crossingLines, until)
		}},
		{"wrong codes by the hundreds", 32, false, func(s *serving, n int, until time.Time) error {
			conn, err := s.visit(from(n))
			if err != nil {
				return err
			}
			defer conn.Close()
			for i := 0; time.Now().Before(until); i++ {
				code := fmt.Sprintf(`{"code":"zzzzz-%05d","device":"d1","author":"x"}`, i)
				if _, err := fmt.Fprintf(conn, "POST /enrol HTTP/1.1\r\nHost: x\r\nContent-Length: %d\r\n\r\n%s", len(code), code); err != nil {
					return err
				}
				if _, err := conn.Read(make([]byte, 4<<10)); err != nil {
					return err
				}
				time.Sleep(20 * time.Millisecond)
			}
			return nil
		}},
		{"bodies that do not come", 200, false, func(s *serving, n int, until time.Time) error {
			return s.keepConnection(from(n), "POST /compute/line HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000\r\n\r\n{", until)
		}},
		{"answers that nobody reads", 200, false, func(s *serving, n int, until time.Time) error {
			return s.keepConnection(from(n), strings.Repeat("GET /compute HTTP/1.1\r\nHost: x\r\n\r\n", 20), until)
		}},
		{"scripts that nobody reads", 200, false, func(s *serving, n int, until time.Time) error {
			return s.keepConnection(from(n), strings.Repeat("GET /field/worker.js HTTP/1.1\r\nHost: x\r\n\r\n", 20), until)
		}},
	}
}

// staller begins a photo of which no more comes, and when that is refused waits as it is asked to, and
// a little longer: a flood of connections is another attack.
func staller(d *device) func(*serving, int, time.Time) error {
	return func(s *serving, n int, until time.Time) error {
		conn, err := s.visit(net.IPv4(127, 0, 2, byte(1+n%100)))
		if err != nil {
			return err
		}
		defer conn.Close()
		_ = conn.SetDeadline(until)
		_, err = fmt.Fprintf(conn, "PATCH /photos/%s HTTP/1.1\r\nHost: %s\r\nAuthorization: Bearer %s\r\nContent-Type: application/partial-upload\r\n"+
			"Upload-Offset: 0\r\nUpload-Length: 4000000\r\nContent-Length: 4000000\r\n\r\n%s", register.HashOf([]byte(newID())), serverName, d.token, strings.Repeat("x", 60_000))
		if err != nil {
			return err
		}
		_, _ = io.Copy(io.Discard, conn) // until it is refused, or ended
		time.Sleep(min(5*time.Second, time.Until(until)))
		return nil
	}
}

// request sends one, and reads what comes.
func (s *serving) request(from net.IP, text []byte, until time.Time) error {
	conn, err := s.visit(from)
	if err != nil {
		return err
	}
	defer conn.Close()
	_ = conn.SetDeadline(until.Add(time.Second))
	if _, err := conn.Write(text); err != nil {
		return err
	}
	_, err = io.Copy(io.Discard, conn)
	return err
}

// keepConnection sends something and keeps the connection until the server ends it.
func (s *serving) keepConnection(from net.IP, text string, until time.Time) error {
	conn, err := s.visit(from)
	if err != nil {
		return err
	}
	defer conn.Close()
	_ = conn.SetWriteDeadline(until)
	if _, err := io.WriteString(conn, text); err != nil {
		return err
	}
	for time.Now().Before(until) {
		if _, err := conn.Write([]byte(" ")); err != nil {
			return err
		}
		time.Sleep(200 * time.Millisecond)
	}
	return nil
}

// unfinished is a first part of a compressed text message (RFC 6455, 5.2; RFC 7692, 7.2.1) that
// unfolds to a megabyte and does not end.
func unfinished() []byte {
	var packed bytes.Buffer
	z, _ := flate.NewWriter(&packed, flate.BestCompression) // the level is one of the package's own
	_, _ = z.Write(bytes.Repeat([]byte(" "), 1<<20))
	_ = z.Flush()
	return masked(0x41, packed.Bytes())
}

// crossing are n lines of which each crosses half of the others.
func crossing(n int) string {
	lines := make([]string, n)
	for i := range lines {
		at := 1e-3 * float64(i/2) / float64(n)
		if lines[i] = fmt.Sprintf("[[%.9f,-20],[%.9f,-19.999]]", 146+at, 146+at); i%2 > 0 {
			lines[i] = fmt.Sprintf("[[146,%.9f],[146.001,%.9f]]", -20+at, -20+at)
		}
	}
	return `{"accuracyM":1,"lines":[` + strings.Join(lines, ",") + `]}`
}

// replayer has recorded a feature with 20,000 entries, and sends frames whose numbers it has used
// before, under other ids.
func replayer(t *testing.T, c scale, d *device, property string) func(*serving, int, time.Time) error {
	t.Helper()
	history := 20_000
	if !c.judged {
		history = 1000
	}
	entries := func(n int) (all []json.RawMessage) {
		for range n {
			d.seq++
			d.stamp = register.Next(d.stamp, time.Now())
			raw, err := register.Encode(register.Entry{Version: register.Version, ID: register.ID(newID()), Property: property, Feature: d.name + "-long", Device: d.name, DeviceSeq: d.seq, Stamp: d.stamp,
				SeenAt: "2026-11-25T09:30:00+10:00", Author: "R. Field", Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`), "headDepthM": json.RawMessage("1.2")})})
			if err != nil {
				panic(err) // it is made above
			}
			all = append(all, raw)
		}
		return all
	}
	for n := 0; n < history; n += 250 {
		if err := d.send(&wire.Push{Push: 1, Property: property, Entries: entries(250)}); err != nil {
			t.Fatal(err)
		}
		if err := d.acknowledged(1); err != nil {
			t.Fatal(err)
		}
	}
	return func(*serving, int, time.Time) error {
		d.seq = 0
		if err := d.send(&wire.Push{Push: 2, Property: property, Entries: entries(wire.MaxEntries)}); err != nil {
			return err
		}
		_, err := d.receive()
		return err
	}
}

// widener adds a hundred fields of 2 KB to one feature with each entry, four entries at a time.
func widener(d *device, property string) func(*serving, int, time.Time) error {
	field := 0
	return func(*serving, int, time.Time) error {
		var all []json.RawMessage
		for range 4 {
			d.seq++
			d.stamp = register.Next(d.stamp, time.Now())
			set := map[string]json.RawMessage{"kind": json.RawMessage(`"gully-head"`)}
			for range 100 {
				field++
				set[fmt.Sprint("field-", field)] = json.RawMessage(`"` + strings.Repeat("x", 2000) + `"`)
			}
			raw, err := register.Encode(register.Entry{Version: register.Version, ID: register.ID(newID()), Property: property, Feature: fmt.Sprintf("%s-wide-%d", d.name, field/2000), Device: d.name, DeviceSeq: d.seq, Stamp: d.stamp,
				SeenAt: "2026-11-25T09:30:00+10:00", Author: "R. Field", Set: model.FieldValuesOf(set)})
			if err != nil {
				return err
			}
			all = append(all, raw)
		}
		if err := d.send(&wire.Push{Push: 3, Property: property, Entries: all}); err != nil {
			return err
		}
		_, err := d.receive()
		return err
	}
}
