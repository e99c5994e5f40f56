package boltstore

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// TestGivenUpWhileItWaits: a device goes while its entry, for which the feature's past was read,
// waits for its commit. The committer still has what was read, and puts the entry in.
func TestGivenUpWhileItWaits(t *testing.T) {
	var calls atomic.Int64 // of the clock, which each commit asks once
	waits, goes := make(chan struct{}), make(chan struct{})
	s, err := Open(filepath.Join(t.TempDir(), "register.db"), Options{Now: func() time.Time {
		if calls.Add(-1) == 0 {
			close(waits)
			<-goes
		}
		return time.Now()
	}})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	m := &storetest.Maker{Property: "p", Device: "d", Seq: 1}
	var raw []json.RawMessage
	for n := range pastInline + 100 {
		raw = append(raw, m.Entry("long", nil, "kind", `"gully-head"`, "headDepthM", fmt.Sprint(n%10)))
	}
	appendNew(t, s, raw...)

	ctx, leave := context.WithCancel(t.Context())
	calls.Store(2) // the commit that finds the past unread, and the one after it
	left := make(chan error)
	late := (&storetest.Maker{Property: "p", Device: "d"}).Entry("long", nil, "headDepthM", "2")
	go func() {
		_, err := s.Append(ctx, "p", []json.RawMessage{late})
		left <- err
	}()
	<-waits
	leave()
	if err := <-left; !errors.Is(err, context.Canceled) {
		t.Fatalf("the device that went got %v", err)
	}
	close(goes)
	appendNew(t, s, (&storetest.Maker{Property: "p", Device: "other"}).Entry("short", nil, "kind", `"gully-head"`)) // in a later turn
	if n, err := s.Newest(t.Context(), "p"); err != nil || n != pastInline+102 {
		t.Errorf("the register has %d entries, %v, want %d with the one that waited", n, err, pastInline+102)
	}
	mustVerify(t, s)
}
