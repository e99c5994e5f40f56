package node

import (
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"time"

	"headcut/sync/badline"
)

// weather is what befalls a phone's line.
type weather struct {
	mu     sync.Mutex
	random *rand.Rand
	line   *badline.Line
	at     int64     // bytes on the line at which it breaks; 0: never
	silent time.Time // until when nothing is carried
	broken int
	spoke  chan<- struct{} // told that the server says something, which is then carried
}

// fate is the line's rule.
func (w *weather) fate(_ int, up bool, _ int64) badline.Fate {
	w.mu.Lock()
	defer w.mu.Unlock()
	if time.Now().Before(w.silent) {
		return badline.Fate{Hang: true}
	}
	if !up {
		select {
		case w.spoke <- struct{}{}:
		default:
		}
	}
	if w.at == 0 || w.line.Up.Load()+w.line.Down.Load() < w.at {
		return badline.Fate{}
	}
	w.at = 0
	w.broken++
	if !up && w.random.IntN(3) > 0 {
		return badline.Fate{} // what the server said last still arrives: what it acknowledged must hold
	}
	return badline.Fate{Pass: w.random.IntN(200), Reset: true}
}

// breakSoon resets a connection after some more bytes, in the middle of whatever is said then.
func (w *weather) breakSoon() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.at = 1 + w.line.Up.Load() + w.line.Down.Load() + w.random.Int64N(2_000)
}

// silence carries nothing for a while, and tells nobody: what is said on connections that there
// are, or that are made meanwhile, is lost for good.
func (w *weather) silence(while time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.silent = time.Now().Add(while)
	w.broken++
}

func (w *weather) clear() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.at, w.silent = 0, time.Time{}
}

// lose kills a phone and has its browser lose the database, or go back to an older copy. What
// was saved comes back from the copy outside the database, when the officer taps for it.
func (who *player) lose() {
	for deadline := time.Now().Add(patience); ; time.Sleep(10 * time.Millisecond) {
		var uncopied []string
		if who.check(who.ask("uncopied", nil, &uncopied)); len(uncopied) == 0 {
			break
		}
		if time.Now().After(deadline) {
			who.t.Errorf("phone %s has no copy outside its database after %v of %s", who.name, patience, uncopied)
			return
		}
	}
	who.lost()
	defer who.lost()
	who.killAndStart(true, func() {
		before, err := os.ReadFile(filepath.Join(who.dir, "older"))
		back := err == nil && len(who.saved) > who.savedIn && who.random.IntN(4) > 0 // else the page could not notice
		who.remember()
		who.check(os.Remove(filepath.Join(who.dir, "indexeddb")))
		if back {
			who.check(os.WriteFile(filepath.Join(who.dir, "indexeddb"), before, 0o600))
		}
	})
	for deadline := time.Now().Add(patience); ; { // on a busy machine it takes more than a tap
		var s state
		who.check(who.ask("state", nil, &s))
		if s.Trouble == "" {
			break
		}
		if s.Trouble != "gone" && s.Trouble != "behind" || time.Now().After(deadline) {
			who.t.Errorf("phone %s, whose database was lost, says that its store is %q", who.name, s.Trouble)
			return
		}
		_ = who.ask("bringBack", nil, nil) // what became of it is asked next
	}
	who.check(who.ask("send", nil, nil))
}

// remember keeps a copy of the database of a phone that is off.
func (who *player) remember() {
	now, err := os.ReadFile(filepath.Join(who.dir, "indexeddb"))
	who.check(err)
	who.check(os.WriteFile(filepath.Join(who.dir, "older"), now, 0o600))
	who.savedIn = len(who.saved)
}

// lost is said when a database is lost, and when it is there again.
func (who *player) lost() {
	who.mu.Lock()
	defer who.mu.Unlock()
	who.losses++
}

// troubles kills the server until the phones are done, and restores it once from an older copy.
func (p *play) troubles(restore bool, over <-chan struct{}) {
	random := randomOf(p.seed, 1000)
	var older func()
	for {
		select {
		case <-over:
			if restore && p.restores == 0 { // the phones were quicker
				p.office.kill()
				p.restore(older, random)
			}
			return
		case <-time.After(time.Duration(100+random.IntN(900)) * time.Millisecond):
		}
		if random.IntN(3) > 0 { // when it has just said something: what it acknowledged must hold
			select {
			case <-p.spoke:
			default:
			}
			select {
			case <-p.spoke:
			case <-over:
			case <-time.After(time.Second):
			}
		}
		p.killOffice(!restore)
		switch {
		case restore && older == nil:
			older = p.takeCopy(random)
		case restore && p.restores == 0 && random.IntN(3) == 0:
			p.restore(older, random)
			continue
		default:
			time.Sleep(time.Duration(random.IntN(200)) * time.Millisecond)
		}
		p.office.start()
	}
}

// takeCopy copies the data folder, and gives what puts that copy in its place.
func (p *play) takeCopy(random *rand.Rand) func() {
	if random.IntN(2) == 0 {
		copy := p.office.copied()
		return func() {
			p.office.put(copy)
			p.office.start()
		}
	}
	backup := filepath.Join(p.t.TempDir(), "backup")
	p.office.run("backup", "--data", p.office.data, "--to", backup)
	return func() {
		p.office.restore(backup)
		p.office.start()
		p.office.run("devices", "--data", p.office.data, "--confirm", "all")
		for _, who := range p.phones {
			_ = who.ask("send", nil, nil) // one that is off tries when it starts
		}
	}
}

func (p *play) restore(older func(), random *rand.Rand) {
	if older == nil {
		older = p.takeCopy(random)
	}
	older()
	p.restores++
}

// killOffice kills the server. With whole, what then lies on its disk and what the phones still
// hold must be all that was saved.
func (p *play) killOffice(whole bool) {
	p.office.kill()
	p.count(&p.officeKills)
	if !whole {
		return
	}
	// In this order: what is saved or acknowledged in between is never found in no place.
	saved, waits := map[string]recorded{}, map[string]bool{}
	for _, who := range p.phones {
		maps.Copy(saved, who.savedUnless(waits))
	}
	on := p.office.read()
	for id, r := range saved {
		if !waits[id] && on.times[id] == 0 {
			p.t.Errorf("after a kill of the server, entry %s was saved and is neither in the register nor waiting on its phone", id)
		}
		if sha := r.sha(); sha != "" && !waits[sha] && !on.photos[sha] {
			p.t.Errorf("after a kill of the server, photo %s was saved and is neither whole on the server nor waiting on its phone", sha)
		}
	}
}

// savedUnless is what the phone said was saved, and adds ids and hashes of what waits on it;
// nothing when it is off, or has lost its database and does not have it back yet.
func (who *player) savedUnless(waits map[string]bool) map[string]recorded {
	who.mu.Lock()
	losses, saved := who.losses, maps.Clone(who.saved)
	who.mu.Unlock()
	var waiting struct{ Entries, Photos []string }
	err := who.ask("waiting", nil, &waiting)
	who.mu.Lock()
	defer who.mu.Unlock()
	if err != nil || losses%2 == 1 || who.losses != losses {
		return nil
	}
	for _, of := range append(waiting.Entries, waiting.Photos...) {
		waits[of] = true
	}
	return saved
}
