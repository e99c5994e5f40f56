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
	if wait := a.wait("desk", at); wait != 0 {
		t.Fatalf("the first computation waits %v, want it begun", wait)
	}
	a.spend("desk", compute.MaxSteps-2*requestSteps, at)
	if wait := a.wait("desk", at); wait != 0 {
		t.Errorf("with a little left the next waits %v, want it begun", wait)
	}
	a.spend("desk", compute.MaxSteps, at)
	if wait := a.wait("desk", at); wait < 60*time.Second || wait > 70*time.Second {
		t.Errorf("after twice the longest the next waits %v, want about 64 s (32 M steps at 512 k a second)", wait)
	}
	if wait := a.wait("phone", at); wait != 0 {
		t.Errorf("another client waits %v, want nothing", wait)
	}
	if wait := a.wait("desk", at.Add(65*time.Second)); wait != 0 {
		t.Errorf("65 s later it waits %v, want it begun", wait)
	}
	if wait := a.wait("desk", at.Add(-time.Hour)); wait != 0 {
		t.Errorf("after the clock was set back it waits %v, want nothing", wait)
	}
}

// TestAllowanceIsRegained once a second, up to an hour at once; a clock that was set further has all begin again.
func TestAllowanceIsRegained(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	const over = 2 * regainedPerS * 3600 // of what an hour gives back
	for after, want := range map[time.Duration]time.Duration{
		0: 2 * time.Hour, time.Second - 1: 2 * time.Hour, time.Second: 2*time.Hour - time.Second, 90 * time.Second: 2*time.Hour - 90*time.Second,
		time.Hour: time.Hour, time.Hour + 1: 0, -1: 0,
	} {
		var a allowances
		a.spend("desk", over+allowanceSteps-2*requestSteps, at)
		if wait := a.wait("desk", at.Add(after)); wait != want {
			t.Errorf("after %v it waits %v, want %v", after, wait, want)
		}
	}
	var a allowances // what is spent is forgotten when it has all been regained
	a.spend("desk", regainedPerS-requestSteps, at)
	a.spend("phone", regainedPerS-requestSteps+1, at)
	a.wait("other", at.Add(time.Second))
	if len(a.spent) != 1 || a.spent["phone"] != 1 {
		t.Errorf("after a second %v are spent, want 1 by the phone", a.spent)
	}
}

// TestAllowanceForgets: a client that came once takes no memory for ever, and many
// addresses at once take a bounded one and share an allowance.
func TestAllowanceForgets(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	var a allowances
	for i := range 3 * mostClients {
		a.spend(fmt.Sprint("client-", i), 1000, at)
	}
	if len(a.spent) > mostClients+1 {
		t.Errorf("%d clients are remembered, want at most %d", len(a.spent), mostClients+1)
	}
	if wait := a.wait("late", at); wait == 0 {
		t.Errorf("after %d strangers another one waits for nothing", 2*mostClients)
	}
	if a.wait("late", at.Add(2*time.Minute)); len(a.spent) != 0 {
		t.Errorf("two minutes later %d clients are remembered, want none", len(a.spent))
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
	if taken != 6 || status != http.StatusTooManyRequests {
		t.Fatalf("%d inputs of 6 MiB were taken, then %d %s; want 6, until 32 Mi steps are spent, and 429", taken, status, body)
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
	s.at = s.at.Add(time.Duration(wait) * time.Second)
	if status, body := ask(t, "POST", s.web.URL+"/compute/staff-reading", large); status != http.StatusOK {
		t.Errorf("after the %d s it asked for: %d %s, want it computed", wait, status, body)
	}
}
