package server

import (
	"encoding/binary"
	"iter"
)

// Markers of a JPEG file: ITU-T T.81, table B.1; application segments by CIPA DC-008.
const (
	markerTEM   = 0x01
	markerSOF0  = 0xC0 // baseline
	markerSOF2  = 0xC2 // progressive
	markerDHT   = 0xC4
	markerRST0  = 0xD0
	markerRST7  = 0xD7
	markerSOI   = 0xD8
	markerEOI   = 0xD9
	markerSOS   = 0xDA
	markerDQT   = 0xDB
	markerDRI   = 0xDD
	markerJFIF  = 0xE0
	markerExif  = 0xE1
	markerAdobe = 0xEE
)

// standsAlone reports whether a marker has no length and no body.
func standsAlone(marker byte) bool {
	return marker == markerTEM || marker >= markerRST0 && marker <= markerRST7
}

// segments yields the markers of a JPEG that have a body, with it, over what is coded and bytes out of
// place, up to the end or to a length that is wrong.
func segments(jpeg []byte) iter.Seq2[byte, []byte] {
	return func(yield func(byte, []byte) bool) {
		for at := 2; at+4 <= len(jpeg); {
			marker := jpeg[at+1]
			switch {
			case jpeg[at] != 0xFF || marker == 0xFF: // filling, or none
				at++
				continue
			case marker == 0 || marker == markerSOI || standsAlone(marker):
				at += 2
				continue
			}
			size := int(binary.BigEndian.Uint16(jpeg[at+2:]))
			end := at + 2 + size
			if marker == markerEOI || size < 2 || end > len(jpeg) || !yield(marker, jpeg[at+4:end]) {
				return
			}
			at = end
		}
	}
}
