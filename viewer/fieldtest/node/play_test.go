package node

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"headcut/sync/register"
)

var playSteps = flag.Int("steps", 30, "what each phone of the play does in half a day: captures, mostly")

// TestPlay is an officers' day gone wrong. Three phones record, with edits to the same features
// and photos, begin properties, have their clocks set, and are killed; their lines are cut, go
// silent and come back; the server is killed again and again. In the first half browsers lose
// their database or go back to an older one; in the second the server is restored from an older copy,
// by the office's command or by hand.
//
// Whatever lies on the server's disk when it is killed must hold all that a phone does not hold
// any more. At the end of each half, on good lines, the register has every entry that a phone
// said was saved, once, as it was recorded; no number stands twice; photos are whole; and every
// phone and the register have the same features.
func TestPlay(t *testing.T) {
	seed := seedOf(t)
	p := newPlay(t, seed)
	p.half(false)
	p.half(true)
	t.Logf("%d entries; of phones %d kills, %d databases lost; of the server %d kills, %d restores; %d cuts", p.total(), p.kills, p.losses(), p.officeKills, p.restores, p.cuts())
}

// play is a day, and what must come of it.
type play struct {
	t      *testing.T
	seed   uint64
	office *office
	phones []*player
	common []string // properties that all phones have
	spoke  chan struct{}

	mu          sync.Mutex // guards what follows
	kills       int
	officeKills int
	restores    int
}

// player is a phone and what it recorded.
type player struct {
	*device
	play    *play
	random  *rand.Rand
	weather weather
	begun   []string // properties
	number  int      // of captures
	savedIn int      // the older copy of its database

	mu      sync.Mutex // guards what follows
	saved   map[string]recorded
	unheard []recorded // what it was asked to save when it was killed
	losses  int        // of its database, and one more while it is lost
}

// recorded is one capture.
type recorded struct {
	Property string
	Feature  string         `json:"feature,omitzero"`
	Set      map[string]any `json:"set,omitzero"`
	Strike   *bool          `json:"strike,omitzero"`
	photo    []byte
}

func newPlay(t *testing.T, seed uint64) *play {
	p := &play{t: t, seed: seed, office: newOffice(t), spoke: make(chan struct{}, 1)}
	for i, name := range []string{"a", "b", "c"} {
		who := &player{play: p, random: randomOf(seed, uint64(i)), saved: map[string]recorded{}}
		who.weather.spoke = p.spoke
		who.weather.random = randomOf(seed, uint64(100+i))
		who.device = newDevice(t, p.office, name, who.weather.fate)
		who.weather.line = who.line
		p.office.enrol(who.device, "Officer "+name, "Stony Creek", "Long Ridge")
		p.phones = append(p.phones, who)
	}
	for _, property := range p.phones[0].self.Properties {
		p.common = append(p.common, property.ID)
	}
	return p
}

func (p *play) total() (all int) {
	for _, who := range p.phones {
		all += len(who.saved)
	}
	return all
}

func (p *play) losses() (all int) {
	for _, who := range p.phones {
		all += who.losses / 2
	}
	return all
}

func (p *play) cuts() (all int) {
	for _, who := range p.phones {
		all += who.weather.broken
	}
	return all
}

// half plays half of the day, and compares what came of it.
func (p *play) half(restore bool) {
	p.t.Helper()
	over := make(chan struct{})
	var phones, office sync.WaitGroup
	for _, who := range p.phones {
		phones.Go(func() {
			for range *playSteps {
				who.step(restore)
			}
		})
	}
	office.Go(func() { p.troubles(restore, over) })
	phones.Wait()
	close(over)
	office.Wait()
	for _, who := range p.phones {
		who.weather.clear()
	}
	if p.t.Failed() {
		p.t.FailNow()
	}
	settle(p.t, p.devices()...)
	p.compare()
}

func (p *play) devices() (all []*device) {
	for _, who := range p.phones {
		all = append(all, who.device)
	}
	return all
}

// step has one thing happen to a phone. What its browser loses is not lost on a day on which the
// server loses it too: then nobody has it.
func (who *player) step(restore bool) {
	switch n := who.random.IntN(100); {
	case n < 62:
		who.capture(false)
	case n < 67: // in the middle of a capture
		who.capture(true)
	case n < 70:
		who.killAndStart(false, who.remember)
	case n < 72:
		who.end()
		who.start()
	case n < 75 && !restore:
		who.lose()
	case n < 78:
		who.setClock()
	case n < 80 && len(who.begun) < 2:
		who.beginProperty()
	case n < 86:
		who.weather.breakSoon()
	case n < 89:
		who.weather.silence(time.Duration(who.random.IntN(800)) * time.Millisecond)
	default:
		time.Sleep(time.Duration(who.random.IntN(60)) * time.Millisecond)
	}
}

