package server

import (
	"encoding/binary"
	"math"
)

// What decoding a JPEG may take, in coefficients touched: some nanosecond each.
const (
	mostWork       = 256 << 20 // a progressive photo of 32 million pixels in the usual ten scans
	mostKeptBlocks = 800 << 10 // of a progressive photo, whose coefficients are all held: 205 MB
)

// Weights of jpegWork.
const (
	blockWork   = 16   // fetching and storing a block in one scan
	inverseWork = 64   // the transform of a block
	byteWork    = 4    // reading a byte of what is coded
	segmentWork = 1000 // a table or a scan's header
)

// jpegWork is how much work it is to decode a JPEG, by its headers alone: a scan goes over
// all blocks of its components though nothing is coded for them, and a progressive picture
// may have any number of scans (ITU-T T.81, annexes B and G). What a decoder would refuse may
// count as anything. A picture whose coefficients take too much memory is endless work.
func jpegWork(jpeg []byte) int {
	work := byteWork * len(jpeg)
	var blocks [256]int // by the name of a component
	all, progressive := 0, false
	for marker, body := range segments(jpeg) {
		work += segmentWork
		switch {
		case marker >= markerSOF0 && marker <= markerSOF2:
			progressive = marker == markerSOF2
			all = frameBlocks(body, &blocks)
		case marker == markerSOS && len(body) > 0:
			work += scanWork(body, &blocks)
		}
	}
	if progressive && all > mostKeptBlocks || all > math.MaxInt32 {
		return math.MaxInt
	}
	return work + inverseWork*all
}

// frameBlocks reads a frame's header: the blocks of each component, and of all.
func frameBlocks(body []byte, blocks *[256]int) (all int) {
	if len(body) < 6 {
		return 0
	}
	height, width := int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:]))
	components := body[6:]
	if len(components) < 3 {
		return 0
	}
	h0, v0 := max(1, int(components[1]>>4)), max(1, int(components[1]&15))
	if len(components) == 3 { // alone it is not sampled
		h0, v0 = 1, 1
	}
	units := ((width + 8*h0 - 1) / (8 * h0)) * ((height + 8*v0 - 1) / (8 * v0))
	for ; len(components) >= 3; components = components[3:] {
		n := units
		if len(body) > 9 {
			n *= max(1, int(components[1]>>4)) * max(1, int(components[1]&15))
		}
		blocks[components[0]] = n
		all += n
	}
	return all
}

// scanWork reads a scan's header. A scan that refines looks at each coefficient of its band.
func scanWork(body []byte, blocks *[256]int) (work int) {
	n := int(body[0])
	if len(body) < 1+2*n+3 {
		return 0
	}
	each := blockWork
	if band := int(body[2+2*n]) - int(body[1+2*n]) + 1; body[3+2*n]>>4 != 0 && band > 0 {
		each += band
	}
	for i := range n {
		work += each * blocks[body[1+2*i]]
	}
	return work
}
