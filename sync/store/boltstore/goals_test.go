package boltstore

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

var (
	goals       = flag.Bool("goals", false, "measure the store against its baselines")
	goalEntries = flag.Int("goal-entries", 1_000_000, "how many entries TestGoals opens and verifies")
)

// TestGoals measures ratios, each to a baseline run just before or after it; single
// numbers depend on the disk and the neighbours. Without -goals it only goes through the
// motions, with few entries and no verdict.
func TestGoals(t *testing.T) {
	g := goalRun{verdict: *goals, rounds: 20, span: 100 * time.Millisecond, entries: 2000}
	if *goals {
		g.rounds, g.span, g.entries = 1500, 4*time.Second, *goalEntries
		defer debug.SetGCPercent(debug.SetGCPercent(ServingGCPercent)) // as the server does
	}
	for _, one := range []struct {
		name string
		part func(goalRun)
	}{
		{"single", goalRun.single},
		{"together", func(g goalRun) { g.together("", g.dir) }},
		{"in memory", func(g goalRun) {
			if fast, err := os.MkdirTemp("/dev/shm", "headcut-"); err == nil { // a disk that nobody waits for
				defer os.RemoveAll(fast)
				g.together(" in memory", fast)
			}
		}},
		{"large", goalRun.large},
		{"photos", goalRun.photos},
	} {
		t.Run(one.name, func(t *testing.T) {
			g := g
			g.t, g.dir = t, t.TempDir()
			one.part(g)
		})
	}
}

type goalRun struct {
	t       *testing.T
	verdict bool
	dir     string
	rounds  int           // of single appends
	span    time.Duration // of appending together
	entries int
}

// hold logs a ratio and whether it keeps its goal.
func (g goalRun) hold(what string, got, goal float64, atMost bool) {
	g.t.Helper()
	word, ok := "at least", got >= goal
	if atMost {
		word, ok = "at most", got <= goal
	}
	g.t.Logf("%-62s %8.3f  (goal: %s %g)", what, got, word, goal)
	if g.verdict && !ok {
		g.t.Errorf("%s is %.3f, want %s %g", what, got, word, goal)
	}
}

// officer writes entries of about 480 bytes, four to a feature, as an officer's day has them.
type officer struct {
	storetest.Maker
	made    int
	feature string
}

func (o *officer) next() json.RawMessage {
	if o.made%4 == 0 {
		o.feature = string(storetest.NewID())
	}
	feature := o.feature
	o.made++
	switch o.made % 4 {
	case 1:
		return o.Entry(feature, nil, "kind", `"check-dam"`, "name", fmt.Sprintf(`"Dam %d"`, o.made), "status", `"proposed"`, "accuracyM", "3.2",
			"geometry", storetest.Point(147+float64(o.made%10000)/1e4, -20), "notes", `"loose rock from the ridge, apron of 1.2 m"`)
	case 2:
		return o.Entry(feature, nil, "status", `"pegged"`, "peggedOn", `"2026-11-25"`, "notes", `"pegs at both ends and in the middle; key 0.3 m into the banks, notch over the thalweg, spoil upstream"`)
	case 3:
		return o.Entry(feature, nil, "status", `"built"`, "builtOn", `"2026-11-26"`, "crestHeightM", "0.4", "crestLengthM", "6.5", "material", `"loose rock"`, "notes", `"built by hand; rock 0.2 to 0.4 m, apron keyed in"`)
	}
	return o.Entry(feature, nil, "sedimentDepthM", "0.15", "notes", `"first flow passed over the notch; silt nearly to the crest on the left, some scour beside the right bank"`)
}

func newOfficer(i int) *officer {
	return &officer{Maker: storetest.Maker{Property: "p", Device: fmt.Sprintf("tablet-%02d", i%100)}}
}

