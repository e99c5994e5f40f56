package node

import (
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"headcut/sync/badline"
)

// breaking is a line that breaks when it has carried so many bytes one way, and stays broken until
// it is mended.
type breaking struct {
	mu     sync.Mutex
	line   *badline.Line
	silent bool // nobody is told; else connections are reset
	up     bool // the way it breaks
	broken bool // for as long as it has not been mended
	at     int64
}

func (b *breaking) carried() int64 {
	if b.up {
		return b.line.Up.Load()
	}
	return b.line.Down.Load()
}

// after has the line break after more bytes.
func (b *breaking) after(more int64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.broken, b.at = true, b.carried()+more
}

func (b *breaking) mend() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.broken = false
	b.line.Cut() // nothing waits on connections that carry nothing
}

// isOver tells whether the line has come to where it breaks.
func (b *breaking) isOver() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.carried() >= b.at
}

// fate is the line's rule.
func (b *breaking) fate(_ int, up bool, _ int64) badline.Fate {
	b.mu.Lock()
	defer b.mu.Unlock()
	left := b.at - b.carried()
	if !b.broken || left > 0 && up != b.up {
		return badline.Fate{}
	}
	return badline.Fate{Pass: int(max(left, 0)), Hang: b.silent, Reset: !b.silent}
}

// newBroken is an enrolled phone on a line that is not broken yet.
func newBroken(t *testing.T, o *office, name string, line *breaking) *device {
	t.Helper()
	d := newDevice(t, o, name, line.fate)
	line.mu.Lock()
	line.line = d.line
	line.mu.Unlock()
	o.enrol(d, "Officer "+name, "Stony Creek")
	settle(t, d)
	return d
}

// TestEveryPhaseCut breaks the line at many points of a conversation that sends entries and a
// photo of several parts, either way, with a reset or in silence, and leaves it broken. What the
// phone then does not hold any more must be on the server: no entry is settled without its
// receipt, and no photo is sent after its first part. Mended, the line carries the rest, once.
func TestEveryPhaseCut(t *testing.T) {
	t.Parallel()
	const entries, photoBytes = 8, 5 << 19 // two parts and a half
	random := randomOf(seedOf(t), 1)
	o, line := newOffice(t), new(breaking)
	d := newBroken(t, o, "a", line)
	property := d.self.Properties[0].ID
	saved := map[string]recorded{}
	day := func(photo bool) { // with no signal; then the phone is killed, so that it sends all of it on a new connection
		line.after(0)
		d.line.Cut()
		for i := range entries {
			r := recorded{Property: property, Set: map[string]any{"kind": "gully-head", "notes": fmt.Sprintf("capture %d", len(saved))}}
			if photo && i == entries/2 {
				r.photo = jpeg(random, photoBytes)
			}
			saved[d.save(r)] = r
		}
		d.kill()
	}
	type carried struct{ photo, up bool }
	whole := map[carried]int64{} // bytes of a conversation
	for _, photo := range []bool{false, true} {
		day(photo)
		line.mend()
		up, down := d.line.Up.Load(), d.line.Down.Load()
		d.start()
		settle(t, d)
		whole[carried{photo, true}], whole[carried{photo, false}] = d.line.Up.Load()-up, d.line.Down.Load()-down
	}
	for step := range *playSteps * 2 / 5 {
		photo := step%16 >= 12 // most of its bytes are a photo's, and of the others an entry's
		day(photo)
		line.silent, line.up = step%2 == 1, step/2%2 == 1
		at := random.Int64N(whole[carried{photo, line.up}])
		line.after(at)
		d.start()
		within(t, "the line to break", func() bool { return line.isOver() || d.state().quiet() })
		d.waitFor("that it has no answer", func(s state) bool { return s.State == "no-answer" || s.quiet() })
		o.kill()
		d.isNowhereMissing(o.read(), saved, fmt.Sprintf("the line broke after %d bytes, up %v, in silence %v, with a photo %v", at, line.up, line.silent, photo))
		o.start()
		line.mend()
		must(t, d.ask("send", nil, nil))
		settle(t, d)
	}
	o.kill()
	o.read().hasOnce(t, saved)
}

// hasOnce holds a register to have each entry once, and each photo whole.
func (on contents) hasOnce(t *testing.T, saved map[string]recorded) {
	t.Helper()
	for id, r := range saved {
		if on.times[id] != 1 {
			t.Errorf("entry %s was saved and stands in the register %d times: %+v", id, on.times[id], r.Set)
		}
		if sha := r.sha(); sha != "" && !on.photos[sha] {
			t.Errorf("photo %s was saved and is not whole on the server", sha)
		}
	}
}

// within waits until something is so.
func within(t *testing.T, what string, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(patience); !is(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%v were not enough for %s", patience, what)
		}
	}
}

// save records something and gives the id of its entry.
func (d *device) save(r recorded) (entry string) {
	d.t.Helper()
	var saved struct{ Entry string }
	must(d.t, d.ask("capture", r.asked(), &saved))
	return saved.Entry
}

// isNowhereMissing holds that each entry and photo waits on the phone or is on the server.
func (d *device) isNowhereMissing(on contents, saved map[string]recorded, when string) {
	d.t.Helper()
	var waiting struct{ Entries, Photos []string }
	must(d.t, d.ask("waiting", nil, &waiting))
	for id, r := range saved {
		if on.times[id] == 0 && !slices.Contains(waiting.Entries, id) {
			d.t.Errorf("%s: entry %s is neither in the register nor waiting on the phone", when, id)
		}
		if sha := r.sha(); sha != "" && !on.photos[sha] && !slices.Contains(waiting.Photos, sha) {
			d.t.Errorf("%s: photo %s is neither whole on the server nor waiting on the phone", when, sha)
		}
	}
}

// TestSlowLine: a line that carries 4 KB a second carries a day, as frames shrink until one gets
// through, and photos have their parts.
func TestSlowLine(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	slow := false
	var mu sync.Mutex
	d := newDevice(t, o, "a", func(int, bool, int64) badline.Fate {
		mu.Lock()
		defer mu.Unlock()
		if !slow {
			return badline.Fate{}
		}
		return badline.Fate{Piece: 20, Every: 5 * time.Millisecond}
	})
	o.enrol(d, "Officer a", "Stony Creek")
	settle(t, d)
	d.end()
	mu.Lock()
	slow = true
	mu.Unlock()
	d.start()
	for i := range 16 {
		d.record(d.self.Properties[0].ID, "", map[string]any{"kind": "gully-head", "notes": fmt.Sprintf("capture %d", i)})
	}
	settle(t, d)
}
