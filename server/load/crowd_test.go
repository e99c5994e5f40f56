package load

import (
	"encoding/binary"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

var goals = flag.Bool("goals", false, "measure with a thousand devices, and hold the server to its goals")

// scale is how much is done, and whether the times and the memory are judged.
type scale struct {
	devices, bursts, frame, entries int
	attack                          time.Duration
	judged                          bool
}

func scaled() scale {
	if *goals {
		return scale{devices: 1000, bursts: 5, frame: 20, entries: 30_000, attack: 8 * time.Second, judged: true}
	}
	return scale{devices: 40, bursts: 2, frame: 20, entries: 2_000, attack: time.Second}
}

// hold prints a goal with what was measured, and fails when it is judged and not met.
func (c scale) hold(t *testing.T, met bool, goal, measured string, args ...any) {
	t.Helper()
	verdict := "met"
	if !met {
		verdict = "NOT MET"
	}
	if !c.judged {
		verdict = "not judged"
	}
	t.Logf("%-10s %s: %s", verdict, goal, fmt.Sprintf(measured, args...))
	if c.judged && !met {
		t.Fail()
	}
}

func newID() string { return uuid.Must(uuid.NewV7()).String() }

// together runs one for each number at once, and fails with the first error.
func together(t testing.TB, n int, one func(i int) error) {
	t.Helper()
	var all sync.WaitGroup
	errs := make([]error, n)
	for i := range n {
		all.Go(func() { errs[i] = one(i) })
	}
	all.Wait()
	for i, err := range errs {
		if err != nil {
			t.Fatalf("device %d of %d: %v", i, n, err)
		}
	}
}

// connected has all devices say hello, as after a restart.
func connected(t testing.TB, devices []*device) {
	t.Helper()
	places := make(chan struct{}, 64)
	together(t, len(devices), func(i int) error {
		places <- struct{}{}
		defer func() { <-places }()
		return devices[i].connect()
	})
}

// waits are how long each of a burst waited.
type waits []time.Duration

func (w waits) at(percent int) time.Duration {
	slices.Sort(w)
	return w[(len(w)-1)*percent/100].Round(time.Millisecond)
}

func (w waits) String() string {
	return fmt.Sprintf("p50 %v, p99 %v, longest %v", w.at(50), w.at(99), w.at(100))
}

// TestCrowd: a thousand devices push at once, and then pull at once.
func TestCrowd(t *testing.T) {
	c := scaled()
	s := serve(t)
	devices, ids := s.enrol(c.devices, "Saltbush Flat", "Long Paddock")
	connected(t, devices)
	t.Logf("%d devices connected: %.0f MB of its own, %.0f MB with mapped pages", c.devices, s.memory().own, s.memory().most)
	pushing(t, c, s, devices, ids[0])
	fill(t, c, devices[0], ids[1])
	pulling(t, c, s, devices, ids[1])
}

// pushing: all devices push a frame at the same moment, again and again; beside each burst a
// bare bbolt committer takes the same bytes from as many.
func pushing(t *testing.T, c scale, s *serving, devices []*device, property string) {
	t.Helper()
	frames, pushes := make([][]byte, len(devices)), make([]*wire.Push, len(devices))
	bare := openBare(t)
	var ours, theirs waits
	var worst []float64 // of each burst: the longest wait by the median
	most := s.watched(func() {
		for burst := range c.bursts {
			together(t, len(devices), func(i int) (err error) {
				pushes[i] = &wire.Push{Push: uint64(burst + 1), Property: property, Entries: devices[i].day(property, c.frame)}
				frames[i], err = message(pushes[i])
				return err
			})
			took, answers := make(waits, len(devices)), make([]answer, len(devices))
			began, processor := time.Now(), s.processor()
			together(t, len(devices), func(i int) error {
				if _, err := devices[i].conn.Write(frames[i]); err != nil {
					return err
				}
				for {
					var err error
					if answers[i].payload, answers[i].packed, err = devices[i].message(); err != nil {
						return err
					}
					if !answers[i].isHint() {
						break
					}
				}
				took[i] = time.Since(began)
				return nil
			})
			processor = s.processor() - processor
			together(t, len(devices), func(i int) error { // afterwards, so that the server is not held up by it
				f, err := answers[i].frame()
				if err == nil {
					err = devices[i].acknowledges(f, uint64(burst+1))
				}
				return err
			})
			tookBare := make(waits, len(devices))
			began = time.Now()
			together(t, len(devices), func(i int) error {
				err := bare.put(pushes[i])
				tookBare[i] = time.Since(began)
				return err
			})
			t.Logf("burst %d: %v; the server took %v of a processor; bare committer %v", burst, took, processor, tookBare)
			worst = append(worst, float64(took.at(100))/float64(max(took.at(50), 1)))
			ours, theirs = append(ours, took...), append(theirs, tookBare...)
		}
	})
	what := fmt.Sprintf("%d devices push frames of %d at once", len(devices), c.frame)
	baseline := fmt.Sprintf("%v (bare bbolt committer, the same frames: %v; the median is %.1f times its)", ours, theirs, float64(ours.at(50))/float64(max(theirs.at(50), time.Millisecond)))
	c.hold(t, ours.at(50) < 500*time.Millisecond && ours.at(99) < time.Second, what+", p50 under 0.5 s and p99 under 1 s", "%s", baseline)
	c.hold(t, slices.Max(worst) <= 10, "none waits more than 10 times the median of its burst", "%.1f times", slices.Max(worst))
	c.hold(t, most.most < 300, "the server under 300 MB meanwhile", "%.0f MB, of which its own %.0f MB", most.most, most.own)
}

// fill has one device record a long register.
func fill(t *testing.T, c scale, d *device, property string) {
	t.Helper()
	d.seq = 0 // by property
	for n := 0; n < c.entries; n += wire.FrameEntries {
		push := &wire.Push{Push: uint64(n + 1), Property: property, Entries: d.day(property, min(wire.FrameEntries, c.entries-n))}
		if err := d.send(push); err != nil {
			t.Fatal(err)
		}
		if err := d.acknowledged(push.Push); err != nil {
			t.Fatal(err)
		}
	}
}

// stretch is what a page holds: the entries between two positions.
type stretch struct {
	from, to store.Position
	more     bool
}

// pages are looked at once each: a page that is the same byte for byte holds the same.
type pages struct {
	mu   sync.Mutex
	seen map[register.Hash]stretch
}

// look holds a page to the position that it goes on from.
func (p *pages) look(payload []byte, packed bool, from store.Position) (stretch, error) {
	name := register.HashOf(payload)
	p.mu.Lock()
	known, ok := p.seen[name]
	p.mu.Unlock()
	if !ok {
		data, err := payload, error(nil)
		if packed {
			if data, err = inflated(payload); err != nil {
				return stretch{}, err
			}
		}
		f, err := wire.Decode(data)
		page, isPage := f.(*wire.Page)
		if err != nil || !isPage {
			return stretch{}, fmt.Errorf("%.200q is no page: %v", data, err)
		}
		known.to = from
		known.to.Epoch = page.At.Epoch
		known.from, known.more = known.to, page.More
		for _, raw := range page.Entries {
			if _, err := register.Decode(raw); err != nil {
				return stretch{}, err
			}
			known.to = known.to.After(register.HashOf(raw))
		}
		if known.to != page.At || len(page.Entries) == 0 || page.First != from.N+1 {
			return stretch{}, fmt.Errorf("a page from entry %d ends at %+v, want %+v", page.First, page.At, known.to)
		}
		p.mu.Lock()
		p.seen[name] = known
		p.mu.Unlock()
	}
	if known.from.N != from.N || known.from.Hash != from.Hash {
		return stretch{}, fmt.Errorf("after entry %d comes a page that goes on from %d", from.N, known.from.N)
	}
	return known, nil
}

// pulling: all devices pull the whole register at the same moment; one does it alone before.
func pulling(t *testing.T, c scale, s *serving, devices []*device, property string) {
	t.Helper()
	all := pages{seen: map[register.Hash]stretch{}}
	pull := func(d *device) error {
		if err := d.send(&wire.Pull{Property: property}); err != nil {
			return err
		}
		at, more := store.Position{}, true
		for more {
			payload, packed, err := d.message()
			if err != nil {
				return err
			}
			if (answer{payload, packed}).isHint() {
				continue
			}
			page, err := all.look(payload, packed, at)
			if err != nil {
				return fmt.Errorf("%s: %w", d.name, err)
			}
			at, more = page.to, page.more
		}
		if at.N != uint64(c.entries) {
			return fmt.Errorf("%s has %d entries, want %d", d.name, at.N, c.entries)
		}
		return nil
	}
	began := time.Now()
	if err := pull(devices[0]); err != nil {
		t.Fatal(err)
	}
	alone := time.Since(began)
	began = time.Now()
	processor := s.processor()
	most := s.watched(func() { together(t, len(devices), func(i int) error { return pull(devices[i]) }) })
	took := time.Since(began)
	processor = s.processor() - processor
	t.Logf("one device alone pulls %d entries in %v; %d at once in %v, %.0f entries/s, for which the server took %v of a processor", c.entries, alone.Round(time.Millisecond), len(devices), took.Round(time.Millisecond), float64(len(devices)*c.entries)/took.Seconds(), processor)
	c.hold(t, most.most < 500, fmt.Sprintf("%d devices pull %d entries at once, all arrive whole, the server under 500 MB", len(devices), c.entries), "%.0f MB, of which its own %.0f MB; all whole in %v, %.0f times what one takes alone", most.most, most.own, took.Round(time.Millisecond), took.Seconds()/alone.Seconds())
}

// bare is a committer that stores frames under rising keys in bbolt, as many in one
// transaction as wait, and does nothing else.
type bare struct {
	db   *bbolt.DB
	jobs chan bareJob
}

type bareJob struct {
	frame *wire.Push
	done  chan error
}

func openBare(t *testing.T) *bare {
	t.Helper()
	db, err := bbolt.Open(filepath.Join(t.TempDir(), "bare.db"), 0o600, &bbolt.Options{FreelistType: bbolt.FreelistMapType, InitialMmapSize: 1 << 30})
	if err == nil {
		err = db.Update(func(tx *bbolt.Tx) error { _, err := tx.CreateBucket([]byte("entries")); return err })
	}
	if err != nil {
		t.Fatal(err)
	}
	b := &bare{db: db, jobs: make(chan bareJob, 256)}
	go b.loop()
	t.Cleanup(func() { close(b.jobs); _ = db.Close(); _ = os.Remove(db.Path()) })
	return b
}

func (b *bare) put(frame *wire.Push) error {
	done := make(chan error, 1)
	b.jobs <- bareJob{frame, done}
	return <-done
}

func (b *bare) loop() {
	n := uint64(0)
	for first := range b.jobs {
		jobs := []bareJob{first}
		for more := true; more; {
			select {
			case j, open := <-b.jobs:
				if more = open && len(jobs) < 128; open {
					jobs = append(jobs, j)
				}
			default:
				more = false
			}
		}
		err := b.db.Update(func(tx *bbolt.Tx) error {
			bucket := tx.Bucket([]byte("entries"))
			bucket.FillPercent = 0.95
			for _, j := range jobs {
				for _, raw := range j.frame.Entries {
					n++
					if err := bucket.Put(binary.BigEndian.AppendUint64(nil, n), raw); err != nil {
						return err
					}
				}
			}
			return nil
		})
		for _, j := range jobs {
			j.done <- err
		}
	}
}