// single compares one append with two flushes in a row, and a frame of a hundred with it.
func (g goalRun) single() {
	s := reopen(g.t, filepath.Join(g.dir, "single.db"))
	f, err := os.Create(filepath.Join(g.dir, "flush"))
	if err != nil {
		g.t.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	if _, err := f.Write(make([]byte, 1<<20)); err != nil {
		g.t.Fatal(err)
	}
	o := newOfficer(0)
	var floor, raw, one, frame []time.Duration
	for i := range g.rounds {
		start := time.Now()
		for k := range 2 {
			_, _ = f.WriteAt(page, int64((i*2+k)%256)*4096)
			if err := syscall.Fdatasync(int(f.Fd())); err != nil {
				g.t.Fatal(err)
			}
			if k == 0 {
				raw = append(raw, time.Since(start))
			}
		}
		floor = append(floor, time.Since(start))
		entry := o.next()
		start = time.Now()
		appendNew(g.t, s, entry)
		one = append(one, time.Since(start))
	}
	for range g.rounds / 15 { // apart, so that no single append pays for the frame before it
		var hundred []json.RawMessage
		for range 100 {
			hundred = append(hundred, o.next())
		}
		start := time.Now()
		appendNew(g.t, s, hundred...)
		frame = append(frame, time.Since(start)/100)
	}
	g.hold("one append, p50, over two flushes of 4 KiB, p50", ratio(at(one, 50), at(floor, 50)), 3, true)
	g.hold("one append, p99, over two flushes of 4 KiB, p99", ratio(at(one, 99), at(floor, 99)), 2, true)
	g.t.Logf("one append, p99, over one flush of 4 KiB, p99: %.2f; a commit of bbolt is two flushes, one after the other", ratio(at(one, 99), at(raw, 99)))
	g.hold("entry in a frame of 100 over one append, p50", ratio(at(frame, 50), at(one, 50)), 0.1, true)
	g.t.Logf("one append p50 %v p99 %v, two flushes p50 %v p99 %v", at(one, 50), at(one, 99), at(floor, 50), at(floor, 99))
}

func at(all []time.Duration, percent int) time.Duration {
	slices.Sort(all)
	return all[(len(all)-1)*percent/100]
}

func ratio[N time.Duration | int64](a, b N) float64 { return float64(a) / float64(b) }

// together compares 128 devices appending with a committer that only stores a key, and
// with DB.Batch doing the same. Where nothing waits for a disk, the processor alone decides.
func (g goalRun) together(where, dir string) {
	const devices = 128
	// What devices do is done beforehand.
	officers, queues := make([]*officer, devices), make([][]json.RawMessage, devices)
	for d := range officers {
		officers[d] = newOfficer(d)
		officers[d].Device = fmt.Sprintf("t%03d", d)
	}
	made := max(int(g.span.Milliseconds())/5, 21)
	for range made { // ids rise over all devices, as those of a live day do
		for d, o := range officers {
			queues[d] = append(queues[d], o.next())
		}
	}
	bare, s := openBare(g.t, filepath.Join(dir, "bare.db")), reopen(g.t, filepath.Join(dir, "together.db"))
	rate := func(one func(device int) bool) (perS float64, processor time.Duration) {
		var n atomic.Int64
		before := processorTime()
		var wg sync.WaitGroup
		stop := time.Now().Add(g.span / 3)
		for d := range devices {
			wg.Go(func() {
				for time.Now().Before(stop) && one(d) {
					n.Add(1)
				}
			})
		}
		start := time.Now()
		wg.Wait()
		processor = (processorTime() - before) / time.Duration(max(n.Load(), 1))
		return float64(n.Load()) / time.Since(start).Seconds(), processor
	}
	var toCommitter, toItsTime, toBatch []float64
	for round := range 3 { // neighbours come and go: compare within a round, take the middle one
		committer, bareTime := rate(func(int) bool { bare.put(false); return true })
		ours, ourTime := rate(func(d int) bool {
			if len(queues[d]) <= made*(2-round)/3 { // so that each round has its share
				return false
			}
			receipts, err := s.Append(context.Background(), "p", queues[d][:1])
			if err != nil || receipts[0].N == 0 {
				g.t.Errorf("Append = %+v, %v", receipts, err)
			}
			queues[d] = queues[d][1:]
			return true
		})
		batch, _ := rate(func(int) bool { bare.put(true); return true })
		toItsTime = append(toItsTime, ratio(ourTime, bareTime))
		toCommitter, toBatch = append(toCommitter, ours/max(committer, 1)), append(toBatch, ours/max(batch, 1))
		g.t.Logf("round %d%s: %.0f entries/s, %v of processor each; bare committer %.0f/s, %v each; DB.Batch %.0f/s",
			round, where, ours, ourTime, committer, bareTime, batch)
	}
	slices.Sort(toCommitter)
	slices.Sort(toBatch)
	slices.Sort(toItsTime)
	g.t.Logf("128 devices appending%s take %.1f times the processor time of a bare committer of 500 B", where, toItsTime[1])
	if where != "" { // a committer that waits for nothing is told by its one row, where ours has five
		g.t.Logf("128 devices appending over a bare committer of 500 B%s: %.3f", where, toCommitter[1])
		return
	}
	g.hold("128 devices appending over a bare committer of 500 B", toCommitter[1], 0.25, false)
	g.hold("128 devices appending over bare DB.Batch of 500 B", toBatch[1], 1.3, false)
}

// processorTime is what this process has used of all processors, in itself and in the kernel.
func processorTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err) // only a wrong argument is an error
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// large fills a store without flushing, and compares opening it, its size and verifying
// it with an empty store, the entries' own bytes, and SHA-256 over the file.
func (g goalRun) large() {
	path := filepath.Join(g.dir, "large.db")
	s, err := Open(path, Options{NoFlush: true})
	if err != nil {
		g.t.Fatal(err)
	}
	officers := make([]*officer, 20)
	for i := range officers {
		officers[i] = newOfficer(i)
	}
	entryBytes, start := 0, time.Now()
	for n := 0; n < g.entries; {
		var frame []json.RawMessage
		for range min(2000, g.entries-n) {
			frame = append(frame, officers[n/100%len(officers)].next())
			entryBytes += len(frame[len(frame)-1])
			n++
		}
		appendNew(g.t, s, frame...)
	}
	g.t.Logf("%d entries of %d bytes filled in at %.0f/s", g.entries, entryBytes/g.entries, float64(g.entries)/time.Since(start).Seconds())
	if err := errorsFirst(s.db.Sync(), s.Close()); err != nil {
		g.t.Fatal(err)
	}
	empty := reopen(g.t, filepath.Join(g.dir, "empty.db"))
	_ = empty.Close()
	emptyTook, tookWarm := g.opening(empty.path, false), g.opening(path, false)
	g.hold("opening it over opening an empty store", ratio(tookWarm, emptyTook), 100, true)
	g.hold("opening it, cold, in seconds", g.opening(path, true).Seconds(), 0.3, true)
	f, err := os.Open(path)
	if err != nil {
		g.t.Fatal(err)
	}
	defer f.Close()
	meta, err := readMeta(f)
	if err != nil {
		g.t.Fatal(err)
	}
	used := int64(meta.pages) * int64(meta.pageSize)
	g.hold("bytes of file in use over bytes of entries", float64(used)/float64(entryBytes), 2.5, true)
	g.verifying(path, used)
	g.pulling(path, entryBytes)
}

