package server

// Markers of a JPEG file: ITU-T T.81, table B.1; application segments by CIPA DC-008.
const (
	markerTEM   = 0x01
	markerSOF0  = 0xC0 // baseline
	markerSOF2  = 0xC2 // progressive
	markerRST0  = 0xD0
	markerRST7  = 0xD7
	markerSOI   = 0xD8
	markerEOI   = 0xD9
	markerSOS   = 0xDA
	markerJFIF  = 0xE0
	markerExif  = 0xE1
	markerAdobe = 0xEE
)

// standsAlone tells whether a marker has no length and no body.
func standsAlone(marker byte) bool {
	return marker == markerTEM || marker >= markerRST0 && marker <= markerRST7
}
