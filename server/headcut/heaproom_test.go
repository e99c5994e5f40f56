package main

import (
	"runtime"
	"testing"
	"time"

	"headcut/sync/store/boltstore"
)

func TestHeapRoom(t *testing.T) {
	for _, test := range []struct {
		liveMB uint64
		want   int
	}{{0, boltstore.ServingGCPercent}, {5, 400}, {25, 400}, {32, 300}, {40, 220}, {64, 100}, {100, 100}, {5000, 100}} {
		if got := heapRoom(test.liveMB << 20); got != test.want {
			t.Errorf("with %d MB in use the heap may grow by %d percent, want %d", test.liveMB, got, test.want)
		}
	}
}

// TestAfterCollection: what is to be done after a collection is done, each time again.
func TestAfterCollection(t *testing.T) {
	done := make(chan bool, 1)
	var again func()
	again = func() {
		select {
		case done <- true:
		default:
		}
		afterCollection(again)
	}
	afterCollection(again)
	for round := range 3 {
		for end := time.Now().Add(time.Minute); len(done) == 0; time.Sleep(time.Millisecond) {
			if runtime.GC(); time.Now().After(end) {
				t.Fatalf("collection %d was not noticed in a minute", round)
			}
		}
		<-done
	}
}
