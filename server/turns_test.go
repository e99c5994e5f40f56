package server

import (
	"context"
	"fmt"
	"net/http"
	"runtime"
	"strings"
	"testing"
	"time"

	"headcut/model/compute"
)

// manyBanks asks for banks to be put on a long track by their positions, which a computation
// cannot finish within its budget; some seconds.
func manyBanks() string {
	list := func(n int, format string, scale float64) string {
		all := make([]string, n)
		for i := range all {
			all[i] = fmt.Sprintf(format, 146+scale*float64(i)/float64(n), float64(n-i)/100)
		}
		return "[" + strings.Join(all, ",") + "]"
	}
	return `{"table":"local","rows":[{"upToPct":60,"spacingM":20}],"track":` + list(9000, `{"position":[%.7f,-20],"levelM":%.2f}`, 0.09) +
		`,"banks":` + list(8000, `{"position":[%.7f,-20],"side":"left","name":"%v"}`, 0.08) + `}`
}

func waitFor(t *testing.T, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(time.Minute); !is(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("in a minute it did not come to %s", what)
		}
	}
}

// TestHangingUpStopsTheComputation: it went on for minutes after its caller had gone.
func TestHangingUpStopsTheComputation(t *testing.T) {
	s := newSite(t)
	ctx, hangUp := context.WithCancel(t.Context())
	req, err := http.NewRequestWithContext(ctx, "POST", s.web.URL+"/compute/whoa-boy-check", strings.NewReader(manyBanks()))
	if err != nil {
		t.Fatal(err)
	}
	go func() {
		if res, err := http.DefaultClient.Do(req); err == nil {
			res.Body.Close()
		}
	}()
	waitFor(t, "be computed", func() bool { return len(s.turns.running) == 1 })
	hangUp()
	waitFor(t, "be stopped", func() bool { return len(s.turns.running) == 0 })
	s.computing.mu.Lock()
	defer s.computing.mu.Unlock()
	for who, steps := range s.computing.spent {
		if steps >= compute.MaxSteps {
			t.Errorf("%s hung up, and %d steps were done all the same, the whole budget", who, steps)
		}
	}
}

// TestTurnsAreBounded: so many compute at once that a processor is left to devices, so many
// inputs are held, and of one address a part of these.
func TestTurnsAreBounded(t *testing.T) {
	s := newSite(t)
	most := cap(s.turns.running)
	if processors := runtime.GOMAXPROCS(0); most < 1 || most > mostComputing || processors > 1 && most >= processors {
		t.Errorf("%d compute at once on %d processors", most, processors)
	}
	var leave []func()
	for range most {
		one, ok := s.turns.enter(t.Context())
		if !ok {
			t.Fatal("a free turn is not given")
		}
		leave = append(leave, one)
	}
	ctx, hangUp := context.WithCancel(t.Context())
	hangUp()
	if _, ok := s.turns.enter(ctx); ok {
		t.Error("one more computes than may")
	}
	for _, one := range leave {
		one()
	}

	var release []func()
	for i := 0; ; i++ {
		one, ok := s.turns.hold(fmt.Sprint("client-", i/mostHeldOfOne), 1000)
		if !ok {
			break
		}
		release = append(release, one)
	}
	if len(release) != mostHeldInAll {
		t.Errorf("%d inputs are held, want %d", len(release), mostHeldInAll)
	}
	if status, body := ask(t, "POST", s.web.URL+"/compute/line", `{"positions":[[148,-25],[149,-25]]}`); status != http.StatusServiceUnavailable || !strings.Contains(body, "try again in 5 s") {
		t.Errorf("with all places taken: %d %s, want 503 and when to try again", status, body)
	}
	for _, one := range release {
		one()
	}
	if status, body := ask(t, "POST", s.web.URL+"/compute/line", `{"positions":[[148,-25],[149,-25]]}`); status != http.StatusOK {
		t.Errorf("with all places free again: %d %s", status, body)
	}
	for range mostHeldOfOne {
		if _, ok := s.turns.hold("greedy", 10); !ok {
			t.Fatal("a free place is not given")
		}
	}
	if _, ok := s.turns.hold("greedy", 10); ok {
		t.Errorf("one client holds more than %d inputs", mostHeldOfOne)
	}
	for i := range 4 { // of unknown length: as if they were of the longest
		s.turns.hold(fmt.Sprint("long-", i), -1)
	}
	if _, ok := s.turns.hold("long", 3*compute.MaxInput); !ok {
		t.Error("a fifth long input is not held")
	}
	if _, ok := s.turns.hold("longer", compute.MaxInput); ok {
		t.Errorf("more than %d bytes are held", mostHeld)
	}
}