func errorsFirst(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (g goalRun) opening(path string, cold bool) time.Duration {
	var all []time.Duration
	for range 7 {
		if cold {
			dropCache(g.t, path)
		}
		start := time.Now()
		s, err := Open(path, Options{})
		all = append(all, time.Since(start))
		if err != nil {
			g.t.Fatal(err)
		}
		_ = s.Close()
	}
	return at(all, 50)
}

// dropCache asks the kernel to forget the file's pages (posix_fadvise, POSIX_FADV_DONTNEED).
func dropCache(t *testing.T, path string) {
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	_ = f.Sync()
	const dontNeed = 4
	syscall.Syscall6(syscall.SYS_FADVISE64, f.Fd(), 0, 0, dontNeed, 0, 0)
}

func (g goalRun) verifying(path string, used int64) {
	sum := func() time.Duration {
		dropCache(g.t, path)
		start := time.Now()
		f, err := os.Open(path)
		if err != nil {
			g.t.Fatal(err)
		}
		defer f.Close()
		h := sha256.New()
		if _, err := io.CopyN(h, f, used); err != nil {
			g.t.Fatal(err)
		}
		return time.Since(start)
	}
	baseline := sum()
	s := reopen(g.t, path)
	dropCache(g.t, path)
	start := time.Now()
	if err := verifyBytes(s); err != nil {
		g.t.Fatal(err)
	}
	quick := time.Since(start)
	start = time.Now()
	report := mustVerify(g.t, s)
	whole := time.Since(start)
	_ = s.Close()
	g.hold("rate of verifying bytes over SHA-256 of the file, cold", ratio(baseline, quick), 0.5, false)
	g.t.Logf("SHA-256 of %d MB %v; bytes verified in %v; all, folds included, in %v: %+v", used>>20, baseline, quick, whole, report)
}

// verifyBytes is what Verify does of what was written: the pages of the file, and each entry's
// checksum, hash, number and place in the chain.
func verifyBytes(s *Store) error {
	ctx := context.Background()
	if err := s.checkFile(ctx); err != nil {
		return err
	}
	return s.view(func(tx *bbolt.Tx) error {
		return eachProperty(tx, func(name string, p property) error {
			return eachRecord(ctx, tx, name, p, func(uint64, record) error { return nil })
		})
	})
}

// pulling compares reading a property with decoding the same bytes by encoding/json.
func (g goalRun) pulling(path string, entryBytes int) {
	s := reopen(g.t, path)
	defer s.Close()
	var ours, theirs time.Duration
	for at, n := (store.Position{}), 0; n < min(g.entries, 100_000); {
		start := time.Now()
		page, next, err := s.EntriesAfter(context.Background(), "p", at, 1000)
		ours += time.Since(start)
		if err != nil {
			g.t.Fatal(err)
		}
		start = time.Now()
		for _, e := range page {
			var into struct {
				V                                            int
				ID, Property, Feature, Device, Stamp, SeenAt string
				DeviceSeq                                    uint64
				Author                                       string
				Set                                          map[string]json.RawMessage
			}
			if err := json.Unmarshal(e.Raw, &into); err != nil {
				g.t.Fatal(err)
			}
		}
		theirs += time.Since(start)
		at, n = next, n+len(page)
	}
	g.hold("rate of pulling entries over encoding/json decoding them", ratio(theirs, ours), 0.5, false)
}

// photos compares storing a photo in parts with hashing it and with writing and flushing it.
func (g goalRun) photos() {
	p, err := OpenPhotos(filepath.Join(g.dir, "photos"))
	if err != nil {
		g.t.Fatal(err)
	}
	const size, part = 4 << 20, 1 << 20
	var hashing, writing, ours []time.Duration
	for i := range max(g.rounds/10, 3) {
		photo := make([]byte, size)
		for j := range photo {
			photo[j] = byte(i * j >> 3)
		}
		binary.BigEndian.PutUint64(photo, uint64(i))
		start := time.Now()
		sha := sha256.Sum256(photo)
		hashing = append(hashing, time.Since(start))
		start = time.Now()
		f, err := os.Create(filepath.Join(g.dir, "plain"))
		if err != nil {
			g.t.Fatal(err)
		}
		for off := 0; off < size; off += part {
			_, _ = f.Write(photo[off : off+part])
			_ = f.Sync()
		}
		_ = f.Close()
		writing = append(writing, time.Since(start))
		start = time.Now()
		for off := int64(0); off < size; off += part {
			if _, err := p.WriteAt(context.Background(), by(sha), off, size, newPart(photo[off:off+part])); err != nil {
				g.t.Fatal(err)
			}
		}
		ours = append(ours, time.Since(start))
	}
	slower := max(at(hashing, 50), at(writing, 50))
	g.t.Logf("a photo of 4 MiB: hashed in %v, written in %v, stored in %v", at(hashing, 50), at(writing, 50), at(ours, 50))
	g.hold("rate of storing photos over the slower of hashing and writing", ratio(slower, at(ours, 50)), 0.7, false)
}

func newPart(b []byte) io.Reader { return &partReader{b} }

// partReader hides that it could be written in one go, as a request's body does.
type partReader struct{ left []byte }

func (p *partReader) Read(b []byte) (int, error) {
	if len(p.left) == 0 {
		return 0, io.EOF
	}
	n := copy(b, p.left)
	p.left = p.left[n:]
	return n, nil
}
