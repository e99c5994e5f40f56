package main

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"

	"headcut/sync/store/boltstore"
)

// servingHeap is up to how much the heap of a server grows before it is collected; where more
// than half of that is in use, as with thousands of phones, it grows to twice what is in use.
const servingHeap = 128 << 20

// keepHeapRoom has the collector come seldom while little is in use, as ServingGCPercent says,
// and oftener the more is, so that a crowd of phones does not take five times what it needs. A
// fixed limit of memory would keep the processors busy once more than that is in use.
func keepHeapRoom() {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	percent := boltstore.ServingGCPercent
	debug.SetGCPercent(percent)
	var collected func()
	collected = func() {
		metrics.Read(live)
		if now := heapRoom(live[0].Value.Uint64()); now != percent {
			percent = now
			debug.SetGCPercent(now)
		}
		afterCollection(collected)
	}
	afterCollection(collected)
}

// heapRoom is by how many percent the heap may grow over what is in use, in steps of 20.
func heapRoom(live uint64) int {
	room := (int(100*servingHeap/max(live, 1)) - 100) / 20 * 20
	return min(max(room, 100), boltstore.ServingGCPercent)
}

// afterCollection calls do when the heap has next been collected.
func afterCollection(do func()) {
	runtime.AddCleanup(new([16]byte), func(do func()) { do() }, do) // not so small that it shares its place with others
}
