package exchange_test

import (
	"context"
	"encoding/json"
	"slices"
	"testing"

	"headcut/model"
	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// TestPushIsToldOf: who counts what a property takes hears of new entries alone, who looks for
// copied phones of taken numbers, and a frame for which there is no room is not taken.
func TestPushIsToldOf(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	var took []int
	var cloned []string
	full := false
	d.exchange.Took = func(device, property string, bytes int) {
		if device != "device-1" || property != creek {
			t.Errorf("%s took for %s", property, device)
		}
		took = append(took, bytes)
	}
	d.exchange.Cloned = func(_ context.Context, device string) { cloned = append(cloned, device) }
	d.exchange.Room = func(string, string) error {
		if full {
			return &model.Problem{Reason: "there is no room"}
		}
		return nil
	}
	p := join(t, d, "device-1")
	pushes := uint64(0)
	push := func(raw ...json.RawMessage) wire.Frame {
		pushes++
		p.send(&wire.Push{Push: pushes, Property: creek, Entries: raw})
		return p.receive()
	}
	first, second := p.entry(nil), p.entry(nil)
	push(first, second, json.RawMessage("{"))
	push(first, second) // known: nothing new is taken
	third := p.entry(nil)
	push(second, third)
	if want := []int{len(first) + len(second), len(third)}; !slices.Equal(took, want) {
		t.Errorf("taken: %v bytes, want %v", took, want)
	}
	if len(cloned) != 0 {
		t.Errorf("%v are told of as copied, and none is", cloned)
	}
	push(entryOf(t, "device-1", 2, func(e *register.Entry) { e.Feature = "another" }))
	if !slices.Equal(cloned, []string{"device-1"}) || len(took) != 2 {
		t.Errorf("after a number was given twice, copied: %v, taken: %v", cloned, took)
	}
	full = true
	if answer, ok := push(p.entry(nil)).(*wire.Problem); !ok || answer.Push != pushes || answer.Closing || answer.Problem.Reason != "there is no room" {
		t.Errorf("without room the push is answered %+v, want the Problem", answer)
	}
	if n, err := d.store.Newest(t.Context(), creek); err != nil || n != 3 {
		t.Errorf("the register has %d entries (%v), want 3", n, err)
	}
}
