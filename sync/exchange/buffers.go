package exchange

import (
	"math/bits"
	"sync"
)

// buffers holds those for frames longer than what each conversation keeps, by how often
// keptBytes was doubled for them.
var buffers [16]sync.Pool

// larger gives a frame that fills its buffer twice the room to go on in.
func larger(buf []byte) []byte {
	if cap(buf) < keptBytes {
		return append(make([]byte, 0, keptBytes), buf...)
	}
	size := 2 * cap(buf)
	next, ok := buffers[doubled(size)].Get().(*[]byte)
	if !ok {
		made := make([]byte, 0, size)
		next = &made
	}
	out := append((*next)[:0], buf...)
	if cap(buf) > keptBytes {
		letGo(buf)
	}
	return out
}

// letGo gives back a buffer that larger gave.
func letGo(buf []byte) { buffers[doubled(cap(buf))].Put(&buf) }

func doubled(size int) int { return bits.Len(uint(size/keptBytes)) - 1 }
