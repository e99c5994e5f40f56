package device

import (
	"io"
	"math/rand/v2"
	"net"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/wire"
)

// TestRule13ReconnectsSpread simulates 5,000 devices that all lose the server in the same
// instant, on a clock of their own. Connections include those that are refused.
func TestRule13ReconnectsSpread(t *testing.T) {
	const (
		devices = 5000
		seed    = 13
	)
	closed := &websocket.CloseError{Code: websocket.CloseServiceRestart}
	for name, c := range map[string]struct {
		lost  error
		later *wire.Later
		down  time.Duration
	}{
		"stopped-politely-back-at-once": {closed, &wire.Later{AfterMS: 1000, WithinMS: 30000}, 0},
		"killed-back-at-once":           {io.ErrUnexpectedEOF, nil, 0},
		"killed-down-for-3-s":           {&net.OpError{Op: "read", Err: syscall.ECONNRESET}, nil, 3 * time.Second},
		"killed-down-for-40-s":          {&net.OpError{Op: "read", Err: syscall.ECONNRESET}, nil, 40 * time.Second},
	} {
		t.Run(name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(seed, seed))
			var perSecond [60]int
			attempts, connected := 0, 0
			for range devices {
				r := reconnect{chance: random.Float64}
				r.ended(c.lost, 8*time.Hour)
				now := r.next(c.later)
				for now < time.Minute {
					attempts++
					perSecond[now/time.Second]++
					if now >= c.down {
						connected++
						break
					}
					r.ended(&net.OpError{Op: "dial", Err: syscall.ECONNREFUSED}, 0)
					now += r.next(nil)
				}
			}
			mean, peak := float64(attempts)/60, slices.Max(perSecond[:])
			t.Logf("seed %d: peak %d a second, mean %.0f, ratio %.2f; %d of %d connected after a minute", seed, peak, mean, float64(peak)/mean, connected, devices)
			if float64(peak) > 3*mean {
				t.Errorf("peak %d connects a second, want at most 3 times the mean of %.1f: %v", peak, mean, perSecond)
			}
			if c.down == 0 && connected != devices {
				t.Errorf("%d of %d devices are back after a minute", connected, devices)
			}
		})
	}
}

// TestWaitsGrow checks the bounds [0, min(60 s, 2^k s)] and that a minute up starts again.
func TestWaitsGrow(t *testing.T) {
	r := reconnect{chance: func() float64 { return 1 }}
	broken := &net.OpError{Op: "read", Err: syscall.EHOSTUNREACH}
	for k, want := range []time.Duration{1, 2, 4, 8, 16, 32, 60, 60, 60} {
		r.ended(broken, time.Second)
		if got := r.next(nil); got != want*time.Second {
			t.Errorf("the longest wait after %d failures: got %v, want %v", k+1, got, want*time.Second)
		}
	}
	r.ended(broken, time.Minute)
	if got := r.next(nil); got != time.Second {
		t.Errorf("the longest wait after a minute up: got %v, want 1 s", got)
	}
	r.chance = func() float64 { return 0 }
	if got := r.next(nil); got != 0 {
		t.Errorf("the shortest wait: got %v, want 0", got)
	}
	if got := r.next(&wire.Later{AfterMS: 5000, WithinMS: 1000}); got != 5*time.Second {
		t.Errorf("the shortest wait when asked for 5 s: got %v", got)
	}
	if got := r.next(&wire.Later{AfterMS: 1 << 62, WithinMS: -1}); got > 2*time.Hour || got < 0 {
		t.Errorf("the wait when asked for an absurd one: got %v", got)
	}
}
