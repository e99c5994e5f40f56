package server

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"headcut/model/compute"
)

func TestAllowance(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	var a allowances
	if wait := a.take("desk", compute.MaxInput, at); wait != 0 {
		t.Fatalf("the largest input waits %v, want it taken", wait)
	}
	if wait := a.take("desk", compute.MaxInput, at); wait < 60*time.Second || wait > 70*time.Second {
		t.Errorf("the largest input at once again waits %v, want about 64 s (16 MiB at 256 KiB/s)", wait)
	}
	if wait := a.take("phone", 1000, at); wait != 0 {
		t.Errorf("another client waits %v, want nothing", wait)
	}
	if wait := a.take("desk", compute.MaxInput, at.Add(65*time.Second)); wait != 0 {
		t.Errorf("the largest input 65 s later waits %v, want it taken", wait)
	}
	a.giveBack("desk", compute.MaxInput)
	if wait := a.take("desk", compute.MaxInput, at.Add(66*time.Second)); wait != 0 {
		t.Errorf("what was not used was not given back: waits %v", wait)
	}
	if wait := a.take("desk", 1, at.Add(-time.Hour)); wait != 0 {
		t.Errorf("after the clock was set back it waits %v, want nothing", wait)
	}
}

// TestAllowanceForgets: a client that came once takes no memory for ever, and many
// addresses at once take a bounded one and share an allowance.
func TestAllowanceForgets(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	var a allowances
	for i := range 3 * mostClients {
		a.take(fmt.Sprint("client-", i), 100, at)
	}
	if len(a.spent) > mostClients+1 {
		t.Errorf("%d clients are remembered, want at most %d", len(a.spent), mostClients+1)
	}
	if wait := a.take("late", 100, at); wait == 0 {
		t.Errorf("after %d strangers another one waits for nothing", 2*mostClients)
	}
	if a.take("late", 100, at.Add(2*time.Minute)); len(a.spent) != 1 {
		t.Errorf("two minutes later %d clients are remembered, want 1", len(a.spent))
	}
}

// TestComputingTooMuchIsHeldBack sends large inputs until the server has had enough, and
// waits as it says.
func TestComputingTooMuchIsHeldBack(t *testing.T) {
	s := newSite(t)
	large := `{"instrumentLevelM":101.842,"targetLevelM":100.187}` + strings.Repeat(" ", 6<<20)
	var status int
	var body string
	taken := 0
	for ; taken < 10; taken++ {
		if status, body = ask(t, "POST", s.web.URL+"/compute/staff-reading", large); status != http.StatusOK {
			break
		}
	}
	if taken != 2 || status != http.StatusTooManyRequests {
		t.Fatalf("%d inputs of 6 MiB were taken, then %d %s; want 2 and 429", taken, status, body)
	}
	p := problemIn(t, body)
	if !strings.Contains(p.Fix, "try again in") {
		t.Errorf("refused with %+v, want to be told when to try again", p)
	}
	res, err := http.Post(s.web.URL+"/compute/staff-reading", "application/json", strings.NewReader(large))
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	wait, err := strconv.Atoi(res.Header.Get("Retry-After"))
	if err != nil || wait < 1 || wait > 60 {
		t.Fatalf("Retry-After is %q, want some seconds", res.Header.Get("Retry-After"))
	}
	if status, _ := ask(t, "POST", s.web.URL+"/compute/staff-reading", `{"instrumentLevelM":101.842,"targetLevelM":100.187}`); status != http.StatusOK {
		t.Errorf("a small input meanwhile: %d, want it computed", status)
	}
	s.at = s.at.Add(time.Duration(wait) * time.Second)
	if status, body := ask(t, "POST", s.web.URL+"/compute/staff-reading", large); status != http.StatusOK {
		t.Errorf("after the %d s it asked for: %d %s, want it computed", wait, status, body)
	}
}
