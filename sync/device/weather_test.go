package device_test

import (
	"context"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"headcut/sync/store/boltstore"
)

// This file is what befalls the play.

// kill kills with SIGKILL.
func (p *play) kill(name string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.running[name].Process.Kill() == nil {
		p.killed[name]++
	}
}

// weather is the line's rule: whenever so many bytes have passed, something breaks.
func (p *play) weather(_ int, up bool, _ int64) fate {
	p.mu.Lock()
	defer p.mu.Unlock()
	enough := p.killed["a"]+p.killed["b"]+p.killed["office"] >= p.quota
	if p.calm || enough || p.line == nil || p.line.up.Load()+p.line.down.Load() < p.next {
		return fate{}
	}
	p.next += 500 + p.random.Int64N(p.gap)
	after := fate{pass: p.random.IntN(200), reset: true}
	if !up && p.random.IntN(3) > 0 {
		after = fate{} // what the server said last still arrives: what it acknowledged must hold
	}
	switch p.random.IntN(8) {
	case 0, 1, 2:
		p.cuts++
		after.reset = true
	case 3:
		p.killDevice("a")
	case 4:
		p.killDevice("b")
	case 5:
		if !p.backedUp {
			p.backUp()
		} else if p.restores == 0 && p.killed["office"] > *playKills/6 {
			p.restoreOffice()
			break
		}
		fallthrough
	default:
		p.killOffice()
		p.startOffice()
	}
	return after
}

func (p *play) killDevice(name string) {
	if cmd := p.running[name]; cmd != nil && cmd.Process.Kill() == nil {
		p.killed[name]++
	}
}

func (p *play) killOffice() {
	if p.running["office"].Process.Kill() == nil {
		p.killed["office"]++
	}
}

func (p *play) backup() string { return filepath.Join(p.dir, "backup.db") }

// backUp has the running office back itself up.
func (p *play) backUp() {
	answer, err := http.Post("http://"+p.address+"/backup?to="+p.backup(), "", nil)
	if err != nil {
		p.t.Errorf("backup: %v", err)
		return
	}
	_ = answer.Body.Close()
	p.backedUp = answer.StatusCode == http.StatusOK
	if !p.backedUp && answer.StatusCode != http.StatusConflict {
		p.t.Errorf("backup: %s", answer.Status)
	}
}

// restoreOffice loses the office's register and restores it from the backup.
func (p *play) restoreOffice() {
	p.killOffice()
	time.Sleep(20 * time.Millisecond) // the lock goes with the process
	must(p.t, os.Remove(p.register()))
	if err := os.Remove(filepath.Join(p.path("office"), "begun.json")); err != nil && !errors.Is(err, fs.ErrNotExist) { // a backup from before anything was begun
		p.t.Error(err)
	}
	must(p.t, boltstore.Restore(context.Background(), p.backup(), p.register()))
	p.restores++
	p.startOffice()
}
