package server

import (
	"fmt"
	"testing"
	"time"

	"headcut/model/compute"
)

// TestTurnsAtTheirLimits: inputs of one client, of all, and their bytes, up to each limit and no further;
// what is released makes room again.
func TestTurnsAtTheirLimits(t *testing.T) {
	for name, c := range map[string]struct {
		client func(int) string
		length int64
		most   int
	}{
		"of one client":       {func(int) string { return "a" }, 10, mostHeldOfOne},
		"of all":              {func(n int) string { return fmt.Sprint(n) }, 10, mostHeldInAll},
		"the longest":         {func(n int) string { return fmt.Sprint(n) }, compute.MaxInput, mostHeld / compute.MaxInput},
		"of a length unknown": {func(n int) string { return fmt.Sprint(n) }, -1, mostHeld / (compute.MaxInput + 1)},
		"too long":            {func(n int) string { return fmt.Sprint(n) }, 1 << 40, mostHeld / (compute.MaxInput + 1)},
		"of nothing":          {func(n int) string { return fmt.Sprint(n) }, 0, mostHeldInAll},
	} {
		turns := newTurns()
		var releases []func()
		for n := range c.most {
			release, ok := turns.hold(c.client(n), c.length)
			if !ok {
				t.Fatalf("%s: %d are refused", name, n+1)
			}
			releases = append(releases, release)
		}
		if _, ok := turns.hold(c.client(c.most), c.length); ok {
			t.Errorf("%s: %d are held", name, c.most+1)
		}
		releases[0]()
		if _, ok := turns.hold(c.client(0), c.length); !ok {
			t.Errorf("%s: released, none is held", name)
		}
		for _, release := range releases[1:] {
			release()
		}
		if turns.inputs != 1 || len(turns.of) != 1 || turns.bytes != min(max(c.length, 0), compute.MaxInput+1) && c.length >= 0 {
			t.Errorf("%s: %d inputs of %v with %d bytes are left", name, turns.inputs, turns.of, turns.bytes)
		}
	}
}

// TestAllowancesAreRegained by the second, all of them after an hour, and when the clock was set.
func TestAllowancesAreRegained(t *testing.T) {
	at := time.Date(2026, 5, 13, 9, 0, 0, 0, time.UTC)
	a := &allowances{}
	if got := a.wait("x", at); got != 0 {
		t.Fatalf("who has computed nothing waits %v", got)
	}
	a.spend("x", allowanceSteps-2*requestSteps, at)
	if got := a.wait("x", at); got != 0 || a.spent["x"] != allowanceSteps-requestSteps {
		t.Errorf("with just enough left, after %d steps, it waits %v", a.spent["x"], got)
	}
	a.spend("x", regainedPerS-requestSteps, at)
	for _, c := range []struct {
		after time.Duration
		want  time.Duration
		spent int64
	}{
		{0, time.Second, allowanceSteps - requestSteps + regainedPerS}, {time.Second - 1, time.Second, allowanceSteps - requestSteps + regainedPerS},
		{time.Second, 0, allowanceSteps - requestSteps},
	} {
		if got := a.wait("x", at.Add(c.after)); got != c.want || a.spent["x"] != c.spent {
			t.Errorf("%v later it waits %v after %d steps, want %v and %d", c.after, got, a.spent["x"], c.want, c.spent)
		}
	}
	full := func(after time.Duration, want bool) {
		t.Helper()
		a := &allowances{}
		a.spend("x", 1<<40, at)
		a.wait("y", at.Add(after))
		if _, still := a.spent["x"]; still != want {
			t.Errorf("%v later it is still counted: %t", after, still)
		}
	}
	full(time.Hour, true)
	full(time.Hour+time.Second, false)
	full(-time.Nanosecond, false)
	a = &allowances{}
	a.spend("x", regainedPerS-requestSteps, at)
	if a.wait("x", at.Add(time.Second)); len(a.spent) != 0 {
		t.Errorf("what is regained is forgotten: %v", a.spent)
	}
	a = &allowances{}
	for n := range mostClients + 5 {
		a.spend(fmt.Sprint(n), 0, at)
	}
	if len(a.spent) != mostClients+1 || a.spent[everybodyBeyond] != 5*requestSteps {
		t.Errorf("%d are counted, beyond them %d steps", len(a.spent), a.spent[everybodyBeyond])
	}
}