// capture records something; with a kill, the phone is killed while it does.
func (who *player) capture(killed bool) {
	r := who.draft()
	process, answer, err := who.begin("capture", r.asked())
	if who.check(err); err != nil {
		return
	}
	if killed {
		time.Sleep(time.Duration(who.random.IntN(12_000)) * time.Microsecond)
		who.kill()
		who.play.count(&who.play.kills)
	}
	var saved struct{ Entry, Feature string }
	err = who.await(process, answer, "capture", &saved)
	who.mu.Lock()
	switch {
	case err == nil:
		r.Feature = saved.Feature
		who.saved[saved.Entry] = r
	case killed && err == errOff:
		who.unheard = append(who.unheard, r)
	default:
		who.check(err)
	}
	who.mu.Unlock()
	if killed {
		who.start()
	}
}

// check says what went wrong; the play goes on, as it may not be this goroutine's to end.
func (who *player) check(err error) {
	who.t.Helper()
	if err != nil {
		who.t.Errorf("phone %s: %v", who.name, err)
	}
}

// asked asks a phone to record it.
func (r recorded) asked() asked {
	with := asked{"property": r.Property, "draft": r}
	if r.photo != nil {
		with["photo"] = r.photo
	}
	return with
}

// sha is the name of the photo, "" where there is none.
func (r recorded) sha() string {
	if r.photo == nil {
		return ""
	}
	return register.HashOf(r.photo).String()
}

// draft is mostly an edit of features that all phones know, and a strike now and then.
func (who *player) draft() recorded {
	who.number++
	n := who.number
	r := recorded{Property: who.play.common[0], Feature: fmt.Sprintf("head-%02d", who.random.IntN(20))}
	if who.random.IntN(4) == 0 {
		r.Property, r.Feature = who.play.common[1], "ridge-"+r.Feature
	}
	if len(who.begun) > 0 && who.random.IntN(4) == 0 {
		i := who.random.IntN(len(who.begun))
		r.Property, r.Feature = who.begun[i], fmt.Sprintf("%s-%d-%s", who.name, i, r.Feature)
	}
	switch who.random.IntN(20) {
	case 0, 1:
		strike := who.random.IntN(2) == 0
		r.Strike = &strike
		return r
	case 2:
		r.Feature, r.Set = "", map[string]any{"kind": "peg", "name": fmt.Sprintf("peg %s%d", who.name, n)}
		return r
	case 3:
		r.photo = jpeg(who.random, 500+who.random.IntN(60_000))
	case 4:
		if who.random.IntN(3) == 0 { // of more than one part
			r.photo = jpeg(who.random, 1<<20+who.random.IntN(2<<20))
		}
	}
	r.Set = map[string]any{"kind": "gully-head", "notes": fmt.Sprintf("<%s> & capture %d", who.name, n)}
	if who.random.IntN(2) == 0 {
		r.Set["headDepthM"] = float64(who.random.IntN(300)) / 100
	}
	if who.random.IntN(3) == 0 {
		r.Set["geometry"] = map[string]any{"type": "Point", "coordinates": []float64{147 + float64(who.random.IntN(10_000))/1e4, -20 - float64(who.random.IntN(10_000))/1e4}}
	}
	if who.random.IntN(10) == 0 {
		r.Set["active"] = nil
	}
	return r
}

// killAndStart kills a phone and starts it again; meanwhile something may be done to its database,
// after which it may be lost.
func (who *player) killAndStart(lost bool, meanwhile func()) {
	who.kill()
	meanwhile()
	who.play.count(&who.play.kills)
	if trouble := who.start(); trouble != "" && !lost {
		who.t.Errorf("phone %s, killed and started again, says that its store is %q", who.name, trouble)
	}
}

func (who *player) setClock() {
	jumps := []time.Duration{0, time.Hour, -time.Hour, 26 * time.Hour, -26 * time.Hour, 10 * 365 * 24 * time.Hour, -3 * 365 * 24 * time.Hour}
	who.aheadMS = jumps[who.random.IntN(len(jumps))].Milliseconds()
	who.check(who.ask("clock", asked{"aheadMS": who.aheadMS}, nil))
}

func (who *player) beginProperty() {
	var property struct{ ID string }
	who.check(who.ask("begin", asked{"name": fmt.Sprintf("Hut %d of %s", len(who.begun)+1, who.name)}, &property))
	who.begun = append(who.begun, property.ID)
}

func (p *play) count(what *int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	*what++
}

// jpeg is a picture as the server takes one, of noise.
func jpeg(random *rand.Rand, bytes int) []byte {
	raw := make([]byte, bytes)
	for i := range raw {
		raw[i] = byte(random.Uint32())
	}
	copy(raw, []byte{0xFF, 0xD8, 0xFF, 0xC0, 0, 11, 8, 0, 1, 0, 1, 1, 1, 0x11, 0})
	return raw
}
